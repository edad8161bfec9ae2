"""`kin` and `shares` as a new user runs them, on the demo's folder."""

from __future__ import annotations

import json

import pytest

from holdback.cli import main
from holdback.demo_data import folder

FROM = ["--from", str(folder() / "collection")]


def test_kin__two_animals(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kin", "Bracken", "25-08", *FROM, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    # Bracken is Mortar x Thistle, Coppice Flint x Thistle; Thistle is Mortar's: 1/4 (1/4 + 1/2)
    assert answer["kinship"] == answer["offspring_inbreeding"] == pytest.approx(0.1875)
    assert {one["animal"] for one in answer["common_ancestors"]} == {"16-01", "19-01"}
    assert answer["shares"]["Marrowfen"]["mean"] == pytest.approx(0.625)
    assert main(["kin", "Bracken", "25-08", *FROM]) == 0
    printed = capsys.readouterr().out
    assert "through Thistle 19-01" in printed
    assert "reptile vet" in printed


def test_kin__everybody(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kin", *FROM, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["animals"]["22-11"]["inbreeding"] == pytest.approx(0.25)
    assert sum(answer["founders"].values()) == pytest.approx(1.0)
    assert main(["kin", *FROM]) == 0
    assert "Umber 22-11" in capsys.readouterr().out


def test_kin__says_what_is_wrong(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kin", "22-11", *FROM]) == 1
    assert "PED-012" in capsys.readouterr().err
    assert main(["kin", "22-11", "Nobody", *FROM]) == 1
    assert "BEL-001" in capsys.readouterr().err


def test_shares__one_animal(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shares", "22-11", "--above", "0.7", *FROM, "--json"]) == 0
    share = json.loads(capsys.readouterr().out)["animals"]["22-11"]["Marrowfen"]
    assert {"mean", "sd", "low", "high", "unknown", "basis", "above"} <= share.keys()
    assert share["mean"] == pytest.approx(0.75)
    assert 0.5 < share["above"] < 1
    assert main(["shares", "Umber", *FROM]) == 0
    printed = capsys.readouterr().out
    assert "by descent" in printed
    assert "Umber 22-11" in printed


def test_shares__carriers(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shares", *FROM]) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("Marrowfen: ")
    assert "Mortar 16-01" in printed
    assert "Magpie" not in printed, "no part of it is said of her"


def test_shares__unknown_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shares", "--line", "Nowhere", *FROM]) == 1
    assert "Lines on record: Marrowfen" in capsys.readouterr().err


def test_shares__of_a_line_says_what_is_left(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shares", "--line", "marrowfen", *FROM, "--json"]) == 0
    line = json.loads(capsys.readouterr().out)["line"]
    assert {one["animal"] for one in line["founders"]} == {"16-01", "16-02", "18-01"}
    assert line["missing"] == ["16-02", "18-01"]
    assert all(one["inbreeding"] <= 0.125 for one in line["pairs"])
    assert main(["shares", "--line", "Marrowfen", *FROM]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    assert "carry nothing of Peat 16-02 and Cinder 18-01" in printed
    assert "through nobody here" in printed, "Cinder has no young"


def test_backcross__table(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["backcross", "--generations", "2", "--from-year", "2027", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["rows"]
    assert [row["recurrent_share"] for row in rows] == [0.5, 0.75, 0.875]
    # one animal bred back to again and again: Falconer & Mackay table 5.1, from memory
    assert [row["inbreeding"] for row in rows] == [0.0, 0.25, 0.375]
    assert [row["year"] for row in rows] == [2027, 2030, 2033]
    assert rows[0]["stretch_cm"] is None
    assert rows[1]["stretch_cm"] > rows[2]["stretch_cm"] > 0
    assert main(["backcross"]) == 0
    assert "back 5" in capsys.readouterr().out


def test_backcross__says_what_is_wrong(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["backcross", "--generations", "-1"]) == 1
    assert "PED-014" in capsys.readouterr().err


def test_backcross__carries_a_gene_into_a_line(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["backcross", "--gene", "Enchi", "--line", "marrowfen", "--generations", "2", "--on", "2026-11-01", *FROM]
    assert main([*asked, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    first = answer["ways"][0]["generations"][0]
    assert (answer["line"], first["cross"]) == ("Marrowfen", "first cross")
    assert first["share_range"][0] <= first["share"] <= first["share_range"][1]
    assert {one["through"] for one in answer["ways"]} <= {"male", "female"}
    assert main(asked) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("Enchi into Marrowfen, brought by ")
    assert "There are no DNA markers to go by" in printed


def test_backcross__a_gene_with_a_welfare_caution_wants_a_word(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["backcross", "--gene", "Spider", "--line", "Marrowfen", *FROM]) == 1
    assert "DEC-142" in capsys.readouterr().err


def test_backcross__a_plan_needs_a_cross_back(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["backcross", "--gene", "Enchi", "--line", "Marrowfen", "--generations", "0", *FROM]) == 1
    assert "Give 1 to 20." in capsys.readouterr().err
