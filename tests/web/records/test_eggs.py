"""Looks at eggs, and eggs that are lost."""

from __future__ import annotations

import datetime as dt

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Clutch, Egg, EggLook, Observation
from holdback.web.records.services import (
    add_clutch,
    change_clutch,
    change_egg,
    lay_clutch,
    look_at_eggs,
    lose_egg,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"


@pytest.fixture
def clutch(family: dict[str, Animal]) -> Clutch:
    """Four eggs of D1, laid 2 April 2026; the fourth is a slug."""
    return lay_clutch(who=WHO, dam="D1", laid="2026-04-02", eggs=4, slugs=["4"])


def egg(mark: str) -> Egg:
    return Egg.objects.select_related("clutch", "animal").get(mark=mark)


def codes_of(error: pytest.ExceptionInfo[RecordError]) -> list[str]:
    return [fault.code for fault in error.value.faults]


def undo_last() -> None:
    undo(Change.objects.latest("id").batch, who=WHO)


def test_look_at_eggs__several_at_once(clutch: Clutch) -> None:
    looks = look_at_eggs(
        clutch, {"1": ("veins", ""), "2": ("weak", "two veins"), "3": ("slug", "")}, date="2026-04-16", who=WHO
    )
    assert [(look.egg.mark, look.state, look.note) for look in looks] == [
        ("1", "veins", ""),
        ("2", "weak", "two veins"),
        ("3", "slug", ""),
    ]
    assert (egg("3").outcome, egg("3").ended, egg("3").clutch.slugs) == ("slug", "2026-04-16", 2)
    assert egg("1").outcome == "unknown"
    undo_last()
    assert not EggLook.objects.exists()
    assert (egg("3").outcome, egg("3").ended, egg("3").clutch.slugs) == ("unknown", "", 1)


def test_look_at_eggs__one_look_a_day(clutch: Clutch) -> None:
    day = dt.date(2026, 4, 16)
    look_at_eggs(clutch, {"1": ("veins", "thick")}, date=day, who=WHO)
    before = Change.objects.count()
    look_at_eggs(clutch, {"1": ("veins", "")}, date=day, who=WHO)
    assert Change.objects.count() == before
    look_at_eggs(clutch, {"1": ("weak", "")}, date=day, who=WHO)
    assert [(look.state, look.note) for look in egg("1").looks.all()] == [("weak", "thick")]


def test_look_at_eggs__lost_and_found_alive_after_all(clutch: Clutch) -> None:
    look_at_eggs(clutch, {"1": ("lost", "mould")}, date="2026-04-20", who=WHO)
    look_at_eggs(clutch, {"1": ("lost", "")}, date="2026-04-22", who=WHO)
    assert (egg("1").outcome, egg("1").ended, egg("1").cause) == ("died", "2026-04-20", "mould")
    with pytest.raises(RecordError, match=r"SEA-006 .*egg 1 is on record as lost on 2026-04-22. Is it with veins on"):
        look_at_eggs(clutch, {"1": ("veins", "")}, date="2026-04-30", who=WHO)
    look_at_eggs(clutch, {"1": ("veins", "")}, date="2026-04-30", who=WHO, sure=True)
    assert (egg("1").outcome, egg("1").ended, egg("1").cause) == ("unknown", "", "")


def test_look_at_eggs__a_slug_that_was_none(clutch: Clutch) -> None:
    with pytest.raises(RecordError, match=r"egg 4 is on record as a slug on 2026-04-02. Is it with veins on"):
        look_at_eggs(clutch, {"4": ("veins", "")}, date="2026-04-09", who=WHO)
    look_at_eggs(clutch, {"4": ("veins", "")}, date="2026-04-09", who=WHO, sure=True)
    assert (egg("4").outcome, egg("4").clutch.slugs) == ("unknown", 0)


def test_look_at_eggs__written_late(clutch: Clutch) -> None:
    look_at_eggs(clutch, {"1": ("out", "")}, date="2026-05-31", who=WHO)
    look_at_eggs(clutch, {"1": ("pipped", "")}, date="2026-05-30", who=WHO)
    with pytest.raises(RecordError, match=r"egg 1 is on record as pipped on 2026-05-30. Was it a slug before"):
        look_at_eggs(clutch, {"1": ("slug", "")}, date="2026-05-01", who=WHO)
    with pytest.raises(RecordError, match=r"egg 1 is on record as out on 2026-05-31. Is it with veins on 2026-06-02?"):
        look_at_eggs(clutch, {"1": ("veins", "")}, date="2026-06-02", who=WHO)
    assert egg("1").outcome == "unknown"
    assert not egg("1").animal


def test_look_at_eggs__takes_off_what_speaks_against_it(clutch: Clutch) -> None:
    look_at_eggs(clutch, {"1": ("veins", "")}, date="2026-04-09", who=WHO)
    look_at_eggs(clutch, {"1": ("veins", "")}, date="2026-05-01", who=WHO)
    look_at_eggs(clutch, {"1": ("lost", "")}, date="2026-04-20", who=WHO, sure=True)
    assert egg("1").ended == "2026-04-20"
    assert [look.date for look in egg("1").looks.all()] == ["2026-04-09", "2026-04-20"]
    undo_last()
    assert [look.date for look in egg("1").looks.all()] == ["2026-04-09", "2026-05-01"]


def test_look_at_eggs__a_slug_again(clutch: Clutch) -> None:
    look_at_eggs(clutch, {"4": ("slug", "")}, date="2026-04-16", who=WHO)
    assert (egg("4").ended, egg("4").clutch.slugs) == ("2026-04-02", 1)


def test_look_at_eggs__all_faults_together(clutch: Clutch) -> None:
    with pytest.raises(RecordError) as error:
        look_at_eggs(clutch, {"1": ("hairy", ""), "9": ("veins", "x" * 201)}, date="2026-04-01", who=WHO)
    assert codes_of(error) == ["SEA-008", "SEA-007", "REC-013", "REC-011"]
    assert "clutch 26-01 has no egg '9'. Its eggs are 1, 2, 3, 4." in str(error.value)
    with pytest.raises(RecordError, match=r"SEA-002 field date: 2126-01-01 has not come yet"):
        look_at_eggs(clutch, {"1": ("veins", "")}, date="2126-01-01", who=WHO)


def test_look_at_eggs__that_were_only_counted(family: dict[str, Animal]) -> None:
    clutch = add_clutch(who=WHO, tag="C1", dam="D1", laid="2026-04-02", eggs=2)
    look_at_eggs(clutch, {"2": ("veins", "")}, date="2026-04-09", who=WHO)
    assert list(clutch.egg_records.values_list("mark", flat=True)) == ["1", "2"]
    undo_last()
    assert not Egg.objects.exists()
    bare = add_clutch(who=WHO, tag="C2", dam="D1", laid="2026-04-02")
    with pytest.raises(RecordError, match=r"clutch C2 has no egg '1'. None of its eggs is on record"):
        look_at_eggs(bare, {"1": ("veins", "")}, date="2026-04-09", who=WHO)


def test_lose_egg__with_what_was_found_in_it(clutch: Clutch) -> None:
    lost = lose_egg(
        egg("2"), date="2026-04-30", cause="dented, then mould", genes="Clown", defect="kinked tail", who=WHO
    )
    assert (lost.outcome, lost.ended, lost.cause) == ("died", "2026-04-30", "dented, then mould")
    young = Animal.objects.get(tag="26-01-2")
    assert (young.status, young.living, young.hatched, young.clutch) == ("died in the egg", False, "", clutch)
    assert (lost.animal, young.looks.get().allele, young.species) == (young, "clown", "python_regius")
    assert Observation.objects.get(kind="defect").note == "kinked tail"
    assert EggLook.objects.get().state == "lost"
    with pytest.raises(RecordError, match=r"SEA-009 .*egg 2 is lost since 2026-04-30, and 26-01-2 is its young"):
        lose_egg(egg("2"), date="2026-04-30", cause="", genes="Pastel", who=WHO)
    with pytest.raises(RecordError, match=r"SEA-009 .*it cannot be with veins on 2026-05-02"):
        look_at_eggs(clutch, {"2": ("veins", "")}, date="2026-05-02", who=WHO, sure=True)
    undo_last()
    assert egg("2").outcome == "unknown"
    assert not Animal.objects.filter(tag="26-01-2").exists()


def test_lose_egg__looked_into_later(clutch: Clutch) -> None:
    lose_egg(egg("2"), date="2026-04-20", cause="mould", who=WHO)
    assert egg("2").animal is None
    lose_egg(egg("2"), date="2026-04-30", cause="", genes="normal", who=WHO)
    assert (egg("2").ended, egg("2").cause) == ("2026-04-20", "mould")
    assert egg("2").animal == Animal.objects.get(tag="26-01-2")


def test_lose_egg__a_slug_is_asked_about(clutch: Clutch) -> None:
    with pytest.raises(RecordError, match=r"egg 4 is on record as a slug on 2026-04-02. Is it lost on 2026-04-20?"):
        lose_egg(egg("4"), date="2026-04-20", cause="", who=WHO)
    lose_egg(egg("4"), date="2026-04-20", cause="", who=WHO, sure=True)
    assert (egg("4").outcome, egg("4").clutch.slugs) == ("died", 0)


def test_lose_egg__two_writers(clutch: Clutch) -> None:
    mine, yours = egg("1"), egg("1")
    lost = lose_egg(mine, date="2026-04-20", cause="mould", who=WHO)
    with pytest.raises(RecordError, match=r"SEA-027 .*egg 1 is lost since 2026-04-20: somebody wrote so meanwhile"):
        lose_egg(yours, date="2026-04-21", cause="dry", who="Saltmere")
    assert egg("1").cause == "mould"
    undo_last()
    with pytest.raises(RecordError, match=r"egg 1 is in its box again: somebody wrote so meanwhile"):
        lose_egg(lost, date="2026-04-21", cause="dry", who=WHO)
    gone = egg("3")
    Egg.objects.filter(mark="3").delete()
    with pytest.raises(RecordError, match=r"egg 3 is not there any more"):
        lose_egg(gone, date="2026-04-21", cause="dry", who=WHO)


def test_lose_egg__of_a_clutch_that_was_removed_or_hatched(clutch: Clutch, family: dict[str, Animal]) -> None:
    hatched = change_egg(egg("1"), who=WHO, outcome="hatched")
    with pytest.raises(RecordError, match=r"egg 1 is hatched, and a young is its young"):
        lose_egg(hatched, date="2026-06-01", cause="", who=WHO)
    Clutch.objects.update(removed_at=dt.datetime(2026, 4, 9, tzinfo=dt.UTC))
    with pytest.raises(RecordError, match=r"SEA-027 field clutch: clutch 26-01 is not there any more"):
        lose_egg(hatched, date="2026-06-01", cause="", who=WHO)


def test_change_egg__a_young_that_died_in_it_stays(clutch: Clutch) -> None:
    lost = lose_egg(egg("2"), date="2026-04-30", cause="mould", genes="Clown", who=WHO)
    assert change_egg(lost, who=WHO, cause="heat").animal == lost.animal
    with pytest.raises(RecordError, match=r"the egg is recorded as slug and has a hatchling"):
        change_egg(lost, who=WHO, outcome="slug")
    change_clutch(lost.clutch, who=WHO, notes="hot spell")
