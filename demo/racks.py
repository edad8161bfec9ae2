"""Rooms, racks and tubs, and who came to which tub when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from barn import Barn, Snake

from holdback.collection.housing import Place
from holdback.collection.model import Event, PartialDate

BUILT = dt.date(2024, 2, 1)
"""Day on which everybody got a tub of their own."""
RACKS, TUBS = 12, "ABCDEF"
OF_ROOM_1 = 7
"""Racks that stand in room 1; the others stand in room 2."""
YOUNG_TUBS = 32
YOUNG_RACK = "room 2 / rack H"
QUARANTINE = "quarantine room"
GUESTS = {"25-11": f"{QUARANTINE} / Q-1", "26-20": f"{QUARANTINE} / Q-2"}
"""Animals that came lately, and where they are kept apart."""
LATER = (("25-11", "2025-11-29", "room 2 / rack 12 / 12-F"),)
"""Moves out of quarantine."""
LAST_TUBS = {"18-01": "room 2 / rack 12 / 12-A", "21-21": "room 2 / rack 12 / 12-B"}

PLACES = (
    Place("room 1", "room"),
    Place("room 2", "room"),
    *(
        place
        for rack in range(1, RACKS + 1)
        for place in (
            Place(f"room {1 if rack <= OF_ROOM_1 else 2} / rack {rack}", "rack"),
            *(Place(f"room {1 if rack <= OF_ROOM_1 else 2} / rack {rack} / {rack}-{tub}", "tub") for tub in TUBS),
        )
    ),
    Place(YOUNG_RACK, "rack", notes="For young until they are sold."),
    *(Place(f"{YOUNG_RACK} / H-{number}", "tub") for number in range(1, YOUNG_TUBS + 1)),
    Place(QUARANTINE, "room", notes="Last on the round; own tools, hands washed after."),
    *(Place(f"{QUARANTINE} / Q-{number}", "tub") for number in (1, 2, 3)),
)


def moves(barn: Barn) -> Iterator[Event]:
    """One move of every animal that is here, two or three of those that moved on."""
    tubs = _tubs(barn)
    young = 0
    for snake in barn.snakes.values():
        if snake.id in GUESTS:
            yield _move(snake.id, snake.arrived or BUILT, GUESTS[snake.id])
        elif snake.kept:
            if snake.hatched.year >= 2025:
                young += 1
                yield _move(snake.id, snake.hatched + dt.timedelta(days=1), f"{YOUNG_RACK} / H-{young}")
                yield _move(snake.id, dt.date(2026, 1, 10), tubs[snake.id])
            else:
                yield _move(snake.id, max(BUILT, snake.hatched + dt.timedelta(days=200)), tubs[snake.id])
        elif snake.status in ("for sale", "holdback"):
            young += 1
            yield _move(snake.id, snake.hatched + dt.timedelta(days=1), f"{YOUNG_RACK} / H-{young}")
    for animal, day, place in LATER:
        yield _move(animal, dt.date.fromisoformat(day), place)


def _tubs(barn: Barn) -> dict[str, str]:
    """Tub of every animal that was kept, six to a rack in the order they came."""
    kept = [one for one in barn.snakes.values() if one.kept and one.id not in LAST_TUBS and one.id not in GUESTS]
    return LAST_TUBS | {snake.id: _tub(number) for number, snake in enumerate(kept)}


def _tub(number: int) -> str:
    rack, tub = 1 + number // len(TUBS), TUBS[number % len(TUBS)]
    return f"room {1 if rack <= OF_ROOM_1 else 2} / rack {rack} / {rack}-{tub}"


def _move(animal: str, day: dt.date, place: str) -> Event:
    return Event(animal, PartialDate(day.year, day.month, day.day), "moved", note=place)


def is_guest(snake: Snake) -> bool:
    """Whether an animal is borrowed or new."""
    return snake.id in GUESTS
