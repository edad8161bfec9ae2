"""Who descends directly from whom, as arrays: the matrix P of u = P u + m, and passes up and down the pedigree.

With T = (I - P)^-1 the relationship matrix is T D T' (Henderson 1976). A product with T goes from the oldest to the
youngest, one with T' back; nodes of one level do not depend on each other and are taken together.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import UNKNOWN, Pedigree

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Links:
    """Direct descent, one entry for each link.

    Parameters
    ----------
    n : int
        Number of nodes.
    nodes, sources : int array, shape (n_links,)
        Node and the one that it descends from; an animal without a sire has two links to its dam.
    coefficients : float array, shape (n_links,)
        1/2 for a parent, the weight for a candidate.
    levels : int array, shape (n,)
        Longest way up in links; sources stand on lower levels than their nodes.
    """

    n: int
    nodes: IndexArray
    sources: IndexArray
    coefficients: FloatArray
    levels: npt.NDArray[np.int32]

    @classmethod
    def of(cls, pedigree: Pedigree) -> Links:
        """Links of a pedigree."""
        known = pedigree.parents != UNKNOWN
        several = [
            (node, source, weight) for node, sires in sorted(pedigree.candidates.items()) for source, weight in sires
        ]
        nodes, _ = np.nonzero(known)
        return cls(
            len(pedigree),
            np.append(nodes, np.array([node for node, _, _ in several], dtype=np.int64)),
            np.append(
                pedigree.parents[known].astype(np.int64), np.array([one for _, one, _ in several], dtype=np.int64)
            ),
            np.append(np.full(len(nodes), 0.5), np.array([weight for _, _, weight in several], dtype=np.float64)),
            _levels(pedigree),
        )

    def summed_up(self, values: FloatArray) -> FloatArray:
        """T' x: what each node hands to everybody that descends from it, itself included, shape as given."""
        found = values.astype(np.float64, copy=True)
        for step in reversed(self._up):
            step.add(found)
        return found

    def handed_down(self, values: FloatArray) -> FloatArray:
        """T x: what each node gets from everybody that it descends from, itself included, shape as given."""
        found = values.astype(np.float64, copy=True)
        for step in self._down:
            step.add(found)
        return found

    @cached_property
    def _up(self) -> tuple[_Step, ...]:
        return self._steps(self.sources, self.nodes)

    @cached_property
    def _down(self) -> tuple[_Step, ...]:
        return self._steps(self.nodes, self.sources)

    def _steps(self, targets: IndexArray, givers: IndexArray) -> tuple[_Step, ...]:
        """Sums to make level by level of the nodes, each target once in a step."""
        levels = self.levels[self.nodes]
        order = np.lexsort((targets, levels))
        bounds = np.flatnonzero(np.diff(levels[order])) + 1
        return tuple(
            _Step.of(targets[part], givers[part], self.coefficients[part])
            for part in np.split(order, bounds)
            if part.size
        )


@dataclass(frozen=True, eq=False)
class _Step:
    """Sums of some givers' values into targets, each target once."""

    targets: IndexArray
    starts: IndexArray
    givers: IndexArray
    coefficients: FloatArray

    @classmethod
    def of(cls, targets: IndexArray, givers: IndexArray, coefficients: FloatArray) -> _Step:
        """Step of links sorted by target."""
        starts = np.flatnonzero(np.append(True, np.diff(targets) != 0))
        return cls(targets[starts], starts, givers, coefficients)

    def add(self, values: FloatArray) -> None:
        """Add each target's sum in place."""
        shape = (-1,) + (1,) * (values.ndim - 1)
        values[self.targets] += np.add.reduceat(self.coefficients.reshape(shape) * values[self.givers], self.starts)


def _levels(pedigree: Pedigree) -> npt.NDArray[np.int32]:
    """Longest way up in links; unlike a generation, a node of candidates stands above all of them."""
    if not pedigree.candidates:
        return pedigree.generations
    found = [0] * len(pedigree)
    for node in range(len(pedigree)):
        found[node] = 1 + max((found[source] for source, _ in pedigree.sources(node)), default=-1)
    return np.array(found, dtype=np.int32)
