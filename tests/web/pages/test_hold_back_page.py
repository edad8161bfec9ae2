"""Hold-back day: choosing clutches, the hatchlings in order, and holding some back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest
from django.test import Client
from django.utils import timezone
from tests.web.pages.conftest import WHO, plain

from holdback.web.records.models import Animal, ProjectAnimal

Read = Callable[..., str]
ASKED = {"clutches": ["26-01"], "tubs": 2, "projects": [], "tub_eggs": 0.0}


@pytest.fixture
def nest(db: None, monkeypatch: pytest.MonkeyPatch) -> dict[str, Animal]:
    """Invented: of Clown Ledger and het Umber a daughter that shows it and two like sons that carry it."""
    from holdback.web.records import clock
    from holdback.web.records.services import add_animal, add_clutch, start_project

    monkeypatch.setattr(clock, "today", lambda: dt.date(2026, 9, 5))
    found: dict[str, Animal] = {}

    def add(tag: str, sex: str, genes: str, **fields: str) -> None:
        found[tag] = add_animal(who=WHO, tag=tag, sex=sex, genes=genes, **fields)  # type: ignore[arg-type]  # names are literal below

    add("20-01", "male", "Clown", name="Ledger", hatched="2020-07")
    add("20-02", "female", "het Clown", name="Umber", hatched="2020-07")
    add("20-03", "female", "Normal", name="Quill", hatched="2020-07")
    add_clutch(who=WHO, tag="26-01", dam="20-02", sires="20-01", laid="2026-06-01", hatched="2026-08-01", eggs=6)
    for tag, sex, genes in (("26-01-1", "female", "Clown"), ("26-01-2", "male", ""), ("26-01-3", "male", "")):
        add(tag, sex, genes, clutch="26-01", hatched="2026-08-01")
    start_project(who=WHO, name="First Clown", want="female Clown", by=2029)
    return found


@pytest.fixture
def weighed(nest: dict[str, Animal]) -> None:
    """What to hold back of the nest, worked out in this process."""
    from holdback.web.pages.decided import plans_now
    from holdback.web.pages.holdback_day.work import work

    work(plans_now(), ASKED, lambda share: None)


def test_hold_back__clutches_to_choose_from(read: Read, nest: dict[str, Animal]) -> None:
    page = read("/hold-back/")
    assert "26-01, Ledger with Umber: 3 here" in page
    assert "Show what to hold back" in page


def test_hold_back__nothing_hatched(read: Read, db: None) -> None:
    assert "Here the young of the year stand side by side" in read("/hold-back/")


def test_hold_back__without_a_project(read: Read, nest: dict[str, Animal]) -> None:
    from holdback.web.records.models import Project
    from holdback.web.records.services import give_up_project

    give_up_project(Project.objects.get(), who=WHO)
    assert "No project is open." in read("/hold-back/")


def test_hold_back__a_job_says_how_far_it_is(
    read: Read, nest: dict[str, Animal], monkeypatch: pytest.MonkeyPatch
) -> None:
    from holdback.web.jobs.models import Job, State
    from holdback.web.pages import decided

    def noted(name: str, **inputs: object) -> Job:
        now = timezone.now()
        return Job.objects.create(kind=name, inputs=inputs, state=State.RUNNING, worker="w", made_at=now, heartbeat=now)

    monkeypatch.setattr(decided, "start_here", noted)
    monkeypatch.setattr(decided, "PATIENCE", 0.0)
    assert "What to hold back is being worked out" in read("/hold-back/", clutch="26-01", tubs="2")


def test_hold_back__hatchlings_in_order(read: Read, weighed: None) -> None:
    page = read("/hold-back/", clutch="26-01", tubs="2")
    assert "Clutch 26-01, Ledger with Umber · 3 hatchlings, 2 tubs" in page
    assert "Keep 26-01-1: she is what First Clown asks for." in page
    assert page.index("26-01-1, female") < page.index("26-01-2, male")
    assert "Best of all: every set of those that could change a plan was rehearsed" in page
    assert "male het Clown" in page, "what may be said of those for sale"
    assert "ask a reptile vet in doubt" in page


def test_hold_back__for_one_project_with_a_tub_that_costs(read: Read, nest: dict[str, Animal]) -> None:
    """Each tub costs more than the goal is worth: nobody is held back."""
    from holdback.web.pages.decided import plans_now
    from holdback.web.pages.holdback_day.work import work
    from holdback.web.records.models import Project
    from holdback.web.records.services import start_project

    start_project(who=WHO, name="Second Clown", want="male Clown", by=2031)
    key = Project.objects.get(name="First Clown").key
    work(plans_now(), {**ASKED, "projects": [key], "tub_eggs": 150.0}, lambda share: None)
    page = read("/hold-back/", clutch="26-01", tubs="2", project=key, tub_eggs="150")
    assert "Hold back none: each brings less than its tub costs until it breeds." in page
    assert "without in 70" in page
    assert "A tub counts 150 eggs a year, as you said" in page
    assert "Second Clown" in page, "it can be chosen as well"


def test_hold_back__a_project_that_is_none(read: Read, nest: dict[str, Animal]) -> None:
    assert "There is no open project 'nope'." in read("/hold-back/", clutch="26-01", tubs="2", project="nope")


def test_hold_back__holds_those_named(opened: Client, weighed: None) -> None:
    from holdback.web.records.models import Project

    key = Project.objects.get().key
    answer = opened.post("/hold-back/hold/", {"clutch": "26-01", "tubs": "2", "hold": f"26-01-1|{key}"})
    assert answer.status_code == 302
    assert Animal.objects.get(tag="26-01-1").status == "holdback"
    assert ProjectAnimal.objects.get().animal.tag == "26-01-1"


def test_hold_back__asks_where_there_are_more_than_tubs(opened: Client, weighed: None) -> None:
    from holdback.web.records.models import Project

    Project.objects.update(tubs=1)
    key = Project.objects.get().key
    asked = {"clutch": "26-01", "tubs": "2", "hold": [f"26-01-1|{key}", f"26-01-2|{key}"]}
    answer = opened.post("/hold-back/hold/", asked)
    assert answer.status_code == 422
    assert "First Clown would hold back 2, and has 1 tubs." in plain(answer.content.decode())
    assert not ProjectAnimal.objects.exists()
    assert opened.post("/hold-back/hold/", {**asked, "sure": "1"}).status_code == 302
    assert ProjectAnimal.objects.count() == 2


def test_hold_back__a_clutch_that_is_none(read: Read, nest: dict[str, Animal]) -> None:
    assert "There is no clutch '99-99'." in read("/hold-back/", clutch="99-99", tubs="2")
