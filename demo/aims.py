"""What the invented keeper works towards: three projects that want the same animals, and pairings planned for them."""

from __future__ import annotations

from holdback.collection.model import PartialDate
from holdback.collection.projects import PairingState, PlannedPairing, Project

PROJECTS = (
    Project(
        "big-clown",
        "Big Clown",
        want="female Clown Enchi",
        line="Marrowfen",
        share_at_least=0.5,
        by=2030,
        tubs=4,
        worth_eggs=80.0,
        year_worth_eggs=12.0,
        held_back=("25-08",),
        least_pairings=1,
        since=PartialDate(2024, 10),
        notes="Umber's size on a Clown, and a female to go on with.",
    ),
    Project(
        "clown-pied",
        "Clown Pied",
        want="Clown Pied",
        by=2031,
        eggs=80,
        tubs=3,
        held_back=("25-06", "25-09"),
        since=PartialDate(2025, 9),
    ),
    Project(
        "banded-giants",
        "Banded Giants",
        want="Hidden Gene Woma Pastel Yellow Belly",
        line="Marrowfen",
        share_at_least=0.375,
        by=2032,
        tubs=2,
        worth_eggs=40.0,
        animals=("24-13",),
        since=PartialDate(2026, 3),
        notes="Not decided: some of them wobble. Nothing is paired for it until I have said yes.",
    ),
)
"""Umber is wanted by the first and the last, Ledger by the first and the second; nothing is spoken for."""

PLANNED = (
    PlannedPairing(2026, "22-06", "21-20", "clown-pied"),
    PlannedPairing(2026, "22-09", "23-08", "big-clown", PairingState.DROPPED, "He was not grown in time."),
    PlannedPairing(2026, "22-11", "22-05", "big-clown"),
    PlannedPairing(2027, "21-06", "22-05", "clown-pied", PairingState.LOCKED, "Promised to Oda Fenwick."),
    PlannedPairing(2027, "22-11", "23-08", "big-clown"),
)
"""By season; those of 2026 that were not dropped were made."""
