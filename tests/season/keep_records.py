"""Small collections for the rules of keeping, by days before a day of their own."""

from __future__ import annotations

import datetime as dt
from typing import Any

from holdback.collection.collection import Collection

TODAY = dt.date(2026, 5, 14)


def ago(days: int) -> dt.date:
    """Day so many days before."""
    return TODAY - dt.timedelta(days=days)


def event(animal: str, days: int, kind: str, note: str = "", **more: Any) -> dict[str, Any]:
    """Row of an event."""
    return {"animal": animal, "date": ago(days).isoformat(), "kind": kind, "note": note, **more}


def weight(animal: str, days: int, grams: float, condition: str = "") -> dict[str, Any]:
    """Row of a weight."""
    return {
        "animal": animal,
        "date": ago(days).isoformat(),
        "trait": "mass",
        "value": grams,
        "unit": "g",
        "condition": condition,
    }


def clutch(name: str, dam: str, days: int, eggs: int = 6, **more: Any) -> dict[str, Any]:
    """Row of a clutch laid so many days before."""
    return {"id": name, "dam": dam, "laid": ago(days).isoformat(), "eggs": eggs, **more}


def collection_of(species: str = "python_regius", **tables: Any) -> Collection:
    """Collection of the tables that hold a row."""
    return Collection.from_frames({name: rows for name, rows in tables.items() if rows}, species=species)
