"""Optimum contributions as a second-order cone problem, and their last digits by the closed form.

The interior-point solver gives about eight digits and tells which animals stand at a bound. With these held, the others
have the closed form of Meuwissen (1997); the answer is kept if it stays within the bounds and meets the conditions for
an optimum better, otherwise the solver's stands.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from holdback.decisions.contributions.problem import AT_BOUND, Problem

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


def least_kinship(problem: Problem) -> FloatArray:
    """Shares with the least group kinship within the bounds, shape (n,)."""
    free = np.flatnonzero(problem.high - problem.low > 0)
    shares = problem.low.copy()
    if len(free) == 0:
        return shares
    pulled = 2 * problem.kinship[free] @ shares
    found = _solve(problem, free, quadratic=2 * problem.kinship[np.ix_(free, free)], linear=pulled)
    shares[free] = np.clip(found, problem.low[free], problem.high[free])
    polished, inner = _settled(problem, shares)
    if len(inner) == 0:
        return polished
    polished[inner] = _least_closed(problem, polished, inner)
    good = np.isfinite(polished).all() and _within(problem, polished)
    return polished if good and problem.group_kinship(polished) <= problem.group_kinship(shares) + 1e-9 else shares


def at_limit(problem: Problem, limit: float) -> tuple[FloatArray, float]:
    """Shares with the most gain where the limit on the group kinship binds, shape (n,), and the price of the limit."""
    everyone = np.arange(len(problem.gains))
    scale = problem.spread
    cone = _factor(problem.kinship) / math.sqrt(limit)
    shares = np.clip(
        _solve(problem, everyone, linear=-(problem.gains - problem.gains.mean()) / scale, cone=cone),
        problem.low,
        problem.high,
    )
    worth = _price(problem, shares)
    polished, price = closed_form(problem, limit, *_settled(problem, shares))
    if not _within(problem, polished):
        return shares, worth
    better = problem.violation(polished, price, limit) <= max(1e-9, problem.violation(shares, worth, limit))
    return (polished, price) if better else (shares, worth)


def closed_form(problem: Problem, limit: float, shares: FloatArray, inner: IntArray) -> tuple[FloatArray, float]:
    """Shares with the most gain at a group kinship, some animals held and the others without bounds.

    Parameters
    ----------
    problem : Problem
        Gains, kinship, sexes.
    limit : float
        Group kinship, reached exactly.
    shares : float array, shape (n,)
        Shares of those that are held.
    inner : int array, shape (m,)
        Places of the others.

    Returns
    -------
    float array, shape (n,)
        Shares; nan where the limit cannot be reached so.
    float
        Price of the limit.

    Notes
    -----
    Meuwissen (1997), with the kinship of those held as a linear part: with d = c + F^-1 F_h c_h the group kinship of
    the free is d'Fd, and the published form holds for d.
    """
    found = shares.copy()
    rest = np.setdiff1d(np.arange(len(shares)), inner)
    incidence = problem.by_sex[inner]
    sexes = incidence.any(axis=0)
    incidence = incidence[:, sexes]
    inverse = np.linalg.pinv(problem.kinship[np.ix_(inner, inner)])
    across = problem.kinship[np.ix_(inner, rest)] @ shares[rest]
    moved = inverse @ across
    sums = (0.5 - problem.by_sex[rest].T @ shares[rest])[sexes] + incidence.T @ moved
    target = limit - float(shares[rest] @ problem.kinship[np.ix_(rest, rest)] @ shares[rest]) + float(across @ moved)
    middle = np.linalg.pinv(incidence.T @ inverse @ incidence)
    gains = problem.gains[inner]
    lean = gains - incidence @ (middle @ (incidence.T @ inverse @ gains))
    room = target - float(sums @ middle @ sums)
    spread = float(lean @ inverse @ lean)
    if room <= 0 or spread <= 0:
        return np.full(len(shares), math.nan), math.nan
    price = math.sqrt(spread / (4 * room))
    found[inner] = inverse @ lean / (2 * price) + inverse @ incidence @ middle @ sums - moved
    return found, price


def _least_closed(problem: Problem, shares: FloatArray, inner: IntArray) -> FloatArray:
    """Shares of the free with the least group kinship, the others held, shape (m,)."""
    rest = np.setdiff1d(np.arange(len(shares)), inner)
    incidence = problem.by_sex[inner]
    sexes = incidence.any(axis=0)
    incidence = incidence[:, sexes]
    inverse = np.linalg.pinv(problem.kinship[np.ix_(inner, inner)])
    moved = inverse @ problem.kinship[np.ix_(inner, rest)] @ shares[rest]
    sums = (0.5 - problem.by_sex[rest].T @ shares[rest])[sexes] + incidence.T @ moved
    found: FloatArray = inverse @ incidence @ np.linalg.pinv(incidence.T @ inverse @ incidence) @ sums - moved
    return found


def _settled(problem: Problem, shares: FloatArray) -> tuple[FloatArray, IntArray]:
    """Shares with those next to a bound moved onto it, and the places of the others."""
    at_low, at_high = shares - problem.low < AT_BOUND * 10, problem.high - shares < AT_BOUND * 10
    found = np.where(at_low, problem.low, np.where(at_high, problem.high, shares))
    return found, np.flatnonzero(~(at_low | at_high))


def _within(problem: Problem, shares: FloatArray) -> bool:
    """Whether shares are numbers within the bounds."""
    return bool(((shares >= problem.low - 1e-9) & (shares <= problem.high + 1e-9)).all())


def _price(problem: Problem, shares: FloatArray) -> float:
    """Price of the kinship limit that fits shares best: slopes of those between the bounds are alike within a sex."""
    inner = (shares > problem.low + AT_BOUND) & (shares < problem.high - AT_BOUND)
    pulls = problem.kinship @ shares
    above = below = 0.0
    for members in (problem.is_sire & inner, ~problem.is_sire & inner):
        if members.any():
            pull, gain = (one[members] - one[members].mean() for one in (pulls, problem.gains))
            above, below = above + float(pull @ gain), below + 2 * float(pull @ pull)
    return above / below if below > 0 else 0.0


def _factor(kinship: FloatArray) -> FloatArray:
    """Matrix R with R'R the kinship, shape (n, n); clones and rounding may leave the kinship without an inverse."""
    values, vectors = np.linalg.eigh(kinship)
    found: FloatArray = np.sqrt(np.maximum(values, 0.0))[:, None] * vectors.T
    return found


def _solve(
    problem: Problem,
    free: IntArray,
    *,
    linear: FloatArray,
    quadratic: FloatArray | None = None,
    cone: FloatArray | None = None,
) -> FloatArray:
    """Shares of the free animals that make ``x'Qx / 2 + q'x`` least, shape (m,); ``cone`` holds ``|Rx| <= 1``."""
    import clarabel  # type: ignore[import-untyped]
    from scipy import sparse  # type: ignore[import-untyped]

    size = len(free)
    sums = problem.by_sex[free].T
    wanted = 0.5 - problem.by_sex.T @ problem.low + sums @ problem.low[free]
    used = sums.any(axis=1)
    rows = [sums[used], -np.eye(size), np.eye(size)]
    sides = [wanted[used], -problem.low[free], problem.high[free]]
    cones: list[Any] = [clarabel.ZeroConeT(int(used.sum())), clarabel.NonnegativeConeT(2 * size)]
    if cone is not None:
        rows.append(np.vstack([np.zeros((1, size)), -cone]))
        sides.append(np.concatenate([[1.0], np.zeros(len(cone))]))
        cones.append(clarabel.SecondOrderConeT(len(cone) + 1))
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-11
    cost = sparse.csc_matrix((size, size) if quadratic is None else np.triu(quadratic))
    matrix = sparse.csc_matrix(np.vstack(rows))
    solver = clarabel.DefaultSolver(cost, linear, matrix, np.concatenate(sides), cones, settings)
    return np.asarray(solver.solve().x, dtype=np.float64)
