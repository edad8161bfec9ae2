"""The season plan as a board: pairs with reasons, moves by hand with what they cost, locks, and keeping it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from tests.web.pages.conftest import WHO, Read, plain

from holdback.web.records.models import Animal, PlanKept, PlannedPairing, Project

BOARD = "/season/plan/"


@pytest.fixture
def herd(db: None, monkeypatch: pytest.MonkeyPatch) -> dict[str, Animal]:
    """Invented: two males and three females that carry Clown or show it, one female that does not, two projects."""
    from holdback.web.records import clock
    from holdback.web.records.services import add_animal, start_project

    monkeypatch.setattr(clock, "today", lambda: dt.date(2026, 11, 5))
    monkeypatch.setattr("holdback.answers.decisions.decisions.RUNS", 250)
    monkeypatch.setattr("holdback.answers.decisions.decisions.SHORT", 250)
    found: dict[str, Animal] = {}
    for tag, name, sex, genes in (
        ("20-01", "Ledger", "male", "Clown"),
        ("20-02", "Harrow", "male", "het Clown"),
        ("20-03", "Umber", "female", "het Clown"),
        ("20-04", "Quill", "female", "Clown"),
        ("20-05", "Sorrel", "female", "het Clown"),
        ("20-06", "Thistle", "female", "Normal"),
    ):
        found[name] = add_animal(who=WHO, tag=tag, name=name, sex=sex, genes=genes, hatched="2020-07", status="breeder")
    start_project(who=WHO, name="First Clown", want="female Clown", by=2029)
    return found


def planned() -> set[tuple[str, str, str]]:
    rows = PlannedPairing.objects.select_related("dam", "sire")
    return {(one.sire.name, one.dam.name, one.state) for one in rows}


def test_plan__says_who_goes_with_whom_and_why(read: Read, herd: dict[str, Animal]) -> None:
    page = read(BOARD)
    assert "Plan for 2027" in page
    assert "for First Clown. " in page
    assert "proven" in page
    assert "First try at the goal by 2029, for First Clown" in page
    assert "Ledger 20-01 with Quill 20-04" in page
    assert "No project gains from her this season." in page or "Another clutch would add no more" in page


def test_plan__without_a_project(read: Read, db: None) -> None:
    assert "No project is open" in read(BOARD)


def test_plan__says_how_far_it_is(read: Read, herd: dict[str, Animal], monkeypatch: pytest.MonkeyPatch) -> None:
    from holdback.web.jobs.models import Job, State
    from holdback.web.pages import decided

    def noted(name: str, **inputs: object) -> Job:
        now = timezone.now()
        return Job.objects.create(kind=name, inputs=inputs, state=State.RUNNING, worker="w", made_at=now, heartbeat=now)

    monkeypatch.setattr(decided, "start_here", noted)
    monkeypatch.setattr(decided, "PATIENCE", 0.0)
    monkeypatch.setattr(decided, "IN_REQUEST", 0)
    page = read(BOARD)
    assert "The way to every goal is being worked out" in page
    assert "Plan it otherwise" in page


def test_plan__a_move_is_told_with_its_cost(read: Read, herd: dict[str, Animal]) -> None:
    page = read(f"{BOARD}?year=2027&move=20-04~20-02~")
    assert "Quill 20-04 goes with Harrow 20-02. That costs" in page
    assert "First Clown, the goal by 2029:" in page
    assert "moved by you" in page
    out = read(f"{BOARD}?year=2027&move=20-04~~")
    assert "Quill 20-04 is left out. That costs" in out
    assert "You left her out." in out


def test_plan__a_move_of_somebody_unknown_is_refused(read: Read, herd: dict[str, Animal]) -> None:
    assert "A move names 99-99, which is not in this plan." in read(f"{BOARD}?move=20-04~99-99~")


def test_plan__other_males_for_her(read: Read, herd: dict[str, Animal]) -> None:
    page = read(f"{BOARD}?year=2027&her=20-04")
    assert "For Quill" in page
    assert "She goes with Ledger 20-01 as it stands." in page
    assert "Harrow 20-02 costs" in page
    assert "Leave her out: costs" in page


def test_plan__what_no_plan_can_hold_is_said_in_a_sentence(read: Read, herd: dict[str, Animal]) -> None:
    from holdback.web.pages.decided import plans_now
    from holdback.web.pages.season_plan.asked import Asked

    asked = Asked(2027, most=0, reserve=2)
    with pytest.raises(Exception, match="DEC-0"):
        plans_now().season_plan(2027, asked.but(reserve=3).wish)
    page = read(BOARD + asked.but(reserve=3).address)
    assert "No plan" in page
    assert "DEC-0" in page


def test_keep__writes_the_pairs_and_drops_what_was_planned_before(opened: Client, herd: dict[str, Animal]) -> None:
    from holdback.web.records.services import plan_pairing

    project = Project.objects.get()
    plan_pairing(who=WHO, year=2027, dam=herd["Quill"], sire=herd["Harrow"], project=project, sure=True)
    page = plain(opened.get(BOARD).content.decode())
    assert "dropped: Harrow 20-02 with Quill 20-04" in page
    response = opened.post(f"{BOARD}keep/?year=2027", {"answer": "sure"}, follow=True)
    assert "The plan for 2027 is kept" in plain(response.content.decode())
    assert ("Harrow", "Quill", "dropped") in planned()
    assert ("Ledger", "Quill", "planned") in planned()
    kept = PlanKept.objects.get()
    assert kept.year == 2027
    assert {one["dam"] for one in kept.plan["pairings"]} >= {"20-04"}


def test_lock__stays_in_every_plan_and_is_taken_back(opened: Client, herd: dict[str, Animal]) -> None:
    sent = {"dam": herd["Umber"].pk, "sire": herd["Harrow"].pk, "project": "first-clown", "year": "2027", "next": BOARD}
    response = opened.post(f"{BOARD}lock/", {**sent, "answer": "sure"})
    assert response.status_code == 302
    assert ("Harrow", "Umber", "locked") in planned()
    page = plain(opened.get(BOARD).content.decode())
    assert "Harrow 20-02 with Umber 20-03" in page
    assert "You fixed this pair." in page
    opened.post(f"{BOARD}lock/", {**sent, "deed": "unlock", "answer": "sure"})
    assert ("Harrow", "Umber", "planned") in planned()


def test_lock__asks_before_it_writes(opened: Client, herd: dict[str, Animal]) -> None:
    from holdback.web.records.services import plan_pairing

    plan_pairing(who=WHO, year=2027, dam=herd["Umber"], sire=herd["Ledger"], sure=True)
    sent = {"dam": herd["Umber"].pk, "sire": herd["Harrow"].pk, "project": "first-clown", "year": "2027"}
    response = opened.post(f"{BOARD}lock/", sent)
    assert response.status_code == 422
    assert "question before it is written" in plain(response.content.decode())
    assert ("Harrow", "Umber", "locked") not in planned()


def test_plan__is_kept_when_only_pairings_change(herd: dict[str, Animal]) -> None:
    from holdback.web.pages.decided import plans_now
    from holdback.web.records.services import plan_pairing

    before = plans_now()
    before.work_out()
    plan_pairing(who=WHO, year=2027, dam=herd["Umber"], sire=herd["Ledger"], sure=True)
    after = plans_now()
    assert after is not before
    assert after.is_worked_out
    assert after.route("first-clown") is before.route("first-clown")


def test_plan__asks_as_often_however_many_there_are(opened: Client, herd: dict[str, Animal]) -> None:
    opened.get(BOARD)
    with CaptureQueriesContext(connection) as seen:
        opened.get(BOARD)
    assert len(seen) <= 20


def test_costs__the_next_best_plan_beside_this_one(read: Read, herd: dict[str, Animal]) -> None:
    text = read(f"{BOARD}costs/?year=2027")
    assert "limit" in text
    assert "The next best plan" in text or "There is no other plan that differs so much." in text


def test_print__has_room_to_write(read: Read, herd: dict[str, Animal]) -> None:
    page = read(f"{BOARD}?year=2027&print=1")
    assert "Put together on" in page
    assert "Ledger 20-01" in page


def test_plan__not_proven_is_said_and_looked_into(
    read: Read, herd: dict[str, Animal], monkeypatch: pytest.MonkeyPatch
) -> None:
    from holdback.decisions import season_plan
    from holdback.web.jobs.models import Job, State
    from holdback.web.pages import decided
    from holdback.web.pages.season_plan.asked import Asked

    real = season_plan.plan_season

    def hasty(inp: season_plan.PlanInput, *, seconds: float = 10.0, **how: Any) -> season_plan.SeasonPlan:
        found = real(inp, seconds=seconds, **how)
        return found if seconds > 60 else replace(found, optimal=False, gap=1e-4)

    def noted(name: str, **inputs: object) -> Job:
        now = timezone.now()
        return Job.objects.create(kind=name, inputs=inputs, state=State.RUNNING, worker="w", made_at=now, heartbeat=now)

    monkeypatch.setattr(season_plan, "plan_season", hasty)
    monkeypatch.setattr(decided, "start_here", noted)
    monkeypatch.setattr(decided, "PATIENCE", 0.0)
    page = read(BOARD)
    assert "Not proven best: within 0.01 % of the best there could be." in page
    assert "Whether another plan is better is being worked out" in page
    decided.plans_now().press_on(2027, Asked(2027).wish)
    page = read(BOARD)
    assert "is worth more: proven." in page
    assert "What limits cost" in page


def test_broken_words__weeks_of_one_kind_of_place_in_one_sentence() -> None:
    from holdback.decisions.season_plan import Broken, WeekPlaces, WhatIf
    from holdback.web.pages.season_plan.words import broken_words

    weeks = [dt.date(2027, 7, 5) + dt.timedelta(weeks=week) for week in range(3)]
    load = tuple(WeekPlaces("tubs", week, 20.0, 24.0 + at, 25.0) for at, week in enumerate(weeks, start=1))
    broken = (Broken("pair:a:b", 1.0, "They are kin."), *(Broken(f"tubs:{one.week}", 1.0, "") for one in load[1:]))
    state = WhatIf(0.0, 0.0, (), broken, load, ())
    assert broken_words(state) == [
        "They are kin.",
        "From the week of 12 July to that of 19 July there are too few tubs: 27 would be taken, of 25.",
    ]
    assert broken_words(state, {"pair:a:b", f"tubs:{weeks[2]}"}) == [
        "In the week of 12 July there are too few tubs: 26 would be taken, of 25."
    ]


def test_plan__says_what_hangs_on_a_doubt(read: Read, herd: dict[str, Animal]) -> None:
    from holdback.web.records.services import add_animal

    add_animal(
        who=WHO, tag="20-07", name="Mortar", sex="female", genes="50% het Clown", hatched="2020-07", status="breeder"
    )
    lock = f"{BOARD}?year=2027&fix=20-07~20-01~first-clown"
    page = read(lock)
    assert "1 pairing hangs on what an animal may carry." in page
