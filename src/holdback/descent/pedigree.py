"""The pedigree as arrays: parents before offspring, doubtful sires kept as nodes of their own.

Besides the animals on record a pedigree holds nodes that nobody keeps: an unknown parent (one for the whole brood), and
"the sire of this brood" where several males may be. Such a node is one of its candidates, nobody knows which; its young
are full sibs whichever it is. With additive values u and Mendelian parts m,

    animal            u_i = (u_sire + u_dam) / 2 + m_i      Var m_i = 1/2 - (F_sire + F_dam) / 4, F = -1 for unknown
    without a sire    u_i = u_dam + m_i                     Var m_i = (1 - h) (1 - F_dam)
    one of several    u_i = sum p_s u_s + m_i               Var m_i = sum p_s a_ss - p' A p

so that the relationship matrix stays T D T' (Henderson 1976) and expectations over all assignments of sires are exact:
no average of matrices is taken, which would tell clutch mates apart (see `tests/descent/test_mixtures.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.descent.ordering import birth_order, parents_first

IntArray = npt.NDArray[np.int32]
FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

UNKNOWN = -1
"""Index of a parent that is not known and stands for nobody."""

KEPT_WITHOUT_SIRE = 0.3
"""Chance h that a young without a sire has two different copies where its dam has; see `species.trust`."""


@dataclass(frozen=True, eq=False)
class Pedigree:
    """Who descends from whom, parents before offspring.

    Build it with `Pedigree.from_parents` or `from_family`.

    Parameters
    ----------
    ids : tuple of str
        Id of each node; nodes that are not on record have ids that no animal can have (they begin with ``?``).
    parents : int32 array, shape (n, 2)
        Indices of sire and dam, -1 where unknown. An animal without a sire has its dam twice; a node of `candidates`
        has -1 twice.
    sexes : tuple of Sex
        Sex of each node.
    on_record : bool array, shape (n,)
        False for unknown parents and for nodes of `candidates`.
    candidates : mapping of int to tuple of (int, float)
        Nodes that are one of several males: indices of the candidates with weights summing to 1.
    born : float array, shape (n,)
        Birth as a year with fraction, NaN where not known; the middle of what is known.
    kept : float
        Chance h, in [0, 1], that an animal without a sire has two different copies where its dam has.
    mates : int32 array, shape (n,)
        Number of the brood of each node, -1 for founders.

    Examples
    --------
    >>> one = Pedigree.from_parents({"K": ("S", "D"), "S": (None, None), "D": (None, None)})
    >>> one.ids, one.parents.tolist()
    (('S', 'D', 'K'), [[-1, -1], [-1, -1], [0, 1]])
    """

    ids: tuple[str, ...]
    parents: IntArray
    sexes: tuple[Sex, ...]
    on_record: BoolArray
    candidates: Mapping[int, tuple[tuple[int, float], ...]] = field(default_factory=dict)
    born: FloatArray = field(default_factory=lambda: np.empty(0))
    kept: float = KEPT_WITHOUT_SIRE
    mates: IntArray = field(default_factory=lambda: np.empty(0, dtype=np.int32))

    @classmethod
    def from_parents(
        cls,
        parents: Mapping[str, tuple[str | None, str | None]],
        *,
        sexes: Mapping[str, Sex] | None = None,
        born: Mapping[str, float] | None = None,
        kept: float = KEPT_WITHOUT_SIRE,
    ) -> Pedigree:
        """Pedigree of animals with certain or unknown parents, in any order.

        Parameters
        ----------
        parents : mapping of str to (sire, dam)
            By id; None is unknown, the same id twice is no sire at all. A parent that is no key is added as a founder.
        sexes : mapping of str to Sex, optional
            By id; a sire is taken for a male, a dam for a female where nothing is said.
        born : mapping of str to float, optional
            Birth year with fraction, by id.
        kept : float
            As in `Pedigree`.

        Raises
        ------
        PedigreeError
            PED-001 for a loop, PED-002 for an own parent, PED-003 for a wrong sex, PED-004 for a parent that is not
            older; all faults together.
        """
        from holdback.descent.checking import check_parents

        full: dict[str, tuple[str | None, str | None]] = {}
        for animal, (sire, dam) in parents.items():
            full[animal] = (sire, dam)
        for pair in parents.values():
            for parent in pair:
                if parent is not None:
                    full.setdefault(parent, (None, None))
        check_parents(full, sexes=sexes or {}, born=born or {})
        return assembled(Draft.of_parents(full, dict(sexes or {})), dict(born or {}), kept)

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Index of each node by id."""
        return MappingProxyType({name: number for number, name in enumerate(self.ids)})

    def __len__(self) -> int:
        """Number of nodes."""
        return len(self.ids)

    @cached_property
    def is_plain(self) -> bool:
        """Whether every animal has two certain or unknown parents: no node of candidates, none without a sire."""
        return not self.candidates and not bool(self.without_sire.any())

    @cached_property
    def without_sire(self) -> BoolArray:
        """Animals known to have no sire, shape (n,)."""
        sire, dam = self.parents[:, 0], self.parents[:, 1]
        found: BoolArray = (sire == dam) & (sire != UNKNOWN)
        return found

    @cached_property
    def is_founder(self) -> BoolArray:
        """Nodes with no parent in the pedigree, shape (n,); nodes of candidates are none."""
        found: BoolArray = (self.parents == UNKNOWN).all(axis=1)
        found[list(self.candidates)] = False
        return found

    def sources(self, node: int) -> tuple[tuple[int, float], ...]:
        """Nodes that a node descends from, with the coefficient of each in its additive value.

        Returns
        -------
        tuple of (int, float)
            Sire and dam with 1/2 each (those known), the dam with 1 where there is no sire, the candidates with their
            weights; empty for a founder.
        """
        if node in self.candidates:
            return self.candidates[node]
        sire, dam = (int(one) for one in self.parents[node])
        if sire == dam and sire != UNKNOWN:
            return ((dam, 1.0),)
        return tuple((one, 0.5) for one in (sire, dam) if one != UNKNOWN)

    def ancestors(self, nodes: Iterable[int]) -> list[int]:
        """The nodes and everybody that they descend from, or may, in pedigree order."""
        seen: set[int] = set()
        stack = list(nodes)
        while stack:
            one = stack.pop()
            if one not in seen:
                seen.add(one)
                stack.extend(source for source, _ in self.sources(one))
        return sorted(seen)

    @cached_property
    def young(self) -> tuple[tuple[int, ...], ...]:
        """Nodes that descend directly from each node."""
        found: list[list[int]] = [[] for _ in self.ids]
        for node in range(len(self)):
            for source, _ in self.sources(node):
                found[source].append(node)
        return tuple(tuple(one) for one in found)

    def descendants(self, nodes: Iterable[int]) -> list[int]:
        """The nodes and everybody that descends from them, or may, in pedigree order."""
        seen: set[int] = set()
        stack = list(nodes)
        while stack:
            one = stack.pop()
            if one not in seen:
                seen.add(one)
                stack.extend(self.young[one])
        return sorted(seen)

    def part(self, nodes: Sequence[int]) -> Pedigree:
        """Pedigree of some nodes and all their ancestors; what holds of them in the whole holds here."""
        kept = self.ancestors(nodes)
        place = np.full(len(self) + 1, UNKNOWN, dtype=np.int32)
        place[kept] = np.arange(len(kept), dtype=np.int32)
        return Pedigree(
            tuple(self.ids[one] for one in kept),
            place[self.parents[kept]],
            tuple(self.sexes[one] for one in kept),
            self.on_record[kept],
            {
                int(place[node]): tuple((int(place[one]), weight) for one, weight in self.candidates[node])
                for node in kept
                if node in self.candidates
            },
            self.born[kept],
            self.kept,
            self.mates[kept],
        )

    def settled(self, choices: Mapping[int, int]) -> Pedigree:
        """The same pedigree with some nodes of candidates settled.

        Parameters
        ----------
        choices : mapping of int to int
            Node of `candidates` to the index of the candidate taken.

        Raises
        ------
        KeyError
            If a node is none of candidates, or the one chosen is no candidate of it.
        """
        left = dict(self.candidates)
        for node, one in choices.items():
            if one not in {candidate for candidate, _ in self.candidates[node]}:
                raise KeyError(f"{self.ids[one]} is no candidate of {self.ids[node]}")
            left[node] = ((one, 1.0),)
        return Pedigree(self.ids, self.parents, self.sexes, self.on_record, left, self.born, self.kept, self.mates)

    def with_young(self, pairs: Sequence[tuple[int, int]], ids: Sequence[str]) -> Pedigree:
        """The pedigree with young that nobody bred yet, one of each pair, at the end.

        Parameters
        ----------
        pairs : sequence of (int, int)
            Sire and dam of each; a node of an earlier pair may be a parent, by the index that it gets.
        ids : sequence of str
            What to call them; ids that are not taken.
        """
        n = len(self)
        for number, pair in enumerate(pairs):
            assert 0 <= min(pair) <= max(pair) < n + number, "parents stand before their young"
        return Pedigree(
            (*self.ids, *ids),
            np.vstack([self.parents, np.array(pairs, dtype=np.int32).reshape(-1, 2)]),
            (*self.sexes, *(Sex.UNKNOWN for _ in pairs)),
            np.append(self.on_record, np.zeros(len(pairs), dtype=np.bool_)),
            self.candidates,
            np.append(self.born, np.full(len(pairs), np.nan)),
            self.kept,
            np.append(self.mates, np.full(len(pairs), UNKNOWN, dtype=np.int32)),
        )

    @cached_property
    def generations(self) -> IntArray:
        """Longest way up to a founder, shape (n,); a founder has 0, a node of candidates the most of its candidates."""
        found = np.zeros(len(self), dtype=np.int32)
        if not self.candidates:
            return birth_order(self.parents)
        for node in range(len(self)):
            above = [found[source] for source, _ in self.sources(node)]
            found[node] = 0 if not above else max(above) + (0 if node in self.candidates else 1)
        return found


@dataclass
class Draft:
    """Nodes in any order, by id, before they are numbered."""

    parents: dict[str, tuple[str | None, str | None]]
    sexes: dict[str, Sex]
    off_record: set[str] = field(default_factory=set)
    candidates: dict[str, tuple[tuple[str, float], ...]] = field(default_factory=dict)
    broods: dict[str, int] = field(default_factory=dict)

    @classmethod
    def of_parents(cls, parents: Mapping[str, tuple[str | None, str | None]], sexes: dict[str, Sex]) -> Draft:
        """Draft of certain or unknown parents."""
        for sire, dam in parents.values():
            if sire is not None and sire != dam:
                sexes.setdefault(sire, Sex.MALE)
            if dam is not None:
                sexes.setdefault(dam, Sex.FEMALE)
        pairs: dict[tuple[str | None, str | None], int] = {}
        broods = {one: pairs.setdefault(pair, len(pairs)) for one, pair in parents.items() if any(pair)}
        return cls(dict(parents), sexes, broods=broods)

    def above(self, node: str) -> list[str]:
        """Nodes that must stand before a node."""
        if node in self.candidates:
            return [one for one, _ in self.candidates[node]]
        return [one for one in self.parents[node] if one is not None]


def assembled(draft: Draft, born: Mapping[str, float], kept: float) -> Pedigree:
    """Pedigree of a draft, numbered parents first; among those free to stand, in the order of the draft."""
    order = parents_first(draft.parents, draft.above)
    index = {name: number for number, name in enumerate(order)}
    parents = np.full((len(order), 2), UNKNOWN, dtype=np.int32)
    for number, name in enumerate(order):
        for side, parent in enumerate(draft.parents[name]):
            if parent is not None:
                parents[number, side] = index[parent]
    return Pedigree(
        tuple(order),
        parents,
        tuple(draft.sexes.get(name, Sex.UNKNOWN) for name in order),
        np.array([name not in draft.off_record for name in order], dtype=np.bool_),
        {index[node]: tuple((index[one], weight) for one, weight in sires) for node, sires in draft.candidates.items()},
        np.array([born.get(name, np.nan) for name in order], dtype=np.float64),
        kept,
        np.array([draft.broods.get(name, UNKNOWN) for name in order], dtype=np.int32),
    )
