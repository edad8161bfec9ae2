"""What past seasons say of laying: how many of the paired females laid, on which days, and what was seen of them.

The keeper's rate is uncertain, and each dam's own lies around it; both are summed over a grid, drawn from the range of
the species file towards own records. Only seasons with a male on record count: without, a female that did not lay
leaves no record. The day of laying follows a straight line on the first day with a male, with a level of each dam.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holdback.season.by_season import first_day
from holdback.season.completed import paired_on
from holdback.season.dam_regression import NORMAL_95, Fit, Mixture, Prior, Sample, beta_of, share_weights, student_95
from holdback.season.days import DayLaw
from holdback.season.outlook import Cycle
from holdback.season.spans import stated
from holdback.species.catalogue import Catalogue
from holdback.species.model import Value

FloatArray = NDArray[np.float64]

RATES = np.linspace(0.0125, 0.9875, 40)
"""Grid of the keeper's rate."""

WORTH = np.array([3.0, 8.0, 25.0])
"""Grid of how near a dam's own rate lies to it, in seasons; equal chances (assumed)."""

SEASON_DAYS = 366

OWN_WAY = 0.05
"""Chance that a female does not keep to the keeper's calendar but to anybody's; assumed, so that a late one can be."""

_log_gamma = np.vectorize(math.lgamma, otypes=[float])


@dataclass(frozen=True, eq=False)
class Rate:
    """How often paired females lay.

    Parameters
    ----------
    weight : array of shape (40, 3)
        Chances of `RATES` and `WORTH` after all own records.
    laid, paired : mapping of str to int
        Seasons of each dam.
    """

    weight: FloatArray
    laid: Mapping[str, int]
    paired: Mapping[str, int]

    @classmethod
    def learned(cls, value: Value, seasons: Iterable[tuple[str, bool]]) -> Rate:
        """From the range of the species file, and pairs of dam and whether she laid."""
        laid: Counter[str] = Counter()
        paired: Counter[str] = Counter()
        for dam, has_laid in seasons:
            paired[dam] += 1
            laid[dam] += has_laid
        a, b = beta_of(value.value, value.low, value.high)
        log_weight = ((a - 1) * np.log(RATES) + (b - 1) * np.log1p(-RATES))[:, None] + np.zeros(len(WORTH))
        up, down = RATES[:, None] * WORTH, (1 - RATES[:, None]) * WORTH
        for (n_laid, n_paired), count in Counter((laid[dam], n) for dam, n in paired.items()).items():
            log_weight += count * (_log_beta(up + n_laid, down + n_paired - n_laid) - _log_beta(up, down))
        weight = np.exp(log_weight - log_weight.max())
        return cls(weight / weight.sum(), laid, paired)

    @property
    def n_own(self) -> int:
        """Seasons that count."""
        return sum(self.paired.values())

    def of(self, dam: str) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Weights of beta laws of a dam's own rate and their two parameters, arrays of shape (120,)."""
        n_laid, n_paired = self.laid.get(dam, 0), self.paired.get(dam, 0)
        up = RATES[:, None] * WORTH + n_laid
        down = (1 - RATES[:, None]) * WORTH + n_paired - n_laid
        return self.weight.ravel(), up.ravel(), down.ravel()


@dataclass(frozen=True, slots=True)
class SeenRate:
    """How often a sign gets on record of females that lay, and of paired ones that do not."""

    if_lays: float
    if_not: float


@dataclass(frozen=True, eq=False)
class Past:
    """Past seasons, summed up once for all females. Build it with `learned`.

    Parameters
    ----------
    proven, first : Rate or None
        Rates of laying of dams that have laid before, and of those that have not; None where the species file says
        nothing.
    has_laid : frozenset of str
        Dams that have laid before.
    signs : mapping of str to SeenRate
        Of "lock", "ovulation" and "shed".
    laying_day, usual_day : Fit or None
        Line of the laying day on the first day with a male, with own records and without; None where the species file
        states no laying days.
    paired_at, paired_sd : float
        Usual first day with a male within a season, and its standard deviation.
    n_days : int
        Own laying days that `laying_day` rests on.
    """

    proven: Rate | None
    first: Rate | None
    has_laid: frozenset[str]
    signs: Mapping[str, SeenRate]
    laying_day: Fit | None
    usual_day: Fit | None
    paired_at: float
    paired_sd: float
    n_days: int

    @classmethod
    def learned(cls, history: Sequence[Cycle], catalogue: Catalogue) -> Past:
        """From all cycles of earlier seasons, oldest first."""
        proven: list[tuple[str, bool]] = []
        first: list[tuple[str, bool]] = []
        have_laid: set[str] = set()
        for cycle in sorted(history, key=lambda one: one.season):
            if cycle.together:
                (proven if cycle.dam in have_laid else first).append((cycle.dam, cycle.has_laid))
            if cycle.has_laid:
                have_laid.add(cycle.dam)
        values = catalogue.reproduction
        fit, n_days = _laying_days(history, catalogue)
        without, _ = _laying_days((), catalogue)
        usual_pairing = values.get("pairing_day_of_year")
        return cls(
            Rate.learned(values["lays_proven"], proven) if "lays_proven" in values else None,
            Rate.learned(values["lays_first"], first) if "lays_first" in values else None,
            frozenset(have_laid),
            _signs(history, catalogue),
            fit,
            without,
            _in_season(usual_pairing.value, catalogue) if usual_pairing else 0.0,
            (usual_pairing.high - usual_pairing.low) / (2 * NORMAL_95) if usual_pairing else 0.0,
            n_days,
        )

    def rate_of(self, dam: str) -> Rate | None:
        """Rate that holds for a dam."""
        return self.proven if dam in self.has_laid else self.first

    def laying_law(self, cycle: Cycle, catalogue: Catalogue) -> DayLaw | None:
        """Days on which she lays, if she lays in this season, by the calendar and by when she was first paired."""
        if self.laying_day is None or self.usual_day is None:
            return None
        start = first_day(cycle.season, catalogue)
        paired = paired_on(cycle)
        late = 0.0 if paired is None else (paired - start).days - self.paired_at
        days = np.arange(SEASON_DAYS, dtype=float)
        density = np.zeros(SEASON_DAYS)
        for fit, chance in ((self.laying_day, 1 - OWN_WAY), (self.usual_day, OWN_WAY)):
            part = fit.foretold(np.array([1.0, late]), cycle.dam)
            if paired is None:
                shift = fit.mean[:, 1] * self.paired_sd
                part = Mixture(part.weight, part.location, np.hypot(part.scale, shift), part.nu)
            density += chance * part.density(days)
        return DayLaw.of(start.toordinal(), density)


def _log_beta(a: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(_log_gamma(a) + _log_gamma(b) - _log_gamma(a + b), dtype=float)


def _in_season(day_of_year: float, catalogue: Catalogue) -> float:
    """Days from the start of a season to a day of the year; 1 is the first of January, one before it is below 1."""
    start = first_day(2001, catalogue)
    return (dt.date(2001, 1, 1) - start).days + day_of_year - 1


def _laying_days(history: Sequence[Cycle], catalogue: Catalogue) -> tuple[Fit | None, int]:
    """Line of the laying day, and how many it rests on."""
    values = catalogue.reproduction
    day, shift, pairing = (
        values.get(key) for key in ("laying_day_of_year", "laying_shift_per_pairing_day", "pairing_day_of_year")
    )
    if day is None or shift is None or pairing is None:
        return None, 0
    records, nu = stated(catalogue, "interval_prior_records").value, stated(catalogue, "interval_spread_records").value
    share = stated(catalogue, "interval_dam_share")
    scale2 = ((day.high - day.low) / 2 / student_95(nu)) ** 2 / (1 + 1 / records)
    shift_sd = (shift.high - shift.low) / (2 * NORMAL_95)
    prior = Prior(
        np.array([_in_season((day.low + day.high) / 2, catalogue), shift.value]),
        np.diag([records, scale2 / shift_sd**2]),
        nu,
        scale2,
        share_weights(share.value, share.low, share.high),
    )
    usual_pairing = _in_season(pairing.value, catalogue)
    rows, dams = [], []
    for cycle in history:
        if cycle.laid is not None:
            start, paired = first_day(cycle.season, catalogue), paired_on(cycle)
            late = 0.0 if paired is None else (paired - start).days - usual_pairing
            rows.append((float((cycle.laid - start).days), 1.0, late))
            dams.append(cycle.dam)
    table = np.array(rows, dtype=float).reshape(len(rows), 3)
    return Fit.of(Sample(table[:, 0], table[:, 1:], dams), prior), len(rows)


def _signs(history: Sequence[Cycle], catalogue: Catalogue) -> Mapping[str, SeenRate]:
    """How often each sign gets on record, drawn from the species file towards own seasons with a male on record."""
    seen: Counter[tuple[str, bool]] = Counter()
    seasons: Counter[bool] = Counter()
    for cycle in history:
        if cycle.together:
            seasons[cycle.has_laid] += 1
            seen["lock", cycle.has_laid] += any(one.locks for one in cycle.together)
            seen["ovulation", cycle.has_laid] += cycle.ovulated is not None
            seen["shed", cycle.has_laid] += cycle.shed is not None
    found = {}
    for sign in ("lock", "ovulation", "shed"):
        values = [catalogue.reproduction.get(f"{sign}_seen_if_{what}") for what in ("lays", "not")]
        if values[0] is not None and values[1] is not None:
            rates = []
            for value, has_laid in zip(values, (True, False), strict=True):
                assert value is not None
                a, b = beta_of(value.value, value.low, value.high)
                rates.append((a + seen[sign, has_laid]) / (a + b + seasons[has_laid]))
            found[sign] = SeenRate(rates[0], rates[1])
    return found
