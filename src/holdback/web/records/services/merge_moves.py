"""Moves of a file as stays: each lasts until the next one, and the last one still."""

from __future__ import annotations

import datetime as dt
import uuid
from collections import defaultdict
from dataclasses import dataclass, field
from itertools import pairwise

from holdback.collection import model as known
from holdback.collection.event_kinds import MOVED, kind_of
from holdback.collection.housing import path_names, path_text
from holdback.web.records.models import Animal, Place, Stay
from holdback.web.records.services.merge import Plan, parts_of
from holdback.web.records.services.merge_places import PlaceTree, is_path


def is_move(row: known.Event) -> bool:
    """Whether an event says on which day an animal came to which place."""
    return bool(kind_of(row.kind) == MOVED and row.date.day and is_path(path_names(row.note)))


def is_told_by_stay(row: known.Event) -> bool:
    """Whether the stay that a move begins says all that the event does."""
    return (row.kind, row.value, row.unit, row.note) == (MOVED, None, "", path_text(path_names(row.note)))


@dataclass
class Moves:
    """Stays of animals: those on record, and those that moves of a file begin.

    Parameters
    ----------
    tree : PlaceTree
        All places.
    """

    tree: PlaceTree
    old: dict[uuid.UUID, list[Stay]] = field(default_factory=lambda: defaultdict(list))
    fresh: dict[uuid.UUID, list[Stay]] = field(default_factory=lambda: defaultdict(list))
    met: set[uuid.UUID] = field(default_factory=set)

    def load(self, keys: list[uuid.UUID]) -> None:
        """Take in the stays on record of some animals."""
        for part in parts_of(keys):
            for stay in Stay.objects.filter(animal__in=part):
                self.old[stay.animal_id].append(stay)

    def take(self, row: known.Event, animal: Animal) -> bool:
        """Take a move in; False where its stay is on record."""
        place = self.tree.place(row.note)
        assert place is not None, "a move names a place"
        since, left = row.date.earliest, row.until.latest if row.until else None
        for stay in self.old[animal.pk]:
            if (stay.since, stay.place_id) == (since, place.pk) and stay.pk not in self.met:
                self.met.add(stay.pk)
                return False
        self.fresh[animal.pk].append(_stay(animal, place, since, left))
        return True

    def plan(self, plan: Plan) -> None:
        """Plan the new stays, with the days on which they and those before them end."""
        for key, fresh in self.fresh.items():
            line = sorted([*self.old[key], *fresh], key=lambda stay: stay.since)
            new = {stay.pk for stay in fresh}
            for stay, after in pairwise(line):
                if stay.until is not None and stay.until <= after.since:
                    continue
                if stay.pk in new:
                    stay.until = after.since
                elif after.pk in new:
                    plan.close(stay, after.since)
            for stay in fresh:
                plan.make(stay)


def _stay(animal: Animal, place: Place, since: dt.date, left: dt.date | None) -> Stay:
    """Stay that a move begins."""
    return Stay(animal=animal, place=place, since=since, until=left)
