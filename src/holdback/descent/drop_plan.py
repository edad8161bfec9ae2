"""What a gene drop goes through: each node once, as arrays that plain and compiled drops read alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import UNKNOWN, Pedigree

IntArray = npt.NDArray[np.int32]
FloatArray = npt.NDArray[np.float64]

FOUNDER, BRED, WITHOUT_SIRE, ONE_OF = range(4)
"""Kinds of nodes."""


@dataclass(frozen=True, eq=False)
class DropPlan:
    """Nodes of a drop, parents first: those asked for and their ancestors, then the parents that are not known.

    Parameters
    ----------
    kind : int8 array, shape (m,)
        `FOUNDER`, `BRED`, `WITHOUT_SIRE` or `ONE_OF`.
    sire, dam : int32 array, shape (m,)
        Nodes of the plan; -1 where the kind has none.
    first : int32 array, shape (m + 1,)
        First candidate of each node in the two arrays below.
    candidate : int32 array
        Candidates of all nodes of that kind.
    up_to : float array
        Sum of the weights of a node's candidates up to and with each.
    asked : int32 array, shape (k,)
        Nodes asked for.
    node : int32 array, shape (m,)
        Each as a node of the pedigree; the unknown parent of node i is n + 2 i (sire) or n + 2 i + 1 (dam).
    kept : float
        As in `Pedigree`.
    """

    kind: npt.NDArray[np.int8]
    sire: IntArray
    dam: IntArray
    first: IntArray
    candidate: IntArray
    up_to: FloatArray
    asked: IntArray
    node: IntArray
    kept: float

    @classmethod
    def of(cls, pedigree: Pedigree, nodes: Sequence[int] | None) -> DropPlan:
        """Plan for some nodes of a pedigree; None is all."""
        asked = list(range(len(pedigree))) if nodes is None else list(nodes)
        kept = pedigree.ancestors(asked)
        part = pedigree.part(kept)
        unknown = [
            (one, side)
            for one in range(len(part))
            for side in range(2)
            if part.parents[one, side] == UNKNOWN and part.parents[one, 1 - side] != UNKNOWN
        ]
        m = len(part)
        parents = np.vstack([part.parents, np.full((len(unknown), 2), UNKNOWN, dtype=np.int32)])
        for number, (one, side) in enumerate(unknown):
            parents[one, side] = m + number
        kind = np.full(len(parents), BRED, dtype=np.int8)
        kind[(parents == UNKNOWN).all(axis=1)] = FOUNDER
        kind[:m][part.without_sire] = WITHOUT_SIRE
        kind[list(part.candidates)] = ONE_OF
        counts = [len(part.candidates.get(one, ())) for one in range(len(parents))]
        listed = [pair for one in range(m) for pair in part.candidates.get(one, ())]
        sums = [np.cumsum([weight for _, weight in part.candidates[one]]) for one in sorted(part.candidates)]
        place = {one: number for number, one in enumerate(kept)}
        return cls(
            kind,
            np.ascontiguousarray(parents[:, 0]),
            np.ascontiguousarray(parents[:, 1]),
            np.concatenate([[0], np.cumsum(counts)]).astype(np.int32),
            np.array([one for one, _ in listed], dtype=np.int32),
            np.concatenate([np.empty(0), *sums]),
            np.array([place[one] for one in asked], dtype=np.int32),
            np.array([*kept, *(len(pedigree) + 2 * kept[one] + side for one, side in unknown)], dtype=np.int32),
            part.kept,
        )

    def __len__(self) -> int:
        """Number of nodes."""
        return len(self.kind)

    @cached_property
    def founders(self) -> IntArray:
        """Founders and unknown parents, shape (f,)."""
        return np.flatnonzero(self.kind == FOUNDER).astype(np.int32)

    @property
    def switching(self) -> tuple[float, float]:
        """Chances that the two copies of an animal without a sire part, and that they meet again, at an event.

        Notes
        -----
        Both copies come from one dam. Along a chromosome events fall at rate 2 a Morgan. At each the first copy changes
        over between the dam's two with chance 1/2, and the state (same copy of the dam on both sides, or one each)
        changes with the chance told here, so that the second copy changes over where just one of the two happens.
        Either copy by itself then has crossovers at rate 1, and the two are the same on a part 1 - `kept` of the
        genome; at `kept` = 1/2 they are two independent gametes, as in selfing. A model of our own.
        """
        h = self.kept
        return (h / (1.0 - h), 1.0) if h <= 0.5 else (1.0, (1.0 - h) / h)
