"""Where animals grew up: rooms by their moves, else whether they were bred here."""

from __future__ import annotations

from typing import Any

from holdback.collection.collection import Collection
from holdback.size.ages import hatch_days
from holdback.size.rearing import rearing_of, topmost
from holdback.species import load


def reared(moves: list[tuple[str, str, str]]) -> dict[str, str]:
    """Rearing of the dam, of a bought animal, and of five young of a clutch of July 2024."""
    young = [{"id": f"Y{n}", "clutch": "C1", "hatched": "2024-07-01"} for n in range(1, 6)]
    frames: dict[str, list[dict[str, Any]]] = {
        "animals": [{"id": "D1", "sex": "female"}, {"id": "B1", "hatched": "2023"}, *young],
        "clutches": [{"id": "C1", "dam": "D1", "laid": "2024-05-01"}],
        "events": [{"animal": animal, "date": date, "kind": "moved", "note": note} for animal, date, note in moves],
    }
    collection = Collection.from_frames(frames)
    return rearing_of(collection, hatch_days(collection, load()))


def test_rearing_of__by_birth() -> None:
    found = reared([("B1", "2027-01-01", "Room 1")])
    assert (found["D1"], found["B1"], found["Y1"]) == ("raised elsewhere", "raised elsewhere", "bred here")


def test_rearing_of__the_room_of_the_first_stay() -> None:
    moves = [(f"Y{n}", "2024-07-20", f"Room 2, rack A, tub {n}") for n in range(1, 5)]
    moves += [(f"Y{n}", "2025-07-20", "Room 1") for n in range(1, 6)]
    found = reared(moves)
    assert [found[f"Y{n}"] for n in range(1, 6)] == ["Room 2"] * 4 + ["bred here"]


def test_rearing_of__a_grown_animal_was_not_reared_there() -> None:
    moves = [(f"Y{n}", "2027-07-20", "Room 1") for n in range(1, 6)] + [("D1", "2024-07-20", "Room 1")]
    assert set(reared(moves).values()) == {"bred here", "raised elsewhere"}


def test_rearing_of__a_tub_is_no_room() -> None:
    found = reared([(f"Y{n}", "2024-07-20", f"1-{n}") for n in range(1, 6)])
    assert found["Y1"] == "bred here"


def test_topmost__stands_first() -> None:
    assert [topmost(text) for text in ("Room 1 / rack B", "Room 1, rack B", "Shed")] == ["Room 1", "Room 1", "Shed"]
