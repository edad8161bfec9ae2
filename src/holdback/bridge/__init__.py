"""Models become a Collection here and nowhere else."""

from __future__ import annotations

from holdback.bridge.animal import AnimalSnapshot, animal_snapshot
from holdback.bridge.answered import IN_REQUEST, answers, memory_of, n_animals, ready_answers, work_out
from holdback.bridge.cached import (
    catalogue_of_records,
    collection_around,
    collection_of_records,
    collection_with_exact_places,
    records_fingerprint,
)
from holdback.bridge.foreseen import Snapshot, followed, foreseen, snapshot_now
from holdback.bridge.projects import Planned, goals_of_records, planned_of_records, prices_of_records

__all__ = [
    "IN_REQUEST",
    "AnimalSnapshot",
    "Planned",
    "Snapshot",
    "animal_snapshot",
    "answers",
    "catalogue_of_records",
    "collection_around",
    "collection_of_records",
    "collection_with_exact_places",
    "followed",
    "foreseen",
    "goals_of_records",
    "memory_of",
    "n_animals",
    "planned_of_records",
    "prices_of_records",
    "ready_answers",
    "records_fingerprint",
    "snapshot_now",
    "work_out",
]
