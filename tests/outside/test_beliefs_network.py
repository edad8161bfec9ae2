"""Random looped pedigrees with errors, claims and doubtful sires, against a Bayesian network.

The network is solved by pyAgrum (LazyPropagation), a reference library for exact inference; nothing is folded or
lumped there, and a record is evidence on a node of its own.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from itertools import combinations_with_replacement, product
from typing import Any

import numpy as np
import pytest
from tests.heredity.beliefs.exact import exact_part
from tests.heredity.beliefs.random_families import symmetric

from holdback.collection.model import Candidate, Sex
from holdback.descent.family import Brood, Family
from holdback.heredity.beliefs.claims import claim_likelihood
from holdback.heredity.beliefs.evidence import Evidence, GeneRecord, LocusEvidence, RecordKind
from holdback.heredity.beliefs.inference import infer
from holdback.species.model import WILD

with warnings.catch_warnings():
    # its compiled part names types without a module, and does not survive that warning as an error
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum

gum: Any = pyagrum

pytestmark = pytest.mark.outside

CLOSE = 1e-10
TWO_ALLELES, THREE_ALLELES = 170, 30


@dataclass(frozen=True)
class Herd:
    """A family in order, parents first, with its records at one locus."""

    family: Family
    locus: LocusEvidence


def _herd(rng: np.random.Generator, n_alleles: int, n_broods: int) -> Herd:
    """Broods of one to three by any male and female so far: backcrosses, sib matings, two candidate sires."""
    males, females, broods = ["M0", "M1"], ["F0", "F1"], []
    for number in range(n_broods):
        sires = [str(one) for one in rng.choice(males, 2 if rng.random() < 0.2 else 1, replace=False)]
        weights = rng.dirichlet(np.full(len(sires), 3.0)).tolist()
        young = tuple(f"K{number}.{each}" for each in range(int(rng.integers(1, 4))))
        candidates = tuple(Candidate(sire, weight) for sire, weight in zip(sires, weights, strict=True))
        broods.append(Brood(f"clutch {number}", str(rng.choice(females)), candidates, young))
        # one kept as a male, one as a female, from either end of the clutch
        (males if rng.random() < 0.5 else females).append(young[0])
        if len(young) > 1:
            (males if rng.random() < 0.5 else females).append(young[-1])
    names = ["M0", "M1", "F0", "F1", *(one for brood in broods for one in brood.young)]
    family = Family(dict.fromkeys(names, Sex.UNKNOWN), tuple(broods))
    return Herd(family, _locus(rng, names, n_alleles))


def _locus(rng: np.random.Generator, names: list[str], n: int) -> LocusEvidence:
    frequencies = np.array([1.0 - 0.08 * (n - 1), *[0.08] * (n - 1)])
    population = np.outer(frequencies, frequencies)
    records: dict[str, tuple[GeneRecord, ...]] = {}
    for name in names:
        said = []
        if rng.random() < 0.6:
            table = _look(rng, n)
            said.append(GeneRecord(f"look:{name}", name, RecordKind.LOOK, "", table, table < table.max()))
        if rng.random() < 0.2:
            copies = [(1 / 3, 2 / 3, 0.0), (0.0, 1.0, 0.0), (0.5, 0.5, 0.0)][int(rng.integers(3))]
            table, wrong = claim_likelihood(copies, float(rng.uniform(0.7, 0.99)), 1, population)
            said.append(GeneRecord(f"claim:{name}", name, RecordKind.CLAIM, "", table, wrong))
        if said:
            records[name] = tuple(said)
    return LocusEvidence("a", (WILD, *"ab"[: n - 1]), frequencies, np.ones((n, n)), records=records)


def _look(rng: np.random.Generator, n: int) -> np.ndarray:
    """A recessive or incomplete dominant look with an error of one in a hundred; with three alleles any table."""
    if n > 2:
        return symmetric(rng, n, 0.01)
    visual = rng.random() < 0.25
    recessive = np.array([[0.0, 0.0], [0.0, 1.0]]) if rng.random() < 0.7 else np.array([[0.0, 1.0], [1.0, 1.0]])
    return np.where(recessive == visual, 0.99, 0.01)


class Network:
    """The same as a Bayesian network over unordered pairs of alleles."""

    def __init__(self, herd: Herd) -> None:
        self.herd = herd
        self.pairs = list(combinations_with_replacement(range(herd.locus.n_alleles), 2))
        self.net = gum.BayesNet()
        self.evidence: dict[str, list[float]] = {}
        for name in herd.family.sexes:
            self.net.add(gum.LabelizedVariable(name, "", len(self.pairs)))
        for brood in herd.family.broods:
            self._add(brood)
        for name in herd.family.sexes:
            if herd.family.brood_of(name) is None:
                f = herd.locus.frequencies
                self.net.cpt(name).fillWith([float(f[a] * f[b]) * (1.0 if a == b else 2.0) for a, b in self.pairs])
        self.constant = 0.0
        for name, records in herd.locus.records.items():
            self._speak(name, records)

    def _speak(self, name: str, records: tuple[GeneRecord, ...]) -> None:
        """A node that is 1 with the probability of the records, scaled to a largest of 1."""
        values = np.array([np.prod([record.likelihood[pair] for record in records]) for pair in self.pairs])
        self.constant += float(np.log(values.max()))
        node = f"said of {name}"
        self.net.add(gum.LabelizedVariable(node, "", 2))
        self.net.addArc(name, node)
        for state, chance in enumerate((values / values.max()).tolist()):
            self.net.cpt(node)[{name: state}] = [1.0 - chance, chance]
        self.evidence[node] = [0.0, 1.0]

    def _add(self, brood: Brood) -> None:
        assert brood.dam is not None
        sires = [one.animal for one in brood.sires]
        parents = [brood.dam, *sires]
        if len(sires) > 1:
            self.net.add(gum.LabelizedVariable(brood.key, "", len(sires)))
            self.net.cpt(brood.key).fillWith([one.weight for one in brood.sires])
            parents.append(brood.key)
        for young in brood.young:
            for parent in parents:
                self.net.addArc(parent, young)
            for of_dam, *of_sires in product(range(len(self.pairs)), repeat=1 + len(sires)):
                for choice, of_sire in enumerate(of_sires):
                    place = {brood.dam: of_dam, **dict(zip(sires, of_sires, strict=True))}
                    if len(sires) > 1:
                        place[brood.key] = choice
                    self.net.cpt(young)[place] = self._transmission(self.pairs[of_sire], self.pairs[of_dam])

    def _transmission(self, sire: tuple[int, int], dam: tuple[int, int]) -> list[float]:
        row = [0.0] * len(self.pairs)
        for a, b in product(sire, dam):
            row[self.pairs.index((min(a, b), max(a, b)))] += 0.25
        return row

    def compare(self) -> float:
        """Largest difference of any marginal, of any sire's chance and of the log-likelihood."""
        found = infer(self.herd.family, Evidence({"a": self.herd.locus}))
        solved = gum.LazyPropagation(self.net)
        solved.setEvidence(self.evidence)
        solved.makeInference()
        worst = abs(found.log_likelihood - float(np.log(solved.evidenceProbability())) - self.constant)
        for name in self.herd.family.sexes:
            own, reference = exact_part(found, name, "a"), solved.posterior(name).tolist()
            worst = max(worst, float(np.abs(own.posterior(name) - reference).max()))
        for brood in self.herd.family.broods:
            if brood.is_uncertain:
                reference = solved.posterior(brood.key).tolist()
                for odds, chance in zip(found.sires(brood.key), reference, strict=True):
                    worst = max(worst, abs(odds.posterior - chance))
        return worst


def _loops(family: Family) -> int:
    """Independent loops of the graph of animals and matings: more than none where kin were mated."""
    matings = {(brood.dam, tuple(one.animal for one in brood.sires)) for brood in family.broods}
    edges = sum(1 + len(sires) for _, sires in matings) + sum(len(brood.young) for brood in family.broods)
    return edges - len(family.sexes) - len(matings) + len(family.pieces)


@pytest.mark.parametrize("n_alleles, count, n_broods", [(2, TWO_ALLELES, 9), (3, THREE_ALLELES, 5)])
def test_infer__agrees_with_a_bayesian_network(n_alleles: int, count: int, n_broods: int) -> None:
    seeds = np.random.SeedSequence(20261).spawn(count)
    herds = [_herd(np.random.default_rng(seed), n_alleles, n_broods) for seed in seeds]
    assert sum(_loops(herd.family) > 0 for herd in herds) > 0.95 * count
    worst = [Network(herd).compare() for herd in herds]
    assert max(worst) < CLOSE
