"""Inference on factor graphs against pyAgrum, and against a printed table of a looped pedigree.

pyAgrum's lazy propagation is a reference library for exact inference in Bayesian networks.
"""

from __future__ import annotations

import math
import warnings

import numpy as np
import numpy.typing as npt
import pytest

from holdback.heredity.network import Graph, Plan

with warnings.catch_warnings():
    # its compiled part names types without a module, and does not survive that warning as an error
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum as gum

pytestmark = pytest.mark.outside

FloatArray = npt.NDArray[np.float64]
Parents = list[tuple[int, int] | None]

GAMETES = np.array([[1.0, 0.0], [0.5, 0.5], [0.0, 1.0]])
"""Chance that a parent of 0, 1 or 2 copies passes on none or one."""
INHERITED = np.array([[np.convolve(sire, dam) for dam in GAMETES] for sire in GAMETES])
"""Chance of each genotype of the young, by sire and dam: Mendel's first law."""


def graph_of(parents: Parents) -> Graph:
    """One variable an animal; factors of founders or of a family, then one record each."""
    families = [(n,) if pair is None else (*pair, n) for n, pair in enumerate(parents)]
    return Graph((3,) * len(parents), (*families, *((n,) for n in range(len(parents)))))


def tables_of(parents: Parents, founders: FloatArray, records: FloatArray) -> list[FloatArray]:
    families = [founders[n] if pair is None else INHERITED for n, pair in enumerate(parents)]
    return [table[None] for table in (*families, *records)]


def random_pedigree(rng: np.random.Generator) -> Parents:
    """Seven to fifteen animals of three founders, inbred by backcross, sib mating and chance, hence looped."""
    parents: Parents = [None, None, None]
    for _ in range(int(rng.integers(4, 13))):
        pair = rng.choice(len(parents), 2, replace=False)
        parents.append((int(pair[0]), int(pair[1])))
    return parents


def reference(parents: Parents, founders: FloatArray, records: FloatArray) -> tuple[gum.LazyPropagation, float]:
    """pyAgrum's inference over the animals with their records as likelihoods, and the chance of all records."""
    net = gum.BayesNet()
    for animal in range(len(parents)):
        net.add(gum.LabelizedVariable(f"a{animal}", "", 3))
    for animal, pair in enumerate(parents):
        for parent in pair or ():
            net.addArc(f"a{parent}", f"a{animal}")
    for animal, pair in enumerate(parents):
        if pair is None:
            net.cpt(f"a{animal}").fillWith(list(founders[animal]))
            continue
        for sire in range(3):
            for dam in range(3):
                net.cpt(f"a{animal}")[{f"a{pair[0]}": sire, f"a{pair[1]}": dam}] = list(INHERITED[sire, dam])
    inference = gum.LazyPropagation(net)
    for animal, record in enumerate(records):
        inference.addEvidence(f"a{animal}", list(record))
    inference.addJointTarget({"a0", f"a{len(parents) - 1}"})
    inference.makeInference()
    return inference, float(inference.evidenceProbability())


@pytest.mark.parametrize("seed", range(20))
def test_calibrate__ten_looped_pedigrees_agree_with_pyagrum(seed: int) -> None:
    rng = np.random.default_rng([20, seed])
    for _ in range(10):
        parents = random_pedigree(rng)
        last = len(parents) - 1
        founders = rng.dirichlet([4.0, 2.0, 1.0], len(parents))
        error = rng.choice([0.2, 0.01, 1e-4])
        records = np.where(rng.random((len(parents), 3)) < 0.4, error, 1.0 - error)
        inference, chance = reference(parents, founders, records)
        found = Plan(graph_of(parents)).calibrate(tables_of(parents, founders, records))
        assert found.log_likelihood[0] == pytest.approx(math.log(chance), abs=1e-10)
        for animal, marginal in enumerate(found.marginals()):
            assert marginal[0] == pytest.approx(inference.posterior(f"a{animal}").toarray(), abs=1e-10)
        joint = inference.jointPosterior({"a0", f"a{last}"})
        expected = [[joint[{"a0": one, f"a{last}": other}] for other in range(3)] for one in range(3)]
        np.testing.assert_allclose(found.joint(0, last)[0], expected, atol=1e-10, rtol=0.0)


NAMES = ("S", "D1", "D2", "F1", "B1", "B2", "G1", "X1", "H")
LOOPED: Parents = [None, None, None, (0, 1), (0, 3), (0, 3), (0, 2), (4, 5), (6, 4)]
"""S sires his own grandchildren: F1 = S x D1, B1 and B2 = S x F1, G1 = S x D2, X1 = B1 x B2, H = G1 x B1."""
PRIORS = np.array([[1 / 3, 2 / 3, 0.0]] + 2 * [[0.95**2, 2 * 0.95 * 0.05, 0.05**2]] + 6 * [[1.0, 1.0, 1.0]])
NORMAL, VISUAL = (1.0, 1.0, 0.0), (0.0, 0.0, 1.0)
NORMAL_OR_WRONG, VISUAL_OR_WRONG = (0.999, 0.999, 0.01), (0.001, 0.001, 0.99)

ALL_NORMAL = (0.559985, 0.077585, 0.081894, 0.217818, 0.283070, 0.303168, 0.288044, 0.245971, 0.245212)
X1_VISUAL = (0.972466, 0.098690, 0.070327, 0.525626, 1.0, 1.0, 0.429424, 0.0, 0.571571)
TOLERANT = (0.964189, 0.098398, 0.070709, 0.523390, 0.980931, 0.980640, 0.426944, 0.005128, 0.565842)
TOLERANT_BOTH = (0.0, 0.000027, 0.000011, 0.000240, 0.004187, 0.004893, 0.000136, 0.979222, 0.001419)
"""Chance of one copy, and of two: enumeration of all 3**9 states, which agreed with pyAgrum to 2e-15."""


def looped(records: list[tuple[float, ...]]) -> tuple[FloatArray, float]:
    found = Plan(graph_of(LOOPED)).calibrate(tables_of(LOOPED, PRIORS, np.array(records)))
    return np.array([marginal[0] for marginal in found.marginals()]), math.exp(found.log_likelihood[0])


@pytest.mark.parametrize(
    "normal, visual, one_copy, chance",
    [
        (NORMAL, NORMAL, ALL_NORMAL, 0.751337126),
        (NORMAL, VISUAL, X1_VISUAL, 0.035424300),
        (NORMAL_OR_WRONG, VISUAL_OR_WRONG, TOLERANT, 0.035925229),
    ],
    ids=["all normal", "X1 visual", "X1 visual, records may be wrong"],
)
def test_calibrate__looped_pedigree_as_printed(
    normal: tuple[float, ...], visual: tuple[float, ...], one_copy: tuple[float, ...], chance: float
) -> None:
    marginals, likelihood = looped([visual if name == "X1" else normal for name in NAMES])
    assert marginals[:, 1] == pytest.approx(one_copy, abs=5.1e-7)
    assert likelihood == pytest.approx(chance, abs=5.1e-10)
    if normal is NORMAL_OR_WRONG:
        assert marginals[:, 2] == pytest.approx(TOLERANT_BOTH, abs=5.1e-7)
    elif visual is VISUAL:
        assert marginals[NAMES.index("X1"), 2] == pytest.approx(1.0)


def test_plan__looped_pedigree_has_five_cliques_of_three_and_one_of_four() -> None:
    plan = Plan(graph_of(LOOPED))
    assert (plan.entries, plan.width) == (5 * 3**3 + 3**4, 4)


def test_joint__looped_pedigree_as_printed() -> None:
    records = [VISUAL_OR_WRONG if name == "X1" else NORMAL_OR_WRONG for name in NAMES]
    found = Plan(graph_of(LOOPED)).calibrate(tables_of(LOOPED, PRIORS, np.array(records)))
    printed = {("F1", "G1"): 0.219738, ("S", "H"): 0.552033, ("D1", "H"): 0.054250, ("B2", "G1"): 0.421734}
    for (first, second), both in printed.items():
        joint = found.joint(NAMES.index(first), NAMES.index(second))[0]
        assert joint[1, 1] == pytest.approx(both, abs=5.1e-7)
        assert pytest.approx(joint, abs=1e-12) == found.joints_with(NAMES.index(second))[NAMES.index(first)][0].T


def clutch(own_copies: int, looks: str) -> tuple[Graph, list[FloatArray]]:
    """Sire one or two (variable 0) of a clutch of a visual dam; the copies of sire two (variable 1) are not known.

    Sire two is two thirds likely to carry one copy; `looks` has one letter an egg, records err at .01.
    """
    visual = np.array([0.0, 0.5, 1.0])
    said = [
        visual * 0.99 + (1 - visual) * 0.01 if look == "v" else visual * 0.01 + (1 - visual) * 0.99 for look in looks
    ]
    by_copies = np.prod(said, axis=0)
    table = np.array([np.full(3, by_copies[own_copies]), by_copies])
    return Graph((2, 3), ((0, 1), (1,)), keep=((0,),)), [table[None], np.array([[1 / 3, 2 / 3, 0.0]])]


def test_distribute__two_loci_of_one_clutch_as_printed() -> None:
    """Values found by enumeration: who is the sire, and whether sire two carries, by each locus alone and by both."""
    (graph, first), (_, second) = clutch(1, "vpv"), clutch(0, "ppv")
    plan = Plan(graph)
    one, other = plan.collect(first), plan.collect(second)
    prior = np.array([[0.5, 0.5]])
    assert one.distribute(prior).marginal(0)[0, 0] == pytest.approx(0.599905, abs=5.1e-7)
    assert other.distribute(prior).marginal(0)[0, 0] == pytest.approx(0.101669, abs=5.1e-7)
    assert one.distribute(prior).marginal(1)[0, 1] == pytest.approx(0.799873, abs=5.1e-7)
    assert other.distribute(prior).marginal(1)[0, 1] == pytest.approx(0.932221, abs=5.1e-7)
    assert one.distribute(prior * other.root).marginal(0)[0, 0] == pytest.approx(0.145077, abs=5.1e-7)
    assert one.distribute(prior * other.root).marginal(1)[0, 1] == pytest.approx(0.951303, abs=5.1e-7)
    assert other.distribute(prior * one.root).marginal(1)[0, 1] == pytest.approx(0.919389, abs=5.1e-7)
