"""A pedigree goes out as a file and comes back, by the commands."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from holdback.bridge import collection_of_records
from holdback.cli import main
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Candidate, Records, Sex
from holdback.demo_data import folder as demo_folder
from holdback.web.records.models import Change


@pytest.fixture
def folder(tmp_path: Path) -> str:
    animals = (
        Animal("Big Red", sex=Sex.MALE, genes="Clown"),
        Animal("17-02", sex=Sex.MALE),
        Animal("19-01", name="Thistle", sex=Sex.FEMALE),
        Animal("22-11", sires=(Candidate("Big Red"),), dam="19-01"),
        Animal("22-12", sires=(Candidate("Big Red", 0.5), Candidate("17-02", 0.5)), dam="19-01"),
    )
    Collection.from_records(Records(animals)).to_folder(tmp_path / "records")
    return str(tmp_path / "records")


@pytest.fixture
def records(db: None, settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A database without animals, and a data folder of the test's own."""
    settings.HOLDBACK_DATA = tmp_path / "data"
    for module in ("importing", "exporting"):
        monkeypatch.setattr(f"holdback.cli.{module}.start_django", lambda: None)


def words(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().out.split())


def test_export__pedigree_with_what_it_does_not_hold(
    folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", str(tmp_path / "barn.fam"), "--from", folder]) == 0
    printed = words(capsys)
    assert (tmp_path / "barn.fam").read_bytes().decode().splitlines() == [
        "1\tBig_Red\t0\t0\t1\t0",
        "1\t17-02\t0\t0\t1\t0",
        "1\t19-01\t0\t0\t2\t0",
        "1\t22-11\tBig_Red\t19-01\t0\t0",
        "1\t22-12\t0\t19-01\t0\t0",
    ]
    assert printed.startswith("Wrote sex and parents of 5 animals to")
    for note in (
        "Animals with a doubtful sire, written as unknown: 1.",
        "Spaces in ids are written as _: Big Red as Big_Red.",
        "Not in the file: name (1), genes (1).",
    ):
        assert note in printed


def test_export__pedigree_json_tells_the_notes(folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(tmp_path / "barn.PED"), "--from", folder, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["counts"] == {"animals": 5, "clutches": 0}
    assert "Not in the file: name (1), genes (1)." in answer["notes"]


def test_export__ids_that_would_fall_together_write_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Collection.from_records(Records((Animal("A 1"), Animal("A_1")))).to_folder(tmp_path / "records")
    assert main(["export", str(tmp_path / "barn.fam"), "--from", str(tmp_path / "records")]) == 1
    assert capsys.readouterr().err.count("PED-026") == 2
    assert [one.name for one in tmp_path.iterdir()] == ["records"]


def test_import__faults_of_a_pedigree_each_once_with_its_line(
    records: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "barn.ped").write_text("1 A 0 0 1 0\n1 B 0\n1 C 0 0 m 0\n", encoding="utf-8")
    assert main(["import", str(tmp_path / "barn.ped")]) == 1
    assert [line.partition(":")[0] for line in capsys.readouterr().err.splitlines()] == [
        "PED-022 barn.ped line 2",
        "PED-023 barn.ped line 3",
    ]


def test_import__pedigree_notes_and_a_dry_run_that_changes_nothing(
    records: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "barn.ped").write_text("W1 K S D 2 0 A A\n", encoding="utf-8")
    assert main(["import", str(tmp_path / "barn.ped"), "--dry-run"]) == 0
    printed = words(capsys)
    assert "1 of 1 rows would land: 3 animals new" in printed
    assert "note: Lines with genotypes, which are not read: 1." in printed
    assert "note: Parents without a line of their own, taken as animals: 2." in printed
    assert not Change.objects.exists()
    assert main(["import", str(tmp_path / "barn.ped"), "--json"]) == 0
    (file,) = json.loads(capsys.readouterr().out)["files"]
    assert file["notes"][-1] == "Parents without a line of their own, taken as animals: 2."
    assert set(collection_of_records().animals) == {"K", "S", "D"}


def test_import__pedigree_of_the_demo_keeps_every_certain_parent(
    records: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    demo = demo_folder() / "collection"
    source = Collection.from_folder(demo)
    assert main(["export", str(tmp_path / "demo.fam"), "--from", str(demo)]) == 0
    assert main(["import", str(tmp_path / "demo.fam")]) == 0
    found = collection_of_records().animals
    assert {one.id: (one.sex, one.sire, one.dam) for one in found.values()} == {
        one.id: (one.sex, one.sire, one.dam) for one in source.animals.values()
    }


def test_import__own_pedigree_leaves_the_records_as_they_were(
    records: None, folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["import", folder]) == 0
    before = collection_of_records().digest
    assert main(["export", str(tmp_path / "barn.fam")]) == 0
    capsys.readouterr()
    assert main(["import", str(tmp_path / "barn.fam")]) == 0
    assert "0 animals new, 0 changed, 5 as they were" in words(capsys)
    assert collection_of_records().digest == before
