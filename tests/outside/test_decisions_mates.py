"""Chances of a pair and of a kept young's own young, against a Bayesian network of pyAgrum.

pyAgrum 3.3 answers by lazy propagation in a network of the genotypes of two generations: founders, a young of which it
is seen that it does not show the gene, its mate, and their young.
"""

from __future__ import annotations

import warnings
from itertools import product

import numpy as np
import pytest
from tests.decisions.herd import LEVELS, herd

from holdback.decisions.goal import Goal
from holdback.decisions.mates import mates
from holdback.decisions.wanting import targets_of
from holdback.species.catalogue import load

with warnings.catch_warnings():
    # its compiled part names types without a module, and does not survive that warning as an error
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum as gum

pytestmark = pytest.mark.outside

CROSS = np.zeros((3, 3, 3))
"""Mendel's table: copies in the sire, in the dam, in the young."""
for _sire, _dam in product(range(3), range(3)):
    a, b = _sire / 2, _dam / 2
    CROSS[_sire, _dam] = (1 - a) * (1 - b), a * (1 - b) + b * (1 - a), a * b


def by_network(sire: str, dam: str, mate: str) -> tuple[float, float]:
    """Chance that a young of the pair shows a recessive, and that one of its carrier with the mate does."""
    net = gum.BayesNet()
    nodes = {name: net.add(gum.LabelizedVariable(name, name, 3)) for name in ("sire", "dam", "young", "mate", "last")}
    for first, second, young in (("sire", "dam", "young"), ("young", "mate", "last")):
        net.addArc(nodes[first], nodes[young])
        net.addArc(nodes[second], nodes[young])
    for name, level in (("sire", sire), ("dam", dam), ("mate", mate)):
        net.cpt(name).fillWith([float(chance) for chance in LEVELS[level]])
    for first, second, young in (("sire", "dam", "young"), ("young", "mate", "last")):
        for mine, hers in product(range(3), range(3)):
            net.cpt(young)[{first: mine, second: hers}] = CROSS[mine, hers].tolist()
    engine = gum.LazyPropagation(net)
    engine.makeInference()
    shows = float(engine.posterior("young")[2])
    engine.setEvidence({"young": [1.0, 1.0, 0.0]})
    engine.makeInference()
    return shows, float(engine.posterior("last")[2])


@pytest.mark.parametrize(
    "sire,dam,mate",
    [("66", "het", "vis"), ("het", "het", "66"), ("vis", "66", "50"), ("50", "66", "vis"), ("vis", "-", "het")],
)
def test_mates__as_a_network_of_three_generations(sire: str, dam: str, mate: str) -> None:
    """The normal-looking son is put to the one female at hand that is not his kin."""
    stock = herd(males=[(sire,)], females=[(dam,), (mate,)], genes=("clown",), ready={"f1": 2})
    goal = Goal("Harbour", "Clown", by=2029, inbreeding_at_most=0.0)
    found = {one.mate: one for one in mates(stock, "m0", targets_of(goal, load()), goal, load())}
    shows, later = by_network(sire, dam, mate)
    assert found["f0"].per_hatchling == pytest.approx(shows, abs=1e-12)
    following = found["f0"].next
    assert following is not None
    if following.kind.genes[0][1] < 1.0:
        assert following.per_hatchling == pytest.approx(later, abs=1e-12)
    else:
        assert following.per_hatchling == pytest.approx(LEVELS[mate][1] / 2 + LEVELS[mate][2], abs=1e-12)
