"""Sampling against exact inference, where both can be had."""

from __future__ import annotations

import pytest
from tests.heredity.beliefs.pedigrees import NORMAL, VISUAL, claim, evidence_at, recessive, record

from holdback.collection.model import Candidate, Sex
from holdback.descent.family import Brood, Family
from holdback.heredity.beliefs import Beliefs, Memory, infer, parents_joint
from holdback.heredity.beliefs import estimated as estimated_module
from holdback.heredity.beliefs import inference as inference_module

YOUNG = ("K1", "K2", "K3", "K4")


@pytest.fixture(scope="module")
def both() -> tuple[Beliefs, Beliefs]:
    """The same collection, exact and sampled: two loci, a doubtful sire, a backcross."""
    broods = (
        Brood("C", "D", (Candidate("S1", 0.5), Candidate("S2", 0.5)), YOUNG),
        Brood("B", "K1", (Candidate("S1"),), ("G1", "G2")),
    )
    sexes = dict.fromkeys(("S1", "S2", "D", *YOUNG, "G1", "G2"), Sex.UNKNOWN)
    x = 0.05
    loci = []
    for key, visual in (("a", "K3"), ("b", "G2")):
        records = [claim("S1", (0.4, 0.6, 1e-9), x), claim("D", (0.3, 0.7, 1e-9), x)]
        records += [record(name, VISUAL if name == visual else NORMAL) for name in (*YOUNG, "G1", "G2")]
        loci.append(recessive(key, x, records))
    family, evidence = Family(sexes, broods), evidence_at(*loci)
    exact = infer(family, evidence)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(inference_module, "MOST_ENTRIES", 10)
        patch.setattr(estimated_module, "CLIQUE_ENTRIES", 18)
        sampled = infer(family, evidence, memory=Memory())
    return exact, sampled


def test_infer__says_when_it_sampled(both: tuple[Beliefs, Beliefs]) -> None:
    exact, sampled = both
    assert exact.exact
    assert not sampled.exact
    assert sampled.settled
    assert 0.0 < sampled.standard_error < 0.01


@pytest.mark.parametrize("locus", ["a", "b"])
@pytest.mark.parametrize("animal", ["S1", "S2", "D", "K1", "K2", "G1"])
def test_estimated__chances(both: tuple[Beliefs, Beliefs], animal: str, locus: str) -> None:
    exact, sampled = (found.copies(animal, locus, locus) for found in both)
    assert sampled == pytest.approx(exact, abs=3 * both[1].standard_error + 0.003)


def test_estimated__sires_and_joints(both: tuple[Beliefs, Beliefs]) -> None:
    exact, sampled = both
    assert sampled.sires("C")[0].posterior == pytest.approx(exact.sires("C")[0].posterior, abs=0.02)
    het = ("+", "a")
    told = [
        sum(one.weight * one.at("a").get((het, het), 0.0) for one in parents_joint(found, "S1", "K1")) for found in both
    ]
    assert told[1] == pytest.approx(told[0], abs=0.04)
