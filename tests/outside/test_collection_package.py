"""The descriptor of a folder, held against the frictionless library (Data Package version 1 and Table Schema)."""

from __future__ import annotations

from pathlib import Path

import frictionless
import pytest

from holdback.collection.collection import Collection
from holdback.demo_data import folder as demo


@pytest.mark.outside
def test_to_folder__is_a_valid_data_package(tmp_path: Path) -> None:
    Collection.from_folder(demo() / "collection").to_folder(tmp_path)
    report = frictionless.validate(str(tmp_path / "datapackage.json"))
    assert report.flatten(["type", "title", "message"]) == []
    assert report.stats["tasks"] == 15


@pytest.mark.outside
def test_descriptor__catches_what_it_describes(tmp_path: Path) -> None:
    """A word, a date, a reference, a country and a latitude that the schema rules out: the schema is no ornament."""
    Collection.from_folder(demo() / "collection").to_folder(tmp_path)
    with (tmp_path / "animals.csv").open("a", encoding="utf-8", newline="") as file:
        file.write("99-99,,hen,,,,,,,,\r\n99-98,,female,18 July,,,,,,,\r\n99-97,,female,,,,nobody,,,,\r\n")
    with (tmp_path / "origins.csv").open("a", encoding="utf-8", newline="") as file:
        file.write("17-02,,Ghana,95,2,coarse,\r\n")
    report = frictionless.validate(str(tmp_path / "datapackage.json"))
    assert len(report.flatten(["type"])) == 5
    assert sorted({error for (error,) in report.flatten(["type"])}) == ["constraint-error", "foreign-key"]
