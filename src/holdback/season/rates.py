"""Shares of eggs by group (a dam, a sire, an incubator, a year), as far as few eggs can tell them.

Eggs of a clutch fare alike, and groups are alike. Each clutch of a group has a share of its own, drawn from a Beta law
with the mean m of its group; the means are drawn from a Beta law with mean M. Both laws are said by their intraclass
correlation: rho within a group (two eggs of one clutch beside two of different clutches), tau between groups, so that
a law with mean m has a = m (1 - rho) / rho and b = (1 - m) (1 - rho) / rho. M, rho and tau are summed over on a grid,
none is fixed at an estimate. Priors (assumptions): M uniform, rho and tau Beta(1, 4).

References
----------
Beta-binomial clutches: Williams (1975), Biometrics 31:949; a hierarchy of groups: Gelman and others, Bayesian Data
Analysis, chapter 5 (both from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from holdback.collection.estimate import Basis, Estimate
from holdback.descent.beta_law import log_beta
from holdback.season.outlook import Rate

FloatArray = NDArray[np.float64]

ALL = "all"
"""Group that stands for all groups together."""

_CELLS = 240
_MEANS = 40
_RHOS = 10
_TAUS = 8
_SURE = 1.0 - 1e-9


@dataclass(frozen=True, slots=True)
class Counted:
    """Eggs counted in one clutch, or in the part of it that is of one group.

    Parameters
    ----------
    group : str
        Dam, sire, incubator, year.
    clutch : str
        Clutch id.
    n, k : int
        Eggs in all, and of them those asked about.
    weight : float
        Chance in (0, 1] that the clutch is of this group (a doubtful sire); the others of its candidates are rows of
        their own.
    """

    group: str
    clutch: str
    n: int
    k: int
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Rates:
    """Shares of all groups.

    Parameters
    ----------
    whole : Rate or None
        Mean over the groups; None where nothing was counted.
    groups : tuple of Rate
        In the order in which they were first counted.
    clumping : Estimate or None
        Correlation in percent between two eggs of one clutch: 0 where each egg fares for itself.
    """

    whole: Rate | None
    groups: tuple[Rate, ...]
    clumping: Estimate | None


def rates(counted: Sequence[Counted], *, of: str = "eggs") -> Rates:
    """Share of each group, drawn towards all groups, with ranges that know that eggs of a clutch fare alike.

    Parameters
    ----------
    counted : sequence of Counted
        Clutches; one without eggs adds nothing.
    of : str
        What was counted, in the plural.

    Returns
    -------
    Rates
        Ranges hold the mean share of the group with 90 %: that of all the eggs it could have had. `n`, `k` and
        `clutches` count what is likelier of the group than not.

    Notes
    -----
    A clutch of a doubtful sire counts for each candidate as a mixture: his with its weight, else of some other group;
    what the other clutches of the other candidates say is left aside there. Cost: some 10 ms for a hundred clutches,
    and about as much for each doubtful clutch of each candidate.

    Examples
    --------
    >>> found = rates([Counted("A", "1", 7, 7), Counted("A", "2", 6, 6), Counted("B", "3", 6, 3)])
    >>> [round(rate.raw_percent) for rate in found.groups], found.groups[0].share.mean < 100
    ([100, 50], True)
    """
    rows = [row for row in counted if row.n > 0]
    if not rows:
        return Rates(None, (), None)
    fit = _Fit(rows)
    groups = tuple(
        _rate(group, [row for row in rows if row.group == group], fit.group(group), of) for group in fit.groups
    )
    whole = _rate(ALL, [Counted(ALL, row.clutch, row.n, row.k) for row in _once(rows)], fit.whole(), of)
    return Rates(whole, groups, fit.clumping())


class _Fit:
    """Posterior of one set of clutches on the grid of M, tau and rho."""

    def __init__(self, rows: Sequence[Counted]) -> None:
        self.groups = list(dict.fromkeys(row.group for row in rows))
        self.rows = rows
        self.means = _means(rows, len(self.groups))
        self.prior = _prior(tuple(self.means.tolist()))
        self._alone_of: dict[tuple[int, int], FloatArray] = {}
        logs = [self._of_group(group) for group in self.groups]
        doubtful = {row.clutch: row for row in rows if row.weight < _SURE}
        singles = [np.log(self._alone(row.n, row.k)) for row in doubtful.values()]
        log_weights = np.log(_widths(self.means)).repeat(_TAUS)[None, :] + sum(
            [log for log, _ in logs] + singles, np.zeros((_RHOS, self.prior.shape[0]))
        )
        self.weights = np.exp(log_weights - log_weights.max())
        self.weights /= self.weights.sum()
        self.by_group = {group: cells for group, (_, cells) in zip(self.groups, logs, strict=True)}

    def group(self, group: str) -> tuple[FloatArray, FloatArray]:
        """Posterior over the cells of a group's share, and the edges of the cells."""
        rows = [row for row in self.rows if row.group == group and row.weight < _SURE]
        if not rows:
            cells = self.by_group[group]
            scale = cells @ self.prior.T
            mixed = (self.weights / scale) @ self.prior
            return (mixed * cells).sum(axis=0), _edges()
        # rho by (M, tau) by cells: a mixture for each clutch that may be another's
        each = self.by_group[group][:, None, :] * self.prior[None, :, :]
        factor = np.empty_like(each)
        for row in rows:
            his, alone = row.weight * np.exp(_law(row.n, row.k)), (1 - row.weight) * self._alone(row.n, row.k)
            each *= np.add(his[:, None, :], alone[:, :, None], out=factor)
        scale = each.sum(axis=2)
        return np.einsum("rh,rhm->m", self.weights / scale, each), _edges()

    def whole(self) -> tuple[FloatArray, FloatArray]:
        """Posterior over the cells of M, and their edges."""
        by_mean = self.weights.sum(axis=0).reshape(_MEANS, _TAUS).sum(axis=1)
        return by_mean, _edges_of(self.means)

    def clumping(self) -> Estimate:
        """Correlation of the eggs of a clutch, in percent."""
        rhos, by_rho = _rhos(), self.weights.sum(axis=1)
        low, high = np.interp([0.05, 0.95], np.cumsum(by_rho), rhos)
        mean = float(by_rho @ rhos)
        ground = f"{len({row.clutch for row in self.rows})} clutches, with the prior Beta(1, 4)"
        return Estimate(
            100 * mean, 100 * min(float(low), mean), 100 * max(float(high), mean), "%", Basis.MEASURED, ground
        )

    def _of_group(self, group: str) -> tuple[FloatArray, FloatArray]:
        """Log chance of the sure clutches of a group, by rho and (M, tau), and their likelihood by rho and cell."""
        laws = [_law(row.n, row.k) for row in self.rows if row.group == group and row.weight >= _SURE]
        logs = sum(laws, np.zeros((_RHOS, _CELLS)))
        top = logs.max()
        cells = np.exp(logs - top)
        return np.log(np.maximum(cells @ self.prior.T, 1e-300)) + top, cells

    def _alone(self, n: int, k: int) -> FloatArray:
        """Chance of a clutch of some group or other, by rho and (M, tau)."""
        if (n, k) not in self._alone_of:
            self._alone_of[n, k] = np.maximum(np.exp(_law(n, k)) @ self.prior.T, 1e-300)
        return self._alone_of[n, k]


def _rate(group: str, rows: Sequence[Counted], found: tuple[FloatArray, FloatArray], of: str) -> Rate:
    """Rate from the posterior over the cells of a share."""
    chances, edges = found
    chances = chances / chances.sum()
    sums = np.concatenate([[0.0], np.cumsum(chances)])
    low, high = np.interp([0.05, 0.95], sums, edges).tolist()
    # in an outermost cell the law may pile up at the very end
    low, high = (0.0 if low < edges[1] else low), (1.0 if high > edges[-2] else high)
    mean = float(chances @ ((edges[1:] + edges[:-1]) / 2))
    likely = [row for row in rows if row.weight > 0.5]
    n, k = sum(row.n for row in likely), sum(row.k for row in likely)
    perhaps = len(rows) - len(likely)
    ground = f"{k} of {n} {of} in {_clutches(len({row.clutch for row in likely}))}"
    ground += f", and {_clutches(perhaps)} that may count as well" if perhaps else ""
    ground += "" if group == ALL else "; drawn towards all groups"
    share = Estimate(
        mean=100 * mean,
        low=100 * min(low, mean),
        high=100 * max(high, mean),
        unit="%",
        basis=Basis.MEASURED if n else Basis.ASSUMED,
        ground=ground,
    )
    return Rate(group, n, k, len({row.clutch for row in likely}), share, 100 * k / n if n else math.nan)


def _once(rows: Sequence[Counted]) -> list[Counted]:
    """Rows with each doubtful clutch once."""
    doubtful = {row.clutch: row for row in rows if row.weight < _SURE}
    return [*(row for row in rows if row.weight >= _SURE), *doubtful.values()]


def _clutches(number: int) -> str:
    return "1 clutch" if number == 1 else f"{number} clutches"


def _edges() -> FloatArray:
    """Edges of the cells of a share, denser at the ends: evenly spaced in the arc sine of its root."""
    return np.asarray(np.sin(np.linspace(0, math.pi / 2, _CELLS + 1)) ** 2)


def _centres() -> FloatArray:
    return np.asarray(np.sin((np.arange(_CELLS) + 0.5) * math.pi / 2 / _CELLS) ** 2)


def _means(rows: Sequence[Counted], n_groups: int) -> FloatArray:
    """Grid of M around the plain share, wide enough for groups that differ much; shape (`_MEANS`,)."""
    once = _once(rows)
    n, k = sum(row.n for row in once), sum(row.k for row in once)
    centre, half = math.asin(math.sqrt((k + 0.5) / (n + 1))), 2.0 / math.sqrt(n_groups)
    low, high = max(centre - half, 0.0), min(centre + half, math.pi / 2)
    return np.asarray(np.sin(low + (np.arange(_MEANS) + 0.5) * (high - low) / _MEANS) ** 2)


def _edges_of(means: FloatArray) -> FloatArray:
    """Edges of the cells around the grid of M."""
    angles = np.arcsin(np.sqrt(means))
    step = angles[1] - angles[0]
    edges = np.clip(np.append(angles - step / 2, angles[-1] + step / 2), 0, math.pi / 2)
    return np.asarray(np.sin(edges) ** 2)


def _widths(means: FloatArray) -> FloatArray:
    return np.asarray(np.diff(_edges_of(means)))


def _rhos() -> FloatArray:
    """Middles of parts of equal chance of Beta(1, 4)."""
    return _quantiles(_RHOS)


def _quantiles(number: int) -> FloatArray:
    return np.asarray(1 - (1 - (np.arange(number) + 0.5) / number) ** 0.25)


@lru_cache(maxsize=16)
def _prior(means: tuple[float, ...]) -> FloatArray:
    """Chances of the cells of a group's share, shape (M x tau, cells); rows sum to 1."""
    taus = np.tile(_quantiles(_TAUS), len(means))
    middle = np.repeat(np.array(means), _TAUS)
    a, b = middle * (1 - taus) / taus, (1 - middle) * (1 - taus) / taus
    edges, centres = _edges(), _centres()
    logs = (a[:, None] - 1) * np.log(centres) + (b[:, None] - 1) * np.log1p(-centres) + np.log(np.diff(edges))
    # the law may be steep at an end: its mass in the outermost cells in closed form
    logs[:, 0] = a * math.log(edges[1]) - np.log(a)
    logs[:, -1] = b * math.log1p(-edges[-2]) - np.log(b)
    chances = np.exp(logs - log_beta(a, b)[:, None])
    return np.asarray(chances / chances.sum(axis=1, keepdims=True))


@lru_cache(maxsize=4096)
def _law(n: int, k: int) -> FloatArray:
    """Log chance of k of n eggs of one clutch, by rho and cell of the mean; shape (`_RHOS`, `_CELLS`)."""
    rhos, centres = _rhos()[:, None], _centres()[None, :]
    a, b = centres * (1 - rhos) / rhos, (1 - centres) * (1 - rhos) / rhos
    first = sum((np.log(a + i) for i in range(k)), np.zeros_like(a))
    second = sum((np.log(b + i) for i in range(n - k)), np.zeros_like(a))
    both = sum((np.log(a + b + i) for i in range(n)), np.zeros_like(a))
    return np.asarray(math.log(math.comb(n, k)) + first + second - both)
