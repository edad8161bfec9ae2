"""What each female of a season is about to do, and the next thing to do about it."""

from __future__ import annotations

import datetime as dt

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis, Estimate
from holdback.season.by_season import first_day, laid_about, season_of
from holdback.season.clutch_counts import ClutchCounts
from holdback.season.clutch_outlook import hatching_window, is_over, young_law
from holdback.season.cycles import cycles, is_gone, past_seasons
from holdback.season.days import DayLaw
from holdback.season.egg_tally import tally
from holdback.season.follicles import LARGE_MM
from holdback.season.intervals import Intervals, Span
from holdback.season.laying import Chance, lays
from holdback.season.laying_past import Past
from holdback.season.next_deed import advice_of, caution_of, is_overdue, look_again_by
from holdback.season.outlook import CountLaw, Cycle, Outlook, Step, Window
from holdback.season.windows import window_after, window_of
from holdback.species.catalogue import Catalogue

TAKEN_BACK = 0.6
"""Last of her largest follicles over the largest ever, under which she took them back (an assumption)."""

ACTIVE = (Step.PAIRED, Step.GROWING, Step.OVULATED, Step.SHED)


def outlooks(
    collection: Collection,
    season: int,
    *,
    today: dt.date,
    intervals: Intervals,
    catalogue: Catalogue,
    counts: ClutchCounts | None = None,
) -> tuple[Outlook, ...]:
    """Where every female stands on a day and what is to come, in the order of the next event.

    Parameters
    ----------
    collection : Collection
        Records.
    season : int
        Year of laying.
    today : date
        Day of the outlook; what is on record of it counts.
    intervals : Intervals
        How long things take.
    catalogue : Catalogue
        Species.
    counts : ClutchCounts, optional
        Laws of numbers, where they are at hand.

    Returns
    -------
    tuple of Outlook
        Those with something to come first, by its day; then those that rest or did not lay. A female that is no longer
        here is left out unless she laid.
    """
    before = today + dt.timedelta(days=1)
    counts = counts or ClutchCounts.learned(collection, catalogue, before=before)
    past = Past.learned(past_seasons(collection, catalogue, first_day(season, catalogue)), catalogue)
    here = _Here(collection, today, intervals, catalogue, counts, past)
    found = [
        here.outlook(cycle)
        for cycle in cycles(collection, season, catalogue, before=before).values()
        if cycle.has_laid or not is_gone(collection, cycle.dam, before)
    ]
    return tuple(sorted(found, key=_next_event))


def step_of(cycle: Cycle, *, today: dt.date, catalogue: Catalogue) -> Step:
    """How far a female has come.

    Parameters
    ----------
    cycle : Cycle
        What is on record.
    today : date
        A season that is over without a clutch is over.
    catalogue : Catalogue
        For the end of the season.
    """
    if cycle.has_laid:
        return Step.HATCHED if cycle.has_hatched else Step.LAID
    is_over = season_of(today, catalogue) > cycle.season
    for step, holds in (
        (Step.SHED, cycle.shed is not None),
        (Step.OVULATED, cycle.ovulated is not None),
        (Step.RESTS, cycle.rests),
        (Step.OVER, _took_back(cycle)),
        (Step.GROWING, _grows(cycle)),
        (Step.PAIRED, bool(cycle.together)),
    ):
        if holds:
            return Step.OVER if is_over and step is not Step.RESTS else step
    return Step.RESTS


def _grows(cycle: Cycle) -> bool:
    sizes = [look.largest_mm for look in cycle.follicles]
    return bool(sizes) and (sizes[-1] >= LARGE_MM or (len(sizes) > 1 and sizes[-1] > sizes[0]))


def _took_back(cycle: Cycle) -> bool:
    sizes = [look.largest_mm for look in cycle.follicles]
    return bool(sizes) and max(sizes) >= LARGE_MM and sizes[-1] < TAKEN_BACK * max(sizes)


class _Here:
    """Everything that the outlooks of one day share."""

    def __init__(
        self,
        collection: Collection,
        today: dt.date,
        intervals: Intervals,
        catalogue: Catalogue,
        counts: ClutchCounts,
        past: Past,
    ) -> None:
        self.collection, self.today, self.intervals = collection, today, intervals
        self.catalogue, self.counts, self.past = catalogue, counts, past

    def outlook(self, cycle: Cycle) -> Outlook:
        """Outlook of one female."""
        step = step_of(cycle, today=self.today, catalogue=self.catalogue)
        if step in (Step.LAID, Step.HATCHED):
            return self._laid(cycle, step)
        if step not in ACTIVE:
            caution = caution_of(self.collection, cycle, step, today=self.today, catalogue=self.catalogue)
            return Outlook(cycle, step, self._chance_of_rest(cycle, step), caution=caution)
        chance = lays(cycle, self.past, today=self.today, intervals=self.intervals, catalogue=self.catalogue)
        laying = self._laying(chance)
        shedding = self._shedding(cycle) if step is Step.OVULATED else None
        hatching = self._after(laying, Span.LAYING_TO_HATCHING, cycle.dam)
        caution = caution_of(self.collection, cycle, step, today=self.today, catalogue=self.catalogue)
        look_by = look_again_by(cycle, step, self.today)
        eggs = self.counts.eggs(cycle.dam)
        advice = ""
        if not caution:
            advice = advice_of(cycle, step, today=self.today, laying=laying, shedding=shedding, look_by=look_by)
        return Outlook(
            cycle=cycle,
            step=step,
            lays=_percent(chance),
            laying=laying,
            shedding=shedding,
            hatching=hatching,
            ready=self._after(hatching, Span.HATCHING_TO_READY, cycle.dam),
            eggs=eggs,
            young=self.counts.young_of(eggs, cycle.dam),
            advice=advice,
            look_by=look_by,
            overdue=is_overdue(cycle, today=self.today, intervals=self.intervals),
            caution=caution,
        )

    def _laid(self, cycle: Cycle, step: Step) -> Outlook:
        """Outlook of a female that has laid."""
        clutch = self.collection.clutches[cycle.clutch] if cycle.clutch is not None else None
        ended = Estimate(100.0, 100.0, 100.0, "%", Basis.MEASURED, "She has laid.")
        caution = caution_of(self.collection, cycle, step, today=self.today, catalogue=self.catalogue)
        is_lost = False
        if clutch is None:
            started = DayLaw.on(cycle.laid) if cycle.laid is not None else None
            length = self.intervals.length(Span.LAYING_TO_HATCHING, dam=cycle.dam)
            hatching = window_after(started, length, today=self.today)
            eggs: CountLaw | None = self.counts.eggs(cycle.dam, cycle.laid)
            young: CountLaw | None = self.counts.young(cycle.dam, cycle.laid)
        else:
            hatching = hatching_window(
                self.collection, clutch, today=self.today, intervals=self.intervals, catalogue=self.catalogue
            )
            found = tally(self.collection, clutch, today=self.today)
            is_lost = is_over(found)
            laid = laid_about(self.collection, clutch, self.catalogue)
            eggs = None if found.laid else self.counts.eggs(cycle.dam, laid.earliest if laid is not None else None)
            young = young_law(found, self.counts, clutch)
        if step is Step.HATCHED:
            length = self.intervals.length(Span.HATCHING_TO_READY, dam=cycle.dam)
            started = DayLaw.on(cycle.hatched) if cycle.hatched is not None else None
            ready = window_after(started, length, today=self.today)
            hatching, young = None, None
        else:
            ready = self._after(hatching, Span.HATCHING_TO_READY, cycle.dam)
        return Outlook(
            cycle=cycle,
            step=step,
            lays=ended,
            hatching=hatching,
            ready=ready,
            eggs=eggs,
            young=young,
            advice="" if caution else advice_of(cycle, step, today=self.today, hatching=hatching, ready=ready),
            overdue=step is Step.LAID and not is_lost and is_overdue(cycle, today=self.today, intervals=self.intervals),
            caution=caution,
        )

    def _laying(self, chance: Chance | None) -> Window | None:
        if chance is None or chance.law is None:
            return None
        return window_of(
            chance.law, today=self.today, basis=chance.basis, ground=chance.ground, n_own=chance.n_own
        )  # fmt: skip

    def _shedding(self, cycle: Cycle) -> Window | None:
        started = DayLaw.on(cycle.ovulated) if cycle.ovulated is not None else None
        length = self.intervals.length(Span.OVULATION_TO_SHED, dam=cycle.dam)
        return window_after(started, length, today=self.today)

    def _after(self, window: Window | None, span: Span, dam: str) -> Window | None:
        started = window.law if window is not None else None
        return window_after(started, self.intervals.length(span, dam=dam), today=self.today)

    def _chance_of_rest(self, cycle: Cycle, step: Step) -> Estimate:
        """Chance of one that was not paired, is said to rest, or did not lay."""
        if step is Step.OVER or cycle.rests:
            said = "The season is over, or she took her follicles back." if step is Step.OVER else "Said to rest."
            return Estimate(0.0, 0.0, 0.0, "%", Basis.MEASURED, said)
        chance = lays(cycle, self.past, today=self.today, intervals=self.intervals, catalogue=self.catalogue)
        return _percent(chance)


def _percent(chance: Chance | None) -> Estimate:
    if chance is None:
        return Estimate(50.0, 0.0, 100.0, "%", Basis.ASSUMED, "Not known for this species.")
    low, high = min(chance.low, chance.p), max(chance.high, chance.p)
    return Estimate(100 * chance.p, 100 * low, 100 * high, "%", chance.basis, chance.ground)


def _next_event(outlook: Outlook) -> tuple[int, dt.date, str]:
    """Rank and day of what comes next."""
    windows = (outlook.shedding, outlook.laying, outlook.hatching, outlook.ready)
    days = [window.law.median for window in windows if window is not None]
    return (0 if days else 1), min(days, default=dt.date.max), outlook.cycle.dam
