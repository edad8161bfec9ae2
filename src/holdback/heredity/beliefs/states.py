"""States of one animal at one locus, and how they pass from parents to young.

Alleles that nothing recorded can tell apart in an animal or its descendants are one class there (see `lumping`). So
each animal has states of its own: unordered pairs of classes, and in the heterogametic sex of a sex-linked locus
ordered pairs (allele on the X of an XY species, allele on the Y).

Notation: `m` classes; s, d, c number the states of sire, dam and young; r is the recombination fraction between the
locus and the sex-determining region, in the heterogametic sex.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
Partition = tuple[int, ...]
"""Class number of each allele; classes are numbered from 0 in the order of their first allele."""


class Shape(StrEnum):
    """What a state is."""

    PAIRS = "unordered pairs"
    ORDERED = "ordered pairs"
    EITHER = "unordered pairs of the homogametic sex, then ordered pairs of the other"


@dataclass(frozen=True, slots=True)
class States:
    """State space of one animal at one locus.

    Parameters
    ----------
    partition : tuple of int
        Class of each allele.
    shape : Shape
        Unordered, ordered, or either where the sex is not certain.
    """

    partition: Partition
    shape: Shape = Shape.PAIRS

    @property
    def n_classes(self) -> int:
        """Number of allele classes."""
        return max(self.partition) + 1

    @property
    def size(self) -> int:
        """Number of states."""
        return len(self.pairs)

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """The two classes of each state."""
        return _pairs(self.n_classes, self.shape)

    @property
    def n_unordered(self) -> int:
        """Number of leading states that are unordered pairs."""
        m = self.n_classes
        return 0 if self.shape is Shape.ORDERED else m * (m + 1) // 2


@lru_cache(maxsize=4096)
def _pairs(m: int, shape: Shape) -> tuple[tuple[int, int], ...]:
    unordered = tuple((a, b) for a in range(m) for b in range(a, m))
    ordered = tuple((a, b) for a in range(m) for b in range(m))
    return {Shape.PAIRS: unordered, Shape.ORDERED: ordered, Shape.EITHER: unordered + ordered}[shape]


@lru_cache(maxsize=4096)
def representatives(states: States) -> tuple[IntArray, IntArray]:
    """First allele of each class of each state: two int arrays of shape (size,)."""
    first = [states.partition.index(k) for k in range(states.n_classes)]
    return (
        np.array([first[a] for a, _ in states.pairs], dtype=np.intp),
        np.array([first[b] for _, b in states.pairs], dtype=np.intp),
    )


def by_state(table: NDArray[np.float64], states: States) -> FloatArray:
    """Values of a symmetric n by n table of allele pairs, state by state: shape (size,).

    The table must not tell alleles of one class apart.
    """
    one, other = representatives(states)
    return np.asarray(table, dtype=np.float64)[one, other]


@lru_cache(maxsize=65536)
def _prior(states: States, frequencies: tuple[float, ...]) -> FloatArray:
    of_class = np.zeros(states.n_classes)
    np.add.at(of_class, np.array(states.partition), np.array(frequencies))
    chances = np.array([of_class[a] * of_class[b] for a, b in states.pairs])
    n = states.n_unordered
    for index, (a, b) in enumerate(states.pairs[:n]):
        if a != b:
            chances[index] *= 2.0
    if states.shape is Shape.EITHER:
        chances *= 0.5
    chances.setflags(write=False)
    return chances


def founder_prior(states: States, frequencies: FloatArray) -> FloatArray:
    """Hardy-Weinberg chance of each state of an animal of unknown descent, shape (size,), summing to 1."""
    return _prior(states, tuple(frequencies.tolist()))


@lru_cache(maxsize=65536)
def gametes(parent: States, young: Partition) -> FloatArray:
    """Chance of each class of the young in a gamete, shape (2, size of parent, classes of young).

    Row 0 holds the first allele of each state, row 1 the second. A gamete of an unordered pair is the mean of the two;
    in an ordered pair the first sits on the X, the second on the Y.
    """
    to = class_map(parent.partition, young)
    table = np.zeros((2, parent.size, max(young) + 1))
    for index, (a, b) in enumerate(parent.pairs):
        table[0, index, to[a]] = 1.0
        table[1, index, to[b]] = 1.0
    table.setflags(write=False)
    return table


@lru_cache(maxsize=65536)
def class_map(fine: Partition, coarse: Partition) -> tuple[int, ...]:
    """Class of the coarser partition that each class of the finer one falls in."""
    found: dict[int, int] = {}
    for k, into in zip(fine, coarse, strict=True):
        assert found.setdefault(k, into) == into, "a parent's classes must be finer than its young's"
    return tuple(found[k] for k in range(len(found)))


@lru_cache(maxsize=65536)
def state_map(fine: States, coarse: States) -> IntArray:
    """State of the coarser space that each state of the finer one falls in, shape (size of fine,)."""
    to = class_map(fine.partition, coarse.partition)
    index = {pair: number for number, pair in enumerate(coarse.pairs)}
    ordered = fine.shape is Shape.ORDERED and coarse.shape is Shape.ORDERED
    mapped = [(to[a], to[b]) for a, b in fine.pairs]
    return np.array([index[(a, b) if ordered else (min(a, b), max(a, b))] for a, b in mapped], dtype=np.intp)


@lru_cache(maxsize=4096)
def _joined(m: int, shape: Shape) -> FloatArray:
    """1 where a state is made by two gametes, shape (size, m, m): first gamete, second gamete."""
    pairs = _pairs(m, shape)
    table = np.zeros((len(pairs), m, m))
    n = m * (m + 1) // 2 if shape is not Shape.ORDERED else 0
    for index, (a, b) in enumerate(pairs):
        table[index, a, b] = 1.0
        if index < n:
            table[index, b, a] = 1.0
    return table


@lru_cache(maxsize=16384)
def autosomal(young: States, sire: States, dam: States) -> FloatArray:
    """P(young | sire, dam) at an autosomal locus, shape (size of young, of sire, of dam)."""
    from_sire = gametes(sire, young.partition).mean(axis=0)
    from_dam = gametes(dam, young.partition).mean(axis=0)
    table: FloatArray = np.einsum("cab,sa,db->csd", _joined(young.n_classes, young.shape), from_sire, from_dam)
    table.setflags(write=False)
    return table


@lru_cache(maxsize=16384)
def sex_linked(young: States, sire: States, dam: States, *, r: tuple[float, ...], hetero_is_sire: bool) -> FloatArray:
    """P(young | sire, dam) at a sex-linked locus, shape (number of r, size of young, of sire, of dam).

    Where the sex of the young is either, both sexes are equally likely, and the states of both sum to 1. Where it is
    known, the table is conditional on it.
    """
    hetero, homo = (sire, dam) if hetero_is_sire else (dam, sire)
    part = np.array(r)[:, None, None]
    lines = gametes(hetero, young.partition)
    on_x = (1.0 - part) * lines[0] + part * lines[1]
    on_y = (1.0 - part) * lines[1] + part * lines[0]
    plain = gametes(homo, young.partition).mean(axis=0)
    m = young.n_classes
    tables = []
    if young.shape is not Shape.ORDERED:
        tables.append(np.einsum("cab,rha,ob->rcho", _joined(m, Shape.PAIRS), on_x, plain))
    if young.shape is not Shape.PAIRS:
        tables.append(np.einsum("cab,oa,rhb->rcho", _joined(m, Shape.ORDERED), plain, on_y))
    table = np.concatenate(tables, axis=1) / len(tables)
    found: FloatArray = table if hetero_is_sire else np.ascontiguousarray(table.swapaxes(2, 3))
    found.setflags(write=False)
    return found


@lru_cache(maxsize=4096)
def without_sire(young: States, dam: States, second_division: float) -> FloatArray:
    """P(young | dam) by terminal fusion, shape (size of young, size of dam).

    Parameters
    ----------
    second_division : float
        Chance y that a young of a dam with two different alleles has both; (1 - y) / 2 for two of either.

    Notes
    -----
    Young by parthenogenesis are of the homogametic sex. What the sex says of that is counted once, in the prior of the
    sires; here it says nothing: where the sex is either, each has one half, and both orders of a pair are alike.
    """
    to = class_map(dam.partition, young.partition)
    table = np.zeros((young.size, dam.size))
    index: dict[tuple[int, int], dict[int, float]] = {}
    for number, (a, b) in enumerate(young.pairs):
        share = 0.5 if a != b and number >= young.n_unordered else 1.0
        share *= 0.5 if young.shape is Shape.EITHER else 1.0
        index.setdefault((min(a, b), max(a, b)), {})[number] = share
    for state, (a, b) in enumerate(dam.pairs):
        first, second = sorted((to[a], to[b]))
        outcomes = {(first, first): 1.0} if first == second else {
            (first, first): (1.0 - second_division) / 2.0,
            (second, second): (1.0 - second_division) / 2.0,
            (first, second): second_division,
        }  # fmt: skip
        for pair, chance in outcomes.items():
            for number, share in index[pair].items():
                table[number, state] += chance * share
    table.setflags(write=False)
    return table
