"""Verdicts on an odd animal, and a possible carrier, against Bayesian networks.

The networks are solved by pyAgrum, a reference library for exact inference: one for each mode, with a node for every
animal and every look.
"""

from __future__ import annotations

import math
import warnings
from itertools import product

import pytest

from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount
from holdback.heredity.proving import Mate, Mode, OddAnimal, Partner, SexCounts, Trial, carrier_tests, weigh
from holdback.heredity.proving.possible_carrier import JointCopies

with warnings.catch_warnings():
    # its compiled part names types without a module, and does not survive that warning as an error
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum as gum

pytestmark = pytest.mark.outside

MISSED, IMAGINED, FREQUENCY, R = 0.02, 0.01, 0.001, 0.07
SHOWS = {
    Mode.RECESSIVE: (0, 0, 1),
    Mode.INCOMPLETE_DOMINANT: (0, 1, 2),
    Mode.DOMINANT: (0, 1, 1),
    Mode.SEX_LINKED: (0, 1, 2),
    Mode.NOT_INHERITED: (0, 0, 0),
}
SEEN = (
    (1 - IMAGINED - IMAGINED**2, IMAGINED, IMAGINED**2),
    (MISSED, 1 - MISSED - IMAGINED, IMAGINED),
    (MISSED**2, MISSED, 1 - MISSED - MISSED**2),
)
NORMAL, ODD, STRONGER = range(3)


class Network:
    """Each animal is two allele nodes (from its dam, from its sire), a sex and a look."""

    def __init__(self, mode: Mode) -> None:
        self.mode = mode
        self.net = gum.BayesNet()
        self.evidence: dict[str, int] = {}
        self.r = R if mode is Mode.SEX_LINKED else 0.5

    def node(self, name: str, size: int, parents: list[str]) -> None:
        self.net.add(gum.LabelizedVariable(name, "", size))
        for parent in parents:
            self.net.addArc(parent, name)

    def see(self, name: str, *, male: bool | None, look: int) -> None:
        """Look node of an animal, and what was seen of it."""
        self.node(f"{name} look", 3, [f"{name} egg", f"{name} sperm"])
        for egg, sperm in product((0, 1), repeat=2):
            at = {f"{name} egg": egg, f"{name} sperm": sperm}
            self.net.cpt(f"{name} look")[at] = list(SEEN[SHOWS[self.mode][egg + sperm]])
        self.evidence[f"{name} look"] = look
        if male is not None:
            self.evidence[f"{name} male"] = int(male)

    def founder(self, name: str, egg: float, sperm: float) -> None:
        for part, share in (("egg", egg), ("sperm", sperm)):
            self.node(f"{name} {part}", 2, [])
            self.net.cpt(f"{name} {part}").fillWith([1 - share, share])

    def child(self, name: str, dam: str, sire: str) -> None:
        self.node(f"{name} male", 2, [])
        self.net.cpt(f"{name} male").fillWith([0.5, 0.5])
        self.node(f"{name} egg", 2, [f"{dam} egg", f"{dam} sperm"])
        self.node(f"{name} sperm", 2, [f"{sire} egg", f"{sire} sperm", f"{name} male"])
        for first, second in product((0, 1), repeat=2):
            share = (first + second) / 2
            self.net.cpt(f"{name} egg")[{f"{dam} egg": first, f"{dam} sperm": second}] = [1 - share, share]
            for male in (0, 1):
                own, other = (second, first) if male else (first, second)
                share = (1 - self.r) * own + self.r * other
                at = {f"{sire} egg": first, f"{sire} sperm": second, f"{name} male": male}
                self.net.cpt(f"{name} sperm")[at] = [1 - share, share]

    def probability(self) -> float:
        solver = gum.LazyPropagation(self.net)
        solver.setEvidence(self.evidence)
        return float(solver.evidenceProbability())


def family(mode: Mode, him: tuple[int, int]) -> float:
    """P(all looks) of an odd male, two normal mates, a daughter put back to him, and two of her sibs together."""
    net = Network(mode)
    net.founder("him", *him)
    q = 0.0 if mode is Mode.NOT_INHERITED else FREQUENCY
    for mate in ("A", "B"):
        net.founder(mate, q, q)
        net.see(mate, male=None, look=NORMAL)
    clutches: list[tuple[str, str, list[tuple[int, bool | None]]]] = [
        ("A", "him", [(NORMAL, False), (NORMAL, False), (NORMAL, True), (ODD, True)]),
        ("B", "him", [(NORMAL, None), (ODD, False)]),
        ("A0", "him", [(ODD, False), (ODD, None), (STRONGER, True), (NORMAL, True)]),
        ("A1", "A2", [(NORMAL, True), (ODD, False)]),
    ]
    for dam, sire, young in clutches:
        for number, (look, male) in enumerate(young):
            name = f"{dam}{number}"
            net.child(name, dam, sire)
            net.see(name, male=male, look=look)
    mates = Network(mode)
    for mate in ("A", "B"):
        mates.founder(mate, q, q)
        mates.see(mate, male=None, look=NORMAL)
    return net.probability() / mates.probability()


@pytest.mark.parametrize("mode", Mode)
def test_weigh__agrees_with_a_bayesian_network(mode: Mode) -> None:
    states = {Mode.RECESSIVE: [(1, 1)], Mode.NOT_INHERITED: [(0, 0)]}.get(mode, [(1, 0), (0, 1)])
    reference = math.fsum(family(mode, him) for him in states) / len(states)
    trials = [
        Trial(Partner.unrelated("A"), normal=SexCounts(1, 2), odd=SexCounts(1, 0)),
        Trial(Partner.unrelated("B"), normal=SexCounts(unknown=1), odd=SexCounts(females=1)),
        Trial(
            Partner.young(0, "A0", sex=Sex.FEMALE),
            normal=SexCounts(1),
            odd=SexCounts(females=1, dead=1),
            stronger=SexCounts(1),
        ),
        Trial(
            Partner.young(0, "A1", sex=Sex.FEMALE),
            parent=Partner.young(0, "A2", sex=Sex.MALE),
            normal=SexCounts(1),
            odd=SexCounts(females=1),
        ),
    ]
    found = weigh(OddAnimal("him", Sex.MALE), trials).log_likelihoods[mode]
    # 1e-7: the engine lets a new copy arise once in 1e12 gametes, the network does not
    assert found == pytest.approx(math.log(reference), abs=1e-7)


def copies_network(k: int) -> gum.BayesNet:
    """Sire het at 2/3, his daughter by a plain dam, and k young of the two that do not show the recessive."""
    net = gum.BayesNet()
    net.add(gum.LabelizedVariable("sire", "", 3))
    net.cpt("sire").fillWith([1 / 3, 2 / 3, 0.0])
    net.add(gum.LabelizedVariable("daughter", "", 3))
    net.addArc("sire", "daughter")
    for copies in range(3):
        net.cpt("daughter")[{"sire": copies}] = [1 - copies / 2, copies / 2, 0.0]
    for young in range(k):
        net.add(gum.LabelizedVariable(f"shows {young}", "", 2))
        for parent in ("sire", "daughter"):
            net.addArc(parent, f"shows {young}")
        for his, hers in product(range(3), repeat=2):
            share = his / 2 * hers / 2
            net.cpt(f"shows {young}")[{"sire": his, "daughter": hers}] = [1 - share, share]
    return net


@pytest.mark.parametrize("k", [1, 3, 5])
def test_carrier_tests__related_mate_agrees_with_a_bayesian_network(k: int) -> None:
    solver = gum.LazyPropagation(copies_network(k))
    solver.setEvidence({f"shows {young}": 0 for young in range(k)})
    joint: JointCopies = ((1 / 3, 1 / 3, 0.0), (0.0, 1 / 3, 0.0), (0.0, 0.0, 0.0))
    found = carrier_tests((2 / 3, 1 / 3, 0.0), [Mate("sire", joint=joint)], eggs=EggCount.hatchlings(k)).mates[0]
    assert found.curve[k] == pytest.approx(1.0 - solver.posterior("daughter")[0], abs=1e-12)
