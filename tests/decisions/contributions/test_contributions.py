"""Optimum contributions: limits, faults, words."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from holdback.collection.model import Sex
from holdback.decisions.contributions.frontier import frontier
from holdback.decisions.contributions.optimum import contributions, kinship_limit, least_inbreeding, most_gain
from holdback.errors import DecisionError

M, F = Sex.MALE, Sex.FEMALE
UNRELATED: npt.NDArray[np.float64] = np.eye(4) / 2


def test_contributions__a_limit_that_does_not_bind_takes_the_best_of_each_sex() -> None:
    found = contributions("abcd", [3, 1, 2, 5], UNRELATED, (M, M, F, F), group_kinship_at_most=0.9)
    assert found.shares.tolist() == [0.5, 0.0, 0.0, 0.5]
    assert (found.gain, found.worth_of_limit) == (4.0, 0.0)


def test_contributions__ties_are_split_for_the_least_kinship() -> None:
    found = most_gain("abcd", [3, 3, 2, 5], UNRELATED, (M, M, F, F))
    assert found.shares == pytest.approx([0.25, 0.25, 0.0, 0.5], abs=1e-9)


def test_contributions__caps_are_kept() -> None:
    found = contributions("abcd", [3, 1, 2, 5], UNRELATED, (M, M, F, F), group_kinship_at_most=0.9, most=[0.3] * 4)
    assert found.shares == pytest.approx([0.3, 0.2, 0.2, 0.3], abs=1e-12)


def test_least_inbreeding__unrelated_animals_share_alike() -> None:
    found = least_inbreeding("abcd", [3, 1, 2, 5], UNRELATED, (M, M, F, F))
    assert found.shares == pytest.approx([0.25] * 4, abs=1e-9)
    assert found.group_kinship == pytest.approx(0.125)


def test_contributions__order_of_animals_changes_nothing() -> None:
    rng = np.random.default_rng(3)
    kinship = UNRELATED + 0.1
    gains, order = rng.normal(size=4), [2, 0, 3, 1]
    sexes = (M, M, F, F)
    plain = contributions("abcd", gains, kinship, sexes, group_kinship_at_most=0.24)
    turned = contributions(
        "cadb", gains[order], kinship, tuple(sexes[place] for place in order), group_kinship_at_most=0.24
    )
    assert turned.shares == pytest.approx(plain.shares[order], abs=1e-8)
    assert plain.group_kinship == pytest.approx(0.24, abs=1e-9)


def test_frontier__gain_rises_by_less_and_less() -> None:
    kinship = UNRELATED + np.array([[0, 0.25, 0, 0], [0.25, 0, 0, 0], [0, 0, 0, 0.125], [0, 0, 0.125, 0]])
    found = frontier("abcd", [3, 1, 2, 5], kinship, (M, M, F, F), points=5)
    gains = np.array([one.gain for one in found])
    assert (np.diff(gains) > 0).all()
    assert (np.diff(gains, 2) < 1e-9).all()
    assert found[0].group_kinship == pytest.approx(0.171875)
    assert (found[-1].shares > 1e-6).sum() == 2


def test_frontier__no_choice() -> None:
    found = frontier("ab", [1, 2], np.eye(2) / 2, (M, F))
    assert [one.shares.tolist() for one in found] == [[0.5, 0.5]]


def test_kinship_limit__all_or_nothing() -> None:
    assert kinship_limit(0.2, 0.0) == 0.2
    assert kinship_limit(0.2, 1.0) == 1.0


def test_contributions__faults() -> None:
    with pytest.raises(DecisionError, match=r"DEC-100 .*cannot be kept: the least is 0.125"):
        contributions("abcd", [3, 1, 2, 5], UNRELATED, (M, M, F, F), group_kinship_at_most=0.1)
    with pytest.raises(DecisionError, match=r"DEC-101 .*no female"):
        most_gain("abcd", [3, 1, 2, 5], UNRELATED, (M, M, M, M))
    with pytest.raises(DecisionError, match=r"DEC-102 .*of the males add up to 0.4"):
        most_gain("abcd", [3, 1, 2, 5], UNRELATED, (M, M, F, F), most=[0.2, 0.2, 0.3, 0.3])
    with pytest.raises(DecisionError, match=r"DEC-103 animal b"):
        most_gain("abcd", [3, float("nan"), 2, 5], UNRELATED, (M, M, F, F))
