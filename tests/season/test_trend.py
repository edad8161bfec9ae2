"""Mass now, and what was lost since the last high."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.season.keeping import Keeping
from holdback.season.trend import WINDOW_DAYS, Trend
from holdback.size.condition import MASS_SD
from holdback.species.catalogue import load

TODAY = dt.date(2026, 5, 14)
Weights = Sequence[tuple[int, float]]


def day(ago: int) -> str:
    return (TODAY - dt.timedelta(days=ago)).isoformat()


def weighed(weights: Weights, **more: Any) -> Trend | None:
    """Trend of a grown male by days ago and grams."""
    rows = [{"animal": "M1", "date": day(ago), "trait": "mass", "value": g, "unit": "g"} for ago, g in weights]
    animal = {"id": "M1", "sex": "male", "hatched": "2020-07-01"}
    tables = {"animals": [animal], "measurements": rows, **more}
    collection = Collection.from_frames({name: each for name, each in tables.items() if each})
    return Keeping(collection, load(), TODAY).trend("M1")


def test_trend__loss_since_the_high() -> None:
    found = weighed([(120, 950), (70, 1000), (10, 880)])
    assert found is not None
    assert found.change_percent is not None
    assert found.change_percent.mean == pytest.approx(-12)
    assert found.loss_percent == pytest.approx(12)
    assert (found.high_g, found.high_on, found.last) == (1000, dt.date(2026, 3, 5), dt.date(2026, 5, 4))


def test_trend__range_is_that_of_two_normal_errors() -> None:
    # Difference of two independent normal errors: variance adds; 5 % to either side lie 1.645 standard deviations off.
    found = weighed([(70, 1000), (10, 880)])
    assert found is not None
    assert found.change_percent is not None
    expected = [100 * (0.88 * math.exp(sign * 1.6448536 * math.sqrt(2 * MASS_SD**2)) - 1) for sign in (-1, 1)]
    assert [found.change_percent.low, found.change_percent.high] == pytest.approx(expected, rel=1e-5)


def test_trend__range_of_the_mass_widens_with_the_days_since() -> None:
    found = [weighed([(ago, 900)]) for ago in (0, 30, 300)]
    widths = [one.mass_g.high - one.mass_g.low for one in found if one is not None]
    assert widths[0] < widths[1] < widths[2]
    assert [one.mass_g.mean for one in found if one is not None] == [900, 900, 900]


def test_trend__a_single_high_weight_makes_no_high() -> None:
    found = weighed([(90, 900), (60, 905), (40, 1050), (20, 900), (5, 895)])
    assert found is not None
    assert found.high_g == 905


def test_trend__a_lone_autumn_weight_is_a_high() -> None:
    found = weighed([(180, 1050), (90, 960), (5, 930)])
    assert found is not None
    assert found.high_g == 1050


def test_trend__loss_by_the_last_weight_alone_is_said() -> None:
    single = weighed([(60, 1000), (30, 1005), (2, 850)])
    steady = weighed([(60, 1000), (30, 910), (2, 850)])
    assert single is not None
    assert steady is not None
    assert (single.is_single, steady.is_single) == (True, False)


def test_trend__fast_loss_is_that_of_thirty_days() -> None:
    found = weighed([(100, 1000), (25, 960), (0, 850)])
    assert found is not None
    assert found.fast_loss_percent == pytest.approx(100 * (1 - 850 / 960))


@pytest.mark.parametrize(
    "typed, what",
    [(91, "figure"), (9100, "figure"), (900 / 28.35, "ounces"), (900 * 28.35, "ounces"), (900 / 453.6, "pounds")],
)
def test_trend__a_slip_in_the_unit_is_asked_and_raises_no_alarm(typed: float, what: str) -> None:
    found = weighed([(60, 890), (30, 900), (2, round(typed, 1))])
    assert found is not None
    assert found.question
    assert found.mass_g.mean == 900
    assert found.loss_percent == 0
    lone = weighed([(30, 900), (2, round(typed, 1))])
    assert lone is not None
    assert lone.mass_g.mean == 900


def test_trend__full_animals_and_weights_after_today_do_not_count() -> None:
    meal = {"animal": "M1", "date": day(12), "kind": "meal", "value": 50, "unit": "g", "note": "taken"}
    found = weighed([(60, 900), (10, 980), (-5, 500)], events=[meal])
    assert found is not None
    assert (found.mass_g.mean, found.change_percent) == (900, None)


def test_trend__nothing_older_than_half_a_year_is_a_high() -> None:
    found = weighed([(WINDOW_DAYS + 1, 1200), (60, 900), (5, 890)])
    assert found is not None
    assert found.high_g == 900


def test_trend__a_dam_lost_nothing_by_laying() -> None:
    rows = [
        {"animal": "F1", "date": day(ago), "trait": "mass", "value": g, "unit": "g", "condition": "empty"}
        for ago, g in [(170, 2000), (30, 1350), (5, 1400)]
    ]
    collection = Collection.from_frames(
        {
            "animals": [{"id": "F1", "sex": "female", "hatched": "2019"}],
            "measurements": rows,
            "clutches": [{"id": "C1", "dam": "F1", "laid": day(40), "eggs": 6}],
        }
    )
    keeping = Keeping(collection, load(), TODAY)
    found = keeping.trend("F1")
    assert found is not None
    assert (found.mass_g.mean, found.loss_percent) == (1400, 0)
    before = keeping.trend("F1", after_laying=False)
    assert before is not None
    assert before.mass_g.mean == 2000


def test_trend__never_weighed() -> None:
    assert weighed([]) is None
