"""Where breeding back to a line leads, with the species' chromosomes and ages."""

from __future__ import annotations

from holdback.descent.backcross import BackcrossRow, backcross_table
from holdback.descent.donor_segment import DonorSegment
from holdback.descent.genome import GenomeMap
from holdback.species.catalogue import Catalogue

MIDDLE = 0.5


def breeding_back(
    catalogue: Catalogue, *, generations: int, first_year: float | None = None, same_parent: bool = True
) -> tuple[BackcrossRow, ...]:
    """Share, spread, inbreeding and year, cross by cross.

    Parameters
    ----------
    catalogue : Catalogue
        Species: its chromosomes, and the age at which a female breeds.
    generations : int
        Backcrosses, at least 0.
    first_year : float, optional
        Year in which the first cross hatches.
    same_parent : bool
        Whether one and the same animal is bred back to.
    """
    return backcross_table(
        GenomeMap.from_catalogue(catalogue),
        generations=generations,
        same_parent=same_parent,
        first_year=first_year,
        years_per_generation=catalogue.reproduction["female_breeding_age_years"].value,
    )


def stretch_left(catalogue: Catalogue, backcrosses: int) -> float | None:
    """Mean length in cM left around a gene in the middle of the longest chromosome; None before the first backcross."""
    if backcrosses == 0:
        return None
    morgan = max(GenomeMap.from_catalogue(catalogue).lengths)
    return 100 * DonorSegment.at(backcrosses, morgan=morgan, position=MIDDLE * morgan).mean
