"""Where breeding back to one side leads, generation by generation."""

from __future__ import annotations

from dataclasses import dataclass

from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.shares import LineFounder, share_moments


@dataclass(frozen=True, slots=True)
class BackcrossRow:
    """One generation of breeding back.

    Parameters
    ----------
    generation : int
        0 for the first cross, 1 for the first backcross.
    share, sd : float
        Share of the donor's line in an animal that was not chosen by anything, and its spread; it falls.
    recurrent_share, recurrent_sd : float
        Part of the genome that comes from the side bred back to, and its spread; it rises.
    donor_fraction : float
        Chance that a place still has a copy of the donor's.
    inbreeding : float
        Inbreeding coefficient.
    year : float or None
        When the young hatch, in years with fraction; None where no first year is given.
    """

    generation: int
    share: float
    sd: float
    recurrent_share: float
    recurrent_sd: float
    donor_fraction: float
    inbreeding: float
    year: float | None


def backcross_table(
    genome: GenomeMap,
    *,
    generations: int,
    same_parent: bool,
    start_share: float = 1.0,
    first_year: float | None = None,
    years_per_generation: float = 3.0,
) -> tuple[BackcrossRow, ...]:
    """What a donor crossed once and bred back again and again leaves.

    Parameters
    ----------
    genome : GenomeMap
        Chromosomes; spreads are averaged over the doubt about the map.
    generations : int
        Backcrosses, at least 0.
    same_parent : bool
        Whether one and the same animal is bred back to, and not an unrelated one of its side each time.
    start_share : float
        Share of its line in the donor, in [0, 1]. The side bred back to has nothing of that line.
    first_year : float, optional
        When the first cross hatches.
    years_per_generation : float
        Years from one generation to the next.

    Returns
    -------
    tuple of BackcrossRow
        The first cross and each backcross.

    Notes
    -----
    For breeding back to the line read `recurrent_share`: the side bred back to is all of it, the donor none. Means and
    spreads are exact without interference (Hill 1993, from memory). Inbreeding is (1 - 1/2^t) / 2 after t backcrosses
    to one animal, that is not inbred and not related to the donor (Falconer & Mackay 1996, table 5.1, from memory).

    Examples
    --------
    >>> rows = backcross_table(GenomeMap.equal(18, 1.0), generations=2, same_parent=True)
    >>> [(row.share, row.inbreeding) for row in rows]
    [(0.5, 0.0), (0.25, 0.25), (0.125, 0.375)]
    """
    parents: dict[str, tuple[str | None, str | None]] = {"0": ("donor", "other 0")}
    parents |= {str(number): (str(number - 1), f"other {number}") for number in range(1, generations + 1)}
    pedigree = Pedigree.from_parents(parents)
    nodes = [pedigree.index[str(number)] for number in range(generations + 1)]
    donor = pedigree.index["donor"]
    of_line, of_genome = (
        share_moments(pedigree, {donor: LineFounder(share, share)}, genome, nodes=nodes) for share in (start_share, 1.0)
    )
    return tuple(
        BackcrossRow(
            generation=number,
            share=float(of_line.mean[number]),
            sd=float(of_line.sd[number]),
            recurrent_share=float(1.0 - of_genome.mean[number]),
            recurrent_sd=float(of_genome.sd[number]),
            donor_fraction=0.5**number,
            inbreeding=(1.0 - 0.5**number) / 2 if same_parent else 0.0,
            year=None if first_year is None else first_year + number * years_per_generation,
        )
        for number in range(generations + 1)
    )
