"""What crosses of two labels can give, many at a time: levels of the young and their chances, and the goal.

Options of a pair of profiles at one locus are worked out when first met and kept in flat tables; the options of a cross
are those of its loci multiplied out.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from holdback.decisions.route.chances import CERTAIN
from holdback.decisions.route.labels import Space

IntArray = npt.NDArray[np.int64]

_UNKNOWN = -2
NEVER = -1
"""Product of a cross that cannot give the goal."""


@dataclass(eq=False)
class _LocusTable:
    """Options of the pairs of profiles met so far: where they start in the flat lists, and how many."""

    start: IntArray = field(default_factory=lambda: np.full((1, 1), _UNKNOWN, np.int64))
    number: IntArray = field(default_factory=lambda: np.zeros((1, 1), np.int64))
    goal: IntArray = field(default_factory=lambda: np.full((1, 1), NEVER, np.int64))
    levels: list[int] = field(default_factory=list)
    factors: list[int] = field(default_factory=list)


@dataclass(frozen=True, slots=True, eq=False)
class Young:
    """Kinds of young of many crosses, one row each.

    Parameters
    ----------
    pair : int array, shape (rows,)
        Which cross.
    levels : int array, shape (rows, loci)
        Young are at least this good.
    product : int array, shape (rows,)
        Chance of one of either sex.
    """

    pair: IntArray
    levels: IntArray
    product: IntArray


@dataclass(eq=False)
class Crossing:
    """Tables of a search space."""

    space: Space
    _tables: list[_LocusTable] = field(init=False)

    def __post_init__(self) -> None:
        self._tables = [_LocusTable() for _ in self.space.loci]
        self._half = self.space.chances.plain(0.5)

    def young(self, sires: IntArray, dams: IntArray) -> Young:
        """All kinds of young of crosses.

        Parameters
        ----------
        sires, dams : int array, shape (pairs, loci)
            Profiles.
        """
        pair = np.arange(len(sires))
        product = np.full(len(sires), CERTAIN, np.int64)
        levels = np.empty((len(sires), 0), np.int64)
        for locus, table in enumerate(self._tables):
            self._fill(locus, sires[:, locus], dams[:, locus])
            mine, hers = sires[pair, locus], dams[pair, locus]
            number = table.number[mine, hers]
            source = np.repeat(np.arange(len(pair)), number)
            within = np.arange(len(source)) - np.repeat(np.cumsum(number) - number, number)
            place = np.repeat(table.start[mine, hers], number) + within
            product = self.space.chances.times(product[source], np.array(table.factors, np.int64)[place])
            levels = np.column_stack([levels[source], np.array(table.levels, np.int64)[place]])
            pair = pair[source]
        return Young(pair, levels, product)

    def goal(self, sires: IntArray, dams: IntArray) -> IntArray:
        """Product of the chances of the goal, either sex; `NEVER` where a cross cannot give it. Shape (pairs,)."""
        product = np.full(len(sires), CERTAIN, np.int64)
        can = np.ones(len(sires), bool)
        for locus, table in enumerate(self._tables):
            self._fill(locus, sires[:, locus], dams[:, locus])
            factor = table.goal[sires[:, locus], dams[:, locus]]
            can &= factor >= 0
            product[can] = self.space.chances.times(product[can], factor[can])
        return np.where(can, product, NEVER)

    def one_sex(self, products: IntArray) -> IntArray:
        """The same chances for young of one sex."""
        return self.space.chances.times(products, np.full(len(products), self._half))

    def _fill(self, locus: int, mine: IntArray, hers: IntArray) -> None:
        table, size = self._tables[locus], len(self.space.profiles[locus])
        if size > len(table.start):
            more = size - len(table.start)
            table.start = np.pad(table.start, (0, more), constant_values=_UNKNOWN)
            table.number = np.pad(table.number, (0, more))
            table.goal = np.pad(table.goal, (0, more), constant_values=NEVER)
        missing = table.start[mine, hers] == _UNKNOWN
        for cell in np.unique(mine[missing] * size + hers[missing]).tolist():
            self._work_out(locus, cell // size, cell % size)

    def _work_out(self, locus: int, mine: int, hers: int) -> None:
        own, table, chances = self.space.loci[locus], self._tables[locus], self.space.chances
        laws = self.space.profiles[locus][mine], self.space.profiles[locus][hers]
        states = self.space.states(locus, mine), self.space.states(locus, hers)
        options = own.options(*laws)
        table.start[mine, hers], table.number[mine, hers] = len(table.levels), len(options)
        for option in options:
            table.levels.append(option.level)
            table.factors.append(chances.factor(*states, option.q))
        goal = own.goal_q(*laws)
        if goal is not None:
            table.goal[mine, hers] = chances.factor(*states, goal)
