"""The same deed of two keepers at the same moment is written once, on either database."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable

import pytest
from django.db import connection

from holdback.errors import RecordError
from holdback.web.records.clock import today
from holdback.web.records.hatching_rules import Young
from holdback.web.records.models import Animal, Clutch, Mating, Measurement, Observation, Warmth
from holdback.web.records.services import (
    add_animal,
    add_place,
    died,
    hatch_eggs,
    lay_clutch,
    log_lock,
    log_meal,
    log_warmth,
    put_together,
    weigh,
)

pytestmark = pytest.mark.django_db(transaction=True)
WHO = "Wren"
KEEPERS = 3


def at_once(deed: Callable[[], object]) -> list[str]:
    """Codes with which a deed was refused, done by several keepers at the same moment."""
    start, codes = threading.Barrier(KEEPERS), list[str]()

    def keeper() -> None:
        start.wait()
        try:
            deed()
        except RecordError as error:
            codes.append(error.faults[0].code)
        connection.close()

    threads = [threading.Thread(target=keeper) for _ in range(KEEPERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return codes


@pytest.fixture
def two(transactional_db: None) -> tuple[Animal, Animal]:
    dam = add_animal(who=WHO, tag="D1", sex="female", hatched="2019-06")
    return dam, add_animal(who=WHO, tag="S1", sex="male", hatched="2018")


def test_at_once__weight_and_meal(two: tuple[Animal, Animal]) -> None:
    assert at_once(lambda: weigh(two[0], who=WHO, typed="1500", on=today())) == []
    assert at_once(lambda: log_meal(two[0], who=WHO, taken=True, on=today())) == ["SEA-033"] * (KEEPERS - 1)
    assert (Measurement.objects.count(), Observation.objects.count()) == (1, 1)


def test_at_once__together_and_lock(two: tuple[Animal, Animal]) -> None:
    dam, sire = two
    assert at_once(lambda: put_together(who=WHO, dam=dam, sire=sire, on=today())) == []
    assert at_once(lambda: log_lock(who=WHO, dam=dam, sire=sire, on=today())) == ["SEA-032"] * (KEEPERS - 1)
    assert (Mating.objects.get().locks, Observation.objects.count()) == (1, 1)


def test_at_once__laying_and_hatching(two: tuple[Animal, Animal]) -> None:
    laid = today() - dt.timedelta(days=58)
    assert at_once(lambda: lay_clutch(who=WHO, dam=two[0], laid=laid, eggs=3)) == ["SEA-001"] * (KEEPERS - 1)
    clutch, young = Clutch.objects.get(), [Young("1"), Young("2")]
    assert at_once(lambda: hatch_eggs(clutch, young, who=WHO, date=today())) == ["SEA-009"] * (KEEPERS - 1)
    assert Animal.objects.count() == 4


def test_at_once__death_and_warmth(two: tuple[Animal, Animal]) -> None:
    place = add_place(who=WHO, name="Shelf", kind="incubator")
    assert at_once(lambda: log_warmth(place, value=31, date=today(), who=WHO)) == []
    assert at_once(lambda: died(two[0], who=WHO, on=today())) == ["SEA-051"] * (KEEPERS - 1)
    assert (Warmth.objects.count(), Observation.objects.count()) == (1, 1)
