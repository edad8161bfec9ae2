"""Which alleles can be told apart in which animal; exact, also where every record may be wrong.

Two alleles are one class in an animal if neither a record on it nor one on any descendant can tell them apart. Classes
of a parent are never coarser than those of its young, so that what passes on is well defined.

References
----------
O'Connell and Weeks (1995), The VITESSE algorithm for rapid exact multilocus linkage analysis, from memory: the
error-free relative of this.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from holdback.heredity.beliefs.evidence import LocusEvidence
from holdback.heredity.beliefs.states import Partition


def told_apart(table: NDArray[np.float64] | NDArray[np.bool_]) -> Partition:
    """Finest classes that a symmetric table over pairs of alleles asks for.

    Alleles a and b are one class if exchanging them, anywhere, changes nothing: equal rows outside the two, and the
    three pairs of them equal.

    Examples
    --------
    >>> told_apart(np.array([[1.0, 0.1, 0.1], [0.1, 0.1, 0.1], [0.1, 0.1, 0.1]]))
    (0, 1, 1)
    """
    return _told_apart(table.tobytes(), str(table.dtype), len(table))


@lru_cache(maxsize=65536)
def _told_apart(content: bytes, dtype: str, n: int) -> Partition:
    table = np.frombuffer(content, dtype=dtype).reshape(n, n)
    classes: list[int] = []
    firsts: list[int] = []
    for b in range(n):
        for number, a in enumerate(firsts):
            others = [x for x in range(n) if x not in (a, b)]
            if table[a, a] == table[a, b] == table[b, b] and (table[a, others] == table[b, others]).all():
                classes.append(number)
                break
        else:
            classes.append(len(firsts))
            firsts.append(b)
    return tuple(classes)


@lru_cache(maxsize=65536)
def finer(first: Partition, second: Partition) -> Partition:
    """Coarsest partition that is finer than both.

    Examples
    --------
    >>> finer((0, 1, 1), (0, 0, 1))
    (0, 1, 2)
    """
    numbers: dict[tuple[int, int], int] = {}
    return tuple(numbers.setdefault(both, len(numbers)) for both in zip(first, second, strict=True))


def one_class(n: int) -> Partition:
    """Partition in which no allele is told from another."""
    return (0,) * n


def partitions(
    locus: LocusEvidence,
    youngest_first: Sequence[str],
    parents: Mapping[str, Iterable[str]],
    *,
    hiding: Collection[str] = (),
) -> dict[str, Partition]:
    """Classes of the alleles in each animal.

    Parameters
    ----------
    locus : LocusEvidence
        Records at the locus; each counts by itself, so that the classes also hold with some of them withheld.
    youngest_first : sequence of str
        Animals and whatever stands between them and their parents, each before its parents.
    parents : mapping of str to iterable of str
        From whom each may have its alleles.
    hiding : collection of str
        Animals in which genotypes that hide other loci must be told from those that do not.

    Returns
    -------
    dict of str to tuple of int
        Class number of each allele, for every name in `youngest_first`.
    """
    found = {name: one_class(locus.n_alleles) for name in youngest_first}
    survival = told_apart(locus.survival)
    by_tables: dict[tuple[int, int], Partition] = {}  # many records share their tables
    for name in youngest_first:
        own = found[name]
        for record in locus.records.get(name, ()):
            both = id(record.likelihood), id(record.wrong)
            if both not in by_tables:
                by_tables[both] = finer(told_apart(record.likelihood), told_apart(record.wrong))
            own = finer(own, by_tables[both])
        own = finer(own, survival)
        if name in hiding:
            own = finer(own, told_apart(locus.hides))
        if name in locus.maker:
            own = finer(own, (0, *[1] * (locus.n_alleles - 1)))
        found[name] = own
        for parent in parents.get(name, ()):
            found[parent] = finer(found[parent], own)
    return found
