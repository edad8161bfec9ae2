"""Share of an allele among captive animals of unknown descent."""

from __future__ import annotations

from typing import Any

import pytest

from holdback.errors import Fault, SpeciesError
from holdback.species import Catalogue, load
from holdback.species.model import FREQUENCY, Mark


def catalogue_of(**frequencies: Any) -> Catalogue:
    """One locus with an allele of each frequency; the second is held to be the same as the first."""
    alleles: dict[str, Any] = {
        key: {"inheritance": "recessive", "locus": "pale", "frequency": each} for key, each in frequencies.items()
    }
    if len(alleles) > 1:
        alleles[list(alleles)[1]]["same_as"] = next(iter(alleles))
    head = {"format": 1, "key": "bare", "name": "Exemplum nudum", "common_name": "bare snake", "sex_system": "XY"}
    return Catalogue.from_tables({**head, "locus": {"pale": {"name": "pale complex"}}, "allele": alleles})


def faults_of(**frequencies: Any) -> list[Fault]:
    with pytest.raises(SpeciesError) as caught:
        catalogue_of(**frequencies)
    return list(caught.value.faults)


def test_frequency__of_the_files_is_an_assumption_and_they_say_so() -> None:
    for species, common in (("python_regius", "pastel"), ("pantherophis_guttatus", "amelanistic")):
        catalogue = load(species)
        assert catalogue.alleles[common].frequency == 0.01
        assert {each.frequency for each in catalogue.alleles.values()} <= {FREQUENCY, 0.005, 0.01}
        assert all(
            each.name in catalogue.notes["frequency"]
            for each in catalogue.alleles.values()
            if each.frequency > FREQUENCY
        )
        assert "assumption" in catalogue.notes["frequency"]
        assert f"{FREQUENCY:g}" in catalogue.notes["frequency"]


def test_frequency__can_be_shared_by_a_group() -> None:
    own = load().changed({"group": {"rare": {"frequency": 0.0005, "inheritance": "recessive"}}})
    own = own.changed({"allele": {"marl": {"group": "rare"}}})
    assert own.alleles["marl"].frequency == 0.0005


def test_changed__a_frequency_leaves_mark_and_source_as_they_were() -> None:
    own = load().changed({"allele": {"clown": {"frequency": 0.03}}})
    clown = own.alleles["clown"]
    assert (clown.frequency, clown.mark, clown.source) == (0.03, Mark.PUBLISHED, "P-Clown")


@pytest.mark.parametrize("wrong", [-0.001, 0.5, 0.7, float("nan")])
def test_frequency__out_of_range(wrong: float) -> None:
    found = faults_of(ash=wrong)
    assert [(fault.code, fault.field) for fault in found] == [("SPE-013", "allele.ash.frequency")]


@pytest.mark.parametrize("wrong", ["rare", True])
def test_frequency__no_number(wrong: object) -> None:
    assert [(fault.code, fault.field) for fault in faults_of(ash=wrong)] == [("SPE-010", "allele.ash.frequency")]


def test_frequency__zero_and_just_under_the_bounds_are_allowed() -> None:
    assert catalogue_of(ash=0).alleles["ash"].frequency == 0.0
    assert catalogue_of(ash=0.49, bone=0.4).alleles["ash"].frequency == 0.49


@pytest.mark.parametrize("shares", [{"ash": 0.3, "bone": 0.3, "chalk": 0.3}, {"ash": 0.49, "bone": 0.42}])
def test_frequency__the_alleles_of_a_locus_leave_a_share_to_the_wild_type(shares: dict[str, float]) -> None:
    """An allele held to be the same as another adds its own share, once."""
    (fault,) = faults_of(**shares)
    assert (fault.code, fault.field) == ("SPE-033", "locus.pale")
    assert fault.what == f"The named alleles of pale complex add up to {sum(shares.values()):.3g}."
    assert fault.hint == "Lower the frequency of its alleles until they add up to less than 0.9."
