"""Projects: start, change, close, order, cautions spoken for, young held back, plans kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

from holdback import __version__
from holdback.errors import Fault, RecordError
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Change, Decision, PlanKept, Project, ProjectAnimal, Record
from holdback.web.records.services import (
    accept_caution,
    add_line_claim,
    change_goal,
    give_up_project,
    goal_changes,
    hold_back,
    keep_plan,
    open_project_again,
    plan_last_kept,
    reach_project,
    release,
    reorder_projects,
    start_project,
    undo,
    withdraw_caution,
)
from holdback.web.records.state import state

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


def faults_of(act: Callable[[], object]) -> list[Fault]:
    with pytest.raises(RecordError, match=r"(DEC|REC|COL|SEA)-\d") as error:
        act()
    return list(error.value.faults)


def codes(act: Callable[[], object]) -> list[str]:
    return [fault.code for fault in faults_of(act)]


def undo_last() -> None:
    undo(Change.objects.latest("id").batch, who=WHO)


def everything() -> list[dict[str, Any]]:
    models: tuple[type[Record], ...] = (Project, ProjectAnimal, Decision, PlanKept, Animal)
    return [{"id": str(row.pk), **state(row)} for model in models for row in model._default_manager.order_by("pk")]


@pytest.fixture
def big(db: None) -> Project:
    return start_project(who=WHO, name="Big Clown", want="female Clown Enchi", by=today().year + 4, tubs=1)


def test_start_project__says_what_was_said_and_stands_last(big: Project) -> None:
    second = start_project(
        who=WHO, name="Clown Pied", want="Clown Pied", some_of=[" Enchi ", "", "Banana"], some_least=1
    )
    assert (second.key, second.order, second.some_of) == ("clown-pied", big.order + 1, ["Enchi", "Banana"])
    assert (second.since, second.state) == (today().isoformat(), "open")
    assert Change.objects.latest("id").label == "Clown Pied"


def test_start_project__keys_are_never_the_same(big: Project) -> None:
    reach_project(big, who=WHO)
    names = ["big clown!", "Néw", "none", "¡¿"]
    made = [start_project(who=WHO, name=name, want="Clown").key for name in names]
    assert made == ["big-clown-2", "project-new", "project-none", "project"]


def test_start_project__refuses_values_together_and_before_the_genes(db: None) -> None:
    def start() -> object:
        return start_project(
            who=WHO, name="", want="Clwn", by=31, number=0, share_at_least=1.5, money=-1.0, size_low_g=900.0
        )

    assert [(fault.code, fault.field) for fault in faults_of(start)] == [
        ("REC-010", "name"),
        ("REC-014", "by"),
        ("REC-014", "number"),
        ("REC-014", "money"),
        ("REC-014", "share_at_least"),
    ]
    band: dict[str, Any] = {"name": "Big", "want": "Clown", "size_low_g": 900.0}
    assert [(fault.code, fault.field) for fault in faults_of(lambda: start_project(who=WHO, **band))] == [
        ("COL-045", "size_aim")
    ]
    assert not Project.objects.exists()


def test_start_project__refuses_a_goal_that_cannot_be_read(add: Add) -> None:
    def start(**fields: Any) -> list[str]:
        return codes(lambda: start_project(who=WHO, name="X", **fields))

    assert start(want="Clwn") == ["DEC-001"]
    assert start() == ["DEC-003"]
    assert start(want="Clown", by=today().year - 3) == ["DEC-010"]
    assert start(want="Clown", line="Marrowfen", share_at_least=0.5) == ["DEC-009"]
    add_line_claim(add("M1"), line="Marrowfen", who=WHO, share_low=1, share_high=1)
    assert start_project(who=WHO, name="X", want="Clown", line="Marrowfen", share_at_least=0.5).line == "Marrowfen"


def test_start_project__one_name_once_while_it_is_open(big: Project) -> None:
    assert codes(lambda: start_project(who=WHO, name="big clown", want="Clown")) == ["DEC-120"]
    give_up_project(big, who=WHO, why="No room.")
    other = start_project(who=WHO, name="Big Clown", want="Clown")
    assert codes(lambda: open_project_again(big, who=WHO)) == ["DEC-120"]
    reach_project(other, who=WHO)
    assert open_project_again(big, who=WHO).state == "open"


def test_change_goal__shows_what_changes_and_does_it(big: Project, add: Add) -> None:
    males = [add("M2", sex="male"), add("M1", sex="male")]
    fields: dict[str, Any] = {"tubs": 3, "name": " Big Clown ", "inbreeding_at_most": 0.0625, "animals": males}
    shown = goal_changes(big, **fields)
    assert [str(one) for one in shown] == [
        "tubs at one time: 1, now 3",
        "largest inbreeding: 12.5 %, now 6.25 %",
        "animals for it only: nothing, now M1, M2",
    ]
    assert Project.objects.get().tubs == 1, "nothing is changed by being shown"
    assert change_goal(big, who=WHO, **fields) == shown
    assert (Project.objects.get().tubs, big.tubs) == (3, 3)
    assert change_goal(big, who=WHO, **fields) == ()
    change_goal(big, who=WHO, animals=males[:1])
    assert [row.animal.tag for row in big.animals.all()] == ["M2"]


def test_change_goal__refused_leaves_all_as_it_was(big: Project) -> None:
    before = everything()
    assert codes(lambda: change_goal(big, who=WHO, want="Clwn", tubs=9)) == ["DEC-001"]
    assert everything() == before
    reach_project(big, who=WHO)
    assert codes(lambda: change_goal(big, who=WHO, tubs=9)) == ["DEC-121"]
    assert codes(lambda: give_up_project(big, who=WHO)) == ["DEC-121"]


def test_give_up_project__keeps_why(big: Project) -> None:
    change_goal(big, who=WHO, notes="Large ones.")
    assert give_up_project(big, who=WHO, why="No room.").notes == "Large ones.\nNo room."


def test_reorder_projects__open_ones_first(big: Project) -> None:
    two, three = (start_project(who=WHO, name=name, want="Clown") for name in ("Two", "Three"))
    reach_project(two, who=WHO)
    assert codes(lambda: reorder_projects(["big-clown"], who=WHO)) == ["DEC-122"]
    reorder_projects(["three", "big-clown"], who=WHO)
    assert [one.key for one in Project.objects.all()] == ["three", "big-clown", "two"]
    assert three.key == "three"


def test_accept_caution__by_whom_when_and_in_which_words(big: Project) -> None:
    code = "welfare-neurological"
    assert codes(lambda: accept_caution(big, code, who=WHO, words=" ")) == ["DEC-136"]
    spoken = accept_caution(big, code, who=WHO, words="I keep every young that wobbles.", by="Oda Fenwick")
    assert (spoken.by, spoken.date) == ("Oda Fenwick", today().isoformat())
    assert accept_caution(big, code, who=WHO, words="Again.") == spoken
    withdraw_caution(spoken, who=WHO)
    assert not Decision.objects.exists()
    undo_last()
    assert Decision.objects.get().words == "I keep every young that wobbles."


def test_hold_back__gives_the_status_and_back_again(big: Project, add: Add) -> None:
    one, two = add("H1", status="for sale"), add("H2")
    hold_back([one], who=WHO, project=big)
    assert Animal.objects.get(tag="H1").status == "holdback"
    assert codes(lambda: hold_back([two], who=WHO, project=big)) == ["DEC-134"]
    assert len(hold_back([one, two], who=WHO, project=big, sure=True)) == 2
    assert ProjectAnimal.objects.count() == 2, "one that is held back already stays as it is"
    release(one, who=WHO, project=big)
    assert Animal.objects.get(tag="H1").status == "for sale"
    assert codes(lambda: release(one, who=WHO, project=big)) == ["DEC-137"]
    release(two, who=WHO, project=big, status="for sale")
    assert Animal.objects.get(tag="H2").status == "for sale"


def test_hold_back__for_two_projects_until_both_release(big: Project, add: Add) -> None:
    young, other = add("H1", status="new"), start_project(who=WHO, name="Two", want="Pied")
    hold_back([young], who=WHO, project=big)
    young.refresh_from_db()
    hold_back([young], who=WHO, project=other)
    release(young, who=WHO, project=big)
    assert Animal.objects.get().status == "holdback"
    release(young, who=WHO, project=other)
    assert Animal.objects.get().status == "new"


def test_hold_back__asks_for_one_that_was_sold_and_refuses_for_a_closed_project(big: Project, add: Add) -> None:
    sold = add("H1", status="sold")
    assert codes(lambda: hold_back([sold], who=WHO, project=big)) == ["DEC-125"]
    reach_project(big, who=WHO)
    assert codes(lambda: hold_back([sold], who=WHO, project=big, sure=True)) == ["DEC-121"]


def test_keep_plan__once_for_the_same_records_and_words(big: Project) -> None:
    plan = {"steps": [{"dam": "F1", "chance": 0.44}]}
    kept = keep_plan(plan, who=WHO, year=2027, digest="a" * 64, project=big)
    assert (kept.plan, kept.version) == (plan, __version__)
    assert keep_plan(plan, who=WHO, year=2027, digest="a" * 64, project=big) == kept
    later = keep_plan(plan, who=WHO, year=2027, digest="b" * 64, project=big)
    season = keep_plan({"pairs": []}, who=WHO, year=2027, digest="b" * 64)
    assert plan_last_kept(project=big) == later
    assert plan_last_kept(year=2027) == season
    assert plan_last_kept(year=2028) is None
    assert later.made_at >= kept.made_at > dt.datetime(2026, 1, 1, tzinfo=dt.UTC)


def test_keep_plan__refuses_what_no_database_keeps(big: Project) -> None:
    assert codes(lambda: keep_plan({"chance": float("nan")}, who=WHO, year=2027, digest="")) == ["DEC-135"]
    assert codes(lambda: keep_plan({"who": big}, who=WHO, year=2027, digest="")) == ["DEC-135"]
    assert codes(lambda: keep_plan({"text": "x" * 1_000_001}, who=WHO, year=2027, digest="")) == ["DEC-135"]


def test_undo__takes_every_deed_back(big: Project, add: Add) -> None:
    """Each deed alone: before, after, undone is as before."""
    young, male = add("H1", status="new"), add("M1", sex="male")
    start_project(who=WHO, name="Two", want="Pied")
    deeds: list[Callable[[], object]] = [
        lambda: start_project(who=WHO, name="Three", want="Pastel", animals=[male]),
        lambda: change_goal(big, who=WHO, tubs=7, some_of=["Banana"], some_least=1, animals=[male]),
        lambda: reach_project(big, who=WHO),
        lambda: give_up_project(big, who=WHO, why="No room."),
        lambda: reorder_projects(["two", "big-clown"], who=WHO),
        lambda: accept_caution(big, "welfare-eyes", who=WHO, words="So be it."),
        lambda: hold_back([young], who=WHO, project=big),
        lambda: keep_plan({"steps": []}, who=WHO, year=2027, digest="a", project=big),
    ]
    for act in deeds:
        before = everything()
        act()
        assert everything() != before
        undo_last()
        assert everything() == before
        big.refresh_from_db()
        young.refresh_from_db()
