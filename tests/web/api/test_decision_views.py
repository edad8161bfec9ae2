"""Goals and plans over the API: the same as the commands."""

from __future__ import annotations

import datetime as dt
import json
from unittest.mock import patch

import pytest
from django.test import Client

from holdback.cli import main
from holdback.web.api.decision_schemas import HoldBacksOut, MatesOut, ProjectsOut, RehearsalOut, RouteOut, SeasonPlanOut
from holdback.web.jobs.models import Job, State
from holdback.web.pages.decided import plans_now
from holdback.web.pages.holdback_day.work import work
from holdback.web.pages.worked_out import Working
from holdback.web.records import clock

WHO = "Wrackline Barn"


@pytest.fixture
def herd(db: None) -> None:
    """Two of each sex, grown, and a project that a clutch of two of them can reach."""
    from holdback.web.records.services import add_animal, start_project

    for tag, sex, genes in (
        ("16-01", "male", "Clown"),
        ("16-02", "male", "Pastel"),
        ("17-01", "female", "Clown Enchi"),
        ("17-02", "female", "Pastel het Clown"),
    ):
        add_animal(who=WHO, tag=tag, sex=sex, genes=genes, hatched="2017-07-01")
    start_project(who=WHO, name="Banded Clown", want="Clown Enchi", by=2099)


@pytest.mark.parametrize(
    "address, command, shape",
    [
        ("/api/mates/17-01?project=Banded+Clown", ["mates", "17-01", "--project", "Banded Clown"], MatesOut),
        ("/api/mates/17-01?want=Clown", ["mates", "17-01", "--want", "Clown"], MatesOut),
        ("/api/season/plan", ["season", "plan"], SeasonPlanOut),
        ("/api/route/banded%20clown", ["route", "Banded Clown", "--runs", "10000"], RouteOut),
        (
            "/api/rehearsal/banded%20clown?runs=500&seed=2",
            ["rehearse", "Banded Clown", "--runs", "500", "--seed", "2"],
            RehearsalOut,
        ),
    ],
)
def test_plans__same_as_the_command(
    opened: Client,
    herd: None,
    capsys: pytest.CaptureFixture[str],
    address: str,
    command: list[str],
    shape: type[MatesOut | SeasonPlanOut | RouteOut | RehearsalOut],
) -> None:
    response = opened.get(address)
    assert response.status_code == 200, response.content
    shape.model_validate(response.json())
    assert main([*command, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    for answer in (told, found := response.json()):
        for volatile in ("prices", "without_plan"):
            answer.pop(volatile, None)
    assert found == told


@pytest.fixture
def nest(herd: None) -> None:
    """Of Clown Enchi and a Clown one daughter that shows both, and a son that carries Clown."""
    from holdback.web.records.services import add_animal, add_clutch

    day = clock.today() - dt.timedelta(days=20)
    hatched = day.isoformat()
    laid = (day - dt.timedelta(days=60)).isoformat()
    add_clutch(who=WHO, tag="N-01", dam="17-01", sires="16-01", laid=laid, hatched=hatched, eggs=4)
    for tag, sex, genes in (("N-01-1", "female", "Clown Enchi"), ("N-01-2", "male", "Clown")):
        add_animal(who=WHO, tag=tag, sex=sex, genes=genes, clutch="N-01", hatched=hatched)


def test_hold_backs__same_as_the_command(opened: Client, nest: None, capsys: pytest.CaptureFixture[str]) -> None:
    address = "/api/hold-backs?clutch=N-01&tubs=1&tub_eggs=0.5"
    asked = {"clutches": ["N-01"], "tubs": 1, "projects": [], "tub_eggs": 0.5}
    work(plans_now(), asked, lambda share: None)
    response = opened.get(address)
    assert response.status_code == 200, response.content
    HoldBacksOut.model_validate(response.json())
    assert main(["keep", "N-01", "--tubs", "1", "--tub-eggs", "0.5", "--json"]) == 0
    assert response.json() == json.loads(capsys.readouterr().out)
    assert response.json()["kept"] == ["N-01-1"]


def test_hold_backs__say_how_far_the_work_is(opened: Client, nest: None) -> None:
    job = Job(kind="plans", state=State.RUNNING, progress=40, total=100, inputs={"what": "What to hold back"})
    with patch("holdback.web.pages.holdback_day.work.part_or_work", return_value=Working(job)):
        response = opened.get("/api/hold-backs?clutch=N-01")
    assert response.status_code == 503
    assert response.json()["error"][0]["code"] == "API-002"


@pytest.mark.parametrize(
    "asked, code",
    [("clutch=99-99", "DEC-094"), ("clutch=N-01&project=nothing", "DEC-140"), ("clutch=N-01&tubs=-1", "DEC-093")],
)
def test_hold_backs__bad_input(opened: Client, nest: None, asked: str, code: str) -> None:
    response = opened.get(f"/api/hold-backs?{asked}")
    assert response.status_code == 422, response.content
    assert response.json()["error"][0]["code"] == code


def test_projects__with_why_one_is_not_planned(opened: Client, herd: None) -> None:
    from holdback.web.records.services import start_project

    start_project(who=WHO, name="Out of reach", want="Piebald")
    response = opened.get("/api/projects")
    ProjectsOut.model_validate(response.json())
    found = {one["name"]: one["not_planned"] for one in response.json()["projects"]}
    assert found["Banded Clown"] == ""
    assert "Piebald" in found["Out of reach"]


@pytest.mark.parametrize(
    "address, code",
    [
        ("/api/mates/17-01", "DEC-143"),
        ("/api/mates/99?want=Clown", "DEC-020"),
        ("/api/mates/17-01?want=Foo", "DEC-001"),
        ("/api/route/nothing", "DEC-140"),
        ("/api/season/plan?year=1999", "DEC-141"),
    ],
)
def test_bad_input__one_clear_sentence(opened: Client, herd: None, address: str, code: str) -> None:
    response = opened.get(address)
    assert response.status_code == 422
    assert response.json()["error"][0]["code"] == code


def test_plans__say_how_far_the_work_is(opened: Client, herd: None) -> None:
    job = Job(kind="plans", state=State.RUNNING, progress=40, total=100, inputs={"what": "The way to every goal"})
    with patch("holdback.web.api.decision_views.part_or_work", return_value=Working(job)):
        response = opened.get("/api/projects")
    assert response.status_code == 503
    assert "40 %" in response.json()["error"][0]["message"]
