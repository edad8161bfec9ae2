"""Readings that are asked about: examples of each question, honest collections, and slips of each kind."""

from __future__ import annotations

import random
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from tests.size.honest_records import SLIPS, weights_of

from holdback.collection.collection import Collection
from holdback.size.counting import readings_of
from holdback.size.readings import Readings
from holdback.species import Catalogue, load

Weights = Iterable[tuple[str, float, str]]


def read(weights: Weights, *, hatched: str = "", trait: str = "mass", masses: Weights = (), sex: str = "") -> Readings:
    """Readings of one animal."""
    rows = [("mass", one) for one in masses] + [(trait, one) for one in weights]
    measured = [
        {"animal": "A1", "date": date, "trait": name, "value": value, "unit": unit}
        for name, (date, value, unit) in rows
    ]
    animal = {"id": "A1", "hatched": hatched, "sex": sex}
    return readings_of(Collection.from_frames({"animals": [animal], "measurements": measured}), load())


def asked(readings: Readings) -> list[tuple[str, str, str, str]]:
    """Code, day, value as typed and guess of each question."""
    return [(one.code, str(one.date), one.typed, one.perhaps) for one in readings.questions]


GROWN = [("2025-10-01", 1620.0, "g"), ("2026-01-10", 1640.0, "g"), ("2026-04-12", 1652.0, "g")]


@pytest.mark.parametrize(
    "value, unit, code, perhaps",
    [
        (166, "g", "SIZ-002", "1,660 g"),
        (58.2, "g", "SIZ-001", "58.2 oz"),
        (1650, "oz", "SIZ-001", "1,650 g"),
        (1.65, "g", "SIZ-001", "1.65 kg"),
        (3.64, "kg", "SIZ-001", "3.64 lb"),
        (1.65, "lb", "SIZ-001", "1.65 kg"),
        (16550, "g", "SIZ-002", "1,655 g"),
        (6150, "g", "SIZ-002", "1,650 g"),
        (650, "g", "SIZ-002", "1,650 g"),
        (0.65, "kg", "SIZ-002", "1.65 kg"),
        (5400, "g", "SIZ-003", ""),
    ],
)
def test_questions__a_weight_beside_the_others(value: float, unit: str, code: str, perhaps: str) -> None:
    """Asked about, left out, and nothing else is."""
    found = read([*GROWN, ("2026-05-03", value, unit)], hatched="2021-07-01", sex="male")
    assert [(one[0], one[1], one[3]) for one in asked(found)] == [(code, "2026-05-03", perhaps)]
    assert [one.left_out for one in found.by_animal["A1"]] == ["", "", "", "asked about"]
    assert "2026-05-03, beside 1,652 g on 2026-04-12" in found.questions[0].message


def test_questions__swapped_figures_that_do_no_harm_are_not_asked_about() -> None:
    assert asked(read([*GROWN, ("2026-05-03", 1560, "g")], hatched="2021-07-01")) == []


@pytest.mark.parametrize("value, unit, perhaps", [(6.5, "g", "65 g"), (2.3, "g", "2.3 oz"), (650, "g", "65 g")])
def test_questions__no_hatchling(value: float, unit: str, perhaps: str) -> None:
    found = read([("2025-07-03", value, unit), ("2025-09-10", 130, "g")], hatched="2025-07-01")
    assert [one[0] for one in asked(found)] == ["SIZ-004"]
    assert found.questions[0].perhaps == perhaps


@pytest.mark.parametrize(
    "weights, hatched",
    [
        ([("2025-07-03", 138, "g"), ("2025-09-10", 260, "g")], "2025-07-01"),
        ([("2025-07-03", 7400, "g"), ("2025-09-10", 7900, "g")], "2017-07-01"),
        ([("2025-07-03", 7400, "g")], ""),
    ],
)
def test_questions__large_bodied_animals_pass(weights: Weights, hatched: str) -> None:
    """Hatchlings over 120 g and adults over 7,000 g are reported of large lines (common practice, no source)."""
    assert asked(read(weights, hatched=hatched, sex="female")) == []


def test_questions__a_single_weight_is_held_against_its_age() -> None:
    assert asked(read([("2026-05-03", 166, "g")], hatched="2019-07-01"))[0][0] == "SIZ-002"
    assert asked(read([("2026-05-03", 166, "g")], hatched="2025-12-01")) == []


def test_questions__weighed_before_its_clutch_can_have_hatched() -> None:
    """A weight before its own day of hatching is no question: the collection refuses it. 53 to 62 days in the egg."""
    frames: dict[str, list[dict[str, Any]]] = {
        "animals": [{"id": "A1", "dam": "D1", "clutch": "C1"}, {"id": "D1", "sex": "female"}],
        "clutches": [{"id": "C1", "dam": "D1", "laid": "2025-05-01"}],
        "measurements": [
            {"animal": "A1", "date": date, "trait": "mass", "value": 66, "unit": "g"}
            for date in ("2025-05-20", "2025-06-20", "2025-07-03")
        ],
    }
    found = readings_of(Collection.from_frames(frames), load())
    assert asked(found) == [("SIZ-006", "2025-05-20", "66 g", "")]
    assert found.questions[0].message == "66 g on 2025-05-20, and it cannot have hatched before 2025-06-23."


def test_questions__two_on_one_day_that_disagree() -> None:
    """The one that fits the other weights counts; without others neither does."""
    twice = [("2026-05-03", 1655.0, "g"), ("2026-05-03", 1020.0, "g")]
    assert asked(read([*GROWN, *twice], hatched="2021-07-01")) == [("SIZ-007", "2026-05-03", "1,020 g", "")]
    assert [one[0] for one in asked(read(twice))] == ["SIZ-007", "SIZ-007"]
    assert asked(read([*GROWN, ("2026-05-03", 1655.0, "g"), ("2026-05-03", 1700.0, "g")])) == []


def test_questions__either_of_two_may_be_the_odd_one() -> None:
    """Without an age nothing decides, and both are left out."""
    found = read([("2026-01-03", 1650, "g"), ("2026-02-03", 165, "g")])
    assert [one[2] for one in asked(found)] == ["1,650 g", "165 g"]


@pytest.mark.parametrize("value, unit, perhaps", [(118, "mm", "118 cm"), (46, "cm", "46 in"), (11.7, "cm", "117 cm")])
def test_questions__a_length_beside_the_weight(value: float, unit: str, perhaps: str) -> None:
    """An animal of 1,635 g is some 116 cm from snout to vent."""
    found = read([("2026-04-03", value, unit)], trait="snout-vent length", masses=GROWN)
    assert asked(found)[0][0] == "SIZ-005"
    assert found.questions[0].perhaps == perhaps


@pytest.mark.parametrize(
    "trait, value, unit", [("head width", 31, "mm"), ("total length", 126, "cm"), ("girth", 16, "cm")]
)
def test_questions__ordinary_lengths_pass(trait: str, value: float, unit: str) -> None:
    assert asked(read([("2026-04-03", value, unit)], trait=trait, masses=GROWN)) == []


def test_questions__a_length_beside_the_others() -> None:
    lengths = [("2024-04-03", 112.0, "cm"), ("2025-04-03", 116.0, "cm"), ("2026-04-03", 76.0, "cm")]
    assert asked(read(lengths, trait="snout-vent length")) == [("SIZ-005", "2026-04-03", "76 cm", "")]


def test_questions__the_demo_has_one() -> None:
    """The only slip that the story of the demo tells: a figure left out on 3 May 2026."""
    folder = Path(__file__).parents[2] / "src/holdback/demo_data/collection"
    found = readings_of(Collection.from_folder(folder), load())
    assert [(one.animal, *rest) for one, rest in zip(found.questions, asked(found), strict=True)] == [
        ("22-07", "SIZ-002", "2026-05-03", "166 g", "1,660 g")
    ]


BARE: dict[str, Any] = {
    "format": 1,
    "key": "bare",
    "name": "Exemplum nudum",
    "common_name": "bare snake",
    "sex_system": "XY",
    "allele": {"ash": {"inheritance": "recessive"}},
}
LATE = [{"age_months": month, "male": [low, 3 * low], "female": [low, 3 * low]} for month, low in ((3, 80), (60, 900))]


@pytest.mark.parametrize("growth", [[], LATE], ids=["no usual masses", "none at hatching"])
def test_questions__a_species_without_usual_masses(growth: list[dict[str, Any]]) -> None:
    """An animal is then held against itself, or against the nearest age."""
    weights = [("2021-07-03", 66, "g"), *GROWN, ("2026-05-03", 166, "g")]
    measured = [
        {"animal": "A1", "date": date, "trait": "mass", "value": value, "unit": unit} for date, value, unit in weights
    ]
    collection = Collection.from_frames({"animals": [{"id": "A1", "hatched": "2021-07-01"}], "measurements": measured})
    species = Catalogue.from_tables({**BARE, "growth": growth})
    assert [one[:2] for one in asked(readings_of(collection, species))] == [("SIZ-002", "2026-05-03")]


def honest(n: int, seed: int) -> tuple[dict[str, list[dict[str, Any]]], list[list[dict[str, Any]]]]:
    """Frames of animals and clutches, and the weights by animal."""
    rng = random.Random(seed)
    drawn = [weights_of(rng, f"A{index}") for index in range(n)]
    frames = {"animals": [row for row, _, _ in drawn], "clutches": [one for _, many, _ in drawn for one in many]}
    return frames, [weights for _, _, weights in drawn]


def test_questions__honest_collections_are_hardly_asked_about() -> None:
    """Fewer than one honest weight in 2,000, in collections with one laying in ten unrecorded."""
    frames, weights = honest(1500, 11)
    rows = [row for many in weights for row in many]
    found = readings_of(Collection.from_frames({**frames, "measurements": rows}), load())
    assert len(rows) > 30_000
    assert len(found.questions) * 2000 < len(rows)


@pytest.mark.parametrize("slip", SLIPS)
def test_questions__slips_of_each_kind_are_found(slip: str) -> None:
    """More than 95 in 100; pounds for kilograms only of animals that never laid, with a weight before and after.

    A factor of 2.2 makes a hatchling one of a large line, an end of a curve one that grew on, and a dam one that laid.
    """
    frames, weights = honest(700, 12)
    dams = {one["dam"] for one in frames["clutches"]}
    rng = random.Random(13)
    is_small = slip in ("pounds as kilogram", "kilogram as pounds")
    rows, spoilt = [], set()
    for many in weights:
        places = range(1, len(many) - 1) if is_small else range(len(many))
        changed = list(many)
        if places and not (is_small and many[0]["animal"] in dams):
            place = rng.choice(places)
            changed[place] = SLIPS[slip](many[place])
            spoilt.add((many[place]["animal"], many[place]["date"]))
        rows += changed
    found = readings_of(Collection.from_frames({**frames, "measurements": rows}), load())
    hits = spoilt & {(one.animal, str(one.date)) for one in found.questions}
    assert len(spoilt) > 300
    assert len(hits) > 0.95 * len(spoilt)
