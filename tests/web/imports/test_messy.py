"""The messy sheet of the invented keeper: every row lands as it should or is listed with the reason."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from holdback.demo_data import folder
from holdback.intake.numbers import GRAMS
from holdback.web.imports import services, storage
from holdback.web.imports.models import ImportBatch
from holdback.web.records.models import Animal, Measurement

pytestmark = pytest.mark.django_db

EXPECTED = tomllib.loads((folder() / "messy-expected.toml").read_text(encoding="utf-8"))
ROWS: list[dict[str, Any]] = EXPECTED["row"]


@pytest.fixture(params=["messy.xlsx", "messy.csv"])
def batch(request: pytest.FixtureRequest) -> ImportBatch:
    staged = services.stage(folder() / request.param, who="Wrackline Barn")
    return services.preview(staged)


def test_messy__every_row_lands_or_is_listed_as_expected(batch: ImportBatch) -> None:
    rows = storage.kept_rows(batch)
    landed = {each["row"] for each in rows["landings"] if each["row"]}
    listed = {each["row"] for name in ("waiting", "left_out", "held") for each in rows[name]}
    last = max(row["row"] for row in ROWS)
    blank = {row["row"] for row in ROWS if row.get("left_out") == "blank"}
    assert landed | listed == set(range(EXPECTED["first_row"], last + 1)) - blank
    for row in ROWS:
        if "asks" in row:
            assert row["row"] in listed, row
        elif row.get("left_out", "blank") != "blank":
            assert row["row"] in {each["row"] for each in rows["left_out"]}, row
        elif "left_out" not in row:
            assert row["row"] in landed - listed, row


def test_messy__what_lands_is_what_the_keeper_wrote(batch: ImportBatch) -> None:
    services.commit(batch, who="Wrackline Barn", expected=batch.summary["mark"])
    for row in ROWS:
        if "asks" in row or "left_out" in row:
            continue
        animal = Animal.objects.select_related("dam").get(tag=row["id"])
        assert (animal.name, animal.sex, animal.hatched) == (row["name"], row["sex"], row["hatched"]), row
        assert animal.genes_text == row["genes"], row
        assert (animal.dam.tag if animal.dam else "") == row.get("dam", ""), row
        sires = [one.sire.tag for one in animal.candidate_sires.select_related("sire") if one.sire]
        assert sires == ([row["sire"]] if "sire" in row else []), row
        _same_mass(animal, row)


def _same_mass(animal: Animal, row: dict[str, Any]) -> None:
    """Compare the mass in the unit expected, or in gram where the unit is compound."""
    readings = list(Measurement.objects.filter(animal=animal))
    if "mass" not in row and "mass_g" not in row:
        assert not readings, row
        return
    (reading,) = readings
    assert reading.date == str(EXPECTED["weighed"])
    if "mass" in row:
        assert (reading.value, reading.unit) == (row["mass"], row["unit"]), row
    else:
        assert reading.value * GRAMS[reading.unit] == pytest.approx(row["mass_g"], rel=1e-9), row


def test_messy__answered_in_full_nothing_waits(batch: ImportBatch) -> None:
    first_choices = {
        question["id"]: question["choices"][0]["key"]
        for question in batch.summary["questions"]
        if question["holds"] and question["choices"]
    }
    for question, value in first_choices.items():
        services.answer(batch, question=question, value=value)
    services.preview(batch)
    assert batch.summary["n_waiting"] == 0
    assert batch.summary["questions"] == []
    services.commit(batch, who="Wrackline Barn")
    assert Animal.objects.filter(tag__in=["20-04", "20-04b", "Rafter", "Baron"]).count() == 4
