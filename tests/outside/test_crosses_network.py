"""A cross of five genes, two of them lethal together, against a Bayesian network.

The network is solved by pyAgrum, a reference library for exact inference.
"""

from __future__ import annotations

import math
import warnings
from itertools import product

import pytest

from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount, odds
from holdback.heredity.genotype import GenotypeBelief, Wish
from holdback.species import load
from holdback.species.model import WILD, pair

with warnings.catch_warnings():
    # its compiled part names types without a module, and does not survive that warning as an error
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum as gum

pytestmark = pytest.mark.outside

REGIUS = load()
GENES = ("spider", "champagne", "pastel", "albino", "enchi")
SIRE = dict(zip(GENES, (1, 0, 1, 1, 2), strict=True))
DAM = dict(zip(GENES, (1, 1, 1, 2, 1), strict=True))
"""Copies in each parent. Spider with Champagne, and two Spider or two Champagne, do not live (common practice)."""


def alleles(gene: str, copies: int) -> tuple[str, str]:
    return pair(gene if copies > 0 else WILD, gene if copies > 1 else WILD)


def belief(sex: Sex, copies: dict[str, int]) -> GenotypeBelief:
    return GenotypeBelief(sex, {REGIUS.locus_of(gene).key: {alleles(gene, n): 1.0} for gene, n in copies.items()})


def network() -> gum.BayesNet:
    """Gametes of both parents, copies in the young, and whether it lives."""
    net = gum.BayesNet()
    for gene in GENES:
        for role, copies in (("sire", SIRE), ("dam", DAM)):
            net.add(gum.LabelizedVariable(f"{role} {gene}", "", 2))
            net.cpt(f"{role} {gene}").fillWith([1.0 - copies[gene] / 2, copies[gene] / 2])
        net.add(gum.LabelizedVariable(gene, "", 3))
        for role in ("sire", "dam"):
            net.addArc(f"{role} {gene}", gene)
        for first, second in product((0, 1), repeat=2):
            row = [1.0 if first + second == copies else 0.0 for copies in range(3)]
            net.cpt(gene)[{f"sire {gene}": first, f"dam {gene}": second}] = row
    net.add(gum.LabelizedVariable("lives", "", 2))
    for gene in ("spider", "champagne"):
        net.addArc(gene, "lives")
    for spider, champagne in product(range(3), repeat=2):
        dies = spider == 2 or champagne == 2 or (spider > 0 and champagne > 0)
        net.cpt("lives")[{"spider": spider, "champagne": champagne}] = [1.0, 0.0] if dies else [0.0, 1.0]
    return net


def test_odds__every_genotype_agrees_with_a_bayesian_network() -> None:
    net = network()
    prior = gum.LazyPropagation(net)
    prior.makeInference()
    father, mother = belief(Sex.MALE, SIRE), belief(Sex.FEMALE, DAM)
    lost = odds(father, mother, REGIUS).lost
    assert lost == pytest.approx(prior.posterior("lives")[0], abs=1e-12)
    living = gum.LazyPropagation(net)
    living.addJointTarget(set(GENES))
    living.setEvidence({"lives": 1})
    living.makeInference()
    table = living.jointPosterior(set(GENES))
    seen = []
    for copies in product(range(3), repeat=len(GENES)):
        young = dict(zip(GENES, copies, strict=True))
        reference = table[young]
        want = Wish("", {REGIUS.locus_of(gene).key: frozenset({alleles(gene, n)}) for gene, n in young.items()})
        found = odds(father, mother, REGIUS, want=want, eggs=EggCount.fixed(1), top=1).want
        assert found is not None
        assert found.per_hatchling == pytest.approx(reference, abs=1e-12)
        assert found.per_egg == pytest.approx(reference * (1.0 - lost), abs=1e-12)
        seen.append(found.per_hatchling)
    assert math.fsum(seen) == pytest.approx(1.0, abs=1e-12)
