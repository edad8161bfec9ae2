"""Crosses of related parents against enumeration of their pedigree and against a Bayesian network.

The network is solved by pyAgrum, a reference library for exact inference; the numbers written out were worked out
beforehand, by enumeration and apart from this program.
"""

from __future__ import annotations

import math
import warnings
from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import product

import pytest

from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount, WantOdds, odds, odds_joint
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint, Wish
from holdback.species import load
from holdback.species.model import WILD, Pair

with warnings.catch_warnings():
    # its compiled part names types without a module, and does not survive that warning as an error
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum as gum

pytestmark = pytest.mark.outside

REGIUS = load()
SIRE, DAM = GenotypeBelief(Sex.MALE), GenotypeBelief(Sex.FEMALE)
Copies = tuple[int, ...]

LOOP = {
    "S": (),
    "D1": (),
    "D2": (),
    "F1": ("S", "D1"),
    "B1": ("S", "F1"),
    "B2": ("S", "F1"),
    "G1": ("S", "D2"),
    "X1": ("B1", "B2"),
    "H": ("G1", "B1"),
}
"""A backcross and a half-sib line over one possible het: animal to its parents, founders first."""

FOUNDERS = {
    "S": (1 / 3, 2 / 3, 0.0),
    "D1": (0.95**2, 2 * 0.95 * 0.05, 0.05**2),
    "D2": (0.95**2, 2 * 0.95 * 0.05, 0.05**2),
}
"""A 66 % het, and two of a population with one recessive allele in twenty: chances of 0, 1 and 2 copies."""

NORMAL, VISUAL = (0.999, 0.999, 0.01), (0.001, 0.001, 0.99)
"""Chance of what was recorded of an animal, by its copies: a few looks are written down wrong."""


def young(sire: int, dam: int) -> tuple[float, float, float]:
    """Chances of 0, 1 and 2 copies in the young of two parents of known copies."""
    a, b = sire / 2, dam / 2
    return (1 - a) * (1 - b), a * (1 - b) + b * (1 - a), a * b


@cache
def loop() -> tuple[tuple[float, Copies], ...]:
    """Every genotype of the nine animals, given that X1 was recorded a visual and the others normal."""
    names = list(LOOP)
    found = []
    for copies in product(range(3), repeat=len(names)):
        at = dict(zip(names, copies, strict=True))
        weight = math.prod((VISUAL if name == "X1" else NORMAL)[at[name]] for name in names)
        for name, parents in LOOP.items():
            weight *= young(*(at[each] for each in parents))[at[name]] if parents else FOUNDERS[name][at[name]]
        if weight > 0.0:
            found.append((weight, copies))
    total = math.fsum(weight for weight, _ in found)
    return tuple((weight / total, copies) for weight, copies in found)


def together(first: str, second: str) -> dict[tuple[int, int], float]:
    """Copies in two animals of the loop."""
    one, two = list(LOOP).index(first), list(LOOP).index(second)
    found: dict[tuple[int, int], float] = defaultdict(float)
    for weight, copies in loop():
        found[copies[one], copies[two]] += weight
    return found


def alleles(locus: str, copies: int) -> Pair:
    return (locus if copies == 2 else WILD, locus if copies else WILD)


def at(locus: str, chances: Mapping[tuple[int, int], float]) -> dict[tuple[Pair, Pair], float]:
    """Joint chances at a locus from those of copies."""
    return {(alleles(locus, mine), alleles(locus, hers)): chance for (mine, hers), chance in chances.items()}


def visual(*loci: str) -> Wish:
    return Wish("all visual", {locus: frozenset({alleles(locus, 2)}) for locus in loci})


def wanted(scenarios: Sequence[ParentsJoint], wish: Wish, eggs: int) -> WantOdds:
    found = odds_joint(scenarios, REGIUS, sire=SIRE, dam=DAM, want=wish, eggs=EggCount.fixed(eggs), top=1).want
    assert found is not None
    return found


def network() -> gum.BayesNet:
    """The loop as a network."""
    net = gum.BayesNet()
    for name, parents in LOOP.items():
        net.add(gum.LabelizedVariable(name, "", 3))
        for parent in parents:
            net.addArc(parent, name)
        if not parents:
            net.cpt(name).fillWith(list(FOUNDERS[name]))
        for copies in product(range(3), repeat=2) if parents else ():
            net.cpt(name)[dict(zip(parents, copies, strict=True))] = list(young(*copies))
    return net


def recorded() -> dict[str, list[float]]:
    return {name: list(VISUAL if name == "X1" else NORMAL) for name in LOOP}


def chance_of(net: gum.BayesNet, evidence: Mapping[str, Sequence[float]]) -> float:
    engine = gum.LazyPropagation(net)
    engine.setEvidence({name: list(row) for name, row in evidence.items()})
    engine.makeInference()
    return float(engine.evidenceProbability())


@pytest.mark.parametrize(
    "sire, dam, at_least_one",
    [("B1", "B2", 0.884712), ("F1", "S", 0.446854), ("H", "B2", 0.508551), ("S", "H", 0.498178)],
)
def test_odds_joint__at_least_one_visual_in_eight(sire: str, dam: str, at_least_one: float) -> None:
    """Eight eggs as eight more animals of the network, none of them a visual."""
    found = wanted([ParentsJoint(1.0, {"clown": at("clown", together(sire, dam))})], visual("clown"), 8)
    assert found.at_least_one == pytest.approx(at_least_one, abs=5e-7)
    net, eggs = network(), [f"egg {index}" for index in range(8)]
    for egg in eggs:
        net.add(gum.LabelizedVariable(egg, "", 3))
        net.addArc(sire, egg)
        net.addArc(dam, egg)
        for copies in product(range(3), repeat=2):
            net.cpt(egg)[dict(zip((sire, dam), copies, strict=True))] = list(young(*copies))
    none = chance_of(net, {**recorded(), **dict.fromkeys(eggs, (1.0, 1.0, 0.0))}) / chance_of(network(), recorded())
    assert found.at_least_one == pytest.approx(1.0 - none, abs=1e-12)


def test_odds_joint__what_two_of_the_loop_carry_together() -> None:
    both = together("F1", "G1")
    assert both[1, 1] == pytest.approx(0.219738, abs=5e-7)
    net = network()
    engine = gum.LazyPropagation(net)
    engine.addJointTarget({"F1", "G1"})
    engine.setEvidence(recorded())
    engine.makeInference()
    posterior = engine.jointPosterior({"F1", "G1"})
    for (mine, hers), chance in both.items():
        assert chance == pytest.approx(posterior[{"F1": mine, "G1": hers}], abs=1e-12)
    found = wanted([ParentsJoint(1.0, {"clown": at("clown", both)})], visual("clown"), 8)
    carried = math.fsum(chance for copies, chance in both.items() if min(copies) > 0)
    assert found.possible == pytest.approx(carried, abs=1e-12)
    sire = math.fsum(chance for copies, chance in both.items() if copies[0] > 0)
    dam = math.fsum(chance for copies, chance in both.items() if copies[1] > 0)
    assert [fact.chance for fact in found.turns_on] == pytest.approx([sire, dam], abs=1e-12)
    assert carried < sire * dam


def test_odds_joint__three_genes_of_which_one_is_shared() -> None:
    """S with H at one gene, two 66 % hets at a second, a 50 % het with a visual at a third; all three visual."""
    possible_hets = {(mine, hers): (1 + mine) * (1 + hers) / 9 for mine, hers in product((0, 1), repeat=2)}
    joint = ParentsJoint(
        1.0,
        {
            "clown": at("clown", together("S", "H")),
            "piebald": at("piebald", possible_hets),
            "lavender-albino": at("lavender-albino", {(0, 2): 0.5, (1, 2): 0.5}),
        },
    )
    wish = visual("clown", "piebald", "lavender-albino")
    found = [wanted([joint], wish, eggs).at_least_one for eggs in (1, 4, 8)]
    assert found == pytest.approx([0.003853, 0.014702, 0.027643], abs=5e-7)


def sibs(sire: Sequence[float], dam: Sequence[float]) -> dict[tuple[int, int], float]:
    """Copies in two normal-looking young of one clutch, by enumeration of their parents; sums to their chance."""
    found: dict[tuple[int, int], float] = defaultdict(float)
    for mine, hers in product(range(3), repeat=2):
        odds_ = young(mine, hers)
        for first, second in product((0, 1), repeat=2):
            found[first, second] += sire[mine] * dam[hers] * odds_[first] * odds_[second]
    return found


def scaled(chances: Mapping[tuple[int, int], float]) -> dict[tuple[int, int], float]:
    total = math.fsum(chances.values())
    return {copies: chance / total for copies, chance in chances.items()}


def test_odds_joint__sibs_of_sure_hets_are_two_possible_hets() -> None:
    """With both grandparents sure, one sib says nothing of the other: 2/3 each, and (2/3)(2/3)(1 - (3/4)^8)."""
    both = scaled(sibs((0, 1, 0), (0, 1, 0)))
    assert both[1, 1] == pytest.approx(4 / 9, abs=1e-15)
    found = wanted([ParentsJoint(1.0, {"clown": at("clown", both)})], visual("clown"), 8)
    assert found.at_least_one == pytest.approx(4 / 9 * (1 - 0.75**8), abs=1e-14)
    assert "together" not in found.either_or
    possible = GenotypeBelief(loci={"clown": {alleles("clown", 0): 1 / 3, alleles("clown", 1): 2 / 3}})
    apart = odds(possible, possible, REGIUS, want=visual("clown"), eggs=EggCount.fixed(8)).want
    assert apart is not None
    assert found.at_least_one == pytest.approx(apart.at_least_one, abs=1e-14)
    assert found.either_or == apart.either_or


def test_odds_joint__sibs_of_a_possible_het_go_together() -> None:
    """Het with a possible het: sibs share the doubt, and the pair gives visuals more often than the product says."""
    both = scaled(sibs((0, 1, 0), (1 / 3, 2 / 3, 0)))
    found = wanted([ParentsJoint(1.0, {"clown": at("clown", both)})], visual("clown"), 8)
    # the possible het: 3/8 and 1/4 of pairs of sibs by grandmother, weighed by how often both look normal
    het = 2 / 3 * 0.25 / (2 / 3 * 0.5625 + 1 / 3) + 1 / 3 * 0.25 / (2 / 3 * 0.5625 + 1 / 3)
    assert found.possible == pytest.approx(het, abs=1e-14)
    assert found.at_least_one == pytest.approx(het * (1 - 0.75**8), abs=1e-14)
    one = math.fsum(chance for copies, chance in both.items() if copies[0] == 1)
    assert het > one * one


def test_odds_joint__one_doubtful_sire_for_two_genes() -> None:
    """Two normal sibs whose sire is one of two males; young visual at both genes, against a network of all of it."""
    males: dict[int, dict[str, tuple[float, ...]]] = {
        0: {"clown": (0, 1, 0), "piebald": (0.5, 0.5, 0)},
        1: {"clown": (1, 0, 0), "piebald": (0, 0, 1)},
    }
    mother: dict[str, tuple[float, ...]] = {"clown": (0, 1, 0), "piebald": (0.25, 0.75, 0)}
    prior, eggs = (0.3, 0.7), 6
    weighed = [
        (prior[male], {locus: sibs(at_locus, mother[locus]) for locus, at_locus in known.items()})
        for male, known in males.items()
    ]
    chances = [weight * math.prod(math.fsum(both.values()) for both in loci.values()) for weight, loci in weighed]
    scenarios = [
        ParentsJoint(chance / math.fsum(chances), {locus: at(locus, scaled(both)) for locus, both in loci.items()})
        for chance, (_, loci) in zip(chances, weighed, strict=True)
    ]
    found = wanted(scenarios, visual("clown", "piebald"), eggs)

    net = gum.BayesNet()
    net.add(gum.LabelizedVariable("which", "", 2))
    net.cpt("which").fillWith(list(prior))
    evidence = {}
    for locus, hers in mother.items():
        for name in ("father", "mother", "sire", "dam"):
            net.add(gum.LabelizedVariable(f"{name} {locus}", "", 3))
        net.addArc("which", f"father {locus}")
        for male, known in males.items():
            net.cpt(f"father {locus}")[{"which": male}] = list(known[locus])
        net.cpt(f"mother {locus}").fillWith(list(hers))
        for sib in ("sire", "dam"):
            net.addArc(f"father {locus}", f"{sib} {locus}")
            net.addArc(f"mother {locus}", f"{sib} {locus}")
            for a, b in product(range(3), repeat=2):
                net.cpt(f"{sib} {locus}")[{f"father {locus}": a, f"mother {locus}": b}] = list(young(a, b))
            evidence[f"{sib} {locus}"] = (1.0, 1.0, 0.0)
    before = chance_of(net, evidence)
    for egg in range(eggs):
        parents = [f"{sib} {locus}" for locus in mother for sib in ("sire", "dam")]
        net.add(gum.LabelizedVariable(f"egg {egg}", "", 2))
        for parent in parents:
            net.addArc(parent, f"egg {egg}")
        for copies in product(range(3), repeat=4):
            both = math.prod(copies) / 16
            net.cpt(f"egg {egg}")[dict(zip(parents, copies, strict=True))] = [1 - both, both]
    none = chance_of(net, {**evidence, **{f"egg {egg}": (1.0, 0.0) for egg in range(eggs)}})
    assert found.at_least_one == pytest.approx(1.0 - none / before, abs=1e-12)
    # with each gene weighed over the males by itself, what the genes share through the sire is lost
    apart = {locus: at(locus, scaled(_mixed([(weight, loci[locus]) for weight, loci in weighed]))) for locus in mother}
    assert wanted([ParentsJoint(1.0, apart)], visual("clown", "piebald"), eggs).at_least_one < 0.95 * found.at_least_one


def _mixed(weighed: Sequence[tuple[float, Mapping[tuple[int, int], float]]]) -> dict[tuple[int, int], float]:
    """Joint chances at one gene over both males."""
    found: dict[tuple[int, int], float] = defaultdict(float)
    for weight, both in weighed:
        for copies, chance in both.items():
            found[copies] += weight * chance
    return found
