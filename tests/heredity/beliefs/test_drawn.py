"""Joint draws of genotypes against the exact chances that they are drawn from."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from tests.heredity.beliefs.pedigrees import NORMAL, VISUAL, claim, evidence_at, recessive, record
from tests.heredity.beliefs.random_families import Problem, problems

from holdback.collection.model import Candidate, Sex
from holdback.descent.family import Brood, Family
from holdback.heredity.beliefs import Beliefs, Memory, infer, parents_joint
from holdback.heredity.beliefs import estimated as estimated_module
from holdback.heredity.beliefs import inference as inference_module
from holdback.heredity.beliefs.drawn import draw_pairs
from holdback.species.model import Pair

N = 20_000
WITHIN = 5.0 * 0.5 / np.sqrt(N)
"""Five standard errors of a share of N draws, at its largest."""


def _joint(beliefs: Beliefs, first: str, second: str, locus: str) -> dict[tuple[Pair, Pair], float]:
    found: dict[tuple[Pair, Pair], float] = {}
    for one in parents_joint(beliefs, first, second, also={locus}):
        for both, chance in one.at(locus).items():
            found[both] = found.get(both, 0.0) + one.weight * chance
    return found


def _assert_drawn(beliefs: Beliefs, animals: list[str], locus: str, within: float) -> None:
    pairs, drawn = draw_pairs(beliefs, animals, locus, N, np.random.default_rng(3))
    assert drawn.shape == (N, len(animals))
    for column, animal in enumerate(animals):
        shares = np.bincount(drawn[:, column], minlength=len(pairs)) / N
        expected = beliefs.at(animal, locus)
        assert shares == pytest.approx([expected.get(pair, 0.0) for pair in pairs], abs=within)
    for one, other in combinations(range(len(animals)), 2):
        codes = np.bincount(drawn[:, one] * len(pairs) + drawn[:, other], minlength=len(pairs) ** 2) / N
        joint = _joint(beliefs, animals[one], animals[other], locus)
        assert codes == pytest.approx([joint.get((a, b), 0.0) for a in pairs for b in pairs], abs=within)


def _family() -> tuple[Family, list[str]]:
    broods = (
        Brood("C", "D", (Candidate("S1", 0.5), Candidate("S2", 0.5)), ("K1", "K2", "K3", "K4")),
        Brood("B", "K1", (Candidate("S1"),), ("G1", "G2")),
    )
    animals = ["S1", "S2", "D", "K1", "K2", "K3", "K4", "G1", "G2"]
    return Family(dict.fromkeys(animals, Sex.UNKNOWN), broods), animals


def _beliefs() -> Beliefs:
    records = [claim("S1", (0.4, 0.6, 1e-9), 0.05), claim("D", (0.3, 0.7, 1e-9), 0.05)]
    records += [record(name, VISUAL if name == "K3" else NORMAL) for name in ("K1", "K2", "K3", "K4", "G1", "G2")]
    return infer(_family()[0], evidence_at(recessive("a", 0.05, records)), memory=Memory())


def test_draw_pairs__relatives_with_a_doubtful_sire() -> None:
    _assert_drawn(_beliefs(), ["S1", "D", "K1", "K2", "K4", "G1"], "a", WITHIN)


def test_draw_pairs__where_inference_was_sampled(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(inference_module, "MOST_ENTRIES", 10)
    monkeypatch.setattr(estimated_module, "CLIQUE_ENTRIES", 18)
    found = _beliefs()
    assert not found.exact
    _assert_drawn(found, ["S1", "D", "K1"], "a", 0.04)
    monkeypatch.undo()
    pairs, drawn = draw_pairs(found, ["K2", "K4"], "a", N, np.random.default_rng(3))
    exact = _joint(_beliefs(), "K2", "K4", "a")
    codes = np.bincount(drawn[:, 0] * len(pairs) + drawn[:, 1], minlength=len(pairs) ** 2) / N
    assert codes == pytest.approx([exact.get((a, b), 0.0) for a in pairs for b in pairs], abs=0.04)


@settings(max_examples=20, deadline=None)
@given(problem=problems(n_loci=2, n_alleles=3, linked=True))
def test_draw_pairs__any_family(problem: Problem) -> None:
    beliefs = infer(problem.family, problem.evidence, memory=Memory())
    animals = list(problem.family.sexes)
    for locus in problem.evidence.loci:
        _assert_drawn(beliefs, animals[:4], locus, WITHIN)


def test_draw_pairs__nothing_recorded_is_wild() -> None:
    pairs, drawn = draw_pairs(_beliefs(), ["S1", "K2"], "nobody's", 3, np.random.default_rng(1))
    assert pairs == [("+", "+")]
    assert drawn.tolist() == [[0, 0]] * 3
    with pytest.raises(KeyError):
        draw_pairs(_beliefs(), ["nobody"], "a", 3, np.random.default_rng(1))
