"""Seasons drawn: for each female and each clutch, in each draw, when and how many."""

from __future__ import annotations

import datetime as dt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from holdback.collection.model import Clutch
from holdback.season.assumed import assumed
from holdback.season.clutch_counts import ClutchCounts
from holdback.season.clutch_outlook import seen
from holdback.season.clutch_sizes import Z_90
from holdback.season.cycles import is_gone
from holdback.season.days import DayLaw
from holdback.season.egg_records import first_out
from holdback.season.egg_tally import Tally, tally
from holdback.season.intervals import Intervals, Span
from holdback.season.outlook import ClutchOutlook, Outlook
from holdback.season.places_in_use import PlacesInUse

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SHARED_CHANCE = 0.5
"""Share of what is not known of the chance to lay that goes for all females alike; an assumption."""

PRIOR_RECORDS = 4.0
"""Own records that common practice is worth for a day of laying, as for lengths; an assumption."""

KEPT_DAYS = 365
"""Young that are still here after this many days are kept, and wait for no buyer (common practice, no source)."""

_GRID = np.linspace(-6.0, 6.0, 2401)
_NORMAL = np.array([NormalDist().cdf(z) for z in _GRID])


class SeasonDraws:
    """What all females of one draw share, and what each then does.

    Parameters
    ----------
    counts : ClutchCounts
        Laws of numbers.
    intervals : Intervals
        Laws of lengths.
    today : date
        Day of the outlook.
    draws, seed : int
        Seasons drawn, and the seed.
    """

    def __init__(self, counts: ClutchCounts, intervals: Intervals, *, today: dt.date, draws: int, seed: int) -> None:
        self.counts, self.intervals, self.today, self.n = counts, intervals, today, draws
        self.rng = rng = np.random.default_rng(seed)
        self._lengths = intervals.draw(rng, draws)
        self._size_points = rng.choice(len(counts.sizes.weights), size=draws, p=counts.sizes.weights)
        spread = counts.sizes.mean_sd[self._size_points] * rng.standard_normal(draws)
        self._mean_size = counts.sizes.mean[self._size_points] + spread
        self._slug_points = counts.slugs.draw_points(rng, draws)
        self._hatch_points = counts.hatching.draw_points(rng, draws)
        self._early, self._willing = rng.standard_normal(draws), rng.standard_normal(draws)

    def to_be_laid(self, outlook: Outlook, eggs: PlacesInUse, young: PlacesInUse) -> None:
        """Add the clutch of a female that has not laid, or of whose clutch nothing is on record."""
        dam = outlook.cycle.dam
        first = self._draw_first(self.counts.first_of(dam, outlook.cycle.laid))
        good = self._good(dam, self._size(dam, first))
        if outlook.laying is not None:
            good = good * self._lays(outlook)
            records = outlook.laying.n_own
            laying = self._day(outlook.laying.law, 1 / (1 + PRIOR_RECORDS + records))
        else:
            assert outlook.cycle.laid is not None, "a clutch to come has a day or a law"
            laying = np.full(self.n, outlook.cycle.laid.toordinal())
        rate = self.counts.hatching.draw(self.rng, self._hatch_points)
        hatched = self.rng.binomial(good, rate)
        incubation = self._days(Span.LAYING_TO_HATCHING, "incubation_days", dam)
        self._incubate(laying, laying + incubation, 0.0, good, hatched, dam, eggs, young)

    def in_the_box(self, clutch: Clutch, outlook: ClutchOutlook, eggs: PlacesInUse, young: PlacesInUse) -> None:
        """Add a clutch that was laid: its eggs, or its young that wait."""
        found = tally(self.counts.collection, clutch, today=self.today)
        if clutch.hatched is not None or (outlook.hatching is None and found.out):
            self._waiting(clutch, found, young)
            return
        dam = clutch.dam or ""
        laid = clutch.laid.earliest if clutch.laid is not None and clutch.laid.month else self.today
        elapsed = max((self.today - laid).days, 0)
        now = np.full(self.n, self.today.toordinal())
        if found.laid:
            good, hatched = self._of_tally(found, dam)
        else:
            first = self._draw_first(self.counts.first_of(dam, laid))
            good = self._good(dam, self._size(dam, first))
            hatched = self.rng.binomial(good, self.counts.hatching.draw(self.rng, self._hatch_points))
        celsius = outlook.celsius.mean if outlook.celsius is not None else None
        incubation = self._days(
            Span.LAYING_TO_HATCHING, "incubation_days", dam, celsius=celsius, longer_than=elapsed - 1
        )
        self._incubate(now, laid.toordinal() + incubation, float(elapsed), good, hatched, dam, eggs, young)

    def _incubate(
        self,
        start: Ints,
        hatching: Ints,
        day: float,
        good: Ints,
        hatched: Ints,
        dam: str,
        eggs: PlacesInUse,
        young: PlacesInUse,
    ) -> None:
        """Take places for good eggs; leave them by the day of a loss, or when the young are out and take tubs."""
        eggs.take(start, good)
        lost = good - hatched
        third = self.rng.binomial(lost, 1 / 3)
        half = self.rng.binomial(lost - third, 1 / 2)
        for part in (third, half, lost - third - half):
            left = self.counts.losses.drawn_days(self.rng, self.n, day)
            day_lost = np.maximum(hatching - self.counts.losses.in_egg_days + left, start + 1)
            eggs.leave(np.minimum(day_lost, np.maximum(hatching, start + 1)), part)
        out = hatching + self._days(Span.OUT_AFTER_PIP, "out_after_pip_days", dam)
        eggs.leave(out, hatched)
        young.take(hatching, hatched)
        ready = hatching + self._days(Span.HATCHING_TO_READY, "ready_to_sell_days", dam)
        self._sell(ready, hatched, young)

    def _sell(self, ready: Ints, number: Ints, young: PlacesInUse) -> None:
        """Each young leaves some days after it is ready."""
        rows = np.repeat(np.arange(self.n), number)
        wait = self.rng.exponential(assumed(self.counts.catalogue, "sold_after_ready_days").value, size=len(rows))
        young.leave(ready[rows] + wait, np.ones(len(rows), dtype=np.int64), rows)

    def _waiting(self, clutch: Clutch, found: Tally, young: PlacesInUse) -> None:
        """Young that are out and not sold yet."""
        out = first_out(self.counts.collection, clutch)
        hatched = out.earliest if out is not None else self.today
        if (self.today - hatched).days > KEPT_DAYS:
            return
        number = self._number_here(clutch, found)
        now = np.full(self.n, self.today.toordinal())
        young.take(now, number)
        ready = self._days(Span.HATCHING_TO_READY, "ready_to_sell_days", clutch.dam or "")
        self._sell(np.maximum(hatched.toordinal() + ready, now), number, young)

    def _number_here(self, clutch: Clutch, found: Tally) -> Ints:
        """Young here of a clutch that hatched: those on record, else those out and what the other eggs gave."""
        collection, before = self.counts.collection, self.today + dt.timedelta(days=1)
        young = collection.clutch_mates(clutch.id)
        if young:
            return np.full(self.n, sum(not is_gone(collection, one.id, before) for one in young))
        return found.out + self._of_tally(found, clutch.dam or "")[1]

    def _of_tally(self, found: Tally, dam: str) -> tuple[Ints, Ints]:
        """Good eggs in the box now, and those of them that hatch."""
        rates, _ = self.counts.hatching.nodes()
        rate = self.counts.hatching.draw(self.rng, self._hatch_points, seen(found, self.counts, rates))
        weak, pipped = (assumed(self.counts.catalogue, f"{each}_egg_hatches").value for each in ("weak", "pipped"))
        hatched = self.rng.binomial(found.pipped, pipped, size=self.n)
        for day, is_weak in found.looked:
            chance = np.asarray(self.counts.losses.hatch_chance(rate, day))
            hatched += self.rng.random(self.n) < (np.minimum(chance, weak) if is_weak else chance)
        unknown = np.full(self.n, found.unknown)
        if not found.slugs_counted:
            unknown = self._good(dam, unknown)
        hatched += self.rng.binomial(unknown, rate)
        return unknown + found.pipped + len(found.looked), hatched

    def _lays(self, outlook: Outlook) -> NDArray[np.bool_]:
        """Whether she lays in each draw; what is not known of her chance is in part that of all females."""
        p, low, high = (min(max(each / 100, 1e-9), 1 - 1e-9) for each in _ends(outlook))
        normal = NormalDist()
        spread = (normal.inv_cdf(high) - normal.inv_cdf(low)) / (2 * Z_90)
        shared = SHARED_CHANCE * spread**2 / (1 + spread**2)
        latent = np.sqrt(shared) * self._willing + np.sqrt(1 - shared) * self.rng.standard_normal(self.n)
        return np.asarray(latent < normal.inv_cdf(p))

    def _day(self, law: DayLaw, shared: float) -> Ints:
        """Days of a law; the seasons of all females are early or late together by a share of the variance."""
        latent = np.sqrt(shared) * self._early + np.sqrt(1 - shared) * self.rng.standard_normal(self.n)
        u = np.interp(latent, _GRID, _NORMAL)
        index = np.searchsorted(np.cumsum(law.chances), u)
        return np.asarray(law.first + np.minimum(index, len(law.chances) - 1), dtype=np.int64)

    def _draw_first(self, chance: float) -> NDArray[np.bool_]:
        return np.asarray(self.rng.random(self.n) < chance)

    def _size(self, dam: str, first: NDArray[np.bool_]) -> Ints:
        """Eggs of a clutch in each draw."""
        sizes, points, mass_g = self.counts.sizes, self._size_points, self.counts.mass_of(dam)
        eggs = np.empty(self.n)
        noise = self.rng.standard_normal(self.n)
        for is_first in (False, True):
            rows = np.flatnonzero(first == is_first)
            slope, offset, sd = (each[points[rows]] for each in sizes.of_dam(dam, mass_g=mass_g, first=float(is_first)))
            eggs[rows] = offset + slope * self._mean_size[rows] + sd * noise[rows]
        return np.clip(np.rint(eggs), *sizes.ends(dam)).astype(np.int64)

    def _good(self, dam: str, eggs: Ints) -> Ints:
        """Eggs that are no slugs."""
        return self.rng.binomial(eggs, 1 - self.counts.slugs_by(dam).draw(self.rng, self._slug_points))

    def _days(self, span: Span, key: str, dam: str, *, celsius: float | None = None, longer_than: int = -1) -> Ints:
        """Length in days in each draw; what is assumed of any species where this one states none."""
        if self.intervals.length(span) is None:
            return np.full(self.n, max(round(assumed(self.counts.catalogue, key).value), longer_than + 1))
        return self._lengths.days(span, self.rng, dam=dam, celsius=celsius, longer_than=longer_than)


def _ends(outlook: Outlook) -> tuple[float, float, float]:
    return outlook.lays.mean, outlook.lays.low, outlook.lays.high
