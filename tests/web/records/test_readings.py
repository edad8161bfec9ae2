"""Weights as typed and the slips among them; changing and removing what was written."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from holdback.collection.model import PartialDate
from holdback.errors import Fault, RecordError
from holdback.web.records.models import Animal, Change, Measurement, Observation
from holdback.web.records.services import (
    add_clutch,
    add_measurement,
    add_place,
    change_measurement,
    change_observation,
    died,
    lent,
    log_event,
    log_lock,
    move_animal,
    put_together,
    remove_measurement,
    remove_observation,
    returned,
    sold,
    undo,
    weigh,
)
from holdback.web.records.weights import Last, Weight, fits, likely_weight

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]
MAY = dt.date(2026, 5, 12)


@pytest.fixture
def dam(add: Add) -> Animal:
    animal = add("D1", sex="female", hatched="2019-06", status="breeder")
    add_measurement(animal, who=WHO, date="2026-04-12", value=1652)
    return animal


@pytest.fixture
def sire(add: Add) -> Animal:
    return add("S1", sex="male", hatched="2018")


def faults_of(act: Callable[[], object]) -> list[Fault]:
    with pytest.raises(RecordError) as error:
        act()
    return list(error.value.faults)


def codes(act: Callable[[], object]) -> list[str]:
    return [fault.code for fault in faults_of(act)]


def undo_last() -> None:
    last = Change.objects.order_by("-id").first()
    assert last is not None
    undo(last.batch, who=WHO)


@pytest.mark.parametrize(
    "typed, unit, value, kept",
    [
        ("1,652", "g", 1652.0, "g"),
        ("1.652", "kg", 1.652, "kg"),
        ("1,652", "kg", 1.652, "kg"),
        ("1.652", "g", 1652.0, "g"),
        ("1 652 g", "g", 1652.0, "g"),
        ("58,5 oz", "g", 58.5, "oz"),
        ("3.6 lb", "g", 3.6, "lb"),
        ("3 lb 10 oz", "g", 58.0, "oz"),
        ("1652.5", "g", 1652.5, "g"),
        ("~1650g", "oz", 1650.0, "g"),
    ],
)
def test_weigh__as_typed(dam: Animal, typed: str, unit: str, value: float, kept: str) -> None:
    reading = weigh(dam, who=WHO, typed=typed, unit=unit, on=MAY)
    assert (reading.value, reading.unit, reading.typed) == (value, kept, typed)
    undo_last()
    assert Measurement.objects.count() == 1


@pytest.mark.parametrize(
    "typed, unit, code",
    [
        ("heavy", "g", "SEA-049"),
        ("", "g", "SEA-049"),
        ("12 cm", "g", "SEA-049"),
        ("0", "g", "SEA-049"),
        ("1652", "st", "REC-013"),
    ],
)
def test_weigh__refuses(dam: Animal, typed: str, unit: str, code: str) -> None:
    assert codes(lambda: weigh(dam, who=WHO, typed=typed, unit=unit, on=MAY, sure=True)) == [code]


def test_weigh__a_comma_is_read_so_that_the_animal_can_weigh_it(add: Add) -> None:
    hatchling = add("Y1", hatched="2026-04-20")
    assert weigh(hatchling, who=WHO, typed="2,200", unit="oz", on=MAY).value == 2.2
    (fault,) = faults_of(lambda: weigh(hatchling, who=WHO, typed="9,200", on=dt.date(2026, 5, 13)))
    assert fault.what == "9,200 g, after 62 g on 2026-05-12: is it right?"
    first = add("Y2", hatched="2026-04-20")
    (fault,) = faults_of(lambda: weigh(first, who=WHO, typed="6.5", on=MAY))
    assert (fault.code, fault.what) == ("SEA-037", "6.5 g: no such weight is known of a ball python.")


@pytest.mark.parametrize(
    "typed, said, meant",
    [
        ("166", "166 g, after 1,652 g on 2026-04-12: 1,660 g, or is 166 g right?", "1,660 g"),
        ("16520", "16,520 g, after 1,652 g on 2026-04-12: 1,652 g, or is 16,520 g right?", "1,652 g"),
        ("58.4", "58.4 g, after 1,652 g on 2026-04-12: 58.4 oz, or is 58.4 g right?", "58.4 oz"),
        ("3.7", "3.7 g, after 1,652 g on 2026-04-12: 3.7 lb, or is 3.7 g right?", "3.7 lb"),
        ("4100", "4,100 g, after 1,652 g on 2026-04-12: is it right?", "4,100 g"),
    ],
)
def test_weigh__asks_where_it_looks_like_a_slip(dam: Animal, typed: str, said: str, meant: str) -> None:
    (fault,) = faults_of(lambda: weigh(dam, who=WHO, typed=typed, on=MAY))
    assert (fault.code, fault.what, fault.value) == ("SEA-037", said, meant)
    weigh(dam, who=WHO, typed=typed, on=MAY, sure=True)


@pytest.mark.parametrize("grams, last_g, n_days", [(1050, 1750, 20), (2300, 1650, 60), (300, 70, 150), (62, 60, 0)])
def test_fits__laying_eggs_and_growth(grams: float, last_g: float, n_days: int) -> None:
    assert fits(grams, Last(last_g, PartialDate(2026, 1, 1), n_days))


def test_likely_weight__a_unit_that_was_typed_is_believed() -> None:
    april = Last(1652.0, PartialDate(2026, 4, 12), 30)
    assert likely_weight(Weight(58.4, "g", own_unit=True), april) is None


def test_weigh__the_same_twice_on_a_day_is_one(dam: Animal) -> None:
    first = weigh(dam, who=WHO, typed="1,700", on=MAY)
    assert weigh(dam, who=WHO, typed="1.7 kg", on=MAY) == first
    assert weigh(dam, who=WHO, typed="1.710 kg", on=MAY) != first


def test_weigh__says_gravid_from_ovulation_until_she_lays(dam: Animal) -> None:
    assert weigh(dam, who=WHO, typed="1700", on=dt.date(2026, 4, 14)).condition == ""
    log_event(dam, who=WHO, kind="ovulation", on="2026-04-15")
    assert weigh(dam, who=WHO, typed="1900", on=MAY).condition == "gravid"
    assert weigh(dam, who=WHO, typed="1950", on=MAY, condition="fed").condition == "fed"
    add_clutch(who=WHO, tag="C1", dam="D1", laid="2026-06-04", eggs=6)
    assert weigh(dam, who=WHO, typed="1300", on=dt.date(2026, 6, 5)).condition == ""
    assert weigh(dam, who=WHO, typed="1920", on=dt.date(2026, 6, 1)).condition == "gravid"


def test_change_measurement__and_back(dam: Animal) -> None:
    reading = Measurement.objects.get()
    assert change_measurement(reading, who=WHO, value=1562.0, condition="empty").value == 1562
    undo_last()
    assert Measurement.objects.get().value == 1652
    assert codes(lambda: change_measurement(reading, who=WHO, value=0, unit="cm")) == ["REC-014", "REC-013"]
    remove_measurement(reading, who=WHO)
    assert not Measurement.objects.exists()
    undo_last()
    assert Measurement.objects.get().condition == ""


def test_change_observation__and_back(dam: Animal) -> None:
    seen = log_event(dam, who=WHO, kind="meal", on="2026-02-03", value=80)
    change_observation(seen, who=WHO, date="2026-02-04", note="refused")
    undo_last()
    assert (Observation.objects.get().date, Observation.objects.get().note) == ("2026-02-03", "")
    assert codes(lambda: change_observation(seen, who=WHO, date="2018", sure=True)) == ["SEA-042"]
    assert change_observation(seen, who=WHO, kind="fed", value=70).kind == "meal"
    remove_observation(seen, who=WHO)
    undo_last()
    assert Observation.objects.get().value == 70


def test_change_observation__a_lock_stays_one_and_within_its_mating(dam: Animal, sire: Animal) -> None:
    put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 1, 10))
    locked = log_lock(who=WHO, dam=dam, on=dt.date(2026, 1, 11))
    assert codes(lambda: change_observation(locked.seen, who=WHO, kind="shed", sure=True)) == ["SEA-056"]
    assert codes(lambda: change_observation(locked.seen, who=WHO, date="2026-01-09")) == ["SEA-041"]
    change_observation(locked.seen, who=WHO, date="2026-01-12")
    remove_observation(locked.seen, who=WHO)
    locked.mating.refresh_from_db()
    assert locked.mating.locks == 0
    undo_last()
    locked.mating.refresh_from_db()
    assert locked.mating.locks == 1


def test_change_observation__a_death_moves_what_ended_with_it(add: Add, sire: Animal) -> None:
    dam = add("D2", sex="female", status="breeder")
    stay = move_animal(dam, who=WHO, place=add_place(who=WHO, name="Rack B"), on=dt.date(2026, 1, 1))
    assert stay is not None
    mating = put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 1, 20))
    seen = died(dam, who=WHO, on="2026-02-03")
    change_observation(seen, who=WHO, date="2026-02-01")
    stay.refresh_from_db()
    mating.refresh_from_db()
    assert (stay.until, mating.apart) == (dt.date(2026, 2, 1), "2026-02-01")
    change_observation(seen, who=WHO, date="2026-02-05", note="egg-bound")
    assert codes(lambda: change_observation(seen, who=WHO, kind="sold", sure=True)) == ["SEA-056"]
    remove_observation(seen, who=WHO)
    dam.refresh_from_db()
    assert (dam.status, dam.living) == ("breeder", True)


def test_change_observation__of_a_sale_does_not_ask_about_itself(sire: Animal) -> None:
    seen = sold(sire, who=WHO, on="2026-02-03", to="M. Tarn")
    assert change_observation(seen, who=WHO, date="2026-02-08").date == "2026-02-08"


def test_log_event__written_late_it_does_not_say_where_the_animal_is_now(sire: Animal) -> None:
    lent(sire, who=WHO, on="2026-03-01", to="Fen Loft")
    returned(sire, who=WHO, on="2026-04-01")
    sold(sire, who=WHO, on="2025-03-01", sure=True)
    returned(sire, who=WHO, on="2025-04-01")
    assert sire.status == ""
