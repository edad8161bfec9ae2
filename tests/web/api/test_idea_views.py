"""Ideas over the API: the same as the command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.test import Client

from holdback.cli import main
from holdback.web.api.idea_schemas import IdeasOut

WHO = "Wrackline Barn"


@pytest.fixture
def herd(db: None) -> None:
    """A female, her brother, and a male of no kin."""
    from holdback.web.records.services import add_animal

    add_animal(who=WHO, tag="16-01", sex="male", genes="Pastel")
    add_animal(who=WHO, tag="17-02", sex="female", genes="Cinnamon", sires="16-01")
    add_animal(who=WHO, tag="18-03", sex="male", genes="Pastel")


@pytest.mark.parametrize(
    "address, command",
    [
        ("/api/ideas?animal=17-02", ["17-02"]),
        ("/api/ideas?animal=17-02&only=at+hand&most=3", ["17-02", "--at-hand", "--most", "3"]),
        ("/api/ideas?animal=17-02&allow=eightball-two", ["17-02", "--allow", "eightball-two"]),
    ],
)
def test_ideas__same_as_the_command(
    opened: Client, herd: None, address: str, command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    response = opened.get(address)
    assert response.status_code == 200
    assert main(["ideas", *command, "--json"]) == 0
    assert response.json() == json.loads(capsys.readouterr().out)
    IdeasOut.model_validate(response.json())


def test_ideas__offers_may_be_repeated(
    opened: Client, herd: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    response = opened.get("/api/ideas?animal=17-02&only=on+offer&offer=1.0+GHI&offer=call+me")
    file = tmp_path / "offers.txt"
    file.write_text("1.0 GHI\ncall me\n", encoding="utf-8")
    assert main(["ideas", "17-02", "--offered", str(file), "--on-offer", "--json"]) == 0
    assert response.json() == json.loads(capsys.readouterr().out)
    assert response.json()["ideas"][0]["genes"][0]["on_offer"][0]["name"] == "1.0 GHI"
    assert [each["text"] for each in response.json()["offers_not_read"]] == ["call me"]


@pytest.mark.parametrize(
    "address, code",
    [
        ("/api/ideas?animal=17-02&most=0", "DEC-110"),
        ("/api/ideas?animal=", "DEC-112"),
        ("/api/ideas?animal=17-02&allow=all", "DEC-113"),
        ("/api/ideas?animal=Nobodyatall", "PAIR-001"),
    ],
)
def test_ideas__says_what_is_wrong(opened: Client, herd: None, address: str, code: str) -> None:
    response = opened.get(address)
    assert response.status_code == 422
    assert response.json()["error"][0]["code"] == code
