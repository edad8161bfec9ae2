"""What a keeper may know, against brute enumeration and true frequencies."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import numpy.typing as npt
import pytest
from tests.decisions.herd import herd
from tests.decisions.rehearsal.plans import ANY, HET, TWO_THIRDS, VIS, at_hand, gene, kind, plan, step

from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.rehearsal.clutches import Young
from holdback.decisions.rehearsal.laying_out import Rules, setting_of
from holdback.decisions.rehearsal.looks import known_of_young
from holdback.decisions.rehearsal.luck import run_words
from holdback.decisions.rehearsal.setting import Setting
from holdback.decisions.rehearsal.state import State

PASSES = (0.0, 0.5, 1.0)


def _one_clutch(sire: str, dam: str, copies: list[int], of: GoalGene) -> tuple[Setting, State, Young]:
    """A clutch of one run with these young."""
    levels = {"-": ANY, "50": (0.5, 0.0), "66": TWO_THIRDS, "het": HET, "vis": VIS}
    stock = herd(males=[(sire,)], females=[(dam,)], genes=(of.locus,))
    only = step(0, at_hand((levels[sire],), "m0"), at_hand((levels[dam],), "f0"), kind(VIS))
    setting = setting_of(stock, plan(Target((of,)), only), Rules(3, 2))
    state = State.at_start(setting, run_words(1, 0, 1), np.zeros((1, 2, 1, 2), np.uint8))
    n = len(copies)
    zero, one = np.zeros(1, np.int64), np.ones(1, np.int64)
    alleles = np.array([[[k > 0, k > 1]] for k in copies], np.uint8).reshape(n, 1, 2)
    return (
        setting,
        state,
        Young(np.zeros(n, np.int64), zero, zero, one, zero, run_words(2, 0, n), np.ones(n, bool), alleles),
    )


def _told(belief: npt.NDArray[np.float32]) -> list[float]:
    return [float(one) for one in belief]


def _reference(sire: list[float], dam: list[float], looks: list[int], same: list[set[int]]) -> list[list[float]]:
    """Sire, dam and each young by listing every genotype of the whole family."""
    total = np.zeros((2 + len(looks), 3))
    for s, d in product(range(3), repeat=2):
        a, b = PASSES[s], PASSES[d]
        young = [(1 - a) * (1 - b), a * (1 - b) + b * (1 - a), a * b]
        for found in product(range(3), repeat=len(looks)):
            if all(c in same[look] for c, look in zip(found, looks, strict=True)):
                weight = sire[s] * dam[d] * float(np.prod([young[c] for c in found]))
                for place, c in enumerate((s, d, *found)):
                    total[place, c] += weight
    shares: list[list[float]] = (total / total[0].sum()).tolist()
    return shares


RECESSIVE, DOMINANT = gene("clown"), replace(gene("enchi", 1, is_hidden=False), tells_two=False)


@pytest.mark.parametrize(
    "sire, dam, looks",
    [("66", "het", [0, 0, 0]), ("66", "66", [0, 2, 0]), ("50", "het", [2]), ("het", "50", [0, 0]), ("66", "50", [0])],
)
def test_known_of_young__recessive(sire: str, dam: str, looks: list[int]) -> None:
    """A visual proves both parents; normals lower what may be in them, and what their young may carry."""
    prior = {"50": [0.5, 0.5, 0.0], "66": [1 / 3, 2 / 3, 0.0], "het": [0.0, 1.0, 0.0]}
    setting, state, young = _one_clutch(sire, dam, looks, RECESSIVE)
    belief, named = known_of_young(setting, state, young, np.array(looks)[:, None])
    exact = _reference(prior[sire], prior[dam], looks, [{0, 1}, {0, 1}, {2}])
    assert [_told(state.belief[0, slot, 0]) for slot in (0, 1)] == [pytest.approx(one, abs=1e-6) for one in exact[:2]]
    assert [_told(one) for one in belief[:, 0]] == [pytest.approx(one, abs=1e-6) for one in exact[2:]]
    for number, look in enumerate(looks):
        alone = _reference(prior[sire], prior[dam], [look], [{0, 1}, {0, 1}, {2}])[2]
        assert _told(named[number, 0]) == pytest.approx(alone, abs=1e-6)


def test_known_of_young__two_copies_that_look_like_one() -> None:
    setting, state, young = _one_clutch("het", "het", [1, 2, 0], DOMINANT)
    belief, _ = known_of_young(setting, state, young, np.array([[1], [2], [0]]))
    assert [_told(one) for one in belief[:, 0]] == [
        pytest.approx([0.0, 2 / 3, 1 / 3]),
        pytest.approx([0.0, 2 / 3, 1 / 3]),
        pytest.approx([1.0, 0.0, 0.0]),
    ]


def test_known_of_young__a_sire_learns_from_all_his_clutches() -> None:
    """Two clutches of two and three normals from visual dams count like one of five: 1/3 against 2/3 in 2^5."""
    stock = herd(males=[("66",)], females=[("vis",)] * 2, genes=("clown",))
    only = step(0, at_hand((TWO_THIRDS,), "m0"), at_hand((VIS,), "f0", "f1"), kind(VIS))
    setting = setting_of(stock, plan(Target((RECESSIVE,)), only), Rules(3, 2))
    state = State.at_start(setting, run_words(1, 0, 1), np.zeros((1, 3, 1, 2), np.uint8))
    clutch = np.array([0, 0, 1, 1, 1])
    zeros = np.zeros(2, np.int64)
    males = np.ones(5, dtype=np.bool_)
    young = Young(
        clutch, zeros, zeros, np.array([1, 2]), zeros, run_words(2, 0, 5), males, np.zeros((5, 1, 2), np.uint8)
    )
    known_of_young(setting, state, young, np.zeros((5, 1), np.int64))
    assert float(state.belief[0, 0, 0, 1]) == pytest.approx((2 / 3 / 32) / (1 / 3 + 2 / 3 / 32), abs=1e-6)
