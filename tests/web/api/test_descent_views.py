"""Relatedness and shares over the API: the same as the command."""

from __future__ import annotations

import json

import pytest
from django.test import Client

from holdback.cli import main
from holdback.web.api.schemas import KinOut, SharesOut

WHO = "Wrackline Barn"


@pytest.fixture
def herd(db: None) -> None:
    """A founder of a line, his daughter, and her young by him."""
    from holdback.web.records.services import add_animal, add_line_claim

    founder = add_animal(who=WHO, tag="16-01", sex="male")
    add_animal(who=WHO, tag="22-11", sex="female", sires="16-01")
    add_animal(who=WHO, tag="22-05", sex="male", dam="22-11", sires="16-01")
    add_line_claim(founder, who=WHO, line="Marrowfen", share_low=0.5, ground="Show table.")


@pytest.mark.parametrize(
    "address, command",
    [
        ("/api/kin", ["kin"]),
        ("/api/kin?first=22-05&second=22-11", ["kin", "22-05", "22-11"]),
        ("/api/shares", ["shares"]),
        (
            "/api/shares?animal=22-11&above=0.25&line=marrowfen",
            ["shares", "22-11", "--above", "0.25", "--line", "Marrowfen"],
        ),
    ],
)
def test_api__same_as_the_command(
    opened: Client, herd: None, address: str, command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    response = opened.get(address)
    assert response.status_code == 200
    assert main([*command, "--json"]) == 0
    assert response.json() == json.loads(capsys.readouterr().out)
    (KinOut if "kin" in address else SharesOut).model_validate(response.json())


@pytest.mark.parametrize(
    "address, code",
    [
        ("/api/kin?first=22-05", "PED-012"),
        ("/api/kin?first=22-05&second=none", "BEL-001"),
        ("/api/shares?line=Nowhere", "PED-011"),
        ("/api/shares?above=2", "PED-013"),
    ],
)
def test_api__says_what_is_wrong(opened: Client, herd: None, address: str, code: str) -> None:
    response = opened.get(address)
    assert response.status_code == 422
    assert response.json()["error"][0]["code"] == code
