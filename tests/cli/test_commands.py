"""The commands as a new user runs them."""

import json
from pathlib import Path

import pytest

from holdback.cli import main
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Records, Sex


@pytest.fixture
def folder(tmp_path: Path) -> str:
    animals = (
        Animal("A1", name="Ledger", sex=Sex.MALE, genes="Clown"),
        Animal("A2", name="Umber", sex=Sex.FEMALE, genes="Enchi 50% het Clown"),
        Animal("A3", name="Odd", genes="Pastal"),
    )
    Collection.from_records(Records(animals=animals)).to_folder(tmp_path / "records")
    return str(tmp_path / "records")


def test_read__json_has_the_promised_keys(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", "0.1", "Pastel", "66% het Clown", "CB24", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert {"sex", "counts", "origin", "hatch_year", "genes", "lines", "unread", "warnings"} <= answer.keys()
    assert answer["sex"] == "female"
    assert answer["hatch_year"] == 2024
    genes = {gene["gene"]: gene["copies"] for gene in answer["genes"]}
    assert genes["Pastel"]["1"] == 1
    assert genes["Clown"]["1"] == pytest.approx(2 / 3, abs=0.01)


def test_read__says_what_was_not_read(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", "Pastel Karoo"]) == 0
    assert "'Karoo' was not read" in capsys.readouterr().out


def test_odds__json_has_the_promised_keys(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["odds", "Clown", "66% het Clown", "--want", "Clown", "--eggs", "8", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert {"outcomes", "listed", "lost", "want", "cautions", "exact"} <= answer.keys()
    assert answer["want"]["eggs_for"].keys() == {"50", "90", "95", "99"}
    assert answer["want"]["at_least_one"] == pytest.approx(2 / 3 * (1 - 2**-8), abs=2e-3)
    assert sum(outcome["probability"] for outcome in answer["outcomes"]) == pytest.approx(1)


def test_odds__reads_natural(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["odds", "Pastel", "Pastel"]) == 0
    printed = capsys.readouterr().out
    assert "Super Pastel" in printed
    assert "1 in 4 eggs" in printed


def test_odds__from_a_folder_by_id_and_name(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["odds", "A1", "A2", "--from", folder, "--json"]) == 0
    by_id = json.loads(capsys.readouterr().out)
    assert main(["odds", "Ledger", "Umber", "--from", folder, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == by_id


def test_odds__wrong_input_ends_with_one_message(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["odds", "A2", "A1", "--from", folder]) == 1
    assert capsys.readouterr().err.startswith("PAIR-003 animal A2: A2 is female")


def test_odds__no_such_folder(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["odds", "A1", "A2", "--from", "no-such-folder", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["error"][0]["code"] == "CLI-001"


def test_check__lists_gene_texts_with_a_doubt(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--from", folder]) == 0
    printed = capsys.readouterr().out
    assert "3 animals" in printed
    assert "A3: 'Pastal' was not read. Nearest known name: Pastel." in printed


def test_check__lists_all_faults_together(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    animals = Path(folder) / "animals.csv"
    animals.write_text("id,sex,dam\nA1,hen,A9\nA1,male,\n", encoding="utf-8")
    assert main(["check", "--from", folder, "--json"]) == 1
    problems = json.loads(capsys.readouterr().out)["problems"]
    assert len(problems) >= 3
    assert {problem["line"] for problem in problems} >= {2, 3}


def test_export__folder_to_folder_is_the_same_collection(folder: str, tmp_path: Path) -> None:
    assert main(["export", str(tmp_path / "copy"), "--from", folder]) == 0
    assert Collection.from_folder(tmp_path / "copy").digest == Collection.from_folder(folder).digest


def test_export__never_overwrites(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", folder, "--from", folder]) == 1
    assert "is there already" in capsys.readouterr().err


def test_export__file_in_a_folder_that_is_not_there(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", "no-such-folder/x.fam", "--from", folder]) == 1
    assert capsys.readouterr().err.startswith("CLI-001: There is no folder 'no-such-folder'.")


def test_import__missing_file_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", "no-such.xlsx"]) == 1
    assert "no-such.xlsx" in capsys.readouterr().err


def test_main__no_command_prints_help(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main([])
    assert stop.value.code == 0
    assert "COMMAND" in capsys.readouterr().out
