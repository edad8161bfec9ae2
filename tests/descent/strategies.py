"""Random pedigrees with every kind of node, and the slow, plain way to their relationships."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
import numpy.typing as npt
from hypothesis import strategies as st

from holdback.descent.pedigree import UNKNOWN, Draft, Pedigree, assembled

KINDS = ("founder", "half known", "both known", "both known", "both known", "without sire", "candidates")


@st.composite
def drafts(draw: st.DrawFn, *, kinds: tuple[str, ...] = KINDS, max_nodes: int = 10) -> Draft:
    """Nodes named by their age, oldest first; at most four nodes of candidates, with up to three each."""
    draft = Draft({}, {})
    for number in range(draw(st.integers(1, max_nodes))):
        name, older = f"n{number}", list(draft.parents)
        kind = draw(st.sampled_from(kinds))
        draft.parents[name] = (None, None)
        if kind == "candidates" and older and len(draft.candidates) < 4:
            chosen = draw(st.lists(st.sampled_from(older), min_size=1, max_size=3, unique=True))
            weights = draw(st.lists(st.integers(1, 9), min_size=len(chosen), max_size=len(chosen)))
            parts = zip(chosen, weights, strict=True)
            draft.candidates[name] = tuple((one, weight / sum(weights)) for one, weight in parts)
        elif kind == "both known" and len(older) > 1:
            sire, dam = draw(st.lists(st.sampled_from(older), min_size=2, max_size=2, unique=True))
            draft.parents[name] = (sire, dam)
        elif kind == "half known" and older:
            known = draw(st.sampled_from(older))
            draft.parents[name] = draw(st.sampled_from(((known, None), (None, known))))
        elif kind == "without sire" and older:
            dam = draw(st.sampled_from(older))
            draft.parents[name] = (dam, dam)
    return draft


@st.composite
def pedigrees(
    draw: st.DrawFn,
    *,
    kinds: tuple[str, ...] = KINDS,
    max_nodes: int = 10,
    kept: tuple[float, ...] = (0.3, 0.5, 0.0, 1.0),
) -> Pedigree:
    """Pedigrees of the kinds of nodes named, oldest first."""
    draft = draw(drafts(kinds=kinds, max_nodes=max_nodes))
    return assembled(draft, {}, draw(st.sampled_from(kept)))


def shuffled(draft: Draft, order: list[str]) -> Draft:
    """The same draft with its nodes in another order."""
    return Draft({name: draft.parents[name] for name in order}, {}, candidates=draft.candidates)


def assignments(pedigree: Pedigree) -> Iterator[tuple[float, dict[int, int]]]:
    """Every choice of one candidate for each node of candidates, with its weight."""
    nodes = sorted(pedigree.candidates)
    for chosen in itertools.product(*(pedigree.candidates[node] for node in nodes)):
        weight = float(np.prod([share for _, share in chosen]))
        yield weight, {node: one for node, (one, _) in zip(nodes, chosen, strict=True)}


def reference_relationship(pedigree: Pedigree, chosen: dict[int, int]) -> npt.NDArray[np.float64]:
    """Relationships where every doubtful sire is the male chosen, pair by pair from the definition of kinship."""
    n = len(pedigree)
    f = _reference_kinship(pedigree, chosen)
    return np.array([[2.0 * f(max(i, j), min(i, j)) for j in range(n)] for i in range(n)]).reshape(n, n)


def _reference_kinship(pedigree: Pedigree, chosen: dict[int, int]) -> Callable[[int, int], float]:
    """Chance that a copy drawn from each of two nodes is the same by descent."""

    @cache
    def kinship(one: int, other: int) -> float:
        if UNKNOWN in (one, other):
            return 0.0
        if one < other:
            return kinship(other, one)
        if one in chosen:
            male = chosen[one]
            return kinship(male, male if other == one else other)
        sire, dam = (int(parent) for parent in pedigree.parents[one])
        if one != other:
            return (kinship(sire, other) + kinship(dam, other)) / 2.0
        if sire == dam != UNKNOWN:
            alike_in_dam = 2.0 * kinship(dam, dam) - 1.0
            return (1.0 + alike_in_dam + (1.0 - pedigree.kept) * (1.0 - alike_in_dam)) / 2.0
        return (1.0 + kinship(sire, dam)) / 2.0

    return kinship
