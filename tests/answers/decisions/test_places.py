"""Places that clutches of a season to come would take."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.answers import Answers
from holdback.answers.decisions.places import loads_of, weeks_of
from holdback.answers.decisions.stock import stock_of
from holdback.answers.season import Season
from holdback.collection.model import Sex
from holdback.season.load import Room


@pytest.fixture(scope="module")
def with_room(demo: Answers, season: Season) -> Season:
    return demo.season(season.on, room=Room(egg_places=40, tubs=30))


def test_loads_of__eggs_lie_as_long_as_they_take(demo: Answers, with_room: Season) -> None:
    """Summed over the weeks, a female's places are eggs times chance of laying times weeks in the egg (57 days)."""
    stock = stock_of(demo, with_room)
    females = tuple(stock.animals[at] for at in stock.of_sex(Sex.FEMALE))[:4]
    eggs, tubs = loads_of(stock, females, 2027, with_room)
    assert (eggs.name, eggs.places[0], tubs.places[0]) == ("egg places", 40.0, 30.0)
    for row, dam in enumerate(females):
        at = stock.index(dam)
        expected = stock.lays[at] * stock.eggs[at].mean * 57 / 7
        assert eggs.mean[row].sum() == pytest.approx(expected, rel=0.02)
        # one Monday: lays with chance c (by that day, not hatched), N eggs: variance c E[N^2] - (c E[N])^2
        week = int(eggs.mean[row].argmax())
        law = stock.eggs[at]
        chance = eggs.mean[row, week] / law.mean
        second = float(np.arange(len(law.chances)) ** 2 @ law.chances)
        assert eggs.sd[row, week] ** 2 == pytest.approx(chance * second - eggs.mean[row, week] ** 2)
    assert tubs.mean.argmax(axis=1).min() > eggs.mean.argmax(axis=1).max()


def test_loads_of__nothing_where_nobody_counted_the_places(demo: Answers, season: Season) -> None:
    bare = demo.season(season.on, room=Room())
    assert loads_of(stock_of(demo, bare), ("17-02",), 2027, bare) == ()


def test_weeks_of__mondays_from_october(season: Season) -> None:
    mondays = weeks_of(2027, season)
    assert mondays[0].isoformat() == "2026-09-28"
    assert {one.weekday() for one in mondays} == {0}
