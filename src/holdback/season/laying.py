"""Whether a female lays this season, and when.

The chance that she lays starts at the rate of females like her. Everything on record moves its odds: locks, follicles,
ovulation, the shed before laying, and also what should be on record by now if she lays and is not. The day follows from
the calendar and from when she was paired, and is narrowed by each sign. Signs are taken as independent of each other
once it is known whether and when she lays.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holdback.collection.estimate import Basis
from holdback.season.completed import paired_on
from holdback.season.dam_regression import beta_of
from holdback.season.days import DayLaw
from holdback.season.follicles import LARGE_MM, FollicleSizes, read_follicles
from holdback.season.intervals import Intervals, Span
from holdback.season.laying_past import Past
from holdback.season.outlook import Cycle
from holdback.species.catalogue import Catalogue

FloatArray = NDArray[np.float64]
BetaLaws = tuple[FloatArray, FloatArray, FloatArray]
"""Weights of beta laws, and their two parameters."""

PAIRING_DAYS = 90.0
"""By this long after she was first paired a lock has been seen, if one ever is (common practice, no source)."""

MOVED = math.log(1.5)
"""Change of the logarithm of the odds of laying from which the ground tells of it."""

_GRID = (np.arange(400) + 0.5) / 400


@dataclass(frozen=True, eq=False)
class Chance:
    """Whether she lays this season, and when if she does.

    Parameters
    ----------
    p, low, high : float
        Chance, and its 90 % range as the rate of females like her is not known exactly.
    law : DayLaw or None
        Day, given that she lays; None where no day is left, or where nothing can be said of it.
    n_own : int
        Own records that the day rests on where a sign foretells it, else own seasons that the chance rests on.
    basis : Basis
        Measured where any record of the keeper counts, else assumed.
    ground : str
        What it rests on.
    """

    p: float
    low: float
    high: float
    law: DayLaw | None
    n_own: int
    basis: Basis
    ground: str
    _laws: BetaLaws | None = None
    _log_odds: float = 0.0

    def draws(self, rng: np.random.Generator, n: int) -> FloatArray:
        """The chance as it may truly be, drawn; array of shape (n,)."""
        if self._laws is None:
            return np.full(n, self.p)
        weight, up, down = self._laws
        part = rng.choice(len(weight), size=n, p=weight)
        return _moved(rng.beta(up[part], down[part]), self._log_odds)


@dataclass(frozen=True, eq=False)
class _Evidence:
    """What the records of this season say.

    Parameters
    ----------
    log_odds : float
        By how much they move the logarithm of the odds of laying.
    law : DayLaw or None
        Day, given that she lays.
    by : str
        Sign that foretells the day; empty where none does.
    n_own : int
        Own lengths that it rests on.
    """

    log_odds: float
    law: DayLaw | None
    by: str = ""
    n_own: int = 0


def lays(
    cycle: Cycle, history: Past | Sequence[Cycle], *, today: dt.date, intervals: Intervals, catalogue: Catalogue
) -> Chance | None:
    """Chance that a female lays this season, and the day; None where the species file says nothing of it.

    Parameters
    ----------
    cycle : Cycle
        Her season as on record.
    history : Past, or sequence of Cycle
        All earlier seasons; for many females `Past.learned` once is quicker.
    today : date
        She has not laid before this day unless it is on record.
    intervals : Intervals
        How long things take.
    catalogue : Catalogue
        Species.
    """
    if cycle.has_laid:
        law = DayLaw.on(cycle.laid) if cycle.laid is not None else None
        return Chance(1.0, 1.0, 1.0, law, 1, Basis.MEASURED, "She has laid.")
    past = history if isinstance(history, Past) else Past.learned(history, catalogue)
    laws, n_seasons, ground = _before_this_season(cycle, past, catalogue)
    if laws is None:
        return None
    seen = _evidence(cycle, past, today, intervals, catalogue)
    laws = _after_evidence(laws, seen.log_odds)
    p, low, high = _summed(laws, seen.log_odds)
    n_own = seen.n_own if seen.by else n_seasons
    basis = Basis.MEASURED if n_seasons or seen.by else Basis.ASSUMED
    by = f" Day by {seen.by}." if seen.by else ""
    if abs(seen.log_odds) > MOVED:
        how = "Raised" if seen.log_odds > 0 else "Lowered"
        ground += f" {how} by what is on record of her this season, and what is not."
    return Chance(p, low, high, seen.law, n_own, basis, ground + by, laws, seen.log_odds)


def is_paired(cycle: Cycle) -> bool:
    """Whether she was with a male, by a record of it or as what was seen of her tells so."""
    return bool(
        cycle.together
        or cycle.ovulated
        or cycle.shed
        or any(look.largest_mm >= LARGE_MM for look in cycle.follicles)
    )  # fmt: skip


def _before_this_season(cycle: Cycle, past: Past, catalogue: Catalogue) -> tuple[BetaLaws | None, int, str]:
    """Beta laws of her rate, the own seasons they rest on, and that in words."""
    if not is_paired(cycle):
        value = catalogue.reproduction.get("lays_unpaired")
        if value is None:
            return None, 0, ""
        a, b = beta_of(value.value, value.low, value.high)
        return (np.ones(1), np.array([a]), np.array([b])), 0, f"No male on record this season; {value.mark}."
    rate = past.rate_of(cycle.dam)
    if rate is None:
        return None, 0, ""
    is_proven = cycle.dam in past.has_laid
    value = catalogue.reproduction["lays_proven" if is_proven else "lays_first"]
    usual = f"{value.low * 100:.0f} to {value.high * 100:.0f}\u00a0% ({value.mark})"
    who = "dams that laid before" if is_proven else "dams that never laid"
    if not rate.n_own:
        return rate.of(cycle.dam), 0, f"Of {who}, {usual}."
    hers = rate.paired.get(cycle.dam, 0)
    of_hers = f", {rate.laid[cycle.dam]} of her {hers}" if hers else ""
    own = f"{sum(rate.laid.values())} of {rate.n_own} paired seasons of your {who} ended with a clutch{of_hers}"
    return rate.of(cycle.dam), rate.n_own, f"{own}; drawn towards {usual}."


def _evidence(cycle: Cycle, past: Past, today: dt.date, intervals: Intervals, catalogue: Catalogue) -> _Evidence:
    """What this season's records say: how they move the odds, and the day."""
    base = past.laying_law(cycle, catalogue)
    log_odds = _lock(cycle, past, today)
    if base is None:
        return _Evidence(log_odds, _by_length(cycle, today, intervals))
    days = base.first + np.arange(len(base.chances))
    weights, by, n_own = base.chances.copy(), "", 0
    for sign, seen_on, span in (
        ("shed", cycle.shed, Span.SHED_TO_LAYING),
        ("ovulation", cycle.ovulated, Span.OVULATION_TO_LAYING),
    ):
        length, rate = intervals.length(span, dam=cycle.dam), past.signs.get(sign)
        if length is None or rate is None:
            continue
        if seen_on is not None:
            log_odds += math.log(rate.if_lays / rate.if_not)
            if not by:
                expected = float(base.chances @ _length_at(length.law, days - seen_on.toordinal()))
                log_odds -= math.log(max(expected, 1e-12))
                weights *= _length_at(length.law, days - seen_on.toordinal())
                by, n_own = f"the {sign}" if sign == "shed" else sign, length.n_own
        elif sign == "ovulation" and cycle.shed is not None:
            log_odds += math.log((1 - rate.if_lays) / (1 - rate.if_not))
        else:
            weights *= _unseen(length.law, days, today, rate.if_lays)
            log_odds -= math.log(float(base.chances @ _unseen(length.law, days, today, rate.if_not)))
    weights, moved, by_follicles = _with_follicles(
        weights, base, cycle, past, today, intervals, catalogue, is_narrowed=bool(by)
    )
    weights[days < today.toordinal()] = 0.0
    total = float(weights.sum())
    if not total > 1e-300:
        return _Evidence(-math.inf, None)
    return _Evidence(log_odds + moved + math.log(total), DayLaw.of(base.first, weights), by or by_follicles, n_own)


def _lock(cycle: Cycle, past: Past, today: dt.date) -> float:
    """By how much locks, or none by now, move the odds."""
    rate, paired = past.signs.get("lock"), paired_on(cycle)
    if rate is None or not cycle.together:
        return 0.0
    if any(one.locks for one in cycle.together):
        return math.log(rate.if_lays / rate.if_not)
    done = 1.0 if paired is None else min(max((today - paired).days / PAIRING_DAYS, 0.0), 1.0)
    return math.log((1 - done * rate.if_lays) / (1 - done * rate.if_not))


def _length_at(law: DayLaw, days: NDArray[np.int64]) -> FloatArray:
    """Chance of each number of days."""
    index = days - law.first
    able = (index >= 0) & (index < len(law.chances))
    return np.where(able, law.chances[np.where(able, index, 0)], 0.0)


def _unseen(law: DayLaw, days: NDArray[np.int64], today: dt.date, rate: float) -> FloatArray:
    """Chance that a sign is not on record by today, for each day she may lay on."""
    upto = np.cumsum(law.chances)
    index = np.clip(days - today.toordinal() - law.first, -1, len(upto) - 1)
    shorter = np.where(index >= 0, upto[np.maximum(index, 0)], 0.0)
    return np.asarray(1 - rate * (1 - shorter), dtype=float)


def _with_follicles(
    weights: FloatArray,
    base: DayLaw,
    cycle: Cycle,
    past: Past,
    today: dt.date,
    intervals: Intervals,
    catalogue: Catalogue,
    *,
    is_narrowed: bool,
) -> tuple[FloatArray, float, str]:
    """Weights of laying days with what follicles say, by how much they move the odds, and the words for it.

    An ovulation that was not seen by today and the follicles tell of the same day: they are weighed together on it, in
    place of the former alone.
    """
    length = intervals.length(Span.OVULATION_TO_LAYING, dam=cycle.dam)
    sizes = FollicleSizes.of(catalogue)
    looks = [look for look in cycle.follicles if cycle.ovulated is None or look.day < cycle.ovulated]
    if not looks or length is None or sizes is None or not weights.sum() > 0:
        return weights, 0.0, ""
    if is_narrowed:
        law = DayLaw.of(base.first, weights)
        reading = read_follicles(looks, _before(law, length.law), catalogue)
        return weights, 0.0 if reading is None else max(reading.log_ratio, -2.0), ""
    first = base.first - length.law.last
    ovulation = sizes.if_lays(looks, first + np.arange(len(weights) + length.law.last, dtype=float))
    if "ovulation" in past.signs:
        rate = past.signs["ovulation"].if_lays
        ovulation[: max(today.toordinal() - first, 0)] *= 1 - rate
        weights = weights / _unseen(length.law, base.first + np.arange(len(weights)), today, rate)
    along = np.zeros(len(weights))
    for days, chance in enumerate(length.law.chances, start=length.law.first):
        start = length.law.last - days
        along += chance * ovulation[start : start + len(weights)]
    moved = -math.log(max(sizes.if_not(looks), 1e-300))
    return weights * along, moved, "follicles"


def _before(law: DayLaw, length: DayLaw) -> DayLaw:
    """Law of a day a length earlier."""
    return DayLaw.of(law.first - length.last, np.convolve(law.chances, length.chances[::-1]))


def _by_length(cycle: Cycle, today: dt.date, intervals: Intervals) -> DayLaw | None:
    """Day by the last sign alone, where the species file says nothing of the calendar."""
    for seen_on, span in (
        (cycle.shed, Span.SHED_TO_LAYING),
        (cycle.ovulated, Span.OVULATION_TO_LAYING),
        (paired_on(cycle), Span.PAIRING_TO_LAYING),
    ):
        length = intervals.length(span, dam=cycle.dam)
        if seen_on is not None and length is not None:
            return DayLaw.on(seen_on).plus(length.law).after(today - dt.timedelta(days=1))
    return None


def _moved(p: FloatArray, log_odds: float) -> FloatArray:
    """Chances with their odds moved."""
    if log_odds == -math.inf:
        return np.zeros_like(p)
    ratio = math.exp(min(log_odds, 300.0))
    return np.asarray(p * ratio / (p * ratio + 1 - p), dtype=float)


def _after_evidence(laws: BetaLaws, log_odds: float) -> BetaLaws:
    """Beta laws of her rate, as what was seen this season tells of it too.

    A rate p is p r + 1 - p times as likely as before, with r the ratio of the evidence: again beta laws, twice as many.
    The mean of the moved rates is then the moved mean, so that draws and the chance agree.
    """
    weight, up, down = laws
    ratio = math.exp(min(log_odds, 300.0))
    both = np.concatenate([weight * up / (up + down) * ratio, weight * down / (up + down)])
    return both / both.sum(), np.concatenate([up + 1, up]), np.concatenate([down, down + 1])


def _summed(laws: BetaLaws, log_odds: float) -> tuple[float, float, float]:
    """Chance and its 90 % range."""
    weight, up, down = laws
    half = len(weight) // 2
    p = float(weight[:half].sum())
    log_density = (up - 1)[:, None] * np.log(_GRID) + (down - 1)[:, None] * np.log1p(-_GRID)
    density = np.exp(log_density - log_density.max(axis=1, keepdims=True))
    upto = np.cumsum(weight @ (density / density.sum(axis=1, keepdims=True)))
    ends = np.interp([0.05, 0.95], upto, _GRID)
    low, high = (float(each) for each in _moved(ends, log_odds))
    return p, min(low, p), max(high, p)
