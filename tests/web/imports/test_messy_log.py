"""The messy log and clutch list of the invented keeper: every row lands as it should or is listed with the reason."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import is_taken
from holdback.collection.model import Event, PartialDate
from holdback.demo_data import folder
from holdback.web.imports import services, storage
from holdback.web.imports.models import ImportBatch
from holdback.web.records.models import Animal, Clutch, Egg, Measurement, Observation, Stay, Warmth
from holdback.web.records.queries import whole_places
from holdback.web.records.services import write_records

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"


def expected(name: str) -> list[dict[str, Any]]:
    text = (folder() / f"messy-{name}-expected.toml").read_text(encoding="utf-8")
    rows: list[dict[str, Any]] = tomllib.loads(text)["row"]
    return rows


@pytest.fixture(autouse=True)
def barn(db: None) -> None:
    write_records(Collection.from_folder(folder() / "collection").records, who=WHO)


def staged(name: str) -> ImportBatch:
    return services.preview(services.stage(folder() / f"messy-{name}.csv", who=WHO))


def assert_accounted(batch: ImportBatch, rows: list[dict[str, Any]]) -> None:
    """Every row is where it is expected."""
    kept = storage.kept_rows(batch)
    found = {name: {each["row"] for each in kept[name]} for name in ("entries", "waiting", "left_out", "held")}
    for row in rows:
        where = "waiting" if "asks" in row else "left_out" if "left_out" in row else "entries"
        assert row["row"] in found[where], row
    assert sum(len(found[name]) for name in ("entries", "waiting", "left_out")) == len(rows)
    assert not found["held"]


def test_messy_log__lands_as_the_keeper_meant_it() -> None:
    rows = expected("log")
    assert len(rows) >= 60
    batch = staged("log")
    assert batch.summary["sheet"] == "log"
    assert_accounted(batch, rows)
    services.commit(batch, who=WHO, expected=batch.summary["mark"])
    paths = whole_places()
    for row in rows:
        if "asks" in row or "left_out" in row:
            continue
        animal = Animal.objects.get(tag=row["animal"])
        if "mass" in row:
            same = Measurement.objects.filter(animal=animal, date=row["date"], trait="mass")
            assert (row["mass"], row["unit"]) in same.values_list("value", "unit"), row
        elif row["kind"] == "moved":
            assert paths[Stay.objects.get(animal=animal, until=None).place_id] == row["note"]
        else:
            assert_event(animal, row)
    again = services.commit(staged("log"), who=WHO)
    assert again.result["written"] == 0
    before = Observation.objects.count()
    services.undo_import(batch, who=WHO)
    assert Observation.objects.count() < before


def assert_event(animal: Animal, row: dict[str, Any]) -> None:
    """One event of the kind, with number and note; meals taken or not."""
    same = Observation.objects.filter(animal=animal, date=row["date"], kind=row["kind"])
    said = {(f"{one.mating.sire.tag}{one.note}" if one.mating else one.note, one.value, one.unit) for one in same}
    assert (row["note"], row.get("value"), row.get("unit", "")) in said, row
    if "taken" in row:
        event = Event(animal.tag, PartialDate.parse(row["date"]), row["kind"], note=row["note"])
        assert is_taken(event) is row["taken"], row


def test_messy_clutches__land_as_the_keeper_meant_it() -> None:
    rows = expected("clutches")
    batch = staged("clutches")
    assert batch.summary["sheet"] == "clutches"
    assert_accounted(batch, rows)
    entries = {each["row"]: each["kind"] for each in storage.kept_rows(batch)["entries"]}
    services.commit(batch, who=WHO, expected=batch.summary["mark"])
    paths = whole_places()
    for row in rows:
        if "asks" in row or "left_out" in row:
            continue
        assert (entries[row["row"]] == "unchanged") is row["same"], row
        if "laid" in row:
            assert_clutch(row, paths)
        if "note" in row:
            assert Observation.objects.filter(kind="note", note=row["note"]).count() == 1
    assert services.commit(staged("clutches"), who=WHO).result["written"] == 0
    services.undo_import(batch, who=WHO)
    assert not Clutch.objects.filter(tag="26-05", removed_at__isnull=True).exists()


def assert_clutch(row: dict[str, Any], paths: dict[Any, str]) -> None:
    """A clutch with all that its row says."""
    clutch = Clutch.objects.select_related("dam").get(tag=row["id"])
    assert clutch.dam is not None
    sires = sorted(one.sire.tag for one in clutch.candidate_sires.select_related("sire") if one.sire)
    assert (clutch.dam.tag, sires, clutch.laid) == (row["dam"], sorted(row["sires"]), row["laid"])
    assert (clutch.eggs, clutch.slugs, clutch.hatched) == (row["eggs"], row["slugs"], row.get("hatched", ""))
    eggs = list(Egg.objects.filter(clutch=clutch))
    assert len(eggs) == row["eggs"]
    assert sum(egg.outcome == "hatched" for egg in eggs) == row.get("n_hatched", 0)
    boxes = {paths[egg.box_id] for egg in eggs if egg.box_id}
    assert boxes == ({row["box"]} if "box" in row else set())
    if "celsius" in row:
        note = f"as set, by the sheet of clutch {clutch.tag}"
        warmth = Warmth.objects.get(note=note)
        assert (paths[warmth.place_id], warmth.celsius) == (row["box"], row["celsius"])


@pytest.mark.parametrize("name", ["log", "clutches"])
def test_messy_log__answered_in_full_nothing_waits(name: str) -> None:
    batch = staged(name)
    for _ in range(4):
        for question in batch.summary["questions"]:
            choices = [choice["key"] for choice in question["choices"]]
            own = {"no animal:50": "write:Flint", "clutch id:15": "write:26-09", "other clutch:26-01": "write:26-10"}
            services.answer(batch, question=question["id"], value=own.get(question["id"], choices[0]))
        batch = services.preview(batch)
    assert (batch.summary["n_waiting"], batch.summary["questions"]) == (0, [])
    services.commit(batch, who=WHO)
