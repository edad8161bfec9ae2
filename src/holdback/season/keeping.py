"""What the records know by a day of the animals that are kept: who is here, how old, how heavy, when she laid."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cached_property

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import BORROWED, DIED, LAID, LENT, RETURNED, SOLD, kind_of
from holdback.collection.model import Animal, Event, PartialDate, Trait
from holdback.collection.status import is_here
from holdback.season.trend import Trend, trend
from holdback.size.ages import hatch_days
from holdback.size.counting import readings_of
from holdback.size.plausible import DAYS_PER_MONTH, Usual
from holdback.size.readings import HatchDay, Question, Readings
from holdback.size.state import EMPTY, GRAVID, state_of
from holdback.species.catalogue import Catalogue

GROWN_MONTHS = 36.0
"""From this age on nobody counts on growth (an assumption)."""

BEFORE_CLUTCH_DAYS = 400
"""A weight before a clutch lies at most so far before it."""


class Keeping:
    """Records of a collection up to a day, as the rules of feeding and breeding ask for them.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        Species.
    today : date
        Nothing recorded after it is used.
    readings : Readings, optional
        Of the collection, where they are at hand.
    """

    def __init__(
        self, collection: Collection, catalogue: Catalogue, today: dt.date, readings: Readings | None = None
    ) -> None:
        self.collection = collection
        self.catalogue = catalogue
        self.today = today
        self._readings = readings
        self._usual = Usual.of(catalogue)
        self._trends: dict[tuple[str, bool], Trend | None] = {}

    @cached_property
    def readings(self) -> Readings:
        """Every weight and length, with whether it counts."""
        return self._readings if self._readings is not None else readings_of(self.collection, self.catalogue)

    @cached_property
    def hatched(self) -> Mapping[str, HatchDay]:
        """Days of hatching, by animal."""
        return hatch_days(self.collection, self.catalogue)

    def age_days(self, animal: str) -> int | None:
        """Days since it hatched, by the middle of the days it may have; None where nothing is known of it."""
        hatched = self.hatched.get(animal)
        return None if hatched is None else max(self.today.toordinal() - round(hatched.middle), 0)

    @cached_property
    def here(self) -> tuple[Animal, ...]:
        """Animals that are alive and in the house, in the order of the collection."""
        return tuple(one for one in self.collection.animals.values() if self._is_here(one))

    def _is_here(self, animal: Animal) -> bool:
        if not is_here(animal.status) or (animal.hatched and animal.hatched.earliest > self.today):
            return False
        away, borrowed = False, False
        for event in self.events(animal.id):
            kind = kind_of(event.kind)
            if kind in (DIED, SOLD):
                return False
            if kind in (LENT, BORROWED):
                away, borrowed = kind == LENT, kind == BORROWED
            elif kind == RETURNED:
                away, borrowed = borrowed, False
        return not away

    def events(self, animal: str) -> tuple[Event, ...]:
        """Events of an animal up to the day, oldest first."""
        return tuple(one for one in self.collection.events_of(animal) if one.date.earliest <= self.today)

    def age_months(self, animal: str) -> tuple[float, float] | None:
        """Least and greatest age in months; None where nothing is known of it.

        Where no day of hatching is known, an animal is at least as old as its first record, and the greatest age is
        infinite.
        """
        hatched = self.hatched.get(animal)
        now = float(self.today.toordinal())
        if hatched is not None:
            return max(now - hatched.latest, 0.0) / DAYS_PER_MONTH, max(now - hatched.earliest, 0.0) / DAYS_PER_MONTH
        first = self._first_record(animal)
        return (max(now - first, 0.0) / DAYS_PER_MONTH, math.inf) if first is not None else None

    def _first_record(self, animal: str) -> float | None:
        measured, happened = self.collection.measurements_of(animal), self.collection.events_of(animal)
        dates = [one.date for one in measured[:1]] + [one.date for one in happened[:1]]
        return float(min(date.latest.toordinal() for date in dates)) if dates else None

    def trend(self, animal: str, *, after_laying: bool = True) -> Trend | None:
        """Mass and its change; None where it was not weighed."""
        key = (animal, after_laying)
        if key not in self._trends:
            readings = self.readings.by_animal.get(animal, ())
            self._trends[key] = trend(
                readings,
                today=self.today,
                since=self.last_laid(animal),
                after_laying=after_laying,
                growth=self._growth(animal),
                questions=self._questions.get(animal, ()),
            )
        return self._trends[key]

    def _growth(self, animal: str) -> float:
        """Usual growth on the logarithm since an animal was last weighed; 0 for a grown one or of unknown age."""
        hatched, measured = self.hatched.get(animal), self.collection.measurements_of(animal)
        if hatched is None or not measured:
            return 0.0
        now = self.today.toordinal() - hatched.middle
        if now > GROWN_MONTHS * DAYS_PER_MONTH:
            return 0.0
        sex = self.collection.animals[animal].sex
        then = max(min(measured[-1].date.earliest.toordinal() - hatched.middle, now), 0.0)
        start, end = self._usual.middle(sex, then), self._usual.middle(sex, max(now, 0.0))
        return end - start if start is not None and end is not None else 0.0

    @cached_property
    def _questions(self) -> Mapping[str, Sequence[Question]]:
        found: dict[str, list[Question]] = defaultdict(list)
        for one in self.readings.questions:
            found[one.animal].append(one)
        return found

    def last_laid(self, dam: str) -> dt.date | None:
        """Day of her last laying on record, the last one that can be meant; None without one."""
        return self._laid.get(dam)

    @cached_property
    def _laid(self) -> Mapping[str, dt.date]:
        found: dict[str, dt.date] = {}
        for clutch in self.collection.records.clutches:
            day = self._laying_day(clutch.laid, clutch.hatched)
            if clutch.dam is not None and day is not None and day <= self.today:
                found[clutch.dam] = max(found.get(clutch.dam, day), day)
        for event in self.collection.records.events:
            if kind_of(event.kind) == LAID and event.date.latest <= self.today:
                found[event.animal] = max(found.get(event.animal, event.date.latest), event.date.latest)
        return found

    def _laying_day(self, laid: PartialDate | None, hatched: PartialDate | None) -> dt.date | None:
        if laid is not None:
            return min(laid.latest, self.today) if laid.earliest <= self.today else None
        days = self.catalogue.reproduction.get("incubation_days")
        if hatched is None or days is None:
            return None
        return hatched.latest - dt.timedelta(days=round(days.value))

    def mass_before(self, dam: str, laid: dt.date) -> tuple[float, dt.date] | None:
        """Last weight of hers, in gram, that was taken before she had eggs in her, and its day; None without one.

        A weight of which nothing was written counts where it lies before ovulation by the species file.
        """
        ovulation = self.catalogue.reproduction.get("laying_after_ovulation_days")
        with_eggs = laid.toordinal() - (ovulation.high if ovulation else 60.0)
        first = laid.toordinal() - BEFORE_CLUTCH_DAYS
        found = None
        for one in self.readings.by_animal.get(dam, ()):
            state = state_of(one.measurement.condition)
            clean = one.counts or (one.left_out == GRAVID and state in ("", EMPTY))
            if first <= one.day < with_eggs and clean and one.measurement.trait is Trait.MASS:
                found = one.value, dt.date.fromordinal(int(one.day))
        return found
