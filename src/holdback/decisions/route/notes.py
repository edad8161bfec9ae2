"""What a keeper should know of a route, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import prod

import numpy as np

from holdback.decisions.route.labels import Space
from holdback.decisions.steps import Side, Step
from holdback.decisions.stock import Stock

DOUBT = 0.05
"""A possible het that has given nothing is dropped below this chance."""
NOT_COUNTED = (
    "Counted without deaths, as if genes went to young apart from each other and from sex, and with the luck of every "
    "cross by itself; a rehearsal plays all of it."
)
_MOST = 10
_FEW = 0.02
"""Chance below which a gene counts as not carried in a sentence, and from whose complement as certain."""


def notes(stock: Stock, space: Space, steps: Sequence[Step], *, seasons: float, is_complete: bool) -> tuple[str, ...]:
    """Sentences on a route: whether it is out of reach, where it turns on a possible het, what it does not count."""
    found = []
    if seasons > stock.breeding.horizon:
        found.append(f"Not in reach: {seasons:.0f} seasons on average. See which single wish buys most.")
    found += [sentence for step in steps for sentence in _doubts(stock, space, step)]
    found.append(NOT_COUNTED)
    if not is_complete:
        found.append("Stopped before every way was looked at: the best found so far, perhaps not the best there is.")
    return tuple(dict.fromkeys(found))


@dataclass(frozen=True, slots=True)
class _Doubt:
    """A gene that one side of a cross may carry or not.

    Parameters
    ----------
    side : Side
        Which.
    them : str
        "him" or "her".
    name : str
        The gene.
    chance : float
        Chance of a copy, in (0, 1).
    is_needed : bool
        Whether no wanted young comes of a side without it.
    """

    side: Side
    them: str
    name: str
    chance: float
    is_needed: bool


def _doubts(stock: Stock, space: Space, step: Step) -> list[str]:
    doubts, found = list(_in_doubt(stock, space, step)), []
    needed = prod(doubt.chance for doubt in doubts if doubt.is_needed)
    for doubt in doubts:
        side = doubt.side
        who = stock.names.get(side.animals[0], side.animals[0]) if side.animals else "Young held back"
        text = f"{who} may carry {doubt.name} ({_odds(doubt.chance)})"
        enough = _enough(stock, step, doubt.chance, needed) if doubt.is_needed else 0
        if enough and side.animals:
            clutches = "a clutch brings" if enough == 1 else f"{enough} clutches bring"
            text += f": if {clutches} none, drop {doubt.them}"
        found.append(text + ".")
    return found


def _in_doubt(stock: Stock, space: Space, step: Step) -> Iterator[_Doubt]:
    for side, other, them in ((step.sire, step.dam, "him"), (step.dam, step.sire, "her")):
        for number, gene in enumerate(space.target.genes):
            chance = _carries(stock, space, side, number)
            if gene.copies == 0 or not _FEW < chance < 1 - _FEW:
                continue
            some, two = step.keep.genes[number]
            alone = some >= 1 and _carries(stock, space, other, number) <= _FEW
            yield _Doubt(side, them, gene.name, chance, two > 0 or alone)


def _carries(stock: Stock, space: Space, side: Side, number: int) -> float:
    """Chance of a copy of a gene of the goal."""
    gene = space.target.genes[number]
    if not side.animals:
        return side.kind.genes[number][0]
    pairs = stock.genes.at(side.animals[0], gene.locus)
    return sum(chance for pair, chance in pairs.items() if any(allele in gene.alleles for allele in pair))


def _enough(stock: Stock, step: Step, chance: float, needed: float) -> int:
    """Clutches without a wanted young after which a carrier is as unlikely as `DOUBT`; 0 where too many.

    Empty clutches speak against everything that the cross needs and may lack (`needed`, the chance of all of it), not
    against this one alone.
    """
    young, others = stock.breeding.young.chances, needed / chance
    missed = float(np.polynomial.polynomial.polyval(1 - min(step.per_hatchling / needed, 1.0), young))
    for clutches in range(1, _MOST + 1):
        left = chance * (1 - others + others * missed**clutches)
        if left / (1 - chance + left) < DOUBT:
            return clutches
    return 0


def _odds(chance: float) -> str:
    for text, value in (("1 in 2", 0.5), ("2 in 3", 2 / 3), ("1 in 3", 1 / 3), ("1 in 4", 0.25)):
        if abs(chance - value) < 0.01:
            return text
    return f"{100 * chance:.0f} in 100"
