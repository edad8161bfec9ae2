"""Two animals side by side at true scale."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from holdback.collection.photo_marks import Part
from holdback.errors import Fault
from holdback.web.pages.photos.sized import Sized, difference, sized
from holdback.web.pages.photos.true_scale import Bar, bar, head_box, head_drawn
from holdback.web.pages.photos.words import NAMES
from holdback.web.pages.wording import listed, quantity, span
from holdback.web.records.models import Animal, PhotoMarks
from holdback.web.records.queries import animal_by_tag

OFFERED = 500
"""Animals offered while one types."""

_MORE = {Part.HEAD_WIDTH: "wider in the head", Part.HEAD_LENGTH: "longer in the head", Part.BODY: "longer"}
_DIVISORS = (1, 2, 5, 10, 20, 50)
_LONGEST_MM = 78
"""Longest bar, so that it fits on a telephone."""


@dataclass(frozen=True, slots=True)
class Line:
    """One animal's length in a figure: name, value, range and day, and its bar."""

    name: str
    value: str
    ground: str
    drawing: SafeString


@dataclass(frozen=True, slots=True)
class Compared:
    """One part of both animals: what it says, at which scale it is drawn, and a line for each."""

    title: str
    message: str
    scale: str
    lines: tuple[Line, ...]


@require_safe
def beside(request: HttpRequest) -> HttpResponse:
    """Two animals at one scale."""
    asked = {name: request.GET.get(name, "").strip() for name in ("one", "other")}
    animals = {name: animal_by_tag(text) if text else None for name, text in asked.items()}
    faults = [
        Fault("PHO-030", f"No animal has the tag {text}.", "Choose one of the list.", field=name, value=text)
        for name, text in asked.items()
        if text and animals[name] is None
    ]
    both = [sized(animal) for animal in animals.values() if animal]
    context = {
        "room": "Collection",
        "asked": asked,
        "faults": faults,
        "both": both,
        "offered": _offered(),
        "compared": [found for part in NAMES if len(both) == 2 and (found := _compared(part, *both))],
        "heads": _heads(both) if len(both) == 2 else [],
    }
    return render(request, "pages/photo_beside.html", context, status=422 if faults else 200)


def _offered() -> list[Animal]:
    """Animals with a reading made on a photo."""
    marked = PhotoMarks.objects.filter(measurement__isnull=False).values("measurement__animal")
    return list(Animal.objects.filter(pk__in=marked, removed_at__isnull=True)[:OFFERED])


def _heads(both: list[Sized]) -> list[tuple[str, str, SafeString]]:
    """Both heads in boxes of one size: name, what is drawn, and the drawing."""
    box = head_box([one.reads for one in both])
    found = []
    for one in both:
        drawing = head_drawn(one.head, one.reads, box, name=one.name) if box else SafeString()
        if drawing:
            said = "from the photo" if one.head else "an outline from its numbers, no likeness"
            found.append((one.name, said, drawing))
    return found


def _compared(part: Part, one: Sized, other: Sized) -> Compared | None:
    """One part of both; None where neither has it."""
    reads = [(side.name, side.reads[part]) for side in (one, other) if part in side.reads]
    if not reads:
        return None
    longest = max(read.high for _, read in reads)
    divisor = next((each for each in _DIVISORS if longest / each <= _LONGEST_MM), 100)
    unit, per_mm = ("cm", 0.1) if part is Part.BODY else ("mm", 1.0)
    lines = []
    for name, read in reads:
        within = f"{span(read.low * per_mm, read.high * per_mm, 1)}, " if read.half else "no range known, "
        lines.append(
            Line(
                name,
                quantity(read.mm * per_mm, unit, 1),
                within + read.day,
                bar(Bar(read.mm / divisor, read.low / divisor, read.high / divisor)),
            )
        )
    scale = "true size on paper" if divisor == 1 else f"1 to {divisor} on paper"
    return Compared(NAMES[part], _message(part, one, other, unit, per_mm), scale, tuple(lines))


def _message(part: Part, one: Sized, other: Sized, unit: str, per_mm: float) -> str:
    """Who is longer and by how much, or that it cannot be told."""
    missing = [side.name for side in (one, other) if part not in side.reads]
    if missing:
        return f"Of {listed(missing)} none is on record."
    found, half, is_more = difference(one.reads[part], other.reads[part])
    if not is_more:
        return "The difference is not more than the error of the two readings."
    longer, shorter = (one, other) if found > 0 else (other, one)
    low, high = (abs(found) - half) * per_mm, (abs(found) + half) * per_mm
    return (
        f"{longer.name} is {quantity(abs(found) * per_mm, unit, 1)} {_MORE[part]} than {shorter.name} "
        f"({span(low, high, 1)}): more than the error of the two readings."
    )
