"""Two places of the genome at once, carried down any pedigree: the second moments of line shares.

X(0) and X(d) say whether a haplotype of animal X is of the line at two places whose recombination fraction is r. For
two animals K[X,Y] is the mean over their four pairs of haplotypes of E[X(0) Y(d)]. Within an animal W is the mean over
the two pairs of a haplotype with itself, C that of its two different haplotypes, and K[X,X] = (W + C) / 2. Going down,

    two parents S, D   K[X,Y] = (K[S,Y] + K[D,Y]) / 2   W = ((1-r)(W_S + W_D) + r (C_S + C_D)) / 2   C = K[S,D]
    dam D alone        K[X,Y] = K[D,Y]   W = (1-r) W_D + r C_D   C = (1-h) W + h ((1-r) C_D + r W_D)
    one of several     K[X,Y] = sum p K[s,Y]   W = sum p W_s   C = sum p C_s

which sums over haplotypes what Guo (1996) and Hill & Weir (2011) state for relatives (from memory). All are polynomials
in u = 1 - 2 r = exp(-2 d), one degree more with each generation, so a Gauss rule over u for all linked pairs of places
of the genome is exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import UNKNOWN, Pedigree

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

MOST_NODES = 16
"""Gauss points at most: exact for 31 generations, and far below any other error beyond."""
_POINTS = 60
_NONE, _ALL = 0, 1
_STEP = 1e-7
_BLOCK = 4_000_000
"""Numbers in the tables of the scenarios worked at a time."""


@dataclass(frozen=True)
class Founding:
    """Moments of founders at one and at two places, in several scenarios.

    Parameters
    ----------
    mean : float array, shape (scenarios, f)
        Chance that a place is of the line.
    same, cross : float array, shape (scenarios, f)
        W and C at linked places.
    apart : float array, shape (scenarios, f)
        W and C at places on different chromosomes.
    """

    mean: FloatArray
    same: FloatArray
    cross: FloatArray
    apart: FloatArray

    def some(self, span: slice) -> Founding:
        """The same for some scenarios."""
        return Founding(self.mean[span], self.same[span], self.cross[span], self.apart[span])


@dataclass(frozen=True)
class _Level:
    """Nodes whose sources all stand before them, as rows ``start`` to ``stop``."""

    start: int
    stop: int
    sources: IntArray
    coefficients: FloatArray
    is_pair: npt.NDArray[np.bool_]
    is_alone: npt.NDArray[np.bool_]


@dataclass(frozen=True)
class TwoLocusPlan:
    """A pedigree in the order in which the tables are filled.

    Parameters
    ----------
    row : int array, shape (n,)
        Row of each node; nodes known to have nothing of the line share row 0, those all of it row 1.
    founders : tuple of int
        Node of each row from 2 to the end of the first level; -1 for a parent that is not known.
    levels : tuple
        The rows below.
    kept : float
        Chance h of `Pedigree.kept`.
    """

    row: IntArray
    founders: tuple[int, ...]
    levels: tuple[_Level, ...]
    kept: float

    @classmethod
    def of(cls, pedigree: Pedigree, constant: FloatArray) -> TwoLocusPlan:
        """Plan of a pedigree.

        Parameters
        ----------
        pedigree : Pedigree
            Who descends from whom.
        constant : float array, shape (n,)
            0 for nodes with nothing of the line, 1 for nodes all of it, NaN for the rest.
        """
        row = np.where(constant == 1.0, _ALL, _NONE)
        depth = _depths(pedigree, constant)
        founders = np.flatnonzero(depth == 0).tolist()
        row[founders] = 2 + np.arange(len(founders))
        count = 2 + len(founders)
        unknown: dict[tuple[int, int], int] = {}
        for node in np.flatnonzero((depth > 0) & (pedigree.parents == UNKNOWN).any(axis=1)).tolist():
            if node not in pedigree.candidates:
                unknown.update(
                    {
                        (node, side): count + len(unknown)
                        for side in np.flatnonzero(pedigree.parents[node] == UNKNOWN).tolist()
                    }
                )
        count += len(unknown)
        levels = []
        for level in range(1, int(depth.max(initial=0)) + 1):
            nodes = np.flatnonzero(depth == level)
            row[nodes] = count + np.arange(len(nodes))
            levels.append(_level(pedigree, nodes.tolist(), count, row, unknown))
            count += len(nodes)
        return cls(row, (*founders, *(UNKNOWN for _ in unknown)), tuple(levels), pedigree.kept)

    def __len__(self) -> int:
        """Number of rows."""
        return self.levels[-1].stop if self.levels else 2 + len(self.founders)

    def table(self, founding: Founding, r: float, *, is_linked: bool = True) -> FloatArray:
        """K of all rows, shape (scenarios, rows, rows), at one recombination fraction."""
        return self._filled(founding, r, is_linked=is_linked)[0]

    def ending(self, founding: Founding) -> FloatArray:
        """Chance a Morgan that a stretch of the line ends, mean of both haplotypes, shape (scenarios, rows)."""
        # W is a polynomial in r with W(0) the expected share; the step leaves an error of about the step.
        near, at = (self._filled(founding, r, is_linked=True)[1] for r in (_STEP, 0.0))
        return np.maximum(at - near, 0.0) / _STEP

    def _filled(self, founding: Founding, r: float, *, is_linked: bool) -> tuple[FloatArray, FloatArray]:
        """K of all pairs of rows, and W."""
        scenarios, first = founding.mean.shape[0], 2 + len(self.founders)
        k = np.empty((scenarios, len(self), len(self)))
        w, c = np.empty((scenarios, len(self))), np.empty((scenarios, len(self)))
        mean = np.concatenate([np.tile([0.0, 1.0], (scenarios, 1)), founding.mean], axis=1)
        k[:, :first, :first] = mean[:, :, None] * mean[:, None, :]
        w[:, :2] = c[:, :2] = mean[:, :2]
        w[:, 2:first] = founding.same if is_linked else founding.apart
        c[:, 2:first] = founding.cross if is_linked else founding.apart
        own = np.arange(first)
        k[:, own, own] = (w[:, :first] + c[:, :first]) / 2
        for level in self.levels:
            self._fill(level, (k, w, c), r)
        return k, w

    def _fill(self, level: _Level, tables: tuple[FloatArray, FloatArray, FloatArray], r: float) -> None:
        """Rows of one level from those before."""
        k, w, c = tables
        start, span = level.start, slice(level.start, level.stop)
        columns = range(level.sources.shape[1])
        above = sum(level.coefficients[:, j, None] * k[:, level.sources[:, j], :start] for j in columns)
        assert isinstance(above, np.ndarray)
        k[:, span, :start] = above
        k[:, :start, span] = above.transpose(0, 2, 1)
        k[:, span, span] = sum(level.coefficients[:, j] * above[:, :, level.sources[:, j]] for j in columns)
        first, second = level.sources[:, 0], level.sources[:, 1]
        crossed = np.where(level.is_pair | level.is_alone, r, 0.0)
        w[:, span] = sum(
            level.coefficients[:, j] * ((1 - crossed) * w[:, level.sources[:, j]] + crossed * c[:, level.sources[:, j]])
            for j in columns
        )
        of_candidates = sum(level.coefficients[:, j] * c[:, level.sources[:, j]] for j in columns)
        alone = (1 - self.kept) * w[:, span] + self.kept * ((1 - r) * c[:, first] + r * w[:, first])
        of_pair = np.where(level.is_pair, k[:, first, second], of_candidates)
        c[:, span] = np.where(level.is_alone, alone, of_pair)
        own = np.arange(level.start, level.stop)
        k[:, own, own] = (w[:, span] + c[:, span]) / 2

    @property
    def generations(self) -> int:
        """Levels below the founders: at most the degree of the tables in u."""
        return len(self.levels)


def _depths(pedigree: Pedigree, constant: FloatArray) -> IntArray:
    """Level of each node: -1 for constant ones, 0 for founders, else one more than the deepest source."""
    depth = np.zeros(len(pedigree), dtype=np.int64)
    for node in range(len(pedigree)):
        if not np.isnan(constant[node]):
            depth[node] = -1
        elif not pedigree.is_founder[node]:
            depth[node] = 1 + max(0, *(int(depth[one]) for one, _ in pedigree.sources(node)))
    return depth


def _level(
    pedigree: Pedigree, nodes: Sequence[int], start: int, row: IntArray, unknown: dict[tuple[int, int], int]
) -> _Level:
    """One level; short lists of sources are filled up with row 0 at coefficient 0."""
    width = max(2, *(len(pedigree.candidates.get(node, ())) for node in nodes))
    sources = np.zeros((len(nodes), width), dtype=np.int64)
    coefficients = np.zeros((len(nodes), width))
    is_alone = np.array([bool(pedigree.without_sire[node]) for node in nodes])
    is_candidates = np.array([node in pedigree.candidates for node in nodes])
    for place, node in enumerate(nodes):
        if is_candidates[place]:
            found = [(int(row[one]), weight) for one, weight in pedigree.candidates[node]]
        elif is_alone[place]:
            found = [(int(row[pedigree.parents[node, 1]]), 1.0)]
        else:
            parents = pedigree.parents[node].tolist()
            found = [
                (unknown[node, side] if one == UNKNOWN else int(row[one]), 0.5) for side, one in enumerate(parents)
            ]
        for column, (one, weight) in enumerate(found):
            sources[place, column], coefficients[place, column] = one, weight
    return _Level(start, start + len(nodes), sources, coefficients, ~(is_alone | is_candidates), is_alone)


@lru_cache(maxsize=64)
def gauss_rule(genome: GenomeMap, count: int) -> tuple[FloatArray, FloatArray]:
    """Recombination fractions and weights that average over all pairs of places on one chromosome.

    Parameters
    ----------
    genome : GenomeMap
        Chromosomes; its doubt about the map is averaged over.
    count : int
        Points wanted, under 60.

    Returns
    -------
    r, weight : float array, shape (count,)
        Weights sum to `GenomeMap.linked`. Exact for polynomials in 1 - 2 r of degree ``2 count - 1``.

    References
    ----------
    Golub & Welsch (1969), Calculation of Gauss quadrature rules: the rule from the recurrence of the measure, which is
    found here by the Lanczos process on a fine rule (Gautschi 2004; from memory).
    """
    legendre, heights = np.polynomial.legendre.leggauss(_POINTS)
    lengths = np.array(genome.lengths)
    parts = np.array(genome.weights) ** 2
    at, mass = [], []
    for scale, chance in genome.scales:
        for length in np.unique(lengths):
            d = scale * length * (legendre + 1) / 2
            at.append(np.exp(-2 * d))
            mass.append(chance * parts[lengths == length].sum() * heights * (1 - (legendre + 1) / 2))
    u, weight = np.concatenate(at), np.concatenate(mass)
    diagonal, off = _lanczos(u, weight / weight.sum(), count)
    values, vectors = np.linalg.eigh(np.diag(diagonal) + np.diag(off, 1) + np.diag(off, -1))
    rule = (1 - values) / 2, genome.linked * vectors[0] ** 2
    for one in rule:
        one.flags.writeable = False  # kept for the next who asks
    return rule


def _lanczos(u: FloatArray, weight: FloatArray, count: int) -> tuple[FloatArray, FloatArray]:
    """Coefficients of the three-term recurrence of the polynomials that are orthonormal under a discrete measure."""
    basis = [np.sqrt(weight)]
    diagonal, off = [], []
    for _ in range(count):
        now = basis[-1]
        diagonal.append(float(now @ (u * now)))
        left = u * now
        for _ in range(2):  # twice is enough against rounding (Parlett, from memory)
            for one in basis:
                left = left - (one @ left) * one
        off.append(float(np.linalg.norm(left)))
        basis.append(left / off[-1])
    return np.array(diagonal), np.array(off[:-1])


def second_moments(plan: TwoLocusPlan, founding: Founding, genome: GenomeMap, rows: IntArray) -> FloatArray:
    """E[share of X times share of X] of some rows, shape (scenarios, rows)."""
    scenarios = founding.mean.shape[0]
    size = max(1, _BLOCK // len(plan) ** 2)
    found = np.empty((scenarios, len(rows)))
    for start in range(0, scenarios, size):
        span = slice(start, start + size)
        found[span] = _averaged(plan, founding.some(span), genome, (slice(None), rows, rows))
    return found


def endings(plan: TwoLocusPlan, founding: Founding, rows: IntArray) -> FloatArray:
    """Chance a Morgan that a stretch of the line ends, mean of both haplotypes, shape (scenarios, rows)."""
    size = max(1, _BLOCK // len(plan) ** 2)
    spans = [slice(start, start + size) for start in range(0, founding.mean.shape[0], size)]
    return np.concatenate([plan.ending(founding.some(span))[:, rows] for span in spans])


def second_moment_table(plan: TwoLocusPlan, founding: Founding, genome: GenomeMap, rows: IntArray) -> FloatArray:
    """E[share of X times share of Y] of some rows in a single scenario, shape (rows, rows)."""
    return _averaged(plan, founding, genome, (0, rows[:, None], rows[None, :]))


def _averaged(plan: TwoLocusPlan, founding: Founding, genome: GenomeMap, wanted: tuple[object, ...]) -> FloatArray:
    """Part of the table, averaged over all pairs of places of the genome."""
    at, weights = gauss_rule(genome, min(MOST_NODES, plan.generations // 2 + 1))
    total = np.zeros(())
    for r, weight in zip(at, weights, strict=True):
        total = total + weight * plan.table(founding, float(r))[wanted]  # type: ignore[index]  # an index of any kind
    apart = 1.0 - genome.linked
    if apart > 1e-12:
        total = total + apart * plan.table(founding, 0.5, is_linked=False)[wanted]  # type: ignore[index]  # an index of any kind
    return total
