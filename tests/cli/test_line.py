"""`holdback line` on the demo and on bad input."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest

from holdback.cli import main

DEMO = ["--from", str(files("holdback.demo_data") / "collection"), "--on", "2026-05-14"]


def test_line__clutches_and_their_price(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["line", "Marrowfen", "--clutches", "5", *DEMO, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["year"] == 2027
    assert len(found["pairs"]) == found["clutches"] == 5
    assert found["kinship"] <= found["limit"]
    assert found["one_percent_costs"] > 0
    assert sum(one["clutches"] for one in found["animals"]) == 10
    assert sum(one["best_part"] for one in found["animals"]) == pytest.approx(1.0)


def test_line__in_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["line", "marrowfen", *DEMO]) == 0
    said = capsys.readouterr().out
    assert "Marrowfen, season 2027: 4 clutches" in said
    assert "At the limit, one more percent of size costs" in said
    assert "Flint 19-05: Under treatment" in said


@pytest.mark.parametrize("command, code", [(["Nowhere"], "PED-011"), (["Marrowfen", "--clutches", "40"], "DEC-109")])
def test_line__bad_input(capsys: pytest.CaptureFixture[str], command: list[str], code: str) -> None:
    assert main(["line", *command, *DEMO]) == 1
    assert code in capsys.readouterr().err
