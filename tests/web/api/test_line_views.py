"""Who of a line should breed, over the API: the same as the command."""

from __future__ import annotations

import json
from unittest.mock import patch

import pytest
from django.test import Client

from holdback.cli import main
from holdback.web.api.decision_schemas import LineOut
from holdback.web.jobs.models import Job, State
from holdback.web.pages.worked_out import Working

WHO = "Wrackline Barn"


@pytest.fixture
def line(db: None, at_once: None) -> None:
    """Two of each sex, grown, all of the line; its name has a stroke in it."""
    from holdback.web.records.services import add_animal, add_line_claim, add_measurement

    for number, (sex, grams) in enumerate([("male", 1900), ("male", 1300), ("female", 3600), ("female", 2100)]):
        one = add_animal(who=WHO, tag=f"17-0{number}", sex=sex, hatched="2017-07-01")
        add_line_claim(one, who=WHO, line="Fen/east", share_low=1.0, share_high=1.0)
        add_measurement(one, who=WHO, date="2026-03-02", value=grams, condition="empty")


def test_contributions__same_as_the_command(opened: Client, line: None, capsys: pytest.CaptureFixture[str]) -> None:
    response = opened.get("/api/lines/fen/east/contributions?clutches=2&rate=0.02")
    assert response.status_code == 200, response.content
    LineOut.model_validate(response.json())
    assert main(["line", "Fen/east", "--clutches", "2", "--rate", "0.02", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == response.json()


@pytest.mark.parametrize(
    "address, code",
    [("/api/lines/Nowhere/contributions", "PED-011"), ("/api/lines/Fen/east/contributions?clutches=7", "DEC-109")],
)
def test_contributions__one_clear_sentence(opened: Client, line: None, address: str, code: str) -> None:
    response = opened.get(address)
    assert response.status_code == 422
    assert response.json()["error"][0]["code"] == code


def test_contributions__say_how_far_the_work_is(opened: Client, line: None) -> None:
    job = Job(kind="plans", state=State.RUNNING, progress=40, total=100, inputs={"what": "Who should breed"})
    with patch("holdback.web.api.decision_views.line_or_work", return_value=Working(job)):
        response = opened.get("/api/lines/Fen/east/contributions")
    assert response.status_code == 503
    assert "40 %" in response.json()["error"][0]["message"]
