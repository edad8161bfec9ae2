"""Warmth of a clutch from readings of its boxes, and what unmeasured boxes may have."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from holdback.collection.collection import Collection
from holdback.collection.model import Clutch, Egg, PartialDate, Records, Temperature
from holdback.season.incubation import Warming, warmth_of
from holdback.species.catalogue import load

FIRST, LAST = dt.date(2030, 4, 1), dt.date(2030, 5, 30)
DAY = PartialDate(2030, 4, 10)


def _mean(*readings: Temperature, boxes: tuple[str, ...] = ("warm / one",)) -> float | None:
    collection = Collection.from_records(
        Records(
            clutches=(Clutch("C", laid=PartialDate(2030, 4, 1)),),
            eggs=tuple(Egg("C", str(number), box=box) for number, box in enumerate(boxes)),
            temperatures=readings,
        )
    )
    return warmth_of(collection, "C", first=FIRST, last=LAST)


def test_warmth_of__days_count_alike() -> None:
    readings = [Temperature("warm / one", DAY, 30.0, time) for time in ("08:00", "12:00", "18:00")]
    assert _mean(*readings, Temperature("warm / one", PartialDate(2030, 4, 11), 32.0)) == pytest.approx(31.0)


def test_warmth_of__eggs_in_two_boxes_count_each_for_its_own() -> None:
    readings = (Temperature("warm / one", DAY, 30.0), Temperature("warm / two", DAY, 32.0))
    assert _mean(*readings, boxes=("warm / one", "warm / two", "warm / two")) == pytest.approx(94 / 3)


def test_warmth_of__a_box_without_readings_has_those_of_its_place() -> None:
    assert _mean(Temperature("warm", DAY, 31.2)) == pytest.approx(31.2)


@pytest.mark.parametrize(
    "reading",
    [
        Temperature("cool / one", DAY, 31.0),
        Temperature("warm / one", PartialDate(2030, 6, 2), 31.0),
        Temperature("warm / one", DAY, 48.0),
    ],
)
def test_warmth_of__nothing_that_counts(reading: Temperature) -> None:
    assert _mean(reading) is None


def test_unmeasured__measured_boxes_tell_of_the_others() -> None:
    warming = Warming.of(load())
    assert warming is not None
    alone, chances = warming.unmeasured(np.array([]))
    assert float(alone @ chances) + warming.at == pytest.approx(31.3, abs=0.01)
    drawn, chances = warming.unmeasured(np.full(9, 30.0))
    assert float(drawn @ chances) + warming.at == pytest.approx(30.13, abs=0.01)


def test_warming__a_species_that_does_not_say_so_has_none() -> None:
    assert Warming.of(load("pantherophis_guttatus")) is None
