"""A locus linked to sex: on which chromosome a male carries his allele, and what that says of sexes.

The numbers of the loop were made by enumeration over all genotypes and sexes; the others are closed forms.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest
from tests.heredity.beliefs.exact import exact_part, recombination
from tests.heredity.beliefs.pedigrees import Parents, evidence_at, family_of, recessive, record

from holdback.collection.model import Sex
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import GeneRecord, LocusEvidence
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.recombination_grid import Grid, grid_of
from holdback.species.model import Mark, SexLinkage, Value

M, F, U = Sex.MALE, Sex.FEMALE, Sex.UNKNOWN
LINKAGE = SexLinkage(Value(0.07, 0.03, 0.13, "fraction", Mark.MEMORY), alpha=7.0, beta=93.0)
SURE = 1e-300
ONE, PLAIN, CARRIER = (SURE, 1.0, SURE), (1.0, SURE, SURE), (SURE, 1.0, 1.0)


def _known(r: float) -> Grid:
    return Grid((r,), (1.0,))


def _linked(records: Sequence[GeneRecord], frequency: float = 0.1) -> LocusEvidence:
    return replace(recessive("b", frequency, records), linkage=LINKAGE)


def _infer(parents: Parents, sexes: Mapping[str, Sex], locus: LocusEvidence, r: float) -> Beliefs:
    with recombination(_known(r)):
        return infer(family_of(parents, sexes), evidence_at(locus))


def _states(found: Beliefs, animal: str) -> dict[tuple[str, int, int], float]:
    """Chance of each state: "pair" with both alleles, or "male" with the alleles on X and Y."""
    part = exact_part(found, animal, "b")
    states = part.group.assembly.states[animal]
    kinds = ["pair" if n < states.n_unordered else "male" for n in range(states.size)]
    chances = part.posterior(animal).tolist()
    return {(kind, *pair): p for kind, pair, p in zip(kinds, states.pairs, chances, strict=True)}


@pytest.mark.parametrize(
    "young, chance",
    [
        ([(M, CARRIER)], 0.93),
        ([*[(M, CARRIER)] * 3, (F, CARRIER), *[(F, PLAIN)] * 2], 0.999968),
        ([*[(M, CARRIER)] * 2, *[(F, CARRIER)] * 2, (M, PLAIN), (F, PLAIN)], 0.5),
    ],
    ids=["one carrier son", "mostly sons", "as many of each"],
)
def test_phase__of_a_male_by_his_young(young: list[tuple[Sex, Sequence[float]]], chance: float) -> None:
    """Odds (1 - r) / r for each carrier son and plain daughter, r / (1 - r) for the others."""
    parents: Parents = {"S": None} | {f"D{n}": None for n in range(len(young))}
    parents = {**parents, **{f"K{n}": ("S", f"D{n}") for n in range(len(young))}}
    sexes = {"S": M, **{f"D{n}": F for n in range(len(young))}, **{f"K{n}": sex for n, (sex, _) in enumerate(young)}}
    records = [record("S", ONE)]
    for n, (_, look) in enumerate(young):
        records += [record(f"D{n}", PLAIN), record(f"K{n}", look)]
    found = _infer(parents, sexes, _linked(records), 0.07)
    # the named allele comes after the wild type in the sorted pair
    assert found.phase("S", "b") == pytest.approx(chance, abs=6e-7)


@pytest.mark.parametrize("r, daughters, sons", [(0.1, 0.45, 0.05), (0.0, 0.5, 0.0), (0.5, 0.25, 0.25)])
def test_infer__visual_young_of_a_male_with_the_allele_on_x(r: float, daughters: float, sons: float) -> None:
    parents: Parents = {"S": None, "D": None, "K": ("S", "D"), "L": ("S", "D")}
    sexes = {"S": M, "D": F, "K": F, "L": M}
    locus = replace(_linked([record("S", ONE), record("D", ONE)]), maker={"S": 0.0})
    found = _infer(parents, sexes, locus, r)
    assert found.copies("K", "b", "b")[2] == pytest.approx(daughters, abs=1e-12)
    assert found.copies("L", "b", "b")[2] == pytest.approx(sons, abs=1e-12)


LOOP: Parents = {
    "0": None,
    "1": None,
    "2": ("0", "1"),
    "3": ("0", "1"),
    "4": ("2", "3"),
    "5": ("4", "1"),
    "6": ("2", "1"),
}
SEXES_OF_YOUNG = 4 * math.log(0.5)
"""The enumeration counts the recorded sexes of the four young, even chances each; `infer` takes them as given."""
SEXES = {"0": M, "1": F, "2": M, "3": F, "4": M, "5": U, "6": M}


def _loop(r: float) -> Beliefs:
    plain, carrier = (0.98, 0.02, 0.02), (0.02, 0.98, 0.98)
    looks = {"1": plain, "3": plain, "2": carrier, "4": carrier, "5": carrier}
    return _infer(LOOP, SEXES, _linked([record(name, look) for name, look in looks.items()]), r)


def test_infer__loop_with_a_young_of_unknown_sex() -> None:
    found = _loop(0.07)
    assert found.log_likelihood + SEXES_OF_YOUNG == pytest.approx(-6.362760, abs=6e-7)
    first = _states(found, "0")
    assert first["male", 0, 1] == pytest.approx(0.985919, abs=6e-7)
    assert first["male", 1, 1] == pytest.approx(0.003924, abs=6e-7)
    fifth = _states(found, "5")
    assert sum(p for (kind, *_), p in fifth.items() if kind == "male") == pytest.approx(0.908461, abs=6e-7)
    sixth = _states(found, "6")
    assert sixth["male", 0, 1] == pytest.approx(0.926316, abs=6e-7)


def test_infer__loop_without_linkage() -> None:
    found = _loop(0.5)
    assert found.log_likelihood + SEXES_OF_YOUNG == pytest.approx(-7.464628, abs=6e-7)
    first = _states(found, "0")
    assert first["male", 0, 1] == pytest.approx(0.480928, abs=6e-7)
    assert first["male", 1, 0] == pytest.approx(0.480928, abs=6e-7)
    assert sum(p for (kind, *_), p in _states(found, "5").items() if kind == "male") == pytest.approx(0.5, abs=1e-12)


def test_infer__unknown_recombination_is_mixed_by_likelihood() -> None:
    """The grid's answer is that of each point, weighed by what the records say of it."""
    points = grid_of(LINKAGE, 5)
    locus = _linked([record("2", (0.02, 0.98, 0.98)), record("6", (0.02, 0.98, 0.98)), record("1", (0.98, 0.02, 0.02))])
    family = family_of(LOOP, SEXES)
    with recombination(points):
        mixed = infer(family, evidence_at(locus))
    each = [_infer(LOOP, SEXES, locus, r) for r in points.r]
    weights = np.exp([one.log_likelihood for one in each]) * points.weights
    assert mixed.log_likelihood == pytest.approx(np.log(weights.sum()), abs=1e-12)
    for name in LOOP:
        reference = np.average([one.copies(name, "b", "b") for one in each], axis=0, weights=weights)
        assert mixed.copies(name, "b", "b") == pytest.approx(tuple(reference), abs=1e-12)


def test_infer__a_claim_on_the_chromosome_speaks_of_nothing_else() -> None:
    """Whether the animal has the allele is as likely as without the claim; where it sits is as claimed."""
    alone: Parents = {"S": None}
    found = _infer(alone, {"S": M}, _linked([record("S", (0.3, 0.6, 0.1))]), 0.07)
    claimed = _infer(alone, {"S": M}, replace(_linked([record("S", (0.3, 0.6, 0.1))]), maker={"S": 0.95}), 0.07)
    assert claimed.copies("S", "b", "b") == pytest.approx(found.copies("S", "b", "b"), abs=1e-12)
    assert claimed.phase("S", "b") == pytest.approx(0.95, abs=1e-12)


def test_infer__a_recorded_sex_may_be_wrong() -> None:
    """A carrier daughter of a male maker: 0.02 to 0.98 that she is a male, times 0.93 to 0.07 for the look."""
    locus = replace(_linked([record("S", ONE), record("D", PLAIN), record("K", CARRIER)]), maker={"S": 1.0})
    parents: Parents = {"S": None, "D": None, "K": ("S", "D")}
    with recombination(_known(0.07)):
        found = infer(family_of(parents, {"S": M, "D": F, "K": F}), evidence_at(locus, sex_error=0.02))
    male = sum(p for (kind, *_), p in _states(found, "K").items() if kind == "male")
    assert male == pytest.approx(0.02 * 0.93 / (0.02 * 0.93 + 0.98 * 0.07), abs=1e-12)
