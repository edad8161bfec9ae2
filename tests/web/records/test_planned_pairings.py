"""Pairings planned for a season: what is refused, what is asked, locking, dropping, undoing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from holdback.errors import Fault, RecordError
from holdback.season.by_season import season_of
from holdback.web.records.asking import is_question
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Change, Decision, PlannedPairing, Project
from holdback.web.records.overlay import catalogue
from holdback.web.records.services import (
    accept_caution,
    add_measurement,
    change_animal,
    drop_pairing,
    lock_pairing,
    plan_pairing,
    reach_project,
    remove_animal,
    start_project,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


@pytest.fixture
def year(db: None) -> int:
    """The season after the one that runs."""
    return season_of(today(), catalogue()) + 1


@pytest.fixture
def herd(add: Add) -> dict[str, Animal]:
    """Two unrelated, a son and a daughter of theirs, and two that carry hidden gene woma and spider."""
    return {
        "F1": add("F1", sex="female", hatched="2019", genes="Enchi"),
        "M1": add("M1", sex="male", hatched="2018", genes="Clown"),
        "F2": add("F2", sex="female", hatched="2021", dam="F1", sires="M1", genes="het Clown"),
        "M2": add("M2", sex="male", hatched="2021", dam="F1", sires="M1", genes="het Clown"),
        "F3": add("F3", sex="female", hatched="2020", genes="Pastel"),
        "M3": add("M3", sex="male", hatched="2020", genes="Hidden Gene Woma"),
    }


@pytest.fixture
def clown(herd: dict[str, Animal]) -> Project:
    return start_project(who=WHO, name="Clown", want="Clown")


def faults_of(act: Callable[[], object]) -> list[Fault]:
    with pytest.raises(RecordError, match=r"(DEC|REC|SEA)-\d") as error:
        act()
    return list(error.value.faults)


def codes(**fields: Any) -> list[str]:
    return [fault.code for fault in faults_of(lambda: plan_pairing(who=WHO, **fields))]


def undo_last() -> None:
    undo(Change.objects.latest("id").batch, who=WHO)


def test_plan_pairing__two_that_fit(herd: dict[str, Animal], clown: Project, year: int) -> None:
    made = plan_pairing(who=WHO, year=year, dam=herd["F1"], sire=herd["M1"], project=clown, note=" First. ")
    assert (made.state, made.note, made.project) == ("planned", "First.", clown)
    undo_last()
    assert not PlannedPairing.objects.exists()


def test_plan_pairing__refuses_what_cannot_be(herd: dict[str, Animal], clown: Project, year: int) -> None:
    f1, m1 = herd["F1"], herd["M1"]
    assert codes(year=year, dam=f1, sire=f1, sure=True) == ["REC-017"]
    assert codes(year=year, dam=m1, sire=f1, sure=True) == ["SEA-040"]
    assert codes(year=year, dam=f1, sire=herd["F2"], sure=True) == ["SEA-040"]
    assert codes(year=27, dam=f1, sire=m1, sure=True) == ["REC-014"]
    assert codes(year=year - 2, dam=f1, sire=m1, sure=True) == ["DEC-131"]
    reach_project(clown, who=WHO)
    assert codes(year=year, dam=f1, sire=m1, project=clown, sure=True) == ["DEC-121"]


def test_plan_pairing__asks_for_kin_over_the_limit(herd: dict[str, Animal], clown: Project, year: int) -> None:
    """Full brother and sister of unrelated parents: inbred by a quarter."""
    sibs: dict[str, Any] = {"year": year, "dam": herd["F2"], "sire": herd["M2"]}
    (fault,) = faults_of(lambda: plan_pairing(who=WHO, project=clown, **sibs))
    assert (fault.code, fault.value) == ("DEC-127", "0.2500")
    assert is_question(fault)
    assert "25.0% on record; Clown allows 12.5%" in fault.what
    assert codes(locked=True, **sibs) == ["DEC-127", "DEC-129"]
    assert plan_pairing(who=WHO, sure=True, locked=True, **sibs).state == "locked"
    wide = start_project(who=WHO, name="Wide", want="Clown", inbreeding_at_most=0.25)
    assert plan_pairing(who=WHO, project=wide, **sibs).project == wide, "no limit is broken"


def test_plan_pairing__asks_for_a_second_male(herd: dict[str, Animal], clown: Project, year: int) -> None:
    f1 = herd["F1"]
    first = plan_pairing(who=WHO, year=year, dam=f1, sire=herd["M1"], project=clown)
    other = {"year": year, "dam": f1, "sire": herd["M3"], "project": clown}
    assert codes(**other) == ["DEC-126", "DEC-130"]
    drop_pairing(first, who=WHO, why="He is to rest.")
    assert codes(**other) == ["DEC-130"]
    assert codes(**{**other, "year": year + 1}) == ["DEC-130"], "another season is another matter"


def test_plan_pairing__dropped_is_planned_again(herd: dict[str, Animal], clown: Project, year: int) -> None:
    pair: dict[str, Any] = {"year": year, "dam": herd["F1"], "sire": herd["M1"]}
    first = drop_pairing(plan_pairing(who=WHO, **pair), who=WHO, why="He is to rest.")
    assert (first.state, first.note) == ("dropped", "He is to rest.")
    again = plan_pairing(who=WHO, project=clown, **pair)
    assert (again.pk, again.state, again.note) == (first.pk, "planned", "He is to rest.")


def test_plan_pairing__asks_for_two_of_another_project(herd: dict[str, Animal], clown: Project, year: int) -> None:
    pair: dict[str, Any] = {"year": year, "dam": herd["F1"], "sire": herd["M1"]}
    plan_pairing(who=WHO, project=clown, **pair)
    enchi = start_project(who=WHO, name="Enchi", want="Enchi", animals=[herd["M1"]])
    assert codes(project=clown, **pair) == ["DEC-124"]
    assert codes(project=enchi, **pair) == ["DEC-133"]
    assert plan_pairing(who=WHO, project=enchi, sure=True, **pair).project == enchi
    assert PlannedPairing.objects.count() == 1


def test_plan_pairing__asks_for_an_animal_that_is_not_here(herd: dict[str, Animal], year: int) -> None:
    change_animal(herd["M1"], who=WHO, status="sold")
    assert codes(year=year, dam=herd["F3"], sire=herd["M1"]) == ["DEC-125"]
    remove_animal(herd["F3"], who=WHO)
    assert codes(year=year, dam=herd["F3"], sire=herd["M1"]) == ["DEC-125", "DEC-125"]


def test_plan_pairing__asks_for_who_is_not_fit_this_season_only(herd: dict[str, Animal], year: int) -> None:
    f3, m1 = herd["F3"], herd["M1"]
    for number in (10, 40):
        day = today().toordinal() - number
        add_measurement(f3, who=WHO, date=type(today()).fromordinal(day).isoformat(), trait="mass", value=700, unit="g")
    (fault,) = faults_of(lambda: plan_pairing(who=WHO, year=year - 1, dam=f3, sire=m1))
    assert (fault.code, fault.field, fault.animal) == ("DEC-128", "dam", "F3")
    assert fault.what.startswith("F3, not yet: ")
    assert plan_pairing(who=WHO, year=year, dam=f3, sire=m1).year == year, "she has time to grow"


def test_plan_pairing__welfare_is_spoken_for_in_words(herd: dict[str, Animal], clown: Project, year: int) -> None:
    pair: dict[str, Any] = {"year": year, "dam": herd["F3"], "sire": herd["M3"], "project": clown}
    (fault,) = faults_of(lambda: plan_pairing(who=WHO, **pair))
    assert (fault.code, fault.value, fault.field) == ("DEC-130", "welfare-neurological:hidden-gene-woma", "words")
    assert "Hidden Gene Woma" in fault.what
    plan_pairing(who=WHO, sure=True, words="I keep every young that wobbles.", **pair)
    spoken = Decision.objects.get()
    assert (spoken.project, spoken.code, spoken.by) == (clown, "welfare-neurological:hidden-gene-woma", WHO)
    assert spoken.words == "I keep every young that wobbles."
    undo_last()
    assert not Decision.objects.exists()
    assert not PlannedPairing.objects.exists()


def test_plan_pairing__what_is_spoken_for_asks_no_more(herd: dict[str, Animal], clown: Project, year: int) -> None:
    """By the code of the kind, which stands for all genes of it."""
    accept_caution(clown, "welfare-neurological", who=WHO, words="I know.")
    pair: dict[str, Any] = {"year": year, "dam": herd["F3"], "sire": herd["M3"]}
    plan_pairing(who=WHO, project=clown, **pair)
    other = start_project(who=WHO, name="Other", want="Pastel")
    assert codes(project=other, locked=True, **pair) == ["DEC-133", "DEC-130", "DEC-129"]


def test_lock_pairing__asks_again_and_refuses_what_was_dropped(herd: dict[str, Animal], year: int) -> None:
    planned = plan_pairing(who=WHO, year=year, dam=herd["F2"], sire=herd["M2"], sure=True)
    assert [fault.code for fault in faults_of(lambda: lock_pairing(planned, who=WHO))] == ["DEC-127", "DEC-129"]
    locked = lock_pairing(planned, who=WHO, sure=True)
    assert locked.state == "locked"
    assert lock_pairing(locked, who=WHO, locked=False).state == "planned"
    undo_last()
    assert PlannedPairing.objects.get().state == "locked"
    drop_pairing(locked, who=WHO)
    assert [fault.code for fault in faults_of(lambda: lock_pairing(planned, who=WHO, sure=True))] == ["DEC-132"]
