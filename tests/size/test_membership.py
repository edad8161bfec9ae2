"""Membership of an animal of a collection, from an evaluation made by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import cast

import pytest

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import PartialDate, Sex
from holdback.errors import SizeError
from holdback.size.confounding import design
from holdback.size.evaluation import AnimalSize, Compared, LineEffect, SizeEvaluation, Variances
from holdback.size.growth.curves_of import CurvesOf
from holdback.size.membership import could_be_of_the_line, membership
from holdback.size.readings import Readings

Z90 = 1.6448536269514722


def percent(mean: float, sd: float) -> Estimate:
    """A deviation on the log scale, told in percent."""
    low, middle, high = (100 * math.expm1(one) for one in (mean - Z90 * sd, mean, mean + Z90 * sd))
    return Estimate(middle, low, high, "%", Basis.MEASURED)


def plain(value: float) -> Estimate:
    return Estimate(value, value, value, "", Basis.ASSUMED)


COMPARED = Compared(plain(80.0), 30.0, PartialDate(2024, 5, 1), 2300.0, 1200.0, 1700.0, 2300.0, "females of 30 months")
WEIGHED = AnimalSize(
    "17",
    Sex.FEMALE,
    9,
    0,
    COMPARED,
    plain(2300.0),
    True,
    percent(0.30, 0.06),
    plain(0.0),
    percent(0.05, 0.1),
    percent(0.05, 0.1),
    0.3,
)
LARGE = LineEffect("Large", percent(0.35, 0.08), percent(0.3, 0.05), 0.99, None, 5, 20, can_tell=True)
APART = design([1.0, 1.0, 0.0], ["B", "B", "A"], "room")
VARIANCES = Variances(plain(0.4), 0.16, 0.08, 0.05, 0.15, 0.03, 0.1, knows_little=True)


def evaluation(size: AnimalSize = WEIGHED, line: LineEffect = LARGE) -> SizeEvaluation:
    return SizeEvaluation({"17": size}, {"Large": line}, VARIANCES, Readings({}, {}, {}, {}), cast("CurvesOf", None))


def test_membership__undoes_what_was_assumed_of_the_animal() -> None:
    """0.30 with sd 0.06 under a law of mean 0, sd 0.16 comes from a reading by hand: precision 277.78 - 39.06."""
    found = membership(evaluation(), "17", "Large")
    assert (found.deviation, found.deviation_sd) == pytest.approx(
        (0.30 * 277.7778 / 238.7153, 238.7153**-0.5), rel=1e-5
    )
    straight = could_be_of_the_line(
        deviation=found.deviation, deviation_sd=found.deviation_sd, effect=0.35, effect_sd=0.08, spread_sd=0.16
    )
    assert found.of_line.posterior == pytest.approx(straight.posterior, abs=1e-9)
    assert any("write it down as the claim" in one for one in found.advice)


def test_membership__what_another_line_explains_is_taken_out_too() -> None:
    """Half of 0.3 by another line was assumed of it: the part of lines is breeding value without what is within."""
    of_another = replace(WEIGHED, breeding_value=percent(0.20, 0.1))
    found = membership(evaluation(of_another), "17", "Large")
    assert found.deviation == pytest.approx((0.30 * 277.7778 - 0.15 * 39.0625) / 238.7153, rel=1e-5)


def test_membership__an_animal_never_weighed() -> None:
    with pytest.raises(SizeError, match="SIZ-405 animal 17: No weight of it at a known age counts"):
        membership(evaluation(replace(WEIGHED, compared=None)), "17", "Large")


@pytest.mark.parametrize(
    "line",
    [
        replace(LARGE, can_tell=False, why_not=("All of it grew up in room B.",), design=APART),
        replace(LARGE, n_founders=0),
        replace(LARGE, n_weighed=0),
    ],
)
def test_membership__a_line_that_nobody_measured(line: LineEffect) -> None:
    why = "All of it grew up in room B." if line.why_not else "No animal of the line was weighed beside others."
    with pytest.raises(SizeError, match=f"SIZ-406 animal 17: What an animal of Large looks like is not known. {why}"):
        membership(evaluation(line=line), "17", "Large")


def test_membership__few_founders_are_a_caution() -> None:
    few = replace(LARGE, n_founders=2, can_tell=False, why_not=("Only 2 founders stand behind it.",))
    assert membership(evaluation(line=few), "17", "Large").cautions == ("Only 2 founders stand behind it.",)
    assert membership(evaluation(), "17", "Large").cautions == ()
