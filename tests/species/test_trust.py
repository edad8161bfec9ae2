"""How far records are trusted: defaults, what a file or a keeper states, what is refused."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from holdback.errors import SpeciesError
from holdback.species import Catalogue, load, loading
from holdback.species.model import Mark
from holdback.species.trust import RECORDS

FILES = sorted(Path(loading.__file__).parent.glob("*.toml"))
BARE: dict[str, Any] = {
    "format": 1,
    "key": "bare",
    "name": "Exemplum nudum",
    "common_name": "bare snake",
    "sex_system": "XY",
    "allele": {"ash": {"inheritance": "recessive"}},
}


@pytest.mark.parametrize(
    "key, value, low, high",
    [
        ("claim_trust", 0.95, 0.8, 0.99),
        ("look_error", 0.002, 0.0005, 0.01),
        ("sex_error", 0.02, 0.01, 0.05),
        ("wrong_parent", 0.01, 0.003, 0.03),
        ("stored_sperm", 0.03, 0.005, 0.1),
        ("no_sire", 0.001, 0.0001, 0.01),
        ("second_division", 0.3, 0, 0.667),
        ("mixed_clutch", 0.05, 0, 0.5),
        ("line_unclaimed", 0, 0, 0.2),
    ],
)
@pytest.mark.parametrize("species", ["python_regius", "pantherophis_guttatus", "bare"])
def test_records__values_with_range_and_mark(species: str, key: str, value: float, low: float, high: float) -> None:
    """Assumptions of the project, from memory; a file that states none gets the same."""
    catalogue = Catalogue.from_tables(BARE) if species == "bare" else load(species)
    found = catalogue.records[key]
    assert (found.value, found.low, found.high, found.unit) == (value, low, high, "")
    assert found.mark is Mark.MEMORY
    assert found.note


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_records__every_file_states_every_name(path: Path) -> None:
    assert list(tomllib.loads(path.read_text("utf-8"))["records"]) == list(RECORDS)


def test_records__what_a_file_states_comes_first_and_the_rest_is_filled_in() -> None:
    stated = {"claim_trust": {"value": 0.9, "low": 0.7, "high": 0.95, "mark": "your own"}}
    found = Catalogue.from_tables({**BARE, "records": stated}).records
    assert (found["claim_trust"].value, found["claim_trust"].mark) == (0.9, Mark.OWN)
    assert found["no_sire"] == RECORDS["no_sire"]
    assert list(found) == list(RECORDS)


def test_records__the_default_mark_of_the_file_counts() -> None:
    data = {**BARE, "default_mark": "from memory", "records": {"sex_error": {"value": 0.03}}}
    assert Catalogue.from_tables(data).records["sex_error"].mark is Mark.MEMORY


@pytest.mark.parametrize("has_table", [True, False])
def test_changed__a_value_becomes_the_keepers_own(has_table: bool) -> None:
    before = load() if has_table else Catalogue.from_tables(BARE)
    own = before.changed({"records": {"no_sire": {"value": 0.002}}})
    found = own.records["no_sire"]
    assert (found.value, found.low, found.high, found.unit) == (0.002, 0.002, 0.002, "")
    assert (found.mark, found.source) == (Mark.OWN, "")
    assert own.records["sex_error"] == before.records["sex_error"]
    assert own.digest != before.digest


@pytest.mark.parametrize(
    "records, expected",
    [
        (4, ("SPE-010", "records")),
        ({"claim_trust": 0.9}, ("SPE-010", "records.claim_trust")),
        ({"claim_trust": {"value": 1.2}}, ("SPE-013", "records.claim_trust")),
        ({"claim_trust": {"value": 0.1, "low": -0.1, "high": 0.2}}, ("SPE-013", "records.claim_trust")),
        ({"claim_trust": {"value": 0.5, "low": 0.6, "high": 0.7}}, ("SPE-013", "records.claim_trust.value")),
        ({"claim_trst": {"value": 0.9}}, ("SPE-011", "records.claim_trst")),
    ],
)
def test_records__faults(records: object, expected: tuple[str, str]) -> None:
    with pytest.raises(SpeciesError) as caught:
        Catalogue.from_tables({**BARE, "records": records})
    assert expected in {(fault.code, fault.field) for fault in caught.value.faults}
    assert all(fault.what.endswith(".") and fault.hint.endswith(".") for fault in caught.value.faults)
