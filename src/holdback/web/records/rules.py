"""What a value must be before it is written; every rule yields faults, and the caller raises them together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from enum import StrEnum

from holdback.collection.model import NO_SIRE, PartialDate
from holdback.errors import Fault, RecordError

MASS_UNITS = ("g", "kg", "oz", "lb")
LENGTH_UNITS = ("mm", "cm", "m", "in")


def refuse(faults: Iterable[Fault]) -> None:
    """Raise RecordError with all the faults, if there is any."""
    if found := list(faults):
        raise RecordError(found)


def tag_faults(tag: str, *, field: str = "tag") -> Iterator[Fault]:
    """Faults of a keeper's id: REC-010 where it is empty, too long or cannot be written in a file."""
    hint = "Use up to 64 characters without | and : and without a line break."
    if not tag or tag != tag.strip():
        yield Fault("REC-010", f"the id {tag!r} is empty or begins or ends with a space.", hint, field=field, value=tag)
    elif len(tag) > 64 or set(tag) & set("|:") or not tag.isprintable():
        yield Fault("REC-010", f"the id {tag[:80]!r} cannot be used.", hint, field=field, value=tag[:80])
    elif tag.casefold() == NO_SIRE:
        yield Fault(
            "REC-010", f"the id {tag!r} means that there was no sire.", "Choose another id.", field=field, value=tag
        )


def length_faults(text: str, most: int, *, field: str, animal: str = "") -> Iterator[Fault]:
    """REC-011 where a text is longer than its column."""
    if len(text) > most:
        yield Fault(
            "REC-011",
            f"the text has {len(text)} characters, at most {most} fit.",
            "Shorten it, or put the rest into the notes.",
            field=field,
            value=text[:40],
            animal=animal,
        )


def date_faults(text: str, *, field: str, animal: str = "", required: bool = False) -> Iterator[Fault]:
    """REC-012 where a date is not written to the year, month or day."""
    if not text and not required:
        return
    try:
        PartialDate.parse(text)
    except ValueError:
        yield Fault(
            "REC-012",
            f"{text!r} is no date.",
            "Write 2024-07-18, 2024-07 or 2024.",
            field=field,
            value=text,
            animal=animal,
        )


def word_faults(text: str, words: type[StrEnum], *, field: str, animal: str = "") -> Iterator[Fault]:
    """REC-013 where a closed choice has another word."""
    known = [word.value for word in words]
    if text not in known:
        yield Fault(
            "REC-013",
            f"{text!r} is not known here.",
            f"Use one of: {', '.join(known)}.",
            field=field,
            value=text,
            animal=animal,
        )


def number_faults(
    value: float | None, low: float, high: float, *, field: str, above: bool = False, animal: str = ""
) -> Iterator[Fault]:
    """REC-014 where a number is outside [low, high], or (low, high] if `above`; None passes."""
    if value is None:
        return
    if not math.isfinite(value) or value < low or value > high or (above and value == low):
        bounds = f"above {low:g}" if above else f"at least {low:g}"
        most = "" if math.isinf(high) else f" and at most {high:g}"
        yield Fault(
            "REC-014",
            f"{value!r} is out of range.",
            f"It must be {bounds}{most}.",
            field=field,
            value=str(value),
            animal=animal,
        )
