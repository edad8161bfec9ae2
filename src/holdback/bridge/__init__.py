"""Models become a Collection here and nowhere else."""

from __future__ import annotations

from holdback.bridge.animal import AnimalSnapshot, animal_snapshot
from holdback.bridge.cached import (
    answers,
    catalogue_of_records,
    collection_around,
    collection_of_records,
    records_fingerprint,
)

__all__ = [
    "AnimalSnapshot",
    "animal_snapshot",
    "answers",
    "catalogue_of_records",
    "collection_around",
    "collection_of_records",
    "records_fingerprint",
]
