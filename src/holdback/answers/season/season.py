"""Everything that pages and commands ask of the working year, each worked out when it is first asked for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.errors import CollectionError, Fault
from holdback.season.as_of import as_of

if TYPE_CHECKING:
    from holdback.collection.collection import Collection
    from holdback.collection.model import Clutch
    from holdback.season.clutch_counts import ClutchCounts
    from holdback.season.due import Rules
    from holdback.season.intervals import Intervals
    from holdback.season.load import Room
    from holdback.season.outlook import ClutchOutlook, Cycle, DueItem, Fitness, Load, MealPlan, Outlook, PreyNeed
    from holdback.season.statistics import LookParts, Statistics
    from holdback.size.readings import Readings
    from holdback.species.catalogue import Catalogue

LATELY = dt.timedelta(days=120)
"""Time after hatching for which a clutch is still looked after as one."""
IN_BOXES = dt.timedelta(days=150)
"""Time after laying from which eggs that nobody wrote off are no longer waited for."""


class Season:
    """The working year of one collection as it stands on a day.

    Parameters
    ----------
    collection : Collection
        Checked records.
    catalogue : Catalogue
        Species: usual intervals, numbers and masses.
    on : date
        The day; nothing recorded of later days is used.
    room : Room, optional
        Places for eggs and tubs for young.
    rules : Rules, optional
        The keeper's own rules of what falls due when.
    year : int, optional
        Season by the year of laying; the one that `on` lies in if left out.
    looks : callable, optional
        From a clutch to what its young show beside what was foretold; without it the statistics count no looks.
    """

    def __init__(
        self,
        collection: Collection,
        catalogue: Catalogue,
        *,
        on: dt.date,
        room: Room | None = None,
        rules: Rules | None = None,
        year: int | None = None,
        looks: LookParts | None = None,
    ) -> None:
        self.collection = as_of(collection, on)
        self.catalogue = catalogue
        self.on = on
        self._room = room
        self._rules = rules
        self._year = year
        self._looks = looks

    @property
    def _before(self) -> dt.date:
        """What is recorded of this day or later is not known yet."""
        return self.on + dt.timedelta(days=1)

    @cached_property
    def room(self) -> Room:
        """Places for eggs and tubs for young."""
        from holdback.season.load import Room

        return self._room or Room()

    @cached_property
    def rules(self) -> Rules:
        """The keeper's own rules of what falls due when."""
        from holdback.season.due import Rules

        return self._rules or Rules()

    @cached_property
    def year(self) -> int:
        """Season, by the year of laying."""
        from holdback.season.by_season import season_of

        return self._year if self._year is not None else season_of(self.on, self.catalogue)

    @cached_property
    def intervals(self) -> Intervals:
        """How long things take, by own records and common practice."""
        from holdback.season.intervals import Intervals

        return Intervals.learned(self.collection, self.catalogue, before=self._before)

    @cached_property
    def cycles(self) -> Mapping[str, Cycle]:
        """What is on record of each female in the season, by her id."""
        from holdback.season.cycles import cycles

        return cycles(self.collection, self.year, self.catalogue, before=self._before)

    @cached_property
    def counts(self) -> ClutchCounts:
        """How many eggs and young a clutch has."""
        from holdback.season.clutch_counts import ClutchCounts

        return ClutchCounts.learned(self.collection, self.catalogue, before=self._before)

    @cached_property
    def outlooks(self) -> tuple[Outlook, ...]:
        """Where each female stands and what is to come, the next event first."""
        from holdback.season.forecast import outlooks

        return outlooks(
            self.collection,
            self.year,
            today=self.on,
            intervals=self.intervals,
            catalogue=self.catalogue,
            counts=self.counts,
        )

    def outlook(self, dam: str) -> Outlook | None:
        """Where a female stands; None where she is not among those of the season."""
        return next((one for one in self.outlooks if one.cycle.dam == dam), None)

    @cached_property
    def clutches(self) -> Mapping[str, ClutchOutlook]:
        """What is to come of each clutch that is in the boxes, or hatched lately, by its id."""
        return {name: self.clutch(name) for name, one in self.collection.clutches.items() if self._is_open(one)}

    def _is_open(self, clutch: Clutch) -> bool:
        """Whether a clutch was laid, and is in the boxes or hatched within `LATELY`."""
        if clutch.laid is None or not clutch.laid.month or not clutch.laid.earliest <= self.on:
            return False
        if clutch.hatched is not None and clutch.hatched.earliest <= self.on:
            return self.on - clutch.hatched.latest <= LATELY
        return self.on - clutch.laid.latest <= IN_BOXES

    def clutch(self, name: str) -> ClutchOutlook:
        """What is to come of a clutch, or what came of it.

        Raises
        ------
        CollectionError
            SEA-101 if there is no such clutch.
        """
        from holdback.season.clutch_outlook import clutch_outlook

        if name not in self.collection.clutches:
            what = f"There is no clutch {name!r}."
            raise CollectionError(Fault("SEA-101", what, "Give the id of a clutch.", value=name))
        return clutch_outlook(
            self.collection,
            self.collection.clutches[name],
            today=self.on,
            intervals=self.intervals,
            catalogue=self.catalogue,
            counts=self.counts,
        )

    @cached_property
    def load(self) -> Load:
        """Places for eggs and young, week by week."""
        from holdback.season.load import load

        return load(
            self.outlooks,
            tuple(self.clutches.values()),
            today=self.on,
            intervals=self.intervals,
            counts=self.counts,
            room=self.room,
        )

    @cached_property
    def fitness(self) -> tuple[Fitness, ...]:
        """Who may breed, and why not."""
        from holdback.season.fitness import fitness

        return fitness(self.collection, self.cycles, today=self.on, catalogue=self.catalogue, readings=self._readings)

    @cached_property
    def meals(self) -> tuple[MealPlan, ...]:
        """When each animal is to be fed next, and what."""
        from holdback.season.meals import meal_plans

        return meal_plans(
            self.collection, self.cycles, today=self.on, catalogue=self.catalogue, readings=self._readings
        )

    @cached_property
    def _readings(self) -> Readings:
        """Every weight with whether it counts, worked out once."""
        from holdback.size.counting import readings_of

        return readings_of(self.collection, self.catalogue)

    def prey(self, first: dt.date, last: dt.date) -> tuple[PreyNeed, ...]:
        """Prey wanted between two days."""
        from holdback.season.meals import prey_needed

        return prey_needed(self.meals, first=first, last=last)

    @cached_property
    def due(self) -> tuple[DueItem, ...]:
        """What is to be done, late and soon."""
        from holdback.season.due import due

        return due(
            self.collection,
            self.outlooks,
            self.clutches,
            self.fitness,
            self.meals,
            today=self.on,
            rules=self.rules,
            catalogue=self.catalogue,
        )

    @cached_property
    def statistics(self) -> Statistics:
        """What became of eggs, by dam, sire, incubator and year, and how males were used."""
        from holdback.season.statistics import statistics

        return statistics(self.collection, catalogue=self.catalogue, today=self.on, looks=self._looks)
