"""Where breeding back to a line leads, as a table for people."""

from __future__ import annotations

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers import Answers
from holdback.answers.descent.breeding_back import breeding_back, stretch_left
from holdback.answers.descent.names import percent
from holdback.web.pages.components import Column, Table
from holdback.web.pages.wording import number

GENERATIONS = 5


def back_to_the_line(answers: Answers, first_year: int) -> Table:
    """Share, spread, inbreeding, year and stretch around a carried gene, cross by cross.

    Parameters
    ----------
    answers : Answers
        For the species' chromosomes and ages.
    first_year : int
        Year in which the first cross is hatched.
    """
    catalogue = answers.catalogue
    steps = breeding_back(catalogue, generations=GENERATIONS, first_year=first_year)
    rows = [
        [
            _cross(one.generation, one.year),
            percent(one.recurrent_share),
            percent(one.recurrent_sd) if one.recurrent_sd else "sure",
            percent(one.inbreeding),
            _stretch(stretch_left(catalogue, one.generation)),
        ]
        for one in steps
    ]
    names = ("Share", "Spread", "Inbred", "Stretch")
    return Table([Column("Young of"), *(Column(name, is_number=True) for name in names)], rows, is_cards=False)


def _cross(generation: int, year: float | None) -> SafeString:
    """Which cross, and below it the year in which its young hatch."""
    name = "the first cross" if generation == 0 else f"back {generation}"
    when = f"{year:.0f}" if year is not None else ""
    return format_html('{}<br><span class="second">{}</span>', name, when)


def _stretch(left: float | None) -> str:
    """Mean length left around a carried gene."""
    return "all" if left is None else f"{number(left)}\u00a0cM"
