"""Verdicts on simulated odd animals: right as often as they say."""

from __future__ import annotations

import math
from collections import Counter

import numpy as np
import pytest
from tests.heredity.proving import reference_proving as listed

from holdback.collection.model import Sex
from holdback.heredity.proving import PRIOR, Look, Mode, OddAnimal, Partner, SexCounts, Trial, weigh

NAMES = {
    Mode.RECESSIVE: "rec",
    Mode.INCOMPLETE_DOMINANT: "inc",
    Mode.DOMINANT: "dom",
    Mode.SEX_LINKED: "sex",
    Mode.NOT_INHERITED: "not",
}
Seen = list[tuple[listed.State, int]]


class Breeder:
    """An odd male of a mode drawn from the prior, put to mates as a breeder would."""

    def __init__(self, random: np.random.Generator) -> None:
        self.random = random
        self.mode = list(PRIOR)[int(random.choice(len(PRIOR), p=list(PRIOR.values())))]
        self.name = NAMES[self.mode]
        self.him = self.drawn(listed.odd_of_normal_parents(self.name, "m"))

    def drawn(self, states: dict[listed.State, float]) -> listed.State:
        whole = sum(states.values())
        place = self.random.choice(len(states), p=[p / whole for p in states.values()])
        return list(states)[int(place)]

    def clutch(self, dam: listed.State, n: int) -> Seen:
        states = listed.birth(dam, self.him, listed.r_of(self.name))
        young = [self.drawn(states) for _ in range(n)]
        return [(one, int(self.random.choice(3, p=listed.SEEN[listed.look(self.name, one)]))) for one in young]

    def trials(self) -> list[Trial]:
        """One or two outcrosses, and of most animals a daughter put back."""
        mate = self.drawn(dict(listed.normal_mates(self.name, "f")))
        first = self.clutch(mate, int(self.random.integers(2, 9)))
        trials = [trial(Partner.unrelated("A"), first)]
        daughters = [(state, seen) for state, seen in first if state[0] == "f"]
        if daughters and self.random.random() < 0.7:
            state, seen = daughters[0]
            back = self.clutch(state, int(self.random.integers(1, 9)))
            trials.append(trial(Partner.young(0, "d", look=Look(seen), sex=Sex.FEMALE), back))
        return trials


def trial(mate: Partner, young: Seen) -> Trial:
    number = Counter((seen, state[0]) for state, seen in young)
    normal, odd, stronger = (SexCounts(number[look, "m"], number[look, "f"]) for look in Look)
    return Trial(mate, odd, stronger, normal)


def said_and_right(cases: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Probability of every mode in every case, and whether it was the true one."""
    random = np.random.default_rng(seed)
    said, right = [], []
    for _ in range(cases):
        breeder = Breeder(random)
        verdict = weigh(OddAnimal("Moth", Sex.MALE), breeder.trials())
        said.append([verdict.posterior[mode] for mode in Mode])
        right.append([mode is breeder.mode for mode in Mode])
    return np.array(said), np.array(right)


def assert_calibrated(said: np.ndarray, right: np.ndarray, low: float, high: float) -> None:
    inside = (said >= low) & (said < high)
    slack = 4.0 * math.sqrt((said[inside] * (1.0 - said[inside])).sum()) + 1e-9
    assert abs(right[inside].sum() - said[inside].sum()) <= slack


def test_weigh__recovers_the_mode() -> None:
    """300 cases: as many right as the probabilities add up to, within four standard errors."""
    said, right = said_and_right(300, 11)
    best = said.max(axis=1)
    hits = right[np.arange(len(said)), said.argmax(axis=1)]
    assert abs(hits.sum() - best.sum()) <= 4.0 * math.sqrt((best * (1.0 - best)).sum())
    assert hits.mean() > 0.75
    assert_calibrated(said, right, 0.5, 1.1)


@pytest.mark.slow
def test_weigh__right_as_often_as_it_says() -> None:
    """2,000 cases drawn from the prior, in bands; of verdicts at 70 to 90 % about that share is right."""
    said, right = said_and_right(2000, 12)
    for low, high in ((0.0, 0.05), (0.05, 0.3), (0.3, 0.7), (0.7, 0.9), (0.9, 1.1)):
        assert_calibrated(said, right, low, high)
    band = (said >= 0.7) & (said < 0.9)
    assert band.sum() > 100
    assert 0.7 < right[band].mean() < 0.9
