"""The stock that the other tests build by hand."""

from __future__ import annotations

import numpy as np
import pytest
from tests.decisions.herd import herd, laws


def test_laws__means_and_misses() -> None:
    """Mean eggs 6.834795, young 5.536184, and G(1/2) .048693, as worked out apart for the check cases."""
    eggs, young = laws()
    assert eggs.mean == pytest.approx(6.834795, abs=5e-7)
    assert young.mean == pytest.approx(5.536184, abs=5e-7)
    assert float(young.chances @ 0.5 ** np.arange(len(young.chances))) == pytest.approx(0.048693, abs=5e-7)


def test_herd__draws_follow_the_belief() -> None:
    stock = herd(males=[("vis",)], females=[("66",)], genes=("clown",))
    pairs, drawn = stock.genes.draw(("m0", "f0"), "clown", 4000, np.random.default_rng(1))
    assert {pairs[k] for k in drawn[:, 0]} == {("clown", "clown")}
    carriers = np.mean([pairs[k] == ("+", "clown") for k in drawn[:, 1]])
    assert carriers == pytest.approx(2 / 3, abs=4 * (2 / 9 / 4000) ** 0.5)


def test_herd__reads_shorthand_too() -> None:
    stock = herd(males=["Enchi het Clown"], females=["Pastel"], line="Ember", shares=(0.5, 0.25))
    assert stock.genes.at("m0", "clown") == {("+", "clown"): 1.0}
    assert stock.shares["Ember"].tolist() == [0.5, 0.25]
    assert stock.kinship.tolist() == [[0.5, 0.0], [0.0, 0.5]]
