"""Loans, quarantine, swabs, treatments, a fast that wants a vet, and the first weeks of the young of 2025."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from barn import Barn, Snake
from chance import Chance
from plan import END
from sizes import Sizes

from holdback.collection.model import Event, PartialDate

LASTING = (
    # Animal, first day, kind, value, unit, note, last day.
    ("25-11", "2025-08-30", "borrowed", None, "", "of Oda Fenwick, for two females", "2026-05-28"),
    ("25-11", "2025-08-30", "quarantine", None, "", "", "2025-11-28"),
    ("25-11", "2025-09-06", "swab", None, "", "for serpentovirus: not found", ""),
    ("26-20", "2026-04-11", "quarantine", None, "", "new here", "2026-07-10"),
    ("26-20", "2026-04-18", "swab", None, "", "for serpentovirus: result not back yet", ""),
    ("18-03", "2025-12-01", "lent", None, "", "to Bram Hollin, until his female has laid", "2026-06-15"),
    ("21-06", "2024-09-01", "co-owned", 50.0, "%", "with Oda Fenwick; she has every second young", ""),
    ("19-05", "2026-05-04", "sign", None, "", "mites in the water bowl", ""),
    ("19-05", "2026-05-06", "vet", None, "", "mites, nothing else found", ""),
    ("19-05", "2026-05-06", "treatment", None, "", "against mites, as the vet said, for three weeks", "2026-05-27"),
    ("25-10-5", "2025-08-20", "defect", None, "", "kink two hands before the tail tip; stays here", ""),
    ("16-01", "2026-02-11", "meal", 120.0, "g", "=refused again, see January", ""),
    ("18-11", "2024-06-28", "laid", None, "", "four eggs, no male ever", ""),
)
"""The note of Mortar's meal starts with a sign that a spreadsheet would run."""

FASTS = {"18-07": dt.date(2026, 1, 20), "16-01": dt.date(2026, 4, 21)}
"""Males that refuse, and since when. Pintail 18-07 loses mass meanwhile, Mortar does not."""


def lasting() -> Iterator[Event]:
    """What was written of loans, health and the like."""
    for animal, day, kind, value, unit, note, until in LASTING:
        last = PartialDate.parse(until) if until else None
        yield Event(animal, PartialDate.parse(day), kind, value, unit, note, last)


def first_weeks(barn: Barn, sizes: Sizes) -> Iterator[Event]:
    """Meals, being ready and sales of the young of 2025 that were not kept."""
    for snake in barn.snakes.values():
        if snake.kept or snake.hatched.year != 2025 or snake.status == "died":
            continue
        chance = Chance("first weeks", snake.id)
        day = snake.hatched + dt.timedelta(days=30 + chance.below(5))
        for _ in range(5):
            yield _meal(snake, day, sizes, refused=chance.happens(0.12))
            day += dt.timedelta(days=6 + chance.below(3))
        yield Event(snake.id, _date(snake.hatched + dt.timedelta(days=58 + chance.below(10))), "ready to sell")
        if snake.left is not None:
            buyer = chance.pick(("to Bram Hollin", "at the Saltrake show"))
            yield Event(snake.id, _date(snake.left), "sold", note=buyer)
            continue
        day = dt.date(2026, 4, 6) + dt.timedelta(days=chance.below(7))
        while day <= END:
            yield _meal(snake, day, sizes, refused=chance.happens(0.1))
            day += dt.timedelta(days=7 + chance.below(3))


def _meal(snake: Snake, day: dt.date, sizes: Sizes, *, refused: bool) -> Event:
    prey = max(float(round(sizes.mass(snake, day) * 0.1)), 8.0)
    return Event(snake.id, _date(day), "meal", prey, "g", "refused" if refused else "taken")


def _date(day: dt.date) -> PartialDate:
    return PartialDate(day.year, day.month, day.day)
