"""What happens to an animal: checks by kind, questions, and what follows for where it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from holdback.collection.event_kinds import KINDS, LOCK
from holdback.errors import Fault, RecordError
from holdback.web.records.models import Animal, Change, Observation
from holdback.web.records.services import (
    add_clutch,
    add_measurement,
    add_place,
    borrowed,
    co_owned,
    died,
    lent,
    log_event,
    log_meal,
    move_animal,
    put_together,
    quarantine,
    returned,
    sold,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


@pytest.fixture
def dam(add: Add) -> Animal:
    return add("D1", sex="female", hatched="2019-06", status="breeder")


@pytest.fixture
def sire(add: Add) -> Animal:
    return add("S1", sex="male", hatched="2018", status="breeder")


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


VALUES = {"ultrasound": 31.0, "co-owned": 50.0, "meal": 80.0}


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in {LOCK, "returned"}])
def test_log_event__every_kind_and_back(dam: Animal, kind: str) -> None:
    seen = log_event(dam, who=WHO, kind=kind, on=dt.date(2026, 2, 3), value=VALUES.get(kind))
    assert (seen.kind, seen.date) == (kind, "2026-02-03")
    assert seen.unit == (KINDS[kind].unit if kind in VALUES else "")
    undo_last()
    dam.refresh_from_db()
    assert (Observation.objects.count(), dam.status) == (0, "breeder")


def test_log_event__other_words_for_a_kind_and_words_of_ones_own(dam: Animal) -> None:
    assert log_event(dam, who=WHO, kind="PLS", on="2026-03").kind == "pre-lay shed"
    assert log_event(dam, who=WHO, kind="Bathed", on="2026-03").kind == "bathed"


@pytest.mark.parametrize(
    "fields, code",
    [
        ({"kind": "ultrasound", "value": 81.0}, "REC-014"),
        ({"kind": "ultrasound"}, "SEA-045"),
        ({"kind": "ultrasound", "value": 3.1, "unit": "cm"}, "SEA-045"),
        ({"kind": "meal", "value": 0.0}, "REC-014"),
        ({"kind": "meal", "value": 80.0, "unit": "oz"}, "SEA-045"),
        ({"kind": "co-owned", "value": 120.0}, "REC-014"),
        ({"kind": "treatment", "value": float("nan")}, "REC-014"),
        ({"kind": "shed", "until": "2026-02-09"}, "SEA-046"),
        ({"kind": "quarantine", "until": "2026-02-01"}, "SEA-046"),
        ({"kind": "quarantine", "until": "spring"}, "REC-012"),
        ({"kind": ""}, "REC-010"),
        ({"kind": "x" * 41}, "REC-011"),
        ({"kind": "returned"}, "SEA-052"),
        ({"kind": "lock"}, "SEA-055"),
    ],
)
def test_log_event__refuses(dam: Animal, fields: dict[str, str], code: str) -> None:
    def act() -> object:
        return log_event(dam, who=WHO, on="2026-02-03", sure=True, **fields)  # type: ignore[arg-type]  # by name

    assert codes(act) == [code]


@pytest.mark.parametrize("on, code", [("", "REC-012"), ("soon", "REC-012"), ("2019-05-31", "SEA-042")])
def test_log_event__days_that_cannot_be(dam: Animal, on: str, code: str) -> None:
    assert codes(lambda: log_event(dam, who=WHO, kind="shed", on=on, sure=True)) == [code]


def test_log_event__a_lock_needs_the_day_and_goes_to_the_mating(dam: Animal, sire: Animal) -> None:
    mating = put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 1, 10))
    assert codes(lambda: log_event(dam, who=WHO, kind="lock", on="2026-01")) == ["REC-012"]
    assert log_event(dam, who=WHO, kind="locked", on="2026-01-11").mating == mating


def test_log_event__of_the_sexes(sire: Animal, add: Add) -> None:
    (fault,) = faults_of(lambda: log_event(sire, who=WHO, kind="ovulation", on="2026-02-03", sure=True))
    assert (fault.code, fault.what) == ("SEA-044", "S1 is recorded as male; ovulation is written of females.")
    log_event(sire, who=WHO, kind="shed", on="2026-02-03")
    unknown = add("U1")
    assert codes(lambda: log_event(unknown, who=WHO, kind="ovulation", on="2026-02-03")) == ["SEA-039"]
    log_event(unknown, who=WHO, kind="ovulation", on="2026-02-03", sure=True)


def test_log_event__prey_of_more_than_half_of_her_is_asked(dam: Animal) -> None:
    add_measurement(dam, who=WHO, date="2025-12-01", value=1.7, unit="kg")
    add_measurement(dam, who=WHO, date="2026-03-01", value=400)
    meal = {"who": WHO, "kind": "meal", "on": "2026-02-03"}
    log_event(dam, **meal, value=850.0)  # type: ignore[arg-type]  # fields by name
    undo_last()
    (fault,) = faults_of(lambda: log_event(dam, **meal, value=851.0))  # type: ignore[arg-type]  # fields by name
    assert (fault.code, fault.what) == ("SEA-035", "prey of 851 g for D1, who weighs 1,700 g by the last weight.")
    log_event(dam, who=WHO, kind="meal", on="2027-02-03", value=851.0, sure=True)
    log_event(dam, **meal, value=851.0, sure=True)  # type: ignore[arg-type]  # fields by name


def test_log_event__the_same_thing_twice_on_a_day_is_asked(dam: Animal) -> None:
    log_meal(dam, who=WHO, taken=False, on="2026-02-03", prey_g=80)
    (fault,) = faults_of(lambda: log_meal(dam, who=WHO, taken=True, on="2026-02-03", prey_g=80))
    assert (fault.code, fault.what) == ("SEA-033", "meal of D1 is written for 2026-02-03 already: 80 g, refused.")
    log_meal(dam, who=WHO, taken=True, on="2026-02-03", prey_g=80, sure=True)
    log_event(dam, who=WHO, kind="sign", on="2026-02-03", note="wheezes")
    log_event(dam, who=WHO, kind="sign", on="2026-02-03", note="bubbles")


def test_log_event__ovulation_after_laying_or_after_the_shed_is_asked(dam: Animal) -> None:
    add_clutch(who=WHO, tag="C1", dam="D1", laid="2026-04-20", eggs=6)
    (fault,) = faults_of(lambda: log_event(dam, who=WHO, kind="ovulation", on="2026-05-02"))
    assert (fault.code, fault.what) == ("SEA-036", "D1 laid clutch C1 on 2026-04-20, before 2026-05-02.")
    log_event(dam, who=WHO, kind="pre-lay shed", on="2026-03-20")
    assert codes(lambda: log_event(dam, who=WHO, kind="ovulation", on="2026-03-25")) == ["SEA-036"]
    log_event(dam, who=WHO, kind="ovulation", on="2026-03-01")
    log_event(dam, who=WHO, kind="ovulation", on="2025-03-01")


def test_log_meal__an_offer_gets_its_outcome(dam: Animal) -> None:
    offer = log_meal(dam, who=WHO, taken=None, on="2026-02-03", prey_g=80)
    assert offer.note == "offered, not taken so far"
    meal = log_meal(dam, who=WHO, taken=True, on="2026-02-04")
    assert (meal.pk, meal.note, meal.value, meal.date) == (offer.pk, "", 80.0, "2026-02-03")
    undo_last()
    assert Observation.objects.get().note == "offered, not taken so far"
    log_meal(dam, who=WHO, taken=False, on="2026-02-04", prey_g=60)
    assert Observation.objects.get().note == "refused"
    log_meal(dam, who=WHO, taken=True, on="2026-02-20")
    assert Observation.objects.count() == 2


def test_log_meal__the_note_and_the_outcome_agree(dam: Animal) -> None:
    assert codes(lambda: log_meal(dam, who=WHO, taken=True, note="refused", sure=True)) == ["SEA-053"]
    assert log_meal(dam, who=WHO, taken=False, on="2026-02-03", note="came up again").note == "came up again"
    assert log_meal(dam, who=WHO, taken=False, on="2026-02-13", note="in shed").note == "refused; in shed"


def test_died__ends_all_in_one_deed(dam: Animal, sire: Animal) -> None:
    rack = add_place(who=WHO, name="Rack B")
    stay = move_animal(dam, who=WHO, place=rack, on=dt.date(2026, 1, 1))
    mating = put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 1, 30))
    assert stay is not None
    died(dam, who=WHO, on=dt.date(2026, 2, 3), cause="egg-bound", opened=True)
    for record in (dam, stay, mating):
        record.refresh_from_db()
    assert (dam.status, dam.living, stay.until, mating.apart) == ("died", False, dt.date(2026, 2, 3), "2026-02-03")
    assert Observation.objects.get().note == "egg-bound; opened"
    undo_last()
    for record in (dam, stay, mating):
        record.refresh_from_db()
    assert (dam.status, dam.living, stay.until, mating.apart) == ("breeder", True, None, "")


def test_died__nothing_happens_after_but_an_examination(dam: Animal, sire: Animal) -> None:
    died(dam, who=WHO, on="2026-02-03")
    (fault,) = faults_of(lambda: log_event(dam, who=WHO, kind="shed", on="2026-02-04", sure=True))
    assert (fault.code, fault.what) == ("SEA-043", "D1 died 2026-02-03, before 2026-02-04.")
    assert codes(lambda: put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 2, 9), sure=True)) == ["SEA-043"]
    assert codes(lambda: died(dam, who=WHO, on="2026-02-05", sure=True)) == ["SEA-051"]
    log_event(dam, who=WHO, kind="vet", on="2026-02-04", note="opened: egg-bound")
    log_event(dam, who=WHO, kind="shed", on="2026-01-20")


def test_died__before_something_else_is_asked(dam: Animal) -> None:
    add_measurement(dam, who=WHO, date="2026-03-01", value=1800)
    (fault,) = faults_of(lambda: died(dam, who=WHO, on="2026-02-03"))
    assert (fault.code, fault.what) == (
        "SEA-036",
        "something is written of D1 for 2026-03-01, after it died on 2026-02-03.",
    )
    died(dam, who=WHO, on="2026-03")


def test_day__of_an_animal_recorded_as_dead_without_a_day_is_asked(add: Add) -> None:
    old = add("D9", sex="female", status="died")
    assert codes(lambda: log_event(old, who=WHO, kind="shed", on="2020-01-20")) == ["SEA-034"]
    log_event(old, who=WHO, kind="shed", on="2020-01-20", sure=True)


def test_sold__and_bought_back(dam: Animal, sire: Animal) -> None:
    sold(dam, who=WHO, on="2026-02-03", to="M. Tarn", price_text="350")
    assert (dam.status, Observation.objects.get().note) == ("sold", "M. Tarn; 350")
    assert codes(lambda: put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 2, 9))) == ["SEA-034"]
    assert codes(lambda: sold(dam, who=WHO, on="2026-02-09", sure=True)) == ["SEA-051"]
    assert codes(lambda: returned(dam, who=WHO, on="2026-01-09", sure=True)) == ["SEA-046"]
    returned(dam, who=WHO, on="2026-04-01")
    assert dam.status == "breeder"
    put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 4, 2))
    assert sold(dam, who=WHO, on="2026-05-02").note == ""


def test_lent__comes_back_with_its_status(sire: Animal) -> None:
    loan = lent(sire, who=WHO, on="2026-02-03", to="Fen Loft", until="2026-05-01")
    assert sire.status == "breeder"
    assert codes(lambda: lent(sire, who=WHO, on="2026-02-09", to="Fen Loft", sure=True)) == ["SEA-051"]
    returned(sire, who=WHO, on="2026-04-01")
    loan.refresh_from_db()
    assert (loan.until, sire.status) == ("2026-04-01", "breeder")
    assert codes(lambda: returned(sire, who=WHO, on="2026-04-02", sure=True)) == ["SEA-052"]


def test_borrowed__goes_back_and_comes_again(sire: Animal) -> None:
    borrowed(sire, who=WHO, on="2026-02-03", of="Fen Loft")
    returned(sire, who=WHO, on="2026-04-01")
    assert (sire.status, Observation.objects.get(kind="borrowed").until) == ("returned", "2026-04-01")
    undo_last()
    sire.refresh_from_db()
    assert (sire.status, Observation.objects.get().until) == ("breeder", "")
    returned(sire, who=WHO, on="2026-04-01")
    borrowed(sire, who=WHO, on="2026-11-01", of="Fen Loft", sure=True)
    assert sire.status == "breeder"


def test_put_together__of_one_that_is_lent_out_or_went_back_is_asked(dam: Animal, sire: Animal) -> None:
    lent(sire, who=WHO, on="2026-02-03", to="Fen Loft")
    (fault,) = faults_of(lambda: put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 2, 9)))
    assert (fault.code, fault.what) == ("SEA-034", "S1 was lent out 2026-02-03.")
    returned(sire, who=WHO, on="2026-02-20")
    assert codes(lambda: put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 2, 9))) == ["SEA-034"]
    put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 2, 21))
    borrowed(dam, who=WHO, on="2026-02-22", of="M. Tarn")
    returned(dam, who=WHO, on="2026-03-01")
    (fault,) = faults_of(lambda: put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2026, 3, 9)))
    assert fault.what == "D1 was borrowed and went back 2026-03-01."


def test_log_event__while_it_was_sold_is_asked_though_it_came_back(dam: Animal) -> None:
    sold(dam, who=WHO, on="2026-02-03")
    returned(dam, who=WHO, on="2026-04-01")
    assert codes(lambda: log_event(dam, who=WHO, kind="shed", on="2026-03-01")) == ["SEA-034"]
    log_event(dam, who=WHO, kind="shed", on="2026-04-02")


def test_co_owned__shares_hold_together(dam: Animal) -> None:
    first = co_owned(dam, who=WHO, on="2026-01-01", by="M. Tarn", percent=60)
    assert codes(lambda: co_owned(dam, who=WHO, on="2026-02-01", by="Fen Loft", percent=50, sure=True)) == ["SEA-047"]
    co_owned(dam, who=WHO, on="2026-02-01", by="M. Tarn", percent=50)
    first.refresh_from_db()
    assert first.until == "2026-02-01"
    co_owned(dam, who=WHO, on="2026-02-02", by="Fen Loft", percent=50)


def test_quarantine__lasts(dam: Animal) -> None:
    assert quarantine(dam, who=WHO, on="2026-02-03", until="2026-05-03", note="new").until == "2026-05-03"
