"""A factor graph: variables with a number of states each, and factors over some of them.

It says only what stands together, not what the numbers are; tables come with each calculation.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Graph:
    """Variables and factors of one problem.

    Parameters
    ----------
    sizes : tuple of int
        Number of states of each variable, at least 1.
    scopes : tuple of tuple of int
        Variables of each factor, distinct within the factor; their order is that of the axes of its table. A factor of
        no variable is a plain number.
    keep : tuple of tuple of int
        Sets of variables that must stand together in one clique, as if each were the scope of a factor of ones.
        The first set is where `Plan.collect` gathers.
    """

    sizes: tuple[int, ...]
    scopes: tuple[tuple[int, ...], ...]
    keep: tuple[tuple[int, ...], ...] = ()

    def __post_init__(self) -> None:
        assert all(size > 0 for size in self.sizes), "every variable has at least one state"
        for scope in chain(self.scopes, self.keep):
            assert len(set(scope)) == len(scope), f"a variable stands twice in {scope}"
            assert all(0 <= variable < len(self.sizes) for variable in scope), f"unknown variable in {scope}"

    @property
    def gathered(self) -> tuple[int, ...]:
        """Variables of the first set to keep; empty where there is none."""
        return self.keep[0] if self.keep else ()

    def neighbours(self) -> list[set[int]]:
        """Variables that share a factor or a kept set with each variable."""
        found: list[set[int]] = [set() for _ in self.sizes]
        for scope in chain(self.scopes, self.keep):
            if len(scope) > 1:
                for variable in scope:
                    found[variable].update(scope)
        for variable, others in enumerate(found):
            others.discard(variable)
        return found
