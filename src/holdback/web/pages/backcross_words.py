"""Where breeding back to a line leads, as a table for people."""

from __future__ import annotations

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers import Answers
from holdback.answers.descent.names import percent
from holdback.descent.backcross import backcross_table
from holdback.descent.donor_segment import DonorSegment
from holdback.web.pages.components import Column, Table
from holdback.web.pages.wording import number

GENERATIONS = 5
MIDDLE = 0.5


def back_to_the_line(answers: Answers, first_year: int) -> Table:
    """Share, spread, inbreeding, year and stretch around a carried gene, cross by cross.

    Parameters
    ----------
    answers : Answers
        For the species' chromosomes and ages.
    first_year : int
        Year in which the first cross is hatched.
    """
    genome = answers.descent.genome
    years = answers.catalogue.reproduction["female_breeding_age_years"].value
    fresh, same = (
        backcross_table(
            genome,
            generations=GENERATIONS,
            same_parent=same_parent,
            first_year=first_year,
            years_per_generation=years,
        )
        for same_parent in (False, True)
    )
    longest = max(genome.lengths)
    rows = [
        [
            _cross(one.generation, one.year),
            percent(one.recurrent_share),
            percent(one.recurrent_sd) if one.recurrent_sd else "sure",
            percent(again.inbreeding),
            _stretch(one.generation, longest),
        ]
        for one, again in zip(fresh, same, strict=True)
    ]
    names = ("Share", "Spread", "Inbred", "Stretch")
    return Table([Column("Young of"), *(Column(name, is_number=True) for name in names)], rows, is_cards=False)


def _cross(generation: int, year: float | None) -> SafeString:
    """Which cross, and below it the year in which its young hatch."""
    name = "the first cross" if generation == 0 else f"back {generation}"
    when = f"{year:.0f}" if year is not None else ""
    return format_html('{}<br><span class="second">{}</span>', name, when)


def _stretch(crosses: int, morgan: float) -> str:
    """Mean length left around a gene in the middle of the longest chromosome."""
    if crosses == 0:
        return "all"
    return f"{number(100 * DonorSegment.at(crosses, morgan=morgan, position=MIDDLE * morgan).mean)}\u00a0cM"
