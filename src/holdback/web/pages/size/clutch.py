"""Young of a clutch beside each other: what each hatched with, and what of it the egg and the clutch do not explain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.safestring import SafeString

from holdback.web.pages.components import Column, Table
from holdback.web.pages.size.links import AnimalLinks
from holdback.web.pages.size.strips import Scale, strip
from holdback.web.pages.size.words import estimate_cell, mass_cell
from holdback.web.pages.wording import GAP, about, counted, number, whole_percent

if TYPE_CHECKING:
    from holdback.answers.size import Sizes
    from holdback.size.evaluation import Hatchling

CLEAR = 0.75
"""Chance to be the largest from which one young is said to be it."""


@dataclass(frozen=True)
class Hatchlings:
    """Young of a clutch as its page compares them.

    Parameters
    ----------
    plain, doubt : str
        The answer in a sentence, and what is uncertain of it.
    table : Table
        One row each, the likeliest largest first.
    tells : str
        How little early weights tell.
    """

    plain: str
    doubt: str
    table: Table
    tells: str


def hatchlings(sizes: Sizes, clutch: str) -> Hatchlings | None:
    """Young of a clutch compared; None where none of them was weighed.

    Parameters
    ----------
    sizes : Sizes
        Of the whole collection.
    clutch : str
        Tag of the clutch.
    """
    found = sorted(sizes.clutch(clutch), key=lambda one: (-one.chance_best, one.animal))
    if not found:
        return None
    links = AnimalLinks(sizes.collection, [one.animal for one in found])
    plain, doubt = _sentences(found, links)
    return Hatchlings(plain, doubt, _table(found, links), _tells(found))


def _sentences(found: Sequence[Hatchling], links: AnimalLinks) -> tuple[str, str]:
    best = found[0]
    name = links.name(best.animal)
    if len(found) == 1:
        return f"Only {name} can be told of.", ""
    chance = about(best.chance_best)
    if best.chance_best >= CLEAR:
        return f"{name} will be the largest in {chance} cases.", ""
    plain = f"{name} is the likeliest of {len(found)} to be the largest, in {chance} cases."
    return plain, "No choice by size is safe yet."


def _table(found: Sequence[Hatchling], links: AnimalLinks) -> Table:
    scale = Scale.holding([one.deviation for one in found])
    heads = [
        Column("Hatchling"),
        Column("Egg", is_number=True),
        Column("Hatched", is_number=True),
        Column("Beyond egg and clutch"),
        Column("Against ordinary, grown", is_full=True),
        Column("Will weigh, grown"),
        Column("Chance to be the largest", is_number=True),
    ]
    rows: list[list[str]] = [
        [
            links(one.animal),
            _gram(one.egg_mass_g, "not weighed"),
            _gram(one.hatch_mass_g, "none that counts"),
            estimate_cell(one.hatching),
            SafeString(estimate_cell(one.deviation) + strip(one.deviation, scale)),
            mass_cell(one.adult_mass_g),
            whole_percent(one.chance_best),
        ]
        for one in found
    ]
    return Table(heads, rows)


def _gram(mass: float | None, none: str) -> str:
    return none if mass is None else f"{number(round(mass, 1), 1)}{GAP}g"


def _tells(found: Sequence[Hatchling]) -> str:
    """How wide the forecasts are."""
    lower = sum(1 - one.adult_mass_g.low / one.adult_mass_g.mean for one in found) / len(found)
    upper = sum(one.adult_mass_g.high / one.adult_mass_g.mean - 1 for one in found) / len(found)
    return (
        f"Early weights tell little of grown ones: the forecasts of {counted(len(found), 'young', 'young')} may be "
        f"{100 * lower:.0f}{GAP}% too high or {100 * upper:.0f}{GAP}% too low (nine cases in ten)."
    )
