"""The invented collection: whole, true to its own truth, and a messy sheet with an expectation for every row."""

from __future__ import annotations

import csv
import tomllib
from collections import Counter
from collections.abc import Iterator

import openpyxl
import pytest

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, EggOutcome, Origin, Trait
from holdback.demo_data import folder


@pytest.fixture(scope="module")
def herd() -> Collection:
    return Collection.from_folder(folder() / "collection")


def truth(name: str) -> Iterator[dict[str, str]]:
    with (folder() / "truth" / name).open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def test_demo__is_a_whole_collection(herd: Collection) -> None:
    assert 160 <= len(herd.animals) <= 220
    assert {animal.hatched.year for animal in herd.animals.values() if animal.hatched} >= set(range(2020, 2026))
    assert not set(herd.animals) & set(herd.clutches)
    assert sum(animal.origin is Origin.WILD_CAUGHT for animal in herd.animals.values()) == 3
    assert {claim.line for claim in herd.records.lines} == {"Marrowfen"}
    assert {one.unit for one in herd.records.measurements if one.trait is Trait.MASS} == {"g", "oz", "lb"}
    assert set(Trait) > {one.trait for one in herd.records.measurements} >= {Trait.SNOUT_VENT_LENGTH, Trait.HEAD_WIDTH}
    assert {egg.outcome for egg in herd.records.eggs} == set(EggOutcome)
    assert any(len(clutch.sires) == 2 for clutch in herd.clutches.values())
    assert any(not clutch.sires for clutch in herd.clutches.values())
    assert any(clutch.sires and clutch.sires[0].animal == NO_SIRE for clutch in herd.clutches.values())


def test_demo__animals_that_the_docs_name(herd: Collection) -> None:
    umber, thistle, ledger = (herd.animals[name] for name in ("22-11", "19-01", "22-05"))
    assert (umber.name, umber.sire, umber.dam, umber.genes) == (
        "Umber",
        "16-01",
        "19-01",
        "Enchi poss YB 50% het Clown",
    )
    assert (thistle.name, thistle.sire, thistle.dam) == ("Thistle", "16-01", "17-02")
    assert (ledger.name, ledger.genes, ledger.dam) == ("Ledger", "Pastel Clown", "17-02")


def test_truth__every_young_has_one_allele_of_each_parent(herd: Collection) -> None:
    """Mendel's first law; half-clones take both from the dam."""
    genotypes = {(row["animal"], row["locus"]): (row["from_dam"], row["from_sire"]) for row in truth("genotypes.csv")}
    parents = {row["animal"]: (row["dam"], row["sire"]) for row in truth("animals.csv")}
    loci = {locus for _, locus in genotypes}
    assert set(parents) == set(herd.animals)
    checked = 0
    for animal, (dam, sire) in parents.items():
        for locus in loci if dam else ():
            from_dam, from_sire = genotypes.get((animal, locus), ("+", "+"))
            assert from_dam in genotypes.get((dam, locus), ("+", "+"))
            source = dam if sire == "none" else sire
            assert from_sire in genotypes.get((source, locus), ("+", "+"))
            checked += 1
    assert checked > 1000


def test_truth__nothing_with_two_lethal_copies_hatched() -> None:
    living = Counter(
        row["locus"]
        for row in truth("genotypes.csv")
        if row["locus"] in {"hidden-gene-woma", "spider"} and row["from_dam"] == row["from_sire"]
    )
    assert not living
    assert any("hidden-gene-woma=2" in row["genes"] for row in truth("lost_eggs.csv"))


def test_truth__wrong_records_are_wrong(herd: Collection) -> None:
    true = {row["animal"]: row for row in truth("animals.csv")}
    wrong = {(row["record"], row["field"]) for row in truth("wrong_records.csv")}
    for animal in herd.animals.values():
        if animal.dam and animal.dam != true[animal.id]["dam"]:
            assert (animal.id, "dam") in wrong
        if animal.sire and animal.sire != true[animal.id]["sire"]:
            assert (animal.clutch, "sires") in wrong
        if animal.sex.value not in (true[animal.id]["sex"], "unknown"):
            assert (animal.id, "sex") in wrong
    assert {("24-03", "sires"), ("23-12", "dam")} <= wrong


def test_messy__both_files_hold_the_same_rows() -> None:
    sheet = openpyxl.load_workbook(folder() / "messy.xlsx").active
    assert sheet is not None
    assert {str(area) for area in sheet.merged_cells.ranges} == {"A1:J1", "B3:D3", "E3:F3"}
    text = (folder() / "messy.csv").read_bytes().decode("cp1252")
    rows = list(csv.reader(text.splitlines(), delimiter=";"))
    assert sheet.max_row == len(rows)
    for number, row in enumerate(rows, start=1):
        cells = [sheet.cell(number, column).value for column in range(1, 11)]
        for cell, typed in zip(cells, row, strict=True):
            day = str(cell)[:10] if hasattr(cell, "year") else "" if cell is None else str(cell)
            assert typed in (day, day.replace(".", ","))


def test_messy__every_row_has_an_expectation() -> None:
    expected = tomllib.loads((folder() / "messy-expected.toml").read_text(encoding="utf-8"))
    sheet = openpyxl.load_workbook(folder() / "messy.xlsx").active
    assert sheet is not None
    numbers = [row["row"] for row in expected["row"]]
    assert numbers == list(range(expected["first_row"], sheet.max_row + 1))
    lands = [row for row in expected["row"] if "id" in row]
    asks = [row for row in expected["row"] if "asks" in row]
    assert 55 <= len(lands) <= 80
    assert len(asks) == 13
    assert all(sum(key in row for key in ("id", "asks", "left_out")) == 1 for row in expected["row"])
    for row in lands:
        assert row["id"] == str(sheet.cell(row["row"], 2).value).strip()
