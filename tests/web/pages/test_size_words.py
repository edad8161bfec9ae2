"""Deviations, ranks and ranges as pages say and draw them."""

from __future__ import annotations

import math
import re
from statistics import NormalDist

import pytest

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import PartialDate, Sex
from holdback.size.evaluation import Compared, Sharpening
from holdback.web.pages.size.ranks import TOLD_APART, chance_bigger, places
from holdback.web.pages.size.strips import Scale, forest, strip
from holdback.web.pages.size.words import deviation_row, known_in_words, mass_row, sharpening, stands


def deviation(mean: float, low: float, high: float) -> Estimate:
    return Estimate(mean, low, high, "%", Basis.BY_DESCENT, "Its weights.")


def on_log_scale(mean: float, sd: float) -> Estimate:
    """Estimate of a normal log deviation, ends at 5 and 95 %."""
    ends = [NormalDist(mean, sd).inv_cdf(level) for level in (0.05, 0.95)]
    return deviation(*(100 * math.expm1(one) for one in (mean, *ends)))


@pytest.mark.parametrize(
    "one, other", [((0.3, 0.1), (0.1, 0.05)), ((0.0, 0.2), (0.0, 0.01)), ((-0.1, 0.1), (0.2, 0.1))]
)
def test_chance_bigger__is_that_of_two_normals(one: tuple[float, float], other: tuple[float, float]) -> None:
    wanted = NormalDist(one[0] - other[0], math.hypot(one[1], other[1])).cdf(0)
    assert chance_bigger(on_log_scale(*one), on_log_scale(*other)) == pytest.approx(1 - wanted, abs=1e-9)


def test_chance_bigger__of_known_sizes_is_sure() -> None:
    assert chance_bigger(deviation(5, 5, 5), deviation(4, 4, 4)) == 1.0
    assert chance_bigger(deviation(4, 4, 4), deviation(5, 5, 5)) == 0.0
    assert chance_bigger(deviation(4, 4, 4), deviation(4, 4, 4)) == 0.5


def test_places__ties_those_that_nobody_can_tell_apart() -> None:
    found = [on_log_scale(mean, 0.05) for mean in (0.5, 0.32, 0.31, 0.30, 0.1, 0.095)]
    assert [str(one) for one in places(found)] == ["1", "2–4", "2–4", "2–4", "5–6", "5–6"]
    assert places([]) == []


def test_places__do_not_chain() -> None:
    """Each is hard to tell from the next, but the last is told from the first: they are not all one group."""
    found = [on_log_scale(-0.03 * index, 0.05) for index in range(6)]
    at = places(found)
    for index, one in enumerate(found):
        assert chance_bigger(found[at[index].first - 1], one) < TOLD_APART
    assert len(set(at)) == 3


def test_deviation_row__has_signs_and_says_to() -> None:
    row = deviation_row("Passed on", deviation(34.4, -12.2, 58.0))
    assert (row.value, row.range) == ("+34\u00a0%", "\u221212 to +58")
    assert row.basis is Basis.BY_DESCENT
    assert row.ground == "Its weights."


def test_mass_row__rounds_a_kilogram_to_ten_gram() -> None:
    row = mass_row("Grown", Estimate(2344.4, 1871, 3012, "g", Basis.BY_DESCENT))
    assert (row.value, row.range) == ("2,340\u00a0g", "1,870–3,010")
    assert mass_row("Grown", Estimate(93.6, 90.2, 97.1, "g", Basis.MEASURED)).range == "90–97"


@pytest.mark.parametrize(
    "place, words",
    [
        ((93.4, 85.0, 98.2), "Heavier than 93 of 100 ordinary females of 43 months, 85 to 98."),
        ((12.0, 4.0, 30.0), "Lighter than 88 of 100 ordinary females of 43 months, 70 to 96."),
        ((99.9, 99.6, 99.99), "Heavier than over 99 of 100 ordinary females of 43 months."),
    ],
)  # fmt: skip
def test_stands__turns_the_light_round(place: tuple[float, float, float], words: str) -> None:
    found = Compared(
        Estimate(*place, "%", Basis.MEASURED), 43.2, PartialDate.parse("2026-03-02"), 3010, 1400, 1800, 2300, "females"
    )
    assert stands(found, Sex.FEMALE) == words


def test_stands__of_unknown_age_is_among_grown_ones() -> None:
    place = Estimate(60.0, 40.0, 78.0, "%", Basis.MEASURED)
    found = Compared(place, math.nan, PartialDate.parse("2026"), 2010, 1400, 1800, 2300, "grown females")
    assert stands(found, Sex.FEMALE) == "Heavier than 60 of 100 ordinary grown females, 40 to 78."


def test_sharpening__says_before_and_after() -> None:
    words = sharpening(Sharpening("weigh her empty at two years", 22.0, 9.0, 0.19, 0.41)).replace("\u00a0", " ")
    assert words == (
        "Weigh her empty at two years: grown weight to within 9 %, now 22 %; weight passed on: fairly known, now "
        "little is known (reliability 0.19 to 0.41)."
    )
    assert sharpening(Sharpening("measure her head", 9.2, 9.1, 0.4, 0.4)) == "Measure her head."


def test_known_in_words__of_each_step() -> None:
    said = [known_in_words(one) for one in (0.0, 0.19, 0.2, 0.39, 0.4, 0.59, 0.6, 1.0)]
    assert said == ["little is known"] * 2 + ["a guess"] * 2 + ["fairly known"] * 2 + ["well known"] * 2


def test_scale__holds_all_ranges_and_nought() -> None:
    scale = Scale.holding([deviation(20, 4, 41), deviation(33, 12, 58)])
    assert (scale.low, scale.high, scale.step) == (0, 60, 10)
    assert scale.at(0) == 0
    assert scale.at(60) == 100
    assert scale.ticks[-1][1] == "+60\u00a0%"
    both = Scale.holding([deviation(-3, -18, 12)])
    assert (both.low, both.high) == (-20, 15)


def test_strip__says_what_it_draws() -> None:
    drawn = strip(deviation(20, -4, 41), Scale(-20, 60, 20))
    assert 'aria-label="+20\u00a0%, \u22124 to +41\u00a0%"' in drawn
    assert re.search(r'class="range" x="20.00%" width="56.25%"', drawn)
    assert 'class="line me descent"' in drawn, "the stroke is that of the basis"
    assert "style=" not in drawn


def test_forest__names_each_row_and_says_its_message() -> None:
    drawn = forest([("The line <at large>", deviation(20, -4, 41)), ("These", deviation(15, 2, 29))], "Open.")
    assert 'aria-label="Open."' in drawn
    assert "The line &lt;at large&gt;: +20\u00a0%" in drawn
    assert drawn.count('class="dot"') == 2
