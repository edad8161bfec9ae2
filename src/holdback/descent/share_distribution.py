"""Law of the true share of a line in one animal: a mixture over what is in doubt.

In each scenario (see `scenarios`) mean and spread are exact. The law is taken as a Beta law over the range that the
share can have, with the chance of both ends themselves (nothing of the line left, nothing else left) set apart: an
approximation, whose ranges are held against simulated shares in `tests/descent` and in the verification suite.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from holdback.descent.beta_law import beta_density, incomplete_beta, log_beta
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.scenarios import Scenarios, doubts_of, scenarios_of
from holdback.descent.shares import LineFounder, renumbered

FloatArray = npt.NDArray[np.float64]

_BITS, _AT_ONCE = 40, 256


@dataclass(frozen=True, eq=False)
class _Mixture:
    """Beta laws and points, one mixture for each of k nodes; all arrays of shape (s, k) but the weights (s,)."""

    weight: FloatArray
    low: FloatArray
    width: FloatArray
    a: FloatArray
    b: FloatArray
    log_beta: FloatArray
    at_low: FloatArray
    at_high: FloatArray
    is_point: npt.NDArray[np.bool_]

    @classmethod
    def of(cls, found: Scenarios) -> _Mixture:
        """Laws with the mean and spread of each scenario."""
        width = found.high - found.low
        is_point = (found.sd == 0.0) | (width <= 0.0)
        span = np.where(is_point, 1.0, width)
        m = np.where(is_point, 0.5, (found.mean - found.low) / span)
        v = np.where(is_point, 0.05, (found.sd / span) ** 2)
        inside = 1 - found.at_low - found.at_high
        mean, second = (m - found.at_high) / inside, (v + m**2 - found.at_high) / inside
        left = second - mean**2
        is_split = ~is_point & (mean > 0) & (mean < 1) & (left > 0) & (left < mean * (1 - mean))
        m, v = np.where(is_split, mean, m), np.where(is_split, left, v)
        # A law that sits at the ends only has m (1 - m) = v; a Beta law comes as close as one likes.
        size = np.maximum(m * (1 - m) / v - 1, 1e-3)
        a, b = m * size, (1 - m) * size
        low = np.where(is_point, found.mean, found.low)
        at_low, at_high = (np.where(is_split, chance, 0.0) for chance in (found.at_low, found.at_high))
        return cls(found.weight, low, span, a, b, log_beta(a, b), at_low, at_high, is_point)

    @classmethod
    def side_by_side(cls, mixtures: Sequence[_Mixture]) -> _Mixture:
        """Mixtures with the same weights as one of all their nodes."""
        columns = (np.concatenate([getattr(one, name) for one in mixtures], axis=1) for name in _COLUMNS)
        return cls(mixtures[0].weight, *columns)

    def one(self, place: int) -> _Mixture:
        """Mixture of one node."""
        return _Mixture(self.weight, *(getattr(self, name)[:, place : place + 1] for name in _COLUMNS))

    def up_to(self, x: FloatArray) -> FloatArray:
        """Chance of a share of at most x, shape (k,); for several x, of shape (g, 1, k), shape (g, k)."""
        at = (x - self.low) / self.width
        spread = incomplete_beta(self.a, self.b, at, log_beta_ab=self.log_beta)
        whole = self.at_low * (at >= -1e-12) + self.inside * spread + self.at_high * (at >= 1 - 1e-12)
        found: FloatArray = self.weight @ np.where(self.is_point, x >= self.low - 1e-12, whole)
        return found

    def at(self, x: float) -> FloatArray:
        """Chance of a share of exactly x, shape (k,)."""
        is_low, is_high = (np.abs(x - end) <= 1e-12 for end in (self.low, self.low + self.width))
        found: FloatArray = self.weight @ np.where(self.is_point, is_low, self.at_low * is_low + self.at_high * is_high)
        return found

    @property
    def inside(self) -> FloatArray:
        """Chance that a share is at neither end."""
        return 1 - self.at_low - self.at_high

    def density(self, x: FloatArray) -> FloatArray:
        """Density at each x of shape (g, 1, 1), points left out, shape (g, k)."""
        height = beta_density(self.a, self.b, (x - self.low) / self.width, log_beta_ab=self.log_beta) / self.width
        found: FloatArray = self.weight @ np.where(self.is_point, 0.0, self.inside * height)
        return found

    def quantiles(self, levels: Sequence[float]) -> FloatArray:
        """Least x with a chance of at least each level of a share up to it, shape (levels, k)."""
        shape = (len(levels), self.low.shape[1])
        wanted = np.array(levels)[:, None] - 1e-12
        below, above = np.full(shape, -1e-9), np.ones(shape)
        ways = max(2, _AT_ONCE // math.prod(shape))  # cuts into many parts cost a lone node no more than halves
        steps = np.arange(1, ways)[:, None, None] / ways
        for _ in range(math.ceil(_BITS / math.log2(ways))):
            size = above - below
            at = (below + size * steps).reshape(-1, 1, shape[1])
            short = (self.up_to(at).reshape(-1, *shape) < wanted).sum(axis=0)
            below, above = below + size * short / ways, below + size * (short + 1) / ways
        found: FloatArray = np.clip(above, 0.0, 1.0)
        # Certain values and ends are hit to the last digit.
        for point in np.unique([self.low, self.low + np.where(self.is_point, 0.0, self.width)]):
            found[np.abs(found - point) < 1e-9] = point
        return found


_COLUMNS = tuple(one.name for one in fields(_Mixture) if one.name != "weight")


@dataclass(frozen=True, eq=False)
class ShareDistribution:
    """Law of the true share of a line in one animal.

    Parameters
    ----------
    mean, sd : float
        Expected share and the spread of the true share about it, all doubts included.
    low, high : float
        Least and most that the true share can be.
    exact : bool
        Whether the law is known exactly: a mixture of certain values.
    method : str
        How it was worked out, in a sentence.
    """

    mean: float
    sd: float
    low: float
    high: float
    exact: bool
    method: str
    _mixture: _Mixture

    def above(self, x: float) -> float:
        """Chance of a share of more than x."""
        return max(0.0, float(1.0 - self._mixture.up_to(np.array([x]))[0]))

    def below(self, x: float) -> float:
        """Chance of a share of less than x."""
        return max(0.0, float((self._mixture.up_to(np.array([x])) - self._mixture.at(x))[0]))

    def quantile(self, q: float) -> float:
        """Least share with a chance of at least q that the true one is up to it; q in (0, 1)."""
        return self.quantiles([q])[0]

    def quantiles(self, levels: Sequence[float]) -> list[float]:
        """`quantile` at several levels, found together."""
        return [float(x) for x in self._mixture.quantiles(levels)[:, 0]]

    def interval(self, coverage: float = 0.9) -> tuple[float, float]:
        """Range that holds the true share with that chance; each tail has half of the rest."""
        tail = (1.0 - coverage) / 2
        low, high = self.quantiles([tail, 1.0 - tail])
        return low, high

    def density(self, grid: Sequence[float] | FloatArray) -> FloatArray:
        """Density at some shares, shape of the grid; certain values have none, so it may integrate to less than 1."""
        return self._mixture.density(np.asarray(grid, dtype=np.float64)[:, None, None])[:, 0]


def share_distribution(
    pedigree: Pedigree, founders: Mapping[int, LineFounder], genome: GenomeMap, node: int
) -> ShareDistribution:
    """Law of the true share of a line in one node.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    founders : mapping of int to LineFounder
        By node, as in `shares.share_moments`.
    genome : GenomeMap
        Chromosomes.
    node : int
        Node asked for.

    Notes
    -----
    Scenarios are the ends of doubtful founders, the candidates of doubtful sires, and three lengths of the map; only
    what lies among the ancestors counts. Mean and spread are exact; in each scenario the law is approximated.
    """
    return share_distributions(pedigree, founders, genome, [node])[0]


def share_distributions(
    pedigree: Pedigree, founders: Mapping[int, LineFounder], genome: GenomeMap, nodes: Sequence[int]
) -> tuple[ShareDistribution, ...]:
    """Law of the true share of each of some nodes; see `share_distribution`.

    Notes
    -----
    Nodes with the same doubts among their ancestors are worked out together.
    """
    groups: dict[tuple[frozenset[int], int], list[int]] = {}
    for place, told in enumerate(_doubts_of_each(pedigree, founders, genome, nodes)):
        groups.setdefault(told, []).append(place)
    found: dict[int, ShareDistribution] = {}
    for (doubts, left), places in groups.items():
        asked = [nodes[place] for place in places]
        kept = pedigree.ancestors(asked)
        at = np.searchsorted(kept, asked).tolist()
        here = frozenset(np.searchsorted(kept, sorted(doubts)).tolist())
        scenarios = scenarios_of(pedigree.part(asked), renumbered(founders, kept), genome, at, here)
        found |= zip(places, _laws(scenarios, left), strict=True)
    return tuple(found[place] for place in range(len(nodes)))


def _doubts_of_each(
    pedigree: Pedigree, founders: Mapping[int, LineFounder], genome: GenomeMap, nodes: Sequence[int]
) -> list[tuple[frozenset[int], int]]:
    """Doubts about each node that are told apart, as nodes of the whole pedigree, and how many are left open."""
    if not pedigree.candidates and all(len(one.ends) == 1 for one in founders.values()):
        return [(frozenset(), 0)] * len(nodes)
    found = []
    for node in nodes:
        kept = pedigree.ancestors([node])
        part, here = pedigree.part([node]), renumbered(founders, kept)
        doubts, left = doubts_of(part, here, len(kept) - 1, scales=len(genome.scales))
        found.append((frozenset(kept[one] for one in doubts), left))
    return found


def _laws(found: Scenarios, left: int) -> list[ShareDistribution]:
    """Laws of the nodes of some scenarios."""
    mixture = _Mixture.of(found)
    means = found.weight @ found.mean
    variances = found.weight @ (found.mean**2 + found.sd**2) - means**2
    laws = []
    for place, (mean, variance) in enumerate(zip(means.tolist(), variances.tolist(), strict=True)):
        alone = mixture.one(place)
        is_exact = bool(alone.is_point.all())
        laws.append(
            ShareDistribution(
                mean=mean,
                sd=math.sqrt(variance) if variance > 1e-14 else 0.0,
                low=float(found.low[:, place].min()),
                high=float(found.high[:, place].max()),
                exact=is_exact,
                method=_method(len(found.weight), left, is_exact=is_exact),
                _mixture=alone,
            )
        )
    return laws


def _method(scenarios: int, left: int, *, is_exact: bool) -> str:
    if is_exact:
        return "Exact."
    told = (
        f"Mean and spread exact; the shape is approximated by {scenarios} Beta laws, one for each way doubts may fall."
    )
    many = f" {left} lesser doubts are part of the spread of each." if left else ""
    return told + many


def intervals(laws: Sequence[ShareDistribution], coverage: float = 0.9) -> FloatArray:
    """Range that holds the true share with some chance, for each of some laws, shape (k, 2).

    Notes
    -----
    The same as `ShareDistribution.interval`, law by law; those with the same doubts are worked out together.
    """
    groups: dict[bytes, list[int]] = {}
    for place, law in enumerate(laws):
        groups.setdefault(law._mixture.weight.tobytes(), []).append(place)
    tail = (1.0 - coverage) / 2
    found = np.empty((len(laws), 2))
    for places in groups.values():
        mixture = _Mixture.side_by_side([laws[place]._mixture for place in places])
        found[places] = mixture.quantiles([tail, 1.0 - tail]).T
    return found


def share_intervals(
    pedigree: Pedigree,
    founders: Mapping[int, LineFounder],
    genome: GenomeMap,
    nodes: Sequence[int],
    *,
    coverage: float = 0.9,
) -> FloatArray:
    """Range that holds the true share of each node with some chance, shape (k, 2)."""
    return intervals(share_distributions(pedigree, founders, genome, nodes), coverage)
