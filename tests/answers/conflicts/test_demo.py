"""The wrong records planted in the demo collection are found, and nothing that is true is called wrong."""

from __future__ import annotations

import csv
from functools import lru_cache

from holdback.answers.conflicts import CODES, Conflict, conflicts_of
from holdback.collection.collection import Collection
from holdback.demo_data import folder
from holdback.descent.family import Family
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.reading import evidence_of
from holdback.species.catalogue import load

_CONTRADICTIONS = ("CNF-001", "CNF-002", "CNF-003", "CNF-004", "CNF-010", "CNF-011", "CNF-012", "CNF-020", "CNF-023")


@lru_cache(maxsize=1)
def _found() -> tuple[Conflict, ...]:
    collection, catalogue = Collection.from_folder(folder() / "collection"), load()
    family = Family.from_collection(collection)
    return conflicts_of(collection, catalogue, infer(family, evidence_of(collection, catalogue, family)))


def _truth(name: str) -> list[dict[str, str]]:
    with (folder() / "truth" / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _best(code: str, record: str) -> str:
    """Value that the likeliest explanation of a conflict on a record proposes."""
    fits = [one for one in _found() if one.code == code and one.explanations[0].record == record]
    return fits[0].explanations[0].instead if len(fits) == 1 else ""


def test_wrong_parents__are_found_with_the_true_one() -> None:
    written = {(row["record"], row["field"]): row["true"] for row in _truth("wrong_records.csv")}
    assert _best("CNF-020", "clutch 24-03") == written["24-03", "sires"] == "20-07"
    assert _best("CNF-023", "animal 23-12") == written["23-12", "dam"] == "19-16"
    assert _best("CNF-021", "clutch 22-03") == written["22-03", "sires"] == "18-05"
    assert _best("CNF-022", "clutch 22-08") == written["22-08", "sires"] == "19-11"


def test_line_not_named__is_told_by_the_young() -> None:
    assert _best("CNF-013", "animal 19-17") == "VPI Axanthic"


def test_contradictions__are_all_true() -> None:
    carriers = {row["animal"] for row in _truth("genotypes.csv") if row["locus"] == "yb"}
    contradictions = {(one.code, one.animals[0]) for one in _found() if one.code in _CONTRADICTIONS}
    planted = {("CNF-020", "24-03-2"), ("CNF-023", "23-12")}
    assert planted <= contradictions
    assert contradictions - planted <= {("CNF-010", "19-01"), ("CNF-010", "17-02")}
    assert {"19-01", "17-02"} <= carriers, "both carry Yellow Belly and are written without it"


def test_doubtful_genes__told_only_where_absent_in_truth() -> None:
    carriers = {row["animal"] for row in _truth("genotypes.csv") if row["locus"] == "yb"}
    doubtful = {one.animals[0] for one in _found() if one.code == "CNF-032"}
    assert "18-12" in doubtful
    assert not doubtful & carriers


def test_one_wrong_sire__is_one_conflict() -> None:
    told = [one for one in _found() if any(animal.startswith("24-03-") for animal in one.animals)]
    assert [one.code for one in told if one.locus == "clown"] == ["CNF-020"]


def test_tally__names_the_clutch_with_a_young_left_out() -> None:
    (tally,) = [one for one in _found() if one.code == "CNF-040"]
    assert tally.explanations[0].record == "animal 23-12"
    assert "leave 1 out" in tally.message


def test_as_json__has_what_a_page_needs() -> None:
    for one in _found():
        data = one.as_json()
        assert data["code"] in CODES
        assert data["animals"]
        assert data["message"].endswith(".")
        assert 0.0 <= data["chance"] <= 1.0
        assert all(0.0 <= fix["chance"] <= 1.0 and fix["what"] and fix["record"] for fix in data["fixes"])
        chances = [fix["chance"] for fix in data["fixes"]]
        assert one.code == "CNF-040" or chances == sorted(chances, reverse=True)
