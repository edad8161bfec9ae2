"""Whether places foretold by week hold: the upper number is passed in one week of ten.

    python -m verification.season_load [keepers]

Keepers are those of `season_keepers`, with eggs, slugs, losses and sales drawn for every clutch as the species file
says that keepers differ. Each keeper's last season is foretold on a day drawn at random, from what was on record then.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from verification.season_keepers import Keeper, Truth, keeper

from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Clutch, Egg, EggOutcome, PartialDate, Records
from holdback.season.assumed import assumed
from holdback.season.clutch_counts import ClutchCounts, good_egg_rate
from holdback.season.clutch_outlook import clutch_outlook
from holdback.season.forecast import outlooks
from holdback.season.intervals import Intervals
from holdback.season.load import Drawing, Room, load
from holdback.season.loss_days import LossDays
from holdback.species.catalogue import Catalogue
from holdback.species.catalogue import load as species
from holdback.species.model import Value

Z_90 = 1.6448536
LEAST = 8
"""Weeks whose upper number is less are not judged: a whole number is then passed in far less than one case of ten."""
WEEKS, DRAWS = 40, 1000


@dataclass(frozen=True)
class Held:
    """Upper and expected numbers of a keeper's weeks, and what came; arrays of shape (n_weeks,)."""

    upper: NDArray[np.int64]
    expected: NDArray[np.float64]
    came: NDArray[np.int64]


class _Numbers:
    """How many eggs, slugs and young this keeper's clutches have."""

    def __init__(self, rng: np.random.Generator, catalogue: Catalogue) -> None:
        values = catalogue.reproduction
        mean, sd = values["clutch_size_mean"], values["clutch_size_sd"]
        self.rng, self.first = rng, values["clutch_size_first"].value - mean.value
        self.mean = rng.normal(mean.value, (mean.high - mean.low) / (2 * Z_90))
        sigma = sd.value * np.exp(rng.normal(0, np.log(sd.high / sd.low) / (2 * Z_90)))
        share = rng.choice([0.1, 0.3, 0.3, 0.5])
        self.between, self.within = sigma * np.sqrt(share), sigma * np.sqrt(1 - share)
        self.slug = self._beta(values["slug_rate"])
        self.hatch = self._beta(good_egg_rate(catalogue))
        self.slug_size, self.loss_size = (1 / rng.choice([0.05, 0.2, 0.2, 0.4]) - 1 for _ in range(2))
        self.dams: dict[str, tuple[float, float]] = {}
        self.laid: set[str] = set()
        self.wait = assumed(catalogue, "sold_after_ready_days").value
        self.losses = LossDays.learned([], catalogue)

    def _beta(self, value: Value) -> float:
        sd = (value.high - value.low) / (2 * Z_90)
        size = value.value * (1 - value.value) / sd**2 - 1
        return float(self.rng.beta(value.value * size, (1 - value.value) * size))

    def eggs(self, true: Truth) -> list[tuple[EggOutcome, dt.date, dt.date]]:
        """Outcome of each egg, its last day in the box, and the day its young is sold."""
        rng, laid, hatched, ready = self.rng, true.laid, true.hatched, true.ready
        assert laid is not None
        assert hatched is not None
        assert ready is not None
        if true.dam not in self.dams:
            rate = rng.beta(self.slug * self.slug_size, (1 - self.slug) * self.slug_size)
            self.dams[true.dam] = (rng.normal(0, self.between), float(rate))
        own, slug = self.dams[true.dam]
        is_first = true.dam not in self.laid and rng.random() < 0.5
        self.laid.add(true.dam)
        size = self.mean + own + (self.first if is_first else 0) + rng.normal(0, self.within)
        rate = rng.beta(self.hatch * self.loss_size, (1 - self.hatch) * self.loss_size)
        eggs: list[tuple[EggOutcome, dt.date, dt.date]] = []
        for _ in range(int(np.clip(round(size), 1, 15))):
            if rng.random() < slug:
                eggs.append((EggOutcome.SLUG, laid, laid))
            elif rng.random() < rate:
                sold = ready + dt.timedelta(days=int(rng.exponential(self.wait)))
                eggs.append((EggOutcome.HATCHED, hatched + dt.timedelta(days=int(rng.integers(1, 4))), sold))
            else:
                third = rng.choice(3, p=self.losses.shares)
                day = laid + (third + rng.random()) / 3 * (hatched - laid)
                eggs.append((EggOutcome.DIED, day, day))
        return eggs


def held(rng: np.random.Generator, catalogue: Catalogue) -> tuple[Held, Held]:
    """Eggs and young of one keeper's last season: what was foretold, and what came."""
    one = keeper(rng, catalogue)
    numbers = _Numbers(rng, catalogue)
    eggs = {true.clutch: numbers.eggs(true) for true in one.truth if true.laid is not None}
    today = dt.date(one.season, 1, 1) + dt.timedelta(days=int(rng.integers(30, 180)))
    collection = known_by(one, eggs, today)
    before = today + dt.timedelta(days=1)
    intervals = Intervals.learned(collection, catalogue, before=before)
    counts = ClutchCounts.learned(collection, catalogue, before=before)
    females = outlooks(collection, one.season, today=today, intervals=intervals, catalogue=catalogue, counts=counts)
    open_ones = [
        clutch_outlook(collection, clutch, today=today, intervals=intervals, catalogue=catalogue, counts=counts)
        for clutch in collection.clutches.values()
        if clutch.laid is not None and clutch.laid.year == one.season
    ]
    drawing = Drawing(WEEKS, DRAWS, int(rng.integers(10**6)))
    said = load(females, open_ones, today=today, intervals=intervals, counts=counts, room=Room(), drawing=drawing)
    monday = said.eggs[0].monday
    in_box, in_tub = (np.zeros(7 * WEEKS, dtype=np.int64) for _ in range(2))
    for true in one.truth:
        if true.season != one.season or true.laid is None:
            continue
        assert true.hatched is not None
        for outcome, end, sold in eggs[true.clutch]:
            _count(in_box, max(true.laid, today), end, monday)
            if outcome is EggOutcome.HATCHED:
                _count(in_tub, max(true.hatched, today), sold, monday)
    return tuple(  # type: ignore[return-value]
        Held(
            np.array([week.upper for week in weeks]),
            np.array([week.expected for week in weeks]),
            came.reshape(-1, 7).max(axis=1),
        )
        for weeks, came in ((said.eggs, in_box), (said.young, in_tub))
    )


def _count(days: NDArray[np.int64], first: dt.date, end: dt.date, monday: dt.date) -> None:
    days[max((first - monday).days, 0) : max((end - monday).days, 0)] += 1


def known_by(one: Keeper, eggs: dict[str, list[tuple[EggOutcome, dt.date, dt.date]]], today: dt.date) -> Collection:
    """Records as they stand on a day: slugs are told at laying, other ends when they come."""
    records = one.collection.records
    last = PartialDate(today.year, today.month, today.day)
    laid = {true.clutch: true.laid for true in one.truth if true.laid is not None and true.laid <= today}
    out = {name for name, ends in eggs.items() if any(outcome is EggOutcome.HATCHED for outcome, _, _ in ends)}
    clutches = tuple(
        replace(
            clutch,
            eggs=len(eggs[clutch.id]),
            slugs=sum(outcome is EggOutcome.SLUG for outcome, _, _ in eggs[clutch.id]),
            hatched=clutch.hatched if clutch.id in out and clutch.hatched and clutch.hatched <= last else None,
        )
        for clutch in records.clutches
        if clutch.id in laid
    )
    rows = tuple(row for clutch in clutches for row in _rows(clutch, eggs[clutch.id], today))
    boxes = {row.box for row in rows}
    young = tuple(
        Animal(f"{clutch.id}-{number + 1}", dam=clutch.dam, clutch=clutch.id, status="sold" if sold <= today else "")
        for clutch in clutches
        for number, sold in enumerate(
            sold for outcome, end, sold in eggs[clutch.id] if outcome is EggOutcome.HATCHED and end <= today
        )
    )
    animals = (*(each for each in records.animals if each.clutch is None), *young)
    ids = {animal.id for animal in animals}
    return Collection.from_records(
        Records(
            animals=animals,
            matings=tuple(
                each for each in records.matings if each.together is not None and each.together.earliest <= today
            ),
            clutches=clutches,
            eggs=rows,
            events=tuple(each for each in records.events if each.date <= last and each.animal in ids),
            temperatures=tuple(each for each in records.temperatures if each.date <= last and each.place in boxes),
        )
    )


def _rows(clutch: Clutch, eggs: list[tuple[EggOutcome, dt.date, dt.date]], today: dt.date) -> Iterator[Egg]:
    for number, (outcome, end, _) in enumerate(eggs):
        is_told = outcome is EggOutcome.SLUG or end <= today
        ended = PartialDate(end.year, end.month, end.day) if is_told else None
        told = outcome if is_told else EggOutcome.UNKNOWN
        yield Egg(clutch.id, str(number), outcome=told, ended=ended, box=f"box {clutch.id}")


@dataclass(frozen=True, slots=True)
class Score:
    """Weeks judged, share passed with its standard error over keepers, share reached or passed, came over expected."""

    weeks: int
    passed: float
    error: float
    reached: float
    ratio: float


def scores(keepers: int, seed: int = 20264) -> dict[str, Score]:
    """Score of egg places and of tubs over some keepers."""
    catalogue = species()
    found = [held(np.random.default_rng(each), catalogue) for each in np.random.SeedSequence(seed).spawn(keepers)]
    return {name: _score([each[index] for each in found]) for index, name in enumerate(("eggs", "young"))}


def _score(ones: list[Held]) -> Score:
    upper, came = (np.concatenate([getattr(one, what) for one in ones]) for what in ("upper", "came"))
    judged = upper >= LEAST
    by_keeper = [(one.came > one.upper)[one.upper >= LEAST].mean() for one in ones if (one.upper >= LEAST).any()]
    return Score(
        weeks=int(judged.sum()),
        passed=float((came > upper)[judged].mean()),
        error=float(np.std(by_keeper) / np.sqrt(len(by_keeper))),
        reached=float((came >= upper)[judged].mean()),
        ratio=float(sum(one.came.sum() for one in ones) / sum(one.expected.sum() for one in ones)),
    )


if __name__ == "__main__":
    for what, score in scores(int(sys.argv[1]) if len(sys.argv) > 1 else 100).items():
        print(
            f"{what}: {score.weeks} weeks; passed {score.passed:.3f} (error {score.error:.3f}), "
            f"reached or passed {score.reached:.3f}; came / expected {score.ratio:.3f}"
        )
