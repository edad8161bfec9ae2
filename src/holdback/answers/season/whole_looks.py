"""Whole looks of the young of a couple, put together from those at the independent parts of the genes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence, Set

import numpy as np

from holdback.answers.season.foretold_looks import States, fewer
from holdback.heredity.beliefs.evidence import FloatArray
from holdback.heredity.crosses.looks import LookKey

MOST_ON_THE_WAY = 400
"""Looks kept while parts are put together; the least likely ones become one class without a name."""

Order = Mapping[str, int]
"""Place of each locus in the species file."""


class Joiner:
    """How classes of several parts make one look.

    Parameters
    ----------
    order : mapping of str to int
        Place of each locus.
    hiding : set of (str, str)
        Locus and look of the looks that hide every other locus.
    """

    def __init__(self, order: Order, hiding: Set[tuple[str, str]]) -> None:
        self._order = order
        self._hiding = hiding

    def joined(self, first: LookKey, second: LookKey) -> LookKey:
        """One look of two; a look that hides all others is all that is seen."""
        entries = sorted((*first, *second), key=lambda one: self._order[one[0]])
        hider = next((one for one in entries if one in self._hiding), None)
        return tuple(entries) if hider is None else (hider,)

    def cut(self, look: LookKey, loci: Collection[str]) -> LookKey:
        """The look as far as it is seen at some loci."""
        return tuple(one for one in look if one[0] in loci)


def whole_looks(
    parts: Sequence[States], loci: Sequence[Collection[str]], joiner: Joiner, *, came: Collection[LookKey], most: int
) -> tuple[tuple[LookKey, ...], FloatArray, FloatArray, FloatArray]:
    """Looks of the young by all parts together.

    Parameters
    ----------
    parts : sequence of States
        Independent parts of the genes.
    loci : sequence of collection of str
        Loci of each part.
    joiner : Joiner
        How classes make one look.
    came : collection of LookKey
        Looks that are kept in any case.
    most : int
        States to keep apart.

    Returns
    -------
    tuple of LookKey
        Looks.
    float array, shape (n_states,)
        Probabilities of the states.
    float array, shape (n_states, n_looks, 2)
        Chance that a young of each sex comes and has the look.
    float array, shape (n_states, 2)
        Chance that a young of each sex comes.
    """
    looks: list[LookKey] = [()]
    weights, chances, totals = np.ones(1), np.ones((1, 1, 2)), np.ones((1, 2))
    so_far: set[str] = set()
    for part, here in zip(fewer(list(parts), most), loci, strict=True):
        so_far |= set(here)
        weights = np.outer(weights, part.weights).reshape(-1)
        n = len(weights)
        totals = (totals[:, None] * part.totals[None]).reshape(n, 2)
        each = np.einsum("alx,bmx->ablmx", chances, part.chances).reshape(n, -1, 2)
        looks, chances = _gathered([joiner.joined(one, other) for one in looks for other in part.classes], each)
        kept = {joiner.cut(one, so_far) for one in came}
        looks, chances = _likeliest(looks, chances, weights, kept)
    return tuple(looks), weights, chances, totals


def _gathered(looks: Sequence[LookKey], chances: FloatArray) -> tuple[list[LookKey], FloatArray]:
    """Each look once."""
    place = {look: number for number, look in enumerate(dict.fromkeys(looks))}
    found = np.zeros((len(chances), len(place), 2))
    for number, look in enumerate(looks):
        found[:, place[look]] += chances[:, number]
    return list(place), found


def _likeliest(
    looks: list[LookKey], chances: FloatArray, weights: FloatArray, kept: Set[LookKey]
) -> tuple[list[LookKey], FloatArray]:
    if len(looks) <= MOST_ON_THE_WAY:
        return looks, chances
    mean = np.tensordot(weights, chances, axes=1).sum(axis=1)
    top = {int(one) for one in np.argsort(-mean, kind="stable")[:MOST_ON_THE_WAY]}
    chosen = [number for number, look in enumerate(looks) if number in top or look in kept]
    return [looks[number] for number in chosen], chances[:, chosen]
