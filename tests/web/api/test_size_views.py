"""Sizes over the API: the same as the command."""

from __future__ import annotations

import json

import pytest
from django.test import Client

from holdback.cli import main
from holdback.web.api.schemas import SizesOut

WHO = "Wrackline Barn"


@pytest.fixture
def herd(db: None) -> None:
    """A founder of a line, and a young of his that was weighed."""
    from holdback.web.records.services import add_animal, add_line_claim, add_measurement

    founder = add_animal(who=WHO, tag="16-01", sex="male", hatched="2014")
    young = add_animal(who=WHO, tag="22-11", sex="female", sires="16-01", hatched="2022-07-18")
    add_line_claim(founder, who=WHO, line="Marrowfen", share_low=1, ground="Invoice.")
    add_measurement(young, who=WHO, date="2022-07-18", trait="mass", value=94, unit="g")
    add_measurement(young, who=WHO, date="2026-03-02", trait="mass", value=3010, unit="g", condition="empty")


def test_api__same_as_the_command(opened: Client, herd: None, capsys: pytest.CaptureFixture[str]) -> None:
    response = opened.get("/api/sizes?animal=22-11")
    assert response.status_code == 200
    assert main(["size", "22-11", "--json"]) == 0
    assert response.json() == json.loads(capsys.readouterr().out)
    SizesOut.model_validate(response.json())
    assert response.json()["animals"]["22-11"]["weights"] == 2


def test_api__says_what_is_wrong(opened: Client, herd: None) -> None:
    response = opened.get("/api/sizes?animal=22-11&line=Marrowfen")
    assert response.status_code == 422
    assert response.json()["error"][0]["code"] == "SIZ-102"
