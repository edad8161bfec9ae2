"""Odds of membership from size: what moves them, what cannot, and when an answer is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.errors import SizeError
from holdback.size.membership import Head, by_weights_alone, could_be_of_the_line, laws_of_shares
from holdback.size.of_line import SHARES, of_the_line, share_of_the_line
from holdback.size.predictive import Predictive, predictives_alike
from holdback.size.telling_apart import best_accuracy

OTHER = Predictive.of(0.0, 1.0)
LINE = Predictive.of(1.5, 1.0)

numbers = st.floats(-3, 3)
spreads = st.floats(0.2, 3)
chances = st.floats(0.01, 0.99)


@given(numbers, numbers, spreads, spreads, chances)
def test_of_the_line__swapping_the_groups_swaps_the_chances(
    value: float, mean: float, sd: float, other_sd: float, prior: float
) -> None:
    line, other = Predictive.of(mean, sd, 7.0), Predictive.of(0.0, other_sd, 12.0)
    here, there = of_the_line([value], line, other, prior), of_the_line([value], other, line, 1 - prior)
    assert here.posterior == pytest.approx(1 - there.posterior, abs=1e-12)
    assert here.accuracy.correct == pytest.approx(there.accuracy.correct, abs=1e-9)


@given(numbers, chances, st.floats(0.1, 40), numbers)
def test_of_the_line__unit_and_origin_change_nothing(value: float, prior: float, unit: float, shift: float) -> None:
    plain = of_the_line([value], LINE, OTHER, prior)
    moved = of_the_line(
        [unit * value + shift], Predictive.of(1.5 * unit + shift, unit), Predictive.of(shift, unit), prior
    )
    assert moved.posterior == pytest.approx(plain.posterior, abs=1e-9)


def test_of_the_line__groups_alike_leave_the_prior() -> None:
    found = of_the_line([0.7], OTHER, OTHER, 0.3)
    assert found.posterior == pytest.approx(0.3)
    assert (found.accuracy.correct, found.accuracy.apart) == (0.5, 0.0)


def test_of_the_line__a_trait_not_measured_is_left_out() -> None:
    line = Predictive(np.array([1.5, 0.8]), np.array([[1.0, 0.6], [0.6, 1.0]]))
    other = Predictive(np.zeros(2), np.array([[1.0, 0.6], [0.6, 1.0]]))
    found = of_the_line([1.5, math.nan], line, other)
    assert (found.n_traits, found.posterior) == (1, of_the_line([1.5], LINE, OTHER).posterior)


def test_of_the_line__few_reference_animals_say_less() -> None:
    few, many = (of_the_line([3.0], Predictive.of(1.5, 1.0, df), Predictive.of(0.0, 1.0, df)) for df in (3.0, 300.0))
    assert few.posterior < many.posterior < of_the_line([3.0], LINE, OTHER).posterior


def test_of_the_line__far_from_both_is_said_and_not_believed() -> None:
    found = of_the_line([9.0], LINE, OTHER)
    assert found.is_like_neither
    assert "look at the measurement first" in found.said
    assert not of_the_line([3.5], LINE, OTHER).is_like_neither


def test_of_the_line__words_give_odds_and_the_limit() -> None:
    assert of_the_line([1.5], LINE, OTHER).said == (
        "Of 100 animals of this size, 44 would be of the line if 20 of 100 are before anything is measured. Size puts "
        "77 of 100 animals on the right side at best (50 by guessing), so it can raise or lower the odds and prove "
        "nothing: rich feeding and other lines make big animals too, and papers weigh more."
    )
    assert "more than 99 would be" in of_the_line([4.4], LINE, OTHER, 0.8).said
    assert "fewer than 1 would be" in of_the_line([-3.0], LINE, OTHER, 0.2).said


def test_of_the_line__odds_follow_the_prior() -> None:
    found = of_the_line([1.5], LINE, OTHER, 0.5)
    assert found.odds == pytest.approx(found.likelihood_ratio)
    assert found.posterior_at(0.2) == pytest.approx(0.4350, abs=5e-5)
    assert of_the_line([60.0], Predictive.of(30.0, 1.0), OTHER, 0.5).odds == math.inf
    assert of_the_line([-60.0], Predictive.of(30.0, 1.0), OTHER, 0.5).posterior == 0.0


@pytest.mark.parametrize("prior", [0.0, 1.0, -0.1, math.nan])
def test_of_the_line__prior_out_of_bounds(prior: float) -> None:
    with pytest.raises(SizeError, match=r"SIZ-403: A chance of .* before measuring cannot be moved"):
        of_the_line([1.0], LINE, OTHER, prior)


def test_of_the_line__nothing_measured() -> None:
    with pytest.raises(SizeError, match="SIZ-404: Nothing was measured of the animal"):
        of_the_line([math.nan], LINE, OTHER)


def test_predictive__no_spread() -> None:
    with pytest.raises(SizeError, match="SIZ-402: The spread of the traits is not positive"):
        Predictive.of(0.0, 0.0)


@pytest.mark.parametrize("values", [[], [[0.1], [0.2]]])
def test_predictive__too_few_reference_animals(values: list[list[float]]) -> None:
    with pytest.raises(SizeError, match=r"SIZ-401: \d animals are too few to say what 1 of their traits"):
        Predictive.of_animals(values)


def test_predictives_alike__an_empty_group_is_refused() -> None:
    with pytest.raises(SizeError, match="SIZ-401: 0 animals are too few"):
        predictives_alike([], [[0.1], [0.2], [0.3], [0.4]])


def test_predictives_alike__one_animal_borrows_the_spread_of_the_others() -> None:
    line, other = predictives_alike([[1.0]], [[-1.0], [0.0], [1.0]])
    assert (line.df, other.df) == (2.0, 2.0)
    assert line.scale[0, 0] == pytest.approx(2.0)  # 2 / 2, times 1 + 1/1
    assert other.scale[0, 0] == pytest.approx(4 / 3)


@given(st.permutations(range(6)))
def test_predictive__order_of_animals_changes_nothing(order: list[int]) -> None:
    table = np.array([[0.1, 0.2], [0.4, 0.1], [-0.2, 0.3], [0.0, -0.1], [0.3, 0.3], [0.2, -0.2]])
    plain, mixed = Predictive.of_animals(table), Predictive.of_animals(table[order])
    np.testing.assert_allclose(mixed.mean, plain.mean, atol=1e-15)
    np.testing.assert_allclose(mixed.scale, plain.scale, atol=1e-15)


@given(st.lists(st.floats(0.01, 1), min_size=5, max_size=5), numbers, st.floats(-1, 1))
def test_share_of_the_line__chances_sum_to_one(weights: list[float], value: float, effect: float) -> None:
    prior = np.array(weights) / sum(weights)
    laws = laws_of_shares(deviation_sd=0.1, effect=effect, effect_sd=0.1, spread_sd=0.2)
    found = share_of_the_line([value], laws, prior=prior.tolist())
    assert sum(found.posterior) == pytest.approx(1.0)
    assert 0 <= found.expected <= 1


def test_share_of_the_line__two_ends_are_the_odds_of_membership() -> None:
    found = share_of_the_line([1.5], (OTHER, LINE), shares=(0.0, 1.0), prior=(0.8, 0.2))
    assert found.posterior[1] == pytest.approx(of_the_line([1.5], LINE, OTHER, 0.2).posterior)


def test_share_of_the_line__chances_that_do_not_sum_to_one() -> None:
    with pytest.raises(SizeError, match="SIZ-403: The chances of the shares do not sum to 1"):
        share_of_the_line([1.5], (OTHER, LINE), shares=(0.0, 1.0), prior=(0.8, 0.3))


def test_could_be_of_the_line__doubt_about_the_line_weakens_the_odds() -> None:
    sure, unsure = (
        could_be_of_the_line(deviation=0.3, deviation_sd=0.05, effect=0.3, effect_sd=sd, spread_sd=0.15)
        for sd in (0.0, 0.2)
    )
    assert 0.2 < unsure.posterior < sure.posterior
    assert unsure.accuracy.apart is None


def test_could_be_of_the_line__a_forecast_of_a_young_animal_says_less_than_a_grown_one() -> None:
    grown, young = (
        could_be_of_the_line(deviation=0.4, deviation_sd=sd, effect=0.3, effect_sd=0.06, spread_sd=0.15)
        for sd in (0.01, 0.13)
    )
    assert young.posterior < grown.posterior
    assert young.accuracy.correct < grown.accuracy.correct


def test_could_be_of_the_line__a_head_of_no_difference_and_no_correlation_changes_nothing() -> None:
    head = Head(deviation=0.02, deviation_sd=0.02, effect=0.0, effect_sd=0.0, spread_sd=0.05, correlation=0.0)
    plain = could_be_of_the_line(deviation=0.3, deviation_sd=0.05, effect=0.3, effect_sd=0.06, spread_sd=0.15)
    both = could_be_of_the_line(deviation=0.3, deviation_sd=0.05, effect=0.3, effect_sd=0.06, spread_sd=0.15, head=head)
    assert both.posterior == pytest.approx(plain.posterior, abs=1e-12)


def test_could_be_of_the_line__a_head_in_line_adds_evidence() -> None:
    head = Head(deviation=0.1, deviation_sd=0.02, effect=0.1, effect_sd=0.0, spread_sd=0.05, correlation=0.0)
    plain = could_be_of_the_line(deviation=0.3, deviation_sd=0.05, effect=0.3, effect_sd=0.0, spread_sd=0.15)
    both = could_be_of_the_line(deviation=0.3, deviation_sd=0.05, effect=0.3, effect_sd=0.0, spread_sd=0.15, head=head)
    assert both.posterior > plain.posterior
    assert both.accuracy.ranked > plain.accuracy.ranked


@given(numbers, st.floats(0.05, 1), numbers, st.floats(0.05, 1))
def test_by_weights_alone__is_what_was_put_in(value: float, error: float, mean: float, sd: float) -> None:
    """Deviation drawn towards an assumed law by hand, and back."""
    precision = error**-2 + sd**-2
    drawn = (value * error**-2 + mean * sd**-2) / precision
    found = by_weights_alone(mean=drawn, sd=precision**-0.5, assumed_mean=mean, assumed_sd=sd)
    assert found == pytest.approx((value, error), rel=1e-6, abs=1e-6)


def test_by_weights_alone__nothing_learnt() -> None:
    with pytest.raises(SizeError, match="SIZ-405: Its weights say nothing of its size"):
        by_weights_alone(mean=0.0, sd=0.2, assumed_mean=0.0, assumed_sd=0.2)


@given(numbers, spreads)
def test_best_accuracy__points_agree_with_the_closed_form(mean: float, sd: float) -> None:
    """Equal normals by points: a hair of difference in spread makes them go the long way."""
    exact = best_accuracy(Predictive.of(mean, sd), Predictive.of(0.0, sd))
    by_points = best_accuracy(Predictive.of(mean, sd * (1 + 1e-7)), Predictive.of(0.0, sd))
    assert by_points.apart is None
    for name in ("ranked", "correct", "found"):
        assert getattr(by_points, name) == pytest.approx(getattr(exact, name), abs=0.002)


def test_laws_of_shares__mean_and_spread_by_hand() -> None:
    laws = laws_of_shares(deviation_sd=0.1, effect=0.4, effect_sd=0.2, spread_sd=0.2)
    assert [float(one.mean[0]) for one in laws] == pytest.approx([0.4 * share for share in SHARES])
    assert float(laws[2].scale[0, 0]) == pytest.approx(0.01 + 0.04 + 0.25 * 0.04)
