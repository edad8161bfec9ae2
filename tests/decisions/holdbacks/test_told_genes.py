from __future__ import annotations

import numpy as np
import pytest
from tests.decisions.herd import herd

from holdback.decisions.holdbacks.told_genes import ToldGenes

HET = ("+", "clown")
WILD = ("+", "+")


def test_told_genes__are_conditional() -> None:
    """Bayes by hand: a 66 % het told to carry is a certain het, in couples and draws; others stay as they are."""
    genes = herd(males=[["vis"]], females=[["66"], ["50"]], genes=["clown"]).genes
    told = ToldGenes(genes, "f0", "clown", frozenset({HET}))
    assert told.at("f0", "clown") == {HET: 1.0}
    assert told.at("f1", "clown") == genes.at("f1", "clown")
    assert told.couple("m0", "f1", ["clown"]) == genes.couple("m0", "f1", ["clown"])
    (state,) = told.couple("m0", "f0", ["clown"])
    assert state.weight == pytest.approx(1)
    assert state.at("clown") == {(("clown", "clown"), HET): 1.0}
    pairs, drawn = told.draw(["f1", "f0"], "clown", 500, np.random.default_rng(2))
    assert drawn.shape == (500, 2)
    assert {pairs[k] for k in drawn[:, 1]} == {HET}
    assert np.mean([pairs[k] == HET for k in drawn[:, 0]]) == pytest.approx(0.5, abs=0.08)
    assert told.phase("f0", "clown") == genes.phase("f0", "clown")


def test_told_genes__draws_at_other_loci_are_those_of_before() -> None:
    genes = herd(males=[["vis", "66"]], females=[["66", "50"]], genes=["clown", "piebald"]).genes
    told = ToldGenes(genes, "f0", "clown", frozenset({WILD}))
    one = told.draw(["f0"], "piebald", 50, np.random.default_rng(2))
    other = genes.draw(["f0"], "piebald", 50, np.random.default_rng(2))
    assert one[0] == other[0]
    assert (one[1] == other[1]).all()
