"""Places for eggs and young that a collection tells of."""

from __future__ import annotations

import datetime as dt

from holdback.answers.season.room import room_of
from holdback.collection.collection import Collection
from holdback.season.load import Room

ON = dt.date(2026, 5, 14)


def moved(animal: str, date: str, tub: str, until: str = "") -> dict[str, str]:
    """Row of a move to a tub."""
    return {"animal": animal, "date": date, "kind": "moved", "note": f"rack 1 / {tub}", "until": until}


HERD = Collection.from_frames(
    {
        "animals": [
            {"id": "D1", "sex": "female", "hatched": "2019-06-01"},
            {"id": "S1", "sex": "male", "hatched": "2019-06-01"},
            {"id": "G1", "hatched": "2019-06-01"},
            {"id": "Y1", "clutch": "C1", "dam": "D1", "hatched": "2026-04-20"},
            {"id": "O1", "clutch": "C0", "dam": "D1", "hatched": "2025-04-20"},
        ],
        "clutches": [
            {"id": "C0", "dam": "D1", "laid": "2025-02-20", "hatched": "2025-04-20"},
            {"id": "C1", "dam": "D1", "laid": "2026-02-20", "hatched": "2026-04-20"},
        ],
        "events": [
            moved("D1", "2024-01-01", "1"),
            moved("S1", "2024-01-01", "2", "2026-05-01"),
            moved("G1", "2024-01-01", "3"),
            {"animal": "G1", "date": "2026-05-02", "kind": "sold"},
            moved("Y1", "2026-04-25", "4"),
            moved("O1", "2025-04-25", "5"),
        ],
        "places": [
            {"place": "rack 1", "kind": "rack"},
            *({"place": f"rack 1 / {tub}", "kind": "tub"} for tub in range(1, 7)),
            {"place": "rack 1 / 7", "kind": "tub", "closed": "2026-01-01"},
            {"place": "incubator 1", "kind": "incubator"},
            {"place": "incubator 1 / a", "kind": "egg box", "capacity": 8},
            {"place": "incubator 1 / b", "kind": "box", "capacity": 6},
            {"place": "incubator 2", "kind": "incubator", "capacity": 30, "closed": "2026-01-01"},
        ],
    }
)


def test_room_of__young_that_a_load_counts_take_no_tub_twice() -> None:
    assert room_of(HERD, ON) == Room(egg_places=14, tubs=4)  # D1 and O1 sit in two of six


def test_room_of__as_it_was_on_a_day() -> None:
    assert room_of(HERD, dt.date(2026, 4, 30)).tubs == 2
    assert room_of(HERD, dt.date(2025, 12, 1)) == Room(egg_places=44, tubs=3)
    assert room_of(Collection.from_frames({"animals": [{"id": "D1"}]}), ON) == Room()
