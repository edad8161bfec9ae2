"""Likelihoods with other parents, against a calculation from scratch with the pedigree changed, and by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from holdback.answers.conflicts.rewired import Rewired, log_ratio_of, rewired_groups
from holdback.answers.conflicts.whatif import other_parent
from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Candidate, Sex
from holdback.demo_data import folder
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import Evidence, GeneRecord, RecordKind, two_allele_locus
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.reading import evidence_of
from holdback.heredity.beliefs.unit import Unit
from holdback.species.catalogue import load


@pytest.fixture(scope="module")
def beliefs() -> Beliefs:
    collection = Collection.from_folder(folder() / "collection")
    family = Family.from_collection(collection)
    return infer(family, evidence_of(collection, load(), family))


def _ready(beliefs: Beliefs, key: str) -> tuple[Unit, tuple[Rewired, ...], Brood]:
    brood = next(one for one in beliefs.family.broods if one.key == key)
    unit = beliefs.exact_unit_of(brood.young[0])
    assert unit is not None
    return unit, rewired_groups(unit), brood


def _again(beliefs: Beliefs, changed: Brood) -> float:
    """Log likelihood from scratch with one brood changed, less that of the records as they are."""
    broods = tuple(changed if one.key == changed.key else one for one in beliefs.family.broods)
    family = Family(beliefs.family.sexes, tuple(one for one in broods if one.young))
    return infer(family, beliefs.evidence).log_likelihood - beliefs.log_likelihood


@pytest.mark.parametrize("key", ["24-03", "24-04", "25-10", "24-08"])
@pytest.mark.parametrize("sire", [UNKNOWN_SIRE, "20-07", "18-05", "16-01"])
def test_other_sire__equals_inference_with_that_sire(beliefs: Beliefs, key: str, sire: str) -> None:
    unit, rewired, brood = _ready(beliefs, key)
    other = other_parent(unit, rewired, brood, is_sire=True)
    chances = other.unknown() if sire == UNKNOWN_SIRE else other.of(sire, beliefs)
    expected = _again(beliefs, replace(brood, sires=(Candidate(sire, 1.0),)))
    is_near = sire == UNKNOWN_SIRE or sire in unit.layout.animals
    # Each part of a pedigree weighs the recombination by itself, and a new sire may join or split parts. In a male of
    # another part, alleles that nothing told apart are shared out by frequency, which is not exact for a pair of them.
    assert other.log_ratio(chances) == pytest.approx(expected, abs=1e-3 if is_near else 0.02)
    assert all(math.isfinite(each) for each in other.log_ratio_by_locus(chances).values())


def test_other_dam__equals_inference_with_that_dam(beliefs: Beliefs) -> None:
    unit, rewired, brood = _ready(beliefs, "24-03")
    other = other_parent(unit, rewired, brood, is_sire=False)
    for dam in ("18-12", "20-12", "17-02"):
        assert other.log_ratio(other.of(dam, beliefs)) == pytest.approx(
            _again(beliefs, replace(brood, dam=dam)), abs=1e-6
        )


def test_recorded_parents_in_their_own_place__change_nothing(beliefs: Beliefs) -> None:
    for key in ("24-03", "22-10", "25-05"):
        unit, rewired, brood = _ready(beliefs, key)
        sire = other_parent(unit, rewired, brood, is_sire=True)
        dam = other_parent(unit, rewired, brood, is_sire=False)
        assert sire.log_ratio(sire.of(brood.sires[0].animal, beliefs)) == pytest.approx(0.0, abs=1e-9)
        assert dam.log_ratio(dam.of(str(brood.dam), beliefs)) == pytest.approx(0.0, abs=1e-9)


def test_foreign__equals_inference_with_a_young_taken_out(beliefs: Beliefs) -> None:
    unit, rewired, brood = _ready(beliefs, "24-05")
    loci = beliefs.evidence.loci
    trade = {key: np.outer(locus.frequencies, locus.frequencies) for key, locus in loci.items()}
    for young in brood.young:
        ratio = log_ratio_of(unit, rewired, [one.foreign(young, trade) for one in rewired])
        rest = replace(brood, young=tuple(one for one in brood.young if one != young))
        assert ratio == pytest.approx(_again(beliefs, rest), abs=1e-9)


# By hand: one gene with the share q = .002, dam with two copies, one young; a look is wrong once in a hundred.


def _one_young() -> Beliefs:
    """Dam D and male M with two copies for certain, sire S of which nothing is known, young K that shows the gene."""
    sure = np.array([[1e-12, 1e-12], [1e-12, 1.0]])
    shows = np.array([[0.01, 0.01], [0.01, 0.99]])
    records = {
        name: (GeneRecord(f"look:{name}:g", name, RecordKind.LOOK, "shows it", table, table < 0.5),)
        for name, table in (("D", sure), ("M", sure), ("K", shows))
    }
    locus = replace(two_allele_locus("g", "gene", 0.002), records=records)
    sexes = {"S": Sex.MALE, "M": Sex.MALE, "D": Sex.FEMALE, "K": Sex.UNKNOWN}
    family = Family(sexes, (Brood("C", "D", (Candidate("S", 1.0),), ("K",)),))
    return infer(family, Evidence({"g": locus}))


def test_other_sire__by_hand() -> None:
    """With S: K has two copies with chance q, so .002 x .99 + .998 x .01 = .01196; with M always: .99."""
    beliefs = _one_young()
    unit, rewired, brood = _ready(beliefs, "C")
    sire = other_parent(unit, rewired, brood, is_sire=True)
    assert sire.log_ratio(sire.of("M", beliefs)) == pytest.approx(math.log(0.99 / 0.01196), abs=1e-6)
    assert sire.log_ratio(sire.unknown()) == pytest.approx(0.0, abs=1e-9)


def test_fatherless__by_hand() -> None:
    """All from a dam with two copies: two copies for certain, .99 against .01196."""
    beliefs = _one_young()
    unit, rewired, brood = _ready(beliefs, "C")
    ratio = log_ratio_of(unit, rewired, [one.fatherless(brood) for one in rewired])
    assert ratio == pytest.approx(math.log(0.99 / 0.01196), abs=1e-6)
    alone = replace(brood, sires=(Candidate(NO_SIRE, 1.0),))
    assert ratio == pytest.approx(_again(beliefs, alone), abs=1e-6)


def test_foreign__by_hand() -> None:
    """Both parents from the population: two copies with chance q squared, .000004 x .98 + .01."""
    beliefs = _one_young()
    unit, rewired, _ = _ready(beliefs, "C")
    trade = {"g": np.outer([0.998, 0.002], [0.998, 0.002])}
    ratio = log_ratio_of(unit, rewired, [one.foreign("K", trade) for one in rewired])
    assert ratio == pytest.approx(math.log((0.01 + 0.98 * 4e-6) / 0.01196), abs=1e-6)
