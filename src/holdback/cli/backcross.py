"""`holdback backcross`: where breeding back to a line leads, cross by cross."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped
from holdback.errors import Fault, PedigreeError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from holdback.descent.backcross import BackcrossRow
    from holdback.species.catalogue import Catalogue

MOST = 20
"""Backcrosses asked for at most."""


def run(arguments: argparse.Namespace) -> int:
    """Print the table, or the plan for a gene and a line."""
    from holdback.answers.descent.breeding_back import breeding_back, stretch_left
    from holdback.species.catalogue import load

    count: int = arguments.generations
    least = 1 if arguments.gene else 0
    if not least <= count <= MOST:
        hint = f"Give {least} to {MOST}."
        raise PedigreeError(Fault("PED-014", f"{count} backcrosses cannot be shown.", hint, value=str(count)))
    if arguments.gene or arguments.line:
        from holdback.cli import carrying

        return carrying.run(arguments)
    catalogue = _catalogue(arguments.folder) if arguments.folder else load()
    rows = breeding_back(catalogue, generations=count, first_year=arguments.from_year, same_parent=True)
    stretches = [stretch_left(catalogue, row.generation) for row in rows]
    if arguments.json:
        print_json({"rows": [asdict(row) | {"stretch_cm": one} for row, one in zip(rows, stretches, strict=True)]})
    else:
        _print(rows, stretches)
    return 0


def _catalogue(folder: str) -> Catalogue:
    """Catalogue of the species of a collection folder."""
    from holdback.cli.sources import answers_from

    return answers_from(folder).catalogue


def _print(rows: Sequence[BackcrossRow], stretches: Sequence[float | None]) -> None:
    """Print the table for a person."""
    from holdback.answers.descent.names import percent

    print("  young of      hatched   of the line   spread   of the other   inbred   stretch")
    for row, stretch in zip(rows, stretches, strict=True):
        name = "first cross" if row.generation == 0 else f"back {row.generation}"
        year = "" if row.year is None else f"{row.year:.0f}"
        left = "all" if stretch is None else f"{stretch:.0f} cM"
        print(
            f"  {name:<12}  {year:>7}   {percent(row.recurrent_share):>11}   {percent(row.recurrent_sd):>6}   "
            f"{percent(row.share):>12}   {percent(row.inbreeding):>6}   {left:>7}"
        )
    print()
    print_wrapped(
        "An animal that is none of the line, put to one that is all of it, its young again, and so on. Spread: one "
        "standard deviation of the true share, on a map of the chromosomes that is assumed. Inbred: if one and the "
        "same animal is bred back to each time. Stretch: what is left on average of the other's around a gene carried "
        "along, in the middle of the longest chromosome."
    )
