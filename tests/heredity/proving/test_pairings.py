"""The next pairing against listing every sequence of young."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import product

import numpy as np
import pytest
from tests.heredity.proving import reference_proving as listed

from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount
from holdback.heredity.proving import (
    Assumptions,
    Look,
    Mode,
    OddAnimal,
    Pairing,
    Partner,
    SexCounts,
    Trial,
    next_pairings,
    weigh,
)
from holdback.heredity.proving.rehearsal import MOST_EXACT, MOST_YOUNG, PairMixture

MODES = {
    "rec": Mode.RECESSIVE,
    "inc": Mode.INCOMPLETE_DOMINANT,
    "dom": Mode.DOMINANT,
    "sex": Mode.SEX_LINKED,
    "not": Mode.NOT_INHERITED,
}
MOTH = OddAnimal("Moth", Sex.MALE)
THREE = EggCount.hatchlings(3)
OUTCROSS = Trial(Partner.unrelated("A"), normal=SexCounts(2, 3), odd=SexCounts(1, 0), label="C7")


def found(trials: list[Trial], eggs: EggCount = THREE, seed: int = 1) -> dict[str, Pairing]:
    return {one.label: one for one in next_pairings(MOTH, trials, eggs=eggs, seed=seed).pairings}


def reference_sequences(mode: str, dam: listed.State, sire: listed.State, n: int) -> dict[tuple[object, ...], float]:
    """Chance of every sequence of n young by recorded look and sex."""
    single: dict[tuple[int, str], float] = {}
    for state, chance in listed.birth(dam, sire, listed.r_of(mode)).items():
        for seen, share in enumerate(listed.SEEN[listed.look(mode, state)]):
            single[seen, state[0]] = single.get((seen, state[0]), 0.0) + chance * share
    return {young: math.prod(single[each] for each in young) for young in product(single, repeat=n)}


def reference_joint(pairs: Mapping[str, list[tuple[listed.State, listed.State, float]]], n: int) -> np.ndarray:
    """P(mode, sequence), shape (modes, sequences)."""
    rows = []
    for mode in MODES:
        row: dict[tuple[object, ...], float] = {}
        for dam, sire, weight in pairs[mode]:
            for young, chance in reference_sequences(mode, dam, sire, n).items():
                row[young] = row.get(young, 0.0) + weight * chance
        rows.append([row[young] for young in sorted(row)])
    return np.array(rows)


def reference_bits(joint: np.ndarray) -> float:
    product_of_sums = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
    return float((joint * np.log2(joint / product_of_sums)).sum())


def outcross_pairs() -> dict[str, list[tuple[listed.State, listed.State, float]]]:
    """Moth to a new normal female, before any young."""
    prior = weigh(MOTH, []).prior
    return {
        name: [
            (her, him, prior[mode] * p * q)
            for him, p in listed.odd_of_normal_parents(name, "m").items()
            for her, q in listed.normal_mates(name, "f")
        ]
        for name, mode in MODES.items()
    }


def backcross_pairs() -> dict[str, list[tuple[listed.State, listed.State, float]]]:
    """Moth to a normal daughter of the outcross, after its young."""
    counts = {(listed.NORMAL, "m"): 2, (listed.NORMAL, "f"): 2, (listed.ODD, "m"): 1}
    prior = weigh(MOTH, []).prior
    pairs = {
        name: [
            (daughter, him, prior[mode] * p * q * chance * listed.counted(name, her, him, counts, listed.r_of(name)))
            for him, p in listed.odd_of_normal_parents(name, "m").items()
            for her, q in listed.normal_mates(name, "f")
            for daughter, chance in listed.young_of(name, her, him, listed.NORMAL, listed.r_of(name))
            if daughter[0] == "f"
        ]
        for name, mode in MODES.items()
    }
    whole = sum(weight for each in pairs.values() for _, _, weight in each)
    return {name: [(dam, sire, weight / whole) for dam, sire, weight in each] for name, each in pairs.items()}


def test_next_pairings__outcross_equals_listing() -> None:
    pairing = found([])["Moth to an unrelated normal mate"]
    joint = reference_joint(outcross_pairs(), 3)
    assert pairing.bits == pytest.approx(reference_bits(joint), abs=1e-5)
    assert pairing.after_clutch == pytest.approx(joint.max(axis=0).sum(), abs=0.03)  # rehearsed, 400 sequences


def test_next_pairings__backcross_equals_listing() -> None:
    pairing = found([OUTCROSS])["Moth to its own normal young from C7"]
    joint = reference_joint(backcross_pairs(), 3)
    assert pairing.bits == pytest.approx(reference_bits(joint), abs=1e-5)
    assert pairing.after_clutch == pytest.approx(joint.max(axis=0).sum(), abs=0.03)  # rehearsed, 400 sequences
    assert pairing.now == pytest.approx(weigh(MOTH, [OUTCROSS]).ranked[0][1], abs=1e-5)


def test_next_pairings__bits_mix_over_the_clutch() -> None:
    eggs = EggCount(((3, 0.25), (5, 0.75)), failure=0.2)
    label = "Moth to an unrelated normal mate"
    three, five = (found([], EggCount.hatchlings(n))[label].bits for n in (3, 5))
    assert found([], eggs)[label].bits == pytest.approx(0.2 * three + 0.6 * five, abs=1e-12)


def test_next_pairings__a_recessive_needs_the_young_put_back() -> None:
    """Nine normal young of a normal mate: an outcross more says next to nothing, a backcross settles it."""
    pairings = found([Trial(Partner.unrelated("A"), normal=SexCounts(unknown=9))], EggCount.hatchlings(7))
    outcross, back = pairings["Moth to an unrelated normal mate"], pairings["Moth to its own normal young from trial 1"]
    assert next(iter(pairings)) == "Moth to its own normal young from trial 1"
    assert outcross.recessive_cannot_show
    assert outcross.young_to_settle is None
    assert outcross.bits < 0.02
    assert "hold back young and put them back" in outcross.sentence
    assert back.young_to_settle is not None
    assert not back.recessive_cannot_show
    assert back.after_most > 0.99
    assert (outcross.inbreeding, back.inbreeding) == (0.0, 0.25)
    assert "F 25 % or more" in back.sentence


def test_next_pairings__eggs_follow_from_young_and_hatch_rate() -> None:
    trials = [Trial(Partner.unrelated("A"), normal=SexCounts(unknown=9))]
    back = found(trials, EggCount.fixed(8, 0.5))["Moth to its own normal young from trial 1"]
    assert back.young_to_settle is not None
    assert back.eggs_to_settle == 2 * back.young_to_settle


def test_next_pairings__only_animals_that_can_be_put_together() -> None:
    first = found([])
    assert [label for label, one in first.items() if one.needs_young_first] == [
        "Moth to its own normal young",
        "two normal young of Moth together",
    ]
    assert "have to be bred first" in first["Moth to its own normal young"].sentence
    later = found([OUTCROSS])
    assert not any(one.needs_young_first for one in later.values())
    assert "Moth to its own odd young from C7" in later
    assert "two odd young of Moth together from C7" not in later
    used = [OUTCROSS, Trial(Partner.young(0, "d", look=Look.ODD), normal=SexCounts(1))]
    assert "Moth to its own odd young from C7" not in found(used)


def test_next_pairings__settled_already() -> None:
    back = Trial(Partner.young(0, "d"), odd=SexCounts(2, 2), normal=SexCounts(2, 2))
    trials = [Trial(Partner.unrelated("A"), normal=SexCounts(unknown=9)), back]
    first = next(iter(found(trials).values()))
    assert (first.young_to_settle, first.eggs_to_settle) == (0, 0)
    assert "the likeliest mode stands at over 99.5 % already" in first.sentence


def test_next_pairings__one_seed_one_answer() -> None:
    first, again = (next_pairings(MOTH, [OUTCROSS], eggs=THREE, seed=5) for _ in range(2))
    assert first == again
    told = first.as_json()
    assert told["seed"] == 5
    assert told["pairings"][0]["bits"] >= told["pairings"][-1]["bits"]
    assert "seed 5" in told["basis"]


def coin() -> PairMixture:
    """Two modes that differ in one look: 1/2 and 1/4 odd, sexes alike."""
    chances = np.array([[0.25, 0.25, 0.25, 0.25, 0.0, 0.0], [0.375, 0.375, 0.125, 0.125, 0.0, 0.0]]) + 1e-12
    return PairMixture(np.array([0, 1]), np.array([0.5, 0.5]), chances / chances.sum(axis=1, keepdims=True))


def test_pair_mixture__bits_equal_the_binomial_sum() -> None:
    n, whole = 7, 0.0
    for k in range(n + 1):
        first, second = (math.comb(n, k) * q**k * (1 - q) ** (n - k) / 2 for q in (0.5, 0.25))
        whole += sum(p * math.log2(p / ((first + second) / 2)) for p in (first, second))
    assert coin().bits(n) == pytest.approx(whole, abs=1e-8)
    assert coin().bits(0) == 0.0
    assert coin().bits(MOST_EXACT + 3) == coin().bits(MOST_EXACT)


def test_pair_mixture__chance_right_equals_the_binomial_sum() -> None:
    """Expected largest posterior of two binomials; 4,000 sequences, within four standard errors of at most .004."""
    right = coin().chance_right(paths=4000, seed=3)
    for n in (1, 10, 40):
        exact = math.fsum(
            math.comb(n, k) * max(q**k * (1 - q) ** (n - k) for q in (0.5, 0.25)) / 2 for k in range(n + 1)
        )
        assert right[n] == pytest.approx(exact, abs=0.016)
    assert right[0] == pytest.approx(0.5)
    assert len(right) == MOST_YOUNG + 1


def test_next_pairings__given_and_prior_are_used() -> None:
    prior = {Mode.RECESSIVE: 0.5, Mode.NOT_INHERITED: 0.5}
    given = Assumptions(missed=0.2, imagined=0.1)
    sharp, blurred = (
        next_pairings(MOTH, [], eggs=THREE, prior=prior, given=each).pairings[0].bits for each in (None, given)
    )
    assert blurred < sharp < 1.0
