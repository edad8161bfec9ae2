"""Candidate sires by the matings of a dam."""

from __future__ import annotations

import datetime as dt

import pytest

from holdback.collection.collection import Collection
from holdback.collection.model import PartialDate
from holdback.descent.family import UNKNOWN_SIRE, Family
from holdback.descent.sires_by_matings import NOT_ON_RECORD, laying_day, sires_by_matings

LAID = dt.date(2024, 5, 1)


def _collection(*matings: tuple[str, str], sire: str = "") -> Collection:
    return Collection.from_frames(
        {
            "animals": [
                *({"id": male, "sex": "male"} for male in ("M1", "M2", "M3")),
                {"id": "F", "sex": "female"},
                {"id": "K", "dam": "F", "sire": sire, "clutch": "C", "hatched": "2024-06-29"},
            ],
            "clutches": [{"id": "C", "dam": "F", "sires": sire, "laid": str(LAID)}],
            "matings": [{"dam": "F", "sire": male, "together": day} for male, day in matings],
        }
    )


def _weights(collection: Collection) -> dict[str, float]:
    found = sires_by_matings(collection, "F", LAID, stored_sperm=0.03)
    return {one.animal: one.weight for one in found}


def test_sires_by_matings__the_last_male_is_the_likeliest() -> None:
    found = _weights(_collection(("M1", "2023-12-01"), ("M2", "2024-02-01"), ("M1", "2024-01-10")))
    assert list(found) == ["M2", "M1"]
    assert found["M2"] == pytest.approx(2 * found["M1"])
    assert sum(found.values()) == pytest.approx(1.0 - NOT_ON_RECORD)


def test_sires_by_matings__last_seasons_male_keeps_a_low_weight() -> None:
    found = _weights(_collection(("M1", "2024-02-01"), ("M3", "2023-02-01")))
    assert found["M3"] == pytest.approx(0.03)
    assert found["M1"] == pytest.approx(0.90)


def test_sires_by_matings__matings_after_laying_or_years_ago_do_not_count() -> None:
    assert _weights(_collection(("M1", "2024-05-20"), ("M2", "2021-01-01"))) == {}


def test_sires_by_matings__a_male_that_stayed_until_after_laying_counts() -> None:
    records = Collection.from_frames(
        {
            "animals": [{"id": "F", "sex": "female"}, {"id": "M1", "sex": "male"}],
            "matings": [{"dam": "F", "sire": "M1", "together": "2024-03-01", "apart": "2024-05-20"}],
        }
    )
    assert _weights(records) == pytest.approx({"M1": 1.0 - NOT_ON_RECORD})


def test_family__takes_candidates_from_matings_only_where_no_sire_is_recorded() -> None:
    by_matings = Family.from_collection(_collection(("M1", "2024-02-01"))).broods[0]
    assert [one.animal for one in by_matings.sires] == ["M1", UNKNOWN_SIRE]
    recorded = Family.from_collection(_collection(("M1", "2024-02-01"), sire="M2")).broods[0]
    assert [one.animal for one in recorded.sires] == ["M2"]


def test_laying_day__goes_back_from_hatching() -> None:
    assert laying_day(None, PartialDate(2024, 6, 30)) == dt.date(2024, 5, 1)
    assert laying_day(PartialDate(2024, 5, 2), PartialDate(2024, 6, 30)) == dt.date(2024, 5, 2)
    assert laying_day(None, PartialDate(2024)) is None


def _two_clutches(mated: list[tuple[str, str]]) -> Collection:
    return Collection.from_frames(
        {
            "animals": [
                {"id": "F", "sex": "female"},
                {"id": "G", "sex": "female"},
                {"id": "K", "sex": "male", "dam": "F", "clutch": "C"},
                {"id": "L", "sex": "male", "dam": "G", "clutch": "E"},
                {"id": "Y", "sex": "male", "hatched": "2024-06-01"},
            ],
            "clutches": [{"id": "E", "dam": "G", "laid": "2024-05-02"}, {"id": "C", "dam": "F", "laid": str(LAID)}],
            "matings": [{"dam": dam, "sire": male, "together": "2024-02-01"} for dam, male in mated],
        }
    )


def test_family__takes_no_young_of_the_clutch_for_its_sire() -> None:
    family = Family.from_collection(_two_clutches([("F", "K"), ("F", "Y")]))
    assert {one.animal for brood in family.broods for one in brood.sires} == {UNKNOWN_SIRE}


def test_family__of_two_that_may_each_be_the_sire_of_the_other_takes_that_of_the_earlier_clutch() -> None:
    family = Family.from_collection(_two_clutches([("F", "L"), ("G", "K")]))
    assert {brood.key: brood.sires[0].animal for brood in family.broods} == {"C": "L", "E": UNKNOWN_SIRE}
