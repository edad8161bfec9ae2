"""Where an animal is said to come from: kept coarse unless the keeper asks, written out coarse unless asked."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest

from holdback.bridge import collection_of_records, collection_with_exact_places
from holdback.cli import main
from holdback.collection.collection import Collection
from holdback.collection.model import Animal as Known
from holdback.collection.model import Records
from holdback.collection.origins import PlaceOfOrigin as Place
from holdback.collection.origins import Precision
from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, PlaceOfOrigin
from holdback.web.records.services import add_animal, remove_origin, set_origin, undo, write_records

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
EXACT = {"latitude": 7.9518, "longitude": -1.0244, "precision": "exact"}


@pytest.fixture
def animal() -> Animal:
    return add_animal(who=WHO, tag="Q1")


def test_set_origin__is_rounded_unless_exact_is_asked_for(animal: Animal) -> None:
    said = set_origin(animal, who=WHO, place="the Marrowfen", latitude=7.9518, longitude=-1.0244)
    assert (said.latitude, said.longitude, said.precision) == (8.0, -1.0, "coarse")
    assert not [change for change in Change.objects.all() if "7.9518" in str(change.after)]
    again = set_origin(animal, who=WHO, place="the Marrowfen", **EXACT)  # type: ignore[arg-type]  # a plain dict
    assert (again.pk, again.latitude, PlaceOfOrigin.objects.count()) == (said.pk, 7.9518, 1)


def test_set_origin__leaves_nothing_of_what_was_said_before(animal: Animal) -> None:
    set_origin(animal, who=WHO, place="x", country="GH", **EXACT)  # type: ignore[arg-type]  # a plain dict
    said = set_origin(animal, who=WHO, country="TG")
    assert (said.place, said.country, said.latitude, said.precision) == ("", "TG", None, "coarse")


@pytest.mark.parametrize(
    "fields, code, field",
    [
        ({}, "REC-010", "place"),
        ({"place": "x" * 121}, "REC-011", "place"),
        ({"country": "gh"}, "REC-013", "country"),
        ({"latitude": 91.0, "longitude": 0.0}, "REC-014", "latitude"),
        ({"latitude": 9.0}, "REC-014", "longitude"),
        ({"place": "x", "precision": "rough"}, "REC-013", "precision"),
    ],
)
def test_set_origin__refused(animal: Animal, fields: dict[str, Any], code: str, field: str) -> None:
    with pytest.raises(RecordError, match=code) as error:
        set_origin(animal, who=WHO, **fields)
    assert [(one.code, one.field) for one in error.value.faults] == [(code, field)]
    assert not PlaceOfOrigin.objects.exists()


def test_remove_origin__and_undo(animal: Animal) -> None:
    said = set_origin(animal, who=WHO, place="the Marrowfen", **EXACT)  # type: ignore[arg-type]  # a plain dict
    remove_origin(said, who=WHO)
    assert not PlaceOfOrigin.objects.exists()
    undo(Change.objects.latest("id"), who=WHO)
    assert PlaceOfOrigin.objects.get().latitude == 7.9518


def test_collection_of_records__is_coarse(animal: Animal) -> None:
    set_origin(animal, who=WHO, **EXACT)  # type: ignore[arg-type]  # a plain dict
    assert collection_of_records().origin_of("Q1") == Place("Q1", latitude=8.0, longitude=-1.0)
    exact = collection_with_exact_places().origin_of("Q1")
    assert exact == Place("Q1", latitude=7.9518, longitude=-1.0244, precision=Precision.EXACT)


def degrees_in(folder: Path) -> tuple[str, str]:
    with (folder / "origins.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    return row["latitude"], row["precision"]


def test_export__is_coarse_unless_asked(animal: Animal, tmp_path: Path) -> None:
    set_origin(animal, who=WHO, **EXACT)  # type: ignore[arg-type]  # a plain dict
    collection_with_exact_places().to_folder(tmp_path / "kept")
    for options, written in (([], ("8", "coarse")), (["--exact-places"], ("7.9518", "exact"))):
        out = tmp_path / f"out{len(options)}"
        assert main(["export", str(out), "--from", str(tmp_path / "kept"), *options]) == 0
        assert degrees_in(out) == written


def test_write_records__a_coarse_place_never_overwrites_the_exact_one_it_was_made_of(animal: Animal) -> None:
    set_origin(animal, who=WHO, place="x", **EXACT)  # type: ignore[arg-type]  # a plain dict
    records = collection_of_records().records
    assert write_records(records, who=WHO).same["origins"] == 1
    assert PlaceOfOrigin.objects.get().latitude == 7.9518
    elsewhere = Records(origins=(Place("Q1", "y", "GH", 9.96, 1.0),))
    assert write_records(elsewhere, who=WHO).changed["origins"] == 1
    said = PlaceOfOrigin.objects.get()
    assert (said.place, said.country, said.latitude, said.precision) == ("y", "GH", 10.0, "coarse")


def test_write_records__exact_places_come_back_the_same() -> None:
    records = Records((Known("A1"), Known("B2")), origins=(Place("A1", "x", "GH", 7.9518, -1.0244, Precision.EXACT),))
    assert write_records(records, who=WHO).added["origins"] == 1
    assert collection_with_exact_places().records == Collection.from_records(records).records


def test_write_records__all_faults_of_a_place() -> None:
    records = Records((Known("A1"),), origins=(Place("A1", "x", "XQ", 95, None), Place("Z9", "x")))
    with pytest.raises(RecordError) as error:
        write_records(records, who=WHO)
    assert [one.code for one in error.value.faults] == ["REC-014", "REC-014", "REC-013", "REC-016"]
