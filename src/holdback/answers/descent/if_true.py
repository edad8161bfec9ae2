"""What a record that does not fit would do to the shares of a line, if what explains it is true."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from holdback.answers.conflicts.conflict import Explanation, Kind
from holdback.collection.model import Candidate
from holdback.descent.family import Brood, Family

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.descent.descent import Descent

PARENTS = frozenset({Kind.SIRE, Kind.STORED, Kind.DAM})
LEAST = 0.5
"""Chance from which an explanation is followed up: more likely so than not."""
_SAME = 0.005
"""Change of a share that is too little to tell: a doubtful sire is weighed by the genes already."""


@dataclass(frozen=True)
class LineDoubt:
    """A parent that is likely wrong, and what the right one would do.

    Parameters
    ----------
    record : str
        The record concerned: "clutch 24-03".
    words : str
        The explanation, as a sentence.
    chance : float
        Chance of it, in [0, 1].
    young : tuple of str
        Ids of the young concerned.
    share_now, share_then : float
        Mean expected share of the line of the young, as recorded and if it is true.
    inbreeding_now, inbreeding_then : float
        Mean inbreeding coefficient of the young, likewise.
    """

    record: str
    words: str
    chance: float
    young: tuple[str, ...]
    share_now: float
    share_then: float
    inbreeding_now: float
    inbreeding_then: float


def line_doubts(answers: Answers, line: str) -> tuple[LineDoubt, ...]:
    """Parents that are likely wrong by the genes and would change how much of a line runs in their young.

    Parameters
    ----------
    answers : Answers
        Over the whole collection; its conflicts are worked out where they are not.
    line : str
        Name of the line as recorded.
    """
    found = []
    for conflict in answers.conflicts:
        for one in conflict.explanations:
            if one.kind in PARENTS and one.chance >= LEAST and one.instead in answers.collection.animals:
                found += list(followed(answers.descent, line, one))
    return tuple(found)


def followed(descent: Descent, line: str, one: Explanation) -> Iterator[LineDoubt]:
    """What an explanation by another parent would do, if it does anything to the line."""
    what, _, name = one.record.partition(" ")
    family = descent.family
    brood = family.brood_of(name) if what == "animal" else next((b for b in family.broods if b.key == name), None)
    if brood is None:
        return
    # Young without a clutch on record are named by the first of them.
    young = (name,) if what == "animal" and brood.key in descent.collection.clutches else brood.young
    # The genes told of the sires on record; where the sire is put right, he is the one.
    told = {each: odds for each, odds in descent.told.items() if one.kind is Kind.DAM or each not in young}
    then = type(descent)(
        descent.collection, _put_right(family, brood, young, one), descent.catalogue, sires=lambda: told
    )
    values = [_means(each, line, young) for each in (descent, then)]
    if abs(values[0][0] - values[1][0]) > _SAME:
        yield LineDoubt(
            one.record, one.words, one.chance, young, values[0][0], values[1][0], values[0][1], values[1][1]
        )


def _put_right(family: Family, brood: Brood, young: tuple[str, ...], one: Explanation) -> Family:
    """Families in which some young of a brood have the parent of an explanation."""
    rest = tuple(each for each in brood.young if each not in young)
    right = replace(brood, key=f"{brood.key} put right", young=young)
    right = (
        replace(right, dam=one.instead)
        if one.kind is Kind.DAM
        else replace(right, sires=(Candidate(one.instead, 1.0),), each_egg=False)
    )
    others = [each for each in family.broods if each.key != brood.key]
    left = [replace(brood, young=rest)] if rest else []
    return Family(family.sexes, (*others, *left, right))


def _means(descent: Descent, line: str, young: tuple[str, ...]) -> tuple[float, float]:
    """Mean expected share and mean inbreeding of some young."""
    nodes = [descent.node(one) for one in young]
    return float(np.mean(descent.share_means(line)[nodes])), float(np.mean(descent.inbreeding[nodes]))
