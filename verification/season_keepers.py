"""Invented keepers of whom everything is known: how long things take with them, who lays, and what they write down.

How keepers differ is drawn as the species file says: the middle and spread of each length, how often females lay, when
they pair, how much warmer or cooler they keep eggs. Dams differ. What is written down is not all: ovulations are
missed, dates are known to the month, hatch dates are lost.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, field

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.model import (
    Animal,
    Clutch,
    Egg,
    Event,
    Mating,
    PartialDate,
    Records,
    Sex,
    Temperature,
)
from holdback.season.dam_regression import NORMAL_95, SHARES, beta_of
from holdback.season.follicles import FollicleSizes
from holdback.season.incubation import Warming
from holdback.season.intervals import Span, prior_of
from holdback.season.spans import KEYS, stated
from holdback.species.catalogue import Catalogue

FIRST_YEAR = 2020
BY_MONTH, HATCH_DATE_LOST, CLUTCH_SPREAD_C = 0.08, 0.08, 0.3


@dataclass(frozen=True, slots=True)
class Truth:
    """What became of one female in one season; None where it did not."""

    dam: str
    season: int
    clutch: str
    laid: dt.date | None
    hatched: dt.date | None
    ready: dt.date | None


@dataclass(frozen=True, slots=True)
class Keeper:
    """Records of a keeper, the truth, and the season to be foretold."""

    collection: Collection
    truth: tuple[Truth, ...]
    season: int


@dataclass
class _Length:
    """One length with this keeper: middle and spread of the logarithm, and every dam's own level."""

    middle: float
    between: float
    within: float
    dams: dict[str, float] = field(default_factory=dict)

    @classmethod
    def drawn(cls, rng: np.random.Generator, span: Span, catalogue: Catalogue) -> _Length:
        prior = prior_of(catalogue.reproduction[KEYS[span]], catalogue)
        s2 = prior.nu * prior.scale2 / rng.chisquare(prior.nu)
        share = rng.choice(SHARES, p=prior.share_weights)
        middle = rng.normal(prior.mean[0], math.sqrt(s2 / prior.precision[0, 0]))
        return cls(middle, math.sqrt(s2 * share), math.sqrt(s2 * (1 - share)))

    def days(self, rng: np.random.Generator, dam: str, more: float = 0.0) -> int:
        own = self.dams.setdefault(dam, rng.normal(0, self.between))
        return max(round(math.exp(self.middle + own + more + rng.normal(0, self.within))), 1)


class _Drawing:
    """Draws one keeper, season by season."""

    def __init__(self, rng: np.random.Generator, catalogue: Catalogue) -> None:
        self.rng = rng
        self.catalogue = catalogue
        self.lengths = {span: _Length.drawn(rng, span, catalogue) for span in Span}
        warming, sizes = Warming.of(catalogue), FollicleSizes.of(catalogue)
        assert warming is not None
        assert sizes is not None
        self.warming, self.sizes = warming, sizes
        self.slope = rng.normal(warming.slope, warming.slope_sd)
        self.warmth = rng.normal(warming.usual, warming.usual_sd)
        self.measures, self.scans = rng.random() < 0.6, rng.random() < 0.6
        self.rates = {key: self._rate(key) for key in catalogue.reproduction if "_seen_if_" in key}
        self.lays = {key: self._rate(key) for key in ("lays_first", "lays_proven")}
        self.worth = rng.choice([3.0, 8.0, 25.0])
        self.own: dict[tuple[str, str], float] = {}
        self._set_calendar()
        self.matings: list[Mating] = []
        self.events: list[Event] = []
        self.clutches: list[Clutch] = []
        self.eggs: list[Egg] = []
        self.young: list[Animal] = []
        self.temperatures: list[Temperature] = []
        self.truth: list[Truth] = []

    def _rate(self, key: str) -> float:
        value = self.catalogue.reproduction[key]
        return float(self.rng.beta(*beta_of(value.value, value.low, value.high)))

    def _set_calendar(self) -> None:
        """When this keeper pairs and his females lay."""
        values, rng = self.catalogue.reproduction, self.rng
        day, shift = values["laying_day_of_year"], values["laying_shift_per_pairing_day"]
        pairing = values["pairing_day_of_year"]
        records = stated(self.catalogue, "interval_prior_records").value
        sd = (day.high - day.low) / (2 * NORMAL_95) / math.sqrt(1 + 1 / records) * rng.uniform(0.5, 1.1)
        share = stated(self.catalogue, "interval_dam_share").value
        self.between, self.within = sd * math.sqrt(share), sd * math.sqrt(1 - share)
        self.laying_day = (day.low + day.high) / 2 + rng.normal(0, sd / math.sqrt(records))
        self.shift = rng.normal(shift.value, (shift.high - shift.low) / (2 * NORMAL_95))
        self.usual_pairing = pairing.value
        self.pairing_day = rng.normal(pairing.value, (pairing.high - pairing.low) / (4 * NORMAL_95))
        self.levels: dict[str, float] = {}

    def season(self, dam: str, year: int, *, is_proven: bool) -> bool:
        """Draw and write down one season of a female; whether she lays."""
        rng, new_year = self.rng, dt.date(year, 1, 1)
        paired_day = self.pairing_day + rng.normal(0, 15)
        paired = new_year + dt.timedelta(days=round(paired_day) - 1)
        key = "lays_proven" if is_proven else "lays_first"
        rate = self.lays[key]
        own = self.own.setdefault((dam, key), rng.beta(rate * self.worth, (1 - rate) * self.worth))
        has_laid = bool(rng.random() < own)
        level = self.levels.setdefault(dam, rng.normal(0, self.between))
        expected = self.laying_day + self.shift * (paired_day - self.usual_pairing) + level
        laid = new_year + dt.timedelta(days=round(expected + rng.normal(0, self.within)) - 1)
        ovulated = laid - dt.timedelta(days=self.lengths[Span.OVULATION_TO_LAYING].days(rng, dam))
        shed = ovulated + dt.timedelta(days=self.lengths[Span.OVULATION_TO_SHED].days(rng, dam))
        self._write_pairing(dam, paired, has_laid=has_laid)
        what = "lays" if has_laid else "not"
        for sign, kind, day in (("ovulation", "ovulation", ovulated), ("shed", "pre-lay shed", shed)):
            if rng.random() < self.rates[f"{sign}_seen_if_{what}"] and day < laid:
                self.events.append(Event(dam, _date(day), kind))
        if self.scans:
            self._scan(dam, new_year, ovulated if has_laid else None)
        if has_laid:
            self._lay(dam, laid)
        else:
            self.truth.append(Truth(dam, year, "", None, None, None))
        return has_laid

    def _write_pairing(self, dam: str, paired: dt.date, *, has_laid: bool) -> None:
        is_seen = self.rng.random() < self.rates[f"lock_seen_if_{'lays' if has_laid else 'not'}"]
        seen_at = self.rng.integers(3)
        for number in range(3):
            first = paired + dt.timedelta(days=30 * number)
            last = first + dt.timedelta(days=3)
            locks = int(is_seen and number >= seen_at)
            self.matings.append(Mating(dam, "M", self._told(first), _date(last), locks))

    def _scan(self, dam: str, new_year: dt.date, ovulated: dt.date | None) -> None:
        """Looks by ultrasound, a month apart, until she has ovulated."""
        rng, sizes = self.rng, self.sizes
        growth, largest = math.exp(rng.normal(*sizes.log_growth)), rng.normal(*sizes.at_ovulation)
        idle = rng.normal(*sizes.idle)
        level = rng.normal(sizes.taken_back[0], sizes.taken_back[1] / math.sqrt(2))
        is_taken_back = rng.random() < sizes.taken_back_share
        for month in range(int(rng.integers(1, 5))):
            day = new_year + dt.timedelta(days=int(rng.integers(30)) + 30 * month)
            if ovulated is not None:
                if day >= ovulated:
                    return
                size = max(idle, largest - growth * (ovulated - day).days)
            elif is_taken_back:
                size = level + rng.normal(0, sizes.taken_back[1] / math.sqrt(2))
            else:
                size = idle
            seen = max(round(size + rng.normal(0, sizes.reading), 1), 1.0)
            self.events.append(Event(dam, _date(day), "ultrasound", seen, "mm"))

    def _lay(self, dam: str, laid: dt.date) -> None:
        """A clutch, until its young is ready for sale."""
        rng, name = self.rng, f"C{len(self.clutches)}"
        celsius = self.warmth + rng.normal(0, CLUTCH_SPREAD_C if self.measures else 0.0)
        warmer = self.slope * (celsius - self.warming.at)
        hatched = laid + dt.timedelta(days=self.lengths[Span.LAYING_TO_HATCHING].days(rng, dam, warmer))
        ready = hatched + dt.timedelta(days=self.lengths[Span.HATCHING_TO_READY].days(rng, dam))
        is_lost = rng.random() < HATCH_DATE_LOST
        told = None if is_lost else _date(hatched)
        self.clutches.append(Clutch(name, dam, (), self._told(laid), None, None, told))
        self.eggs.append(Egg(name, "1", box=f"box {name}"))
        if self.measures and rng.random() < 0.8:
            self.temperatures += [
                Temperature(f"box {name}", _date(laid + dt.timedelta(days=day)), round(celsius, 2))
                for day in (1, 20, 40)
            ]
        if told is not None:
            self.young.append(Animal(f"{name}-1", dam=dam, clutch=name, hatched=told))
            self.events.append(Event(f"{name}-1", _date(ready), "ready to sell"))
        self.truth.append(Truth(dam, laid.year, name, laid, hatched, ready))

    def _told(self, day: dt.date) -> PartialDate:
        return PartialDate(day.year, day.month) if self.rng.random() < BY_MONTH else _date(day)


def keeper(rng: np.random.Generator, catalogue: Catalogue) -> Keeper:
    """A keeper of 10 to 60 females with two to eight seasons on record, and one to be foretold."""
    drawing = _Drawing(rng, catalogue)
    n_females, n_seasons = int(rng.integers(10, 61)), int(rng.integers(2, 9))
    dams = [f"F{number}" for number in range(n_females)]
    joins = {dam: int(rng.integers(n_seasons + 1)) for dam in dams}
    proven: set[str] = set()
    for number in range(n_seasons + 1):
        for dam in dams:
            is_paired = number >= joins[dam] and rng.random() < 0.8
            if is_paired and drawing.season(dam, FIRST_YEAR + number, is_proven=dam in proven):
                proven.add(dam)
    animals = (*(Animal(dam, sex=Sex.FEMALE) for dam in dams), Animal("M", sex=Sex.MALE), *drawing.young)
    records = Records(
        animals=animals,
        matings=tuple(drawing.matings),
        clutches=tuple(drawing.clutches),
        eggs=tuple(drawing.eggs),
        events=tuple(drawing.events),
        temperatures=tuple(drawing.temperatures),
    )
    return Keeper(Collection.from_records(records), tuple(drawing.truth), FIRST_YEAR + n_seasons)


def _date(day: dt.date) -> PartialDate:
    return PartialDate(day.year, day.month, day.day)
