"""What plans and ideas count on: defaults, what a file or a keeper states, what is refused."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from holdback.errors import SpeciesError
from holdback.species import Catalogue, load, loading
from holdback.species.deciding import DECISIONS, BuildsOn
from holdback.species.model import Mark

BARE: dict[str, Any] = {
    "format": 1,
    "key": "bare",
    "name": "Exemplum nudum",
    "common_name": "bare snake",
    "sex_system": "XY",
    "allele": {"ash": {"inheritance": "recessive"}},
}


@pytest.mark.parametrize(
    "key, value",
    [
        ("young_lives", 0.95),
        ("adult_lives", 0.98),
        ("plan_threshold_seasons", 1),
        ("plan_threshold_points", 5),
        ("horizon_seasons", 12),
        ("bad_year_z", 1.28),
        ("idea_combo", 3),
        ("idea_hard_to_see", 0.5),
        ("idea_recessive", 2),
        ("idea_hides", 2),
        ("idea_cautioned", 3),
        ("idea_least_chance", 0.3),
    ],
)
@pytest.mark.parametrize("species", ["python_regius", "pantherophis_guttatus", "bare"])
def test_decisions__assumed_values(species: str, key: str, value: float) -> None:
    """Assumptions of the project; a file that states none gets the same."""
    catalogue = Catalogue.from_tables(BARE) if species == "bare" else load(species)
    found = catalogue.decisions[key]
    assert (found.value, found.mark) == (value, Mark.MEMORY)
    assert found.low <= value <= found.high
    assert found.note.endswith("Assumed.")


def test_decisions__the_ball_python_states_every_name() -> None:
    path = Path(loading.__file__).parent / "python_regius.toml"
    assert list(tomllib.loads(path.read_text("utf-8"))["decisions"]) == list(DECISIONS)


def test_decisions__what_is_not_known_of_a_species_says_so() -> None:
    assert "Not known for this species" in load("pantherophis_guttatus").decisions["young_lives"].note
    assert "Not known" not in load().decisions["young_lives"].note


def test_builds__tags_that_ship_are_tags_of_genes() -> None:
    catalogue = load()
    tags = {tag for allele in catalogue.alleles.values() for tag in allele.tags}
    assert catalogue.builds
    assert {row.has for row in catalogue.builds} | {tag for row in catalogue.builds for tag, _ in row.wants} <= tags
    assert load("pantherophis_guttatus").builds == ()


def test_changed__a_keeper_states_a_weight_and_a_row_of_his_own() -> None:
    own = load().changed(
        {"decisions": {"idea_combo": {"value": 4}}, "idea": [{"has": "bands", "wants": [["reds", 5]]}]}
    )
    assert (own.decisions["idea_combo"].value, own.decisions["idea_combo"].mark) == (4, Mark.OWN)
    rows = [row for row in own.builds if row.has == "bands"]
    assert rows == [BuildsOn("bands", (("reds", 5.0),), Mark.OWN)]
    assert len(own.builds) == len(load().builds)


@pytest.mark.parametrize(
    "table, expected",
    [
        ({"decisions": 4}, ("SPE-010", "decisions")),
        ({"decisions": {"young_lives": {"value": 1.2}}}, ("SPE-013", "decisions.young_lives")),
        ({"decisions": {"horizon_seasons": {"value": -1}}}, ("SPE-013", "decisions.horizon_seasons")),
        ({"decisions": {"horizon": {"value": 9}}}, ("SPE-011", "decisions.horizon")),
        ({"idea": [{"wants": []}]}, ("SPE-010", "idea.has")),
        ({"idea": [{"has": "bands", "wants": ["reds"]}]}, ("SPE-010", "idea.bands.wants")),
        ({"idea": [{"has": "bands", "wants": [["reds", "3"]]}]}, ("SPE-010", "idea.bands.wants")),
        ({"idea": [{"has": "bands", "wants": [["reds", 101]]}]}, ("SPE-013", "idea.bands.wants")),
        ({"idea": [{"has": "bands", "want": []}]}, ("SPE-011", "idea.bands.want")),
    ],
)
def test_decisions__faults(table: dict[str, object], expected: tuple[str, str]) -> None:
    with pytest.raises(SpeciesError) as caught:
        Catalogue.from_tables({**BARE, **table})
    assert expected in {(fault.code, fault.field) for fault in caught.value.faults}
    assert all(fault.what.endswith(".") and fault.hint.endswith(".") for fault in caught.value.faults)
