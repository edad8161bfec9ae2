"""Put together, part, locks, and correcting them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from holdback.errors import Fault, RecordError
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Change, Mating, Observation
from holdback.web.records.services import (
    add_mating,
    change_mating,
    log_lock,
    part,
    put_together,
    remove_mating,
    undo,
)
from holdback.web.records.state import state

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]
JAN = dt.date(2026, 1, 10)


@pytest.fixture
def pair(add: Add) -> tuple[Animal, Animal]:
    return add("D1", sex="female", hatched="2019-06"), add("S1", sex="male", hatched="2018")


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


def test_put_together_and_part(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    mating = put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    parted = part(mating, who=WHO, on=dt.date(2026, 1, 12))
    assert (parted.together, parted.apart, parted.locks) == ("2026-01-10", "2026-01-12", 0)
    undo_last()
    assert Mating.objects.get().apart == ""


def test_put_together__twice_on_a_day_is_one(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    first = put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    assert put_together(who=WHO, dam=dam, sire=sire, on=JAN) == first
    assert Mating.objects.count() == 1


def test_put_together__still_together_is_asked(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    again = {"who": WHO, "dam": dam, "sire": sire, "on": dt.date(2026, 2, 3)}
    assert codes(lambda: put_together(**again)) == ["SEA-038"]  # type: ignore[arg-type]  # fields by name
    put_together(**again, sure=True)  # type: ignore[arg-type]  # fields by name
    assert Mating.objects.count() == 2


def test_put_together__an_open_one_of_long_ago_is_let_be(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    put_together(who=WHO, dam=dam, sire=sire, on=dt.date(2025, 1, 10))
    put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    assert Mating.objects.count() == 2


def test_put_together__a_male_in_two_tubs_is_asked(pair: tuple[Animal, Animal], add: Add) -> None:
    dam, sire = pair
    other = add("D2", sex="female")
    with_other = put_together(who=WHO, dam=other, sire=sire, on=dt.date(2026, 1, 8))
    (fault,) = faults_of(lambda: put_together(who=WHO, dam=dam, sire=sire, on=JAN))
    assert fault.code == "SEA-031"
    assert fault.what == "S1 was put to D2 on 2026-01-08, and nobody wrote that they were parted."
    part(with_other, who=WHO, on=JAN)
    put_together(who=WHO, dam=dam, sire=sire, on=JAN)


def test_put_together__two_of_a_sex_and_the_wrong_way_round(pair: tuple[Animal, Animal], add: Add) -> None:
    dam, sire = pair
    other = add("D2", sex="female")
    (fault,) = faults_of(lambda: put_together(who=WHO, dam=dam, sire=other, on=JAN))
    assert (fault.code, fault.what) == ("SEA-040", "D1 and D2 are both recorded as female.")
    (fault,) = faults_of(lambda: put_together(who=WHO, dam=sire, sire=dam, on=JAN, sure=True))
    assert (fault.code, "the other way round" in fault.hint) == ("SEA-040", True)
    assert codes(lambda: put_together(who=WHO, dam=dam, sire=dam, on=JAN)) == ["REC-017"]


def test_put_together__days_that_cannot_be(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    early = dt.date(2019, 5, 1)
    assert codes(lambda: put_together(who=WHO, dam=dam, sire=sire, on=early, sure=True)) == ["SEA-042"]
    future = today() + dt.timedelta(days=3)
    assert codes(lambda: put_together(who=WHO, dam=dam, sire=sire, on=future)) == ["SEA-030"]
    put_together(who=WHO, dam=dam, sire=sire, on=future, sure=True)


def test_part__days_that_cannot_be(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    mating = put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    assert codes(lambda: part(mating, who=WHO, on=dt.date(2026, 1, 9), sure=True)) == ["SEA-041"]
    log_lock(who=WHO, dam=dam, on=dt.date(2026, 1, 13))
    assert codes(lambda: part(mating, who=WHO, on=dt.date(2026, 1, 12))) == ["SEA-041"]
    part(mating, who=WHO, on=dt.date(2026, 1, 13))
    part(mating, who=WHO, on=dt.date(2026, 1, 13))
    assert codes(lambda: part(mating, who=WHO, on=dt.date(2026, 1, 14))) == ["SEA-048"]


def test_log_lock__is_counted_where_they_are_together(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    mating = put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    locked = log_lock(who=WHO, dam=dam, on=dt.date(2026, 1, 11))
    assert (locked.mating, locked.mating.locks, locked.is_new) == (mating, 1, False)
    assert (locked.seen.kind, locked.seen.note, locked.seen.mating) == ("lock", "with S1", mating)
    undo_last()
    mating.refresh_from_db()
    assert (mating.locks, Observation.objects.count()) == (0, 0)


def test_log_lock__a_double_tap_asks(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    log_lock(who=WHO, dam=dam, on=JAN)
    assert codes(lambda: log_lock(who=WHO, dam=dam, on=JAN, sure=True)) == ["SEA-032"]
    assert log_lock(who=WHO, dam=dam, on=JAN, again=True).mating.locks == 2


def test_log_lock__without_a_mating_makes_one_of_a_day(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    locked = log_lock(who=WHO, dam=dam, sire=sire, on=JAN)
    assert (locked.mating.together, locked.mating.apart, locked.mating.locks) == ("2026-01-10", "2026-01-10", 1)
    assert locked.is_new
    assert locked.said == "Nobody had written that S1 was with D1: one day is written, with one lock."
    assert log_lock(who=WHO, dam=dam, sire=sire, on=JAN, again=True).mating == locked.mating


def test_log_lock__which_male_is_asked_where_none_or_two_are_with_her(pair: tuple[Animal, Animal], add: Add) -> None:
    dam, sire = pair
    (fault,) = faults_of(lambda: log_lock(who=WHO, dam=dam, on=JAN, sure=True))
    assert (fault.code, fault.what) == ("SEA-055", "nobody is recorded with D1 on 2026-01-10.")
    other = add("S2", sex="male")
    put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    put_together(who=WHO, dam=dam, sire=other, on=JAN)
    (fault,) = faults_of(lambda: log_lock(who=WHO, dam=dam, on=JAN))
    assert fault.what == "S1 and S2 were with D1 on 2026-01-10."
    assert log_lock(who=WHO, dam=dam, sire=other, on=JAN).mating.sire == other


def test_log_lock__two_females_and_the_mating_of_others(pair: tuple[Animal, Animal], add: Add) -> None:
    dam, sire = pair
    other = add("D2", sex="female")
    assert codes(lambda: log_lock(who=WHO, dam=dam, sire=other, on=JAN)) == ["SEA-040"]
    mating = put_together(who=WHO, dam=other, sire=sire, on=JAN)
    assert codes(lambda: log_lock(who=WHO, dam=dam, mating=mating, on=JAN, sure=True)) == ["SEA-040"]
    early = dt.date(2026, 1, 9)
    assert codes(lambda: log_lock(who=WHO, dam=other, mating=mating, on=early)) == ["SEA-041"]


def test_change_mating__takes_its_locks_along(pair: tuple[Animal, Animal], add: Add) -> None:
    dam, sire = pair
    mating = add_mating(who=WHO, dam=dam, sire=sire, together="2026-01-10", apart="2026-01-12", locks=1)
    log_lock(who=WHO, dam=dam, on=JAN)
    other = add("D2", sex="female")
    change_mating(mating, who=WHO, dam=other, notes="wrong tub")
    seen = Observation.objects.get()
    assert (seen.animal, seen.mating, seen.note) == (other, mating, "with S1")
    male = add("S2", sex="male")
    assert change_mating(mating, who=WHO, sire=male).locks == 2
    assert Observation.objects.get().note == "with S2"
    undo_last()
    assert Observation.objects.get().note == "with S1"


def test_change_mating__refuses_what_cannot_be(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    mating = put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    log_lock(who=WHO, dam=dam, on=JAN)
    assert codes(lambda: change_mating(mating, who=WHO, apart="soon", locks=-1)) == ["REC-012", "REC-014"]
    assert codes(lambda: change_mating(mating, who=WHO, locks=0)) == ["SEA-054"]
    assert codes(lambda: change_mating(mating, who=WHO, together="2026-01-11")) == ["SEA-041"]
    assert codes(lambda: change_mating(mating, who=WHO, apart="2026-01-01")) == ["SEA-041"]
    assert codes(lambda: change_mating(mating, who=WHO, apart="2199")) == ["SEA-030"]


def test_remove_mating__with_its_locks_and_back(pair: tuple[Animal, Animal]) -> None:
    dam, sire = pair
    mating = put_together(who=WHO, dam=dam, sire=sire, on=JAN)
    log_lock(who=WHO, dam=dam, on=JAN)
    before = [state(one) for model in (Mating, Observation) for one in model.objects.all()]
    remove_mating(mating, who=WHO)
    assert (Mating.objects.count(), Observation.objects.count()) == (0, 0)
    undo_last()
    assert [state(one) for model in (Mating, Observation) for one in model.objects.all()] == before
