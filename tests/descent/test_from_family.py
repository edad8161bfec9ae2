"""The pedigree of a collection: unknown parents, doubtful sires and sires of single eggs as nodes."""

from __future__ import annotations

import pytest

from holdback.collection.collection import Collection
from holdback.collection.model import PartialDate
from holdback.descent.family import UNKNOWN_SIRE, Family
from holdback.descent.from_family import NO_WEIGHT, pedigree_of, year_of
from holdback.descent.pedigree import Pedigree


def collection(sires: str, dam: str = "D") -> Collection:
    return Collection.from_frames(
        {
            "animals": [
                *({"id": male, "sex": "male", "hatched": "2018"} for male in ("S", "T")),
                {"id": "D", "sex": "female"},
                *({"id": one, "sire": sires, "dam": dam, "clutch": "C", "hatched": "2024-06-30"} for one in ("A", "B")),
            ],
            "clutches": [{"id": "C", "dam": dam, "sires": sires}],
        }
    )


def pedigree(written: str, dam: str = "D", *, sires: dict[str, dict[str, float]] | None = None) -> Pedigree:
    records = collection(written, dam)
    return pedigree_of(records, Family.from_collection(records), sires=sires)


def parents_of(found: Pedigree, animal: str) -> tuple[str, ...]:
    return tuple(found.ids[one] for one in found.parents[found.index[animal]] if one >= 0)


def candidates_of(found: Pedigree, node: str) -> dict[str, float]:
    return {found.ids[one]: weight for one, weight in found.candidates[found.index[node]]}


def test_pedigree_of__certain_parents() -> None:
    found = pedigree("S")
    assert set(found.ids) == {"S", "T", "D", "A", "B"}
    assert parents_of(found, "A") == parents_of(found, "B") == ("S", "D")
    assert found.is_plain
    assert found.born[found.index["S"]] == pytest.approx(2018.5, abs=0.01)
    assert found.mates[found.index["A"]] == found.mates[found.index["B"]] >= 0


def test_pedigree_of__doubtful_sire_is_one_node_for_the_brood() -> None:
    found = pedigree("S:0.8|T:0.2")
    assert parents_of(found, "A") == parents_of(found, "B") == ("?which sire of C", "D")
    assert candidates_of(found, "?which sire of C") == pytest.approx({"S": 0.8, "T": 0.2})
    assert not found.on_record[found.index["?which sire of C"]]


def test_pedigree_of__weight_left_over_is_a_male_not_on_record() -> None:
    found = pedigree("S:0.8")
    assert candidates_of(found, "?which sire of C") == pytest.approx({"S": 0.8, "?sire of C": 0.2})
    assert found.is_founder[found.index["?sire of C"]]


def test_pedigree_of__unknown_parents_are_founders_of_the_brood() -> None:
    assert parents_of(pedigree("", "D"), "A") == parents_of(pedigree("", "D"), "B") == ("?sire of C", "D")
    assert parents_of(pedigree("S", ""), "B") == ("S", "?dam of C")


def test_pedigree_of__an_animal_without_recorded_parents_is_a_founder() -> None:
    found = pedigree("", "")
    assert set(found.ids) == {"S", "T", "D", "A", "B"}
    assert found.is_founder.all()


def test_pedigree_of__no_sire_puts_the_dam_on_both_sides() -> None:
    found = pedigree("none")
    assert parents_of(found, "A") == ("D", "D")
    assert found.without_sire[found.index["A"]]


def test_pedigree_of__no_sire_at_all_counts_only_where_it_is_likelier_than_any_sire() -> None:
    young = {one: {"none": 0.4, "S": 0.3, "T": 0.3} for one in ("A", "B")}
    assert parents_of(pedigree("S|T|none", sires=young), "A") == ("?which sire of C", "D")
    young = {"A": {"none": 0.4, "S": 0.6}, "B": {"none": 0.4, "S": 0.6}}
    assert parents_of(pedigree("S|none", sires=young), "A") == ("S", "D")
    young = {"A": {"none": 0.6, "S": 0.4}, "B": {"none": 0.6, "S": 0.4}}
    assert parents_of(pedigree("S|none", sires=young), "A") == ("D", "D")


def test_pedigree_of__takes_what_is_known_of_the_sires() -> None:
    young = {one: {"S": 0.99, "T": 0.01 - NO_WEIGHT / 2, UNKNOWN_SIRE: NO_WEIGHT / 2} for one in ("A", "B")}
    found = pedigree("S:0.8|T:0.2", sires=young)
    assert candidates_of(found, "?which sire of C") == pytest.approx({"S": 0.99, "T": 0.01}, abs=2 * NO_WEIGHT)
    settled = pedigree("S:0.8|T:0.2", sires={"A": {"S": 1.0, "T": 0.0}, "B": {"S": 1.0, "T": 0.0}})
    assert parents_of(settled, "A") == ("S", "D")


def test_pedigree_of__eggs_with_sires_of_their_own_have_nodes_of_their_own() -> None:
    records = collection("S:0.8|T:0.2")
    found = pedigree_of(records, Family.from_collection(records, each_egg=["C"]))
    assert parents_of(found, "A") == ("?which sire of C A", "D")
    assert parents_of(found, "B") == ("?which sire of C B", "D")


@pytest.mark.parametrize(
    "date, year",
    [
        (PartialDate(2023, 1, 1), 2023 + 0.5 / 365),
        (PartialDate(2024, 12, 31), 2024 + 365.5 / 366),
        (PartialDate(2023), 2023.5),
        (PartialDate(2023, 6), 2023 + 165.5 / 365),
    ],
)
def test_year_of__the_middle_of_what_is_known(date: PartialDate, year: float) -> None:
    assert year_of(date) == pytest.approx(year, abs=1 / 366)


def test_family__young_of_dams_not_on_record_are_clutch_mates_only_by_the_day() -> None:
    def families(date: str) -> int:
        rows = [{"id": "S"}, *({"id": one, "sire": "S", "hatched": date} for one in ("A", "B"))]
        return len(Family.from_collection(Collection.from_frames({"animals": rows})).broods)

    assert (families("2022"), families("2022-07"), families("2022-07-18")) == (2, 2, 1)
