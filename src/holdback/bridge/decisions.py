"""Goals and plans over all records, kept until records, projects, the catalogue or the keeper's rules change."""

from __future__ import annotations

import datetime as dt
import threading
from typing import TYPE_CHECKING

from holdback.bridge.answered import answers_with_projects
from holdback.bridge.cached import Shelf, records_fingerprint
from holdback.bridge.season import season_of_records
from holdback.web.records.models import ANIMALS, CATALOGUE, PLACES, PROJECTS, READINGS, SETTINGS
from holdback.web.records.overlay import SPECIES

if TYPE_CHECKING:
    from holdback.answers.decisions import Decisions

_shelf = Shelf(2)
_by_animals = Shelf(2)
_making = threading.RLock()


def decisions_fingerprint() -> str:
    """Text that changes with everything that plans rest on; one query."""
    return records_fingerprint(ANIMALS, READINGS, PLACES, PROJECTS, CATALOGUE, SETTINGS)


def decisions_of_records(on: dt.date, *, species: str = SPECIES) -> Decisions:
    """Goals and plans as they stand on a day; each is worked out when it is first asked for, and kept.

    Parameters
    ----------
    on : date
        The day.
    species : str
        Key of the species.

    Raises
    ------
    CollectionError
        With all faults, if the records do not hold together.
    """
    from holdback.answers.decisions import Decisions

    key = (species, on, decisions_fingerprint())
    with _making:
        found: Decisions | None = _shelf.get(key)
        if found is None:
            found = Decisions(answers_with_projects(species), season_of_records(on, species=species))
            animals = (species, on, records_fingerprint(ANIMALS, READINGS, PLACES, CATALOGUE, SETTINGS))
            older: Decisions | None = _by_animals.get(animals)
            if older is not None and _has_same_goals(found, older):
                found.take_over(older)
            _shelf.put(key, found)
            _by_animals.put(animals, found)
    return found


def made_decisions(on: dt.date, *, species: str = SPECIES) -> Decisions | None:
    """Goals and plans of a day if they were asked for already; None otherwise, and nothing is begun; one query."""
    found: Decisions | None = _shelf.get((species, on, decisions_fingerprint()))
    return found


def _has_same_goals(one: Decisions, other: Decisions) -> bool:
    """Whether two differ by planned pairings and kept plans at most."""
    left, right = (each.answers.collection.records for each in (one, other))
    return (left.projects, left.accepted) == (right.projects, right.accepted)
