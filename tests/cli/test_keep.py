"""What to hold back in the terminal, on a small invented nest."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from holdback.cli import main

ANIMALS = """id,name,sex,hatched,origin,sire,dam,clutch,genes,status,notes
20-01,Ledger,male,2020-07-01,captive bred,,,,Clown,breeder,
20-02,Umber,female,2020-07-01,captive bred,,,,het Clown,breeder,
26-01-1,,female,2026-08-01,captive bred,20-01,20-02,26-01,Clown,,
26-01-2,,male,2026-08-01,captive bred,20-01,20-02,26-01,,,
"""
CLUTCHES = """id,sires,dam,laid,eggs,slugs,hatched
26-01,20-01,20-02,2026-06-01,6,0,2026-08-01
"""


@pytest.fixture
def nest(tmp_path: Path) -> list[str]:
    (tmp_path / "animals.csv").write_text(ANIMALS, encoding="utf-8")
    (tmp_path / "clutches.csv").write_text(CLUTCHES, encoding="utf-8")
    return ["--from", str(tmp_path), "--on", "2026-09-05"]


def test_keep__the_goal_itself_first(nest: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    command = ["keep", "26-01", "--want", "female Clown", "--by", "2029", "--tubs", "1", "--runs", "250", *nest]
    assert main([*command, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    first, second = found["hatchlings"]
    assert (first["animal"], first["rank"], first["kept"]) == ("26-01-1", 1, True)
    assert {"animal", "rank", "score", "reasons"} <= first.keys()
    assert first["score"] > 0 == second["score"]
    assert found["for_sale"][0]["statement"] == "male het Clown"
    assert main([*command, "--sell"]) == 0
    text = capsys.readouterr().out
    assert "Keep 26-01-1: she is what female Clown asks for." in text
    assert "What may be said of the others" in text


def test_keep__says_what_is_wrong(nest: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["keep", "26-07", "--want", "Clown", *nest]) != 0
    assert "DEC-094: There is no clutch '26-07'." in capsys.readouterr().err
    assert main(["keep", "26-01", *nest]) != 0
    assert "DEC-092: There is no goal to weigh the hatchlings for." in capsys.readouterr().err
