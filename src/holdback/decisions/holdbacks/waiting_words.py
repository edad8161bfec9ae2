"""What waiting would be worth, in a breeder's words."""

from __future__ import annotations

from holdback.collection.estimate import Basis, Estimate
from holdback.decisions.goal import GoalGene
from holdback.decisions.holdbacks.ordering import RANGE
from holdback.decisions.holdbacks.result import Waiting
from holdback.decisions.holdbacks.waiting import Worthwhile, knowing_carrier, knowing_sexes
from holdback.decisions.holdbacks.words import in_100, name
from holdback.decisions.holdbacks.worths import Bag, Worths
from holdback.decisions.kind_words import listed

_MOST_ASKED = 3
"""Hatchlings not kept of which it is asked what knowing their genes would be worth."""


def waiting(worths: Worths, kept: Bag) -> tuple[Waiting, ...]:
    """What knowing the sexes, or what possible carriers carry, would be worth, the most telling first.

    Parameters
    ----------
    worths : Worths
        Sets compared.
    kept : tuple of int
        The choice now.
    """
    found = []
    sexes = knowing_sexes(worths, kept)
    if sexes is not None:
        found.append(_sexes(worths, sexes))
    for group in _asked_about(worths, kept):
        for gene in _genes(worths):
            told = knowing_carrier(worths, kept, group, gene)
            if told is not None and told.changes > 0:
                found.append(_carrier(worths, told, gene, worths.groups[group][0]))
    return tuple(sorted(found, key=lambda one: -one.gain.mean))


def _asked_about(worths: Worths, kept: Bag) -> list[int]:
    """Groups kept, and the few others that would do most beside them."""
    others = [k for k in range(len(worths.groups)) if k not in kept]
    best = sorted(others, key=lambda k: -worths.of(tuple(sorted((*kept, k)))).mean)
    return [*dict.fromkeys(kept), *best[:_MOST_ASKED]]


def _genes(worths: Worths) -> tuple[GoalGene, ...]:
    found = [gene for project in worths.projects for target in project.targets for gene in target.genes]
    return tuple(dict.fromkeys(gene for gene in found if gene.is_hidden))


def _sexes(worths: Worths, told: Worthwhile) -> Waiting:
    names = listed([name(worths.stock, one) for one in told.animals])
    head = f"Waiting until the first shed tells the sex of {names}."
    n = len(told.animals)
    cost = f"It costs {'one tub' if n == 1 else f'{n} tubs'} for two weeks or so."
    if told.changes == 0:
        text = f"{head} It would not change the choice. {cost}"
    else:
        text = f"{head} It would change the choice in {in_100(100 * told.changes)} of 100 cases. {cost}"
    return Waiting("sex", told.animals, "the first shed", told.changes, _gain(told), text)


def _carrier(worths: Worths, told: Worthwhile, gene: GoalGene, animal: str) -> Waiting:
    one = worths.candidates[animal]
    year = worths.stock.year + min(one.ready(sex) for sex, _ in one.sexes)
    text = (
        f"Only its own young tell whether {name(worths.stock, animal)} carries {gene.name}, not before {year}. "
        f"Known today, it would change the choice in {in_100(100 * told.changes)} of 100 cases. "
        f"It costs a tub until then."
    )
    return Waiting("carrier", (animal,), f"young of its own in {year}", told.changes, _gain(told), text)


def _gain(told: Worthwhile) -> Estimate:
    return Estimate(
        told.gain,
        max(told.gain - RANGE * told.error, 0.0),
        told.gain + RANGE * told.error,
        "eggs",
        Basis.REHEARSED,
        "The best choice if it were known, less the choice now.",
    )
