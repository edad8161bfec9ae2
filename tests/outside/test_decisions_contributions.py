"""Optimum contributions against a worked example, the published closed form, and SciPy's general solvers."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from scipy import optimize  # type: ignore[import-untyped]

from holdback.collection.model import Sex
from holdback.decisions.contributions.cone import closed_form
from holdback.decisions.contributions.optimum import contributions, least_inbreeding, most_gain, problem_of

pytestmark = pytest.mark.outside

FloatArray = npt.NDArray[np.float64]
M, F = Sex.MALE, Sex.FEMALE

GAINS = (12.0, 10.0, 7.0, 6.0, 3.0, 11.0)
SEXES = (M, F) * 3


def example() -> FloatArray:
    """Kinship of the worked example, half its additive relationship matrix."""
    relationship = np.eye(6)
    for first, second, value in ((1, 2, 0.5), (3, 4, 0.5), (1, 6, 0.25), (2, 6, 0.25), (3, 6, 0.25), (4, 6, 0.25)):
        relationship[first - 1, second - 1] = relationship[second - 1, first - 1] = value
    return relationship / 2


WORKED = {
    0.22: ((0.3684, 0.1579, 0.1316, 0.0395, 0, 0.3026), 10.4868),
    0.25: ((0.4131, 0.1426, 0.0869, 0, 0, 0.3574), 10.9228),
    0.30: ((0.5, 0.0613, 0, 0, 0, 0.4387), 11.4387),
    0.3125: ((0.5, 0, 0, 0, 0, 0.5), 11.5),
    0.40: ((0.5, 0, 0, 0, 0, 0.5), 11.5),
}
"""Worked out apart from this code, with a general convex solver and the closed form."""


@pytest.mark.parametrize("limit, expected", WORKED.items())
def test_contributions__worked_example(limit: float, expected: tuple[tuple[float, ...], float]) -> None:
    found = contributions("123456", GAINS, example(), SEXES, group_kinship_at_most=limit)
    assert found.shares == pytest.approx(expected[0], abs=5e-5)
    assert found.gain == pytest.approx(expected[1], abs=5e-5)
    assert found.violation < 1e-8


def test_least_inbreeding__worked_example() -> None:
    found = least_inbreeding("123456", GAINS, example(), SEXES)
    assert found.shares == pytest.approx((0.125, 0.1875, 0.125, 0.1875, 0.25, 0.125), abs=1e-9)
    assert found.group_kinship == pytest.approx(0.1328125, abs=1e-12)


def test_closed_form__without_bounds() -> None:
    """Meuwissen (1997), J Anim Sci 75:934, with negative contributions let in."""
    problem = problem_of("123456", GAINS, example(), SEXES, None)
    found, price = closed_form(problem, 0.25, np.zeros(6), np.arange(6))
    assert found == pytest.approx((0.4070, 0.1537, 0.1363, 0.0183, -0.0433, 0.3280), abs=5e-5)
    assert problem.gains @ found == pytest.approx(10.96297, abs=5e-6)
    slightly, _ = closed_form(problem, 0.25 + 1e-6, np.zeros(6), np.arange(6))
    assert (problem.gains @ (slightly - found)) / 1e-6 == pytest.approx(price, rel=1e-4)


def drawn(seed: int) -> tuple[str, FloatArray, FloatArray, tuple[Sex, ...], float]:
    """A random line of 14 with its limit two fifths of the way from least inbreeding to most gain."""
    rng = np.random.default_rng(seed)
    size = 14
    kinship = np.zeros((size, size))
    for young in range(size):
        kinship[young, young] = 0.5
        if young >= 5:
            sire, dam = rng.choice(young, 2, replace=False)
            kinship[young, :young] = kinship[:young, young] = (kinship[sire, :young] + kinship[dam, :young]) / 2
            kinship[young, young] = (1 + kinship[sire, dam]) / 2
    gains = rng.normal(size=size)
    sexes = tuple(M if place < 6 else F for place in rng.permutation(size))
    ends = [end("abcdefghijklmn", gains, kinship, sexes).group_kinship for end in (least_inbreeding, most_gain)]
    return "abcdefghijklmn", gains, kinship, sexes, ends[0] + 0.4 * (ends[1] - ends[0])


@pytest.mark.parametrize("seed", range(12))
def test_contributions__sequential_least_squares(seed: int) -> None:
    """`scipy.optimize.minimize` with SLSQP, a solver that knows nothing of cones, from the middle of the bounds."""
    ids, gains, kinship, sexes, limit = drawn(seed)
    males = np.array([sex is M for sex in sexes])
    rules = [
        {"type": "eq", "fun": lambda c: c[males].sum() - 0.5},
        {"type": "eq", "fun": lambda c: c[~males].sum() - 0.5},
        {"type": "ineq", "fun": lambda c: limit - c @ kinship @ c, "jac": lambda c: -2 * kinship @ c},
    ]
    other = optimize.minimize(
        lambda c: -gains @ c,
        np.where(males, 0.5 / males.sum(), 0.5 / (~males).sum()),
        jac=lambda c: -gains,
        bounds=[(0, 0.4)] * len(gains),
        constraints=rules,
        method="SLSQP",
        options={"ftol": 1e-13, "maxiter": 500},
    )
    found = contributions(ids, gains, kinship, sexes, group_kinship_at_most=limit, most=[0.4] * len(gains))
    assert other.status in {0, 8}, "converged, or no step along the search line gains any more"
    assert found.gain == pytest.approx(-other.fun, abs=1e-6)
    assert found.violation < 1e-7
    assert found.group_kinship <= limit + 1e-9


def test_contributions__dropping_and_solving_again_is_not_what_is_done() -> None:
    """Of random lines, some where the drop-and-repeat rule of 1997 ends below the optimum; never above it."""
    lost = []
    for seed in range(40):
        ids, gains, kinship, sexes, limit = drawn(seed)
        problem = problem_of(ids, gains, kinship, sexes, None)
        inner = np.arange(len(gains))
        while True:
            shares, _ = closed_form(problem, limit, np.zeros(len(gains)), inner)
            if np.isnan(shares).any() or (shares >= 0).all():
                break
            inner = np.setdiff1d(inner, np.flatnonzero(shares < 0))
        best = contributions(ids, gains, kinship, sexes, group_kinship_at_most=limit).gain
        if not np.isnan(shares).any() and problem.by_sex[inner].any(axis=0).all():
            lost.append(best - float(gains @ shares))
    assert min(lost) > -1e-8
    assert max(lost) > 1e-4
