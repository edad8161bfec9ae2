"""Words for what happens to an animal, and what the value, the unit and the note of each mean.

Records may hold other words; they are kept, and nothing is concluded from them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from holdback.collection.model import Event

MEAL = "meal"
SHED = "shed"
PRELAY_SHED = "pre-lay shed"
OVULATION = "ovulation"
ULTRASOUND = "ultrasound"
LOCK = "lock"
LAID = "laid"
RESTS = "rests"
NEST_BOX = "nest box"
SIGN = "sign"
TREATMENT = "treatment"
VET = "vet"
QUARANTINE = "quarantine"
SWAB = "swab"
DEFECT = "defect"
DIED = "died"
SOLD = "sold"
LENT = "lent"
BORROWED = "borrowed"
RETURNED = "returned"
CO_OWNED = "co-owned"
MOVED = "moved"
READY = "ready to sell"


@dataclass(frozen=True, slots=True)
class EventKind:
    """One kind of event.

    Parameters
    ----------
    word : str
        As it is written.
    about : str
        What it says, in a sentence.
    unit : str
        Unit of its value; empty where it has none.
    lasts : bool
        Whether it may have a last day.
    also : tuple of str
        Other words that sheets use for it.
    """

    word: str
    about: str
    unit: str = ""
    lasts: bool = False
    also: tuple[str, ...] = ()


KINDS: Mapping[str, EventKind] = MappingProxyType(
    {
        kind.word: kind
        for kind in (
            EventKind(MEAL, "A meal: taken, refused or came up again.", "g", also=("fed", "feed", "feeding")),
            EventKind(SHED, "A shed; the note may say that it came off in pieces.", also=("shedding", "slough")),
            EventKind(PRELAY_SHED, "The shed before laying.", also=("prelay shed", "pre lay shed", "pls")),
            EventKind(OVULATION, "Ovulation seen, as a swelling at mid-body.", also=("ovulated", "ovi")),
            EventKind(ULTRASOUND, "Largest follicle; the note may count them.", "mm", also=("us", "follicles", "scan")),
            EventKind(LOCK, "A lock seen; written of the female, the note names the male.", also=("locked", "locks")),
            EventKind(LAID, "She laid; the value is the mass of her clutch.", "g", also=("lay", "laying")),
            EventKind(RESTS, "She is not to be bred this season.", lasts=True),
            EventKind(NEST_BOX, "The nest box went in."),
            EventKind(SIGN, "A sign of illness or of trouble with laying, in words."),
            EventKind(TREATMENT, "A treatment, with what, how much and for how long.", lasts=True),
            EventKind(VET, "Seen by a vet; the note says what was found."),
            EventKind(QUARANTINE, "Kept apart from the others.", lasts=True),
            EventKind(SWAB, "A swab was taken; the note says for what, and the result."),
            EventKind(DEFECT, "A defect, in words."),
            EventKind(DIED, "It died; the note says of what, and whether it was opened.", also=("dead", "death")),
            EventKind(SOLD, "Sold; the note says to whom."),
            EventKind(LENT, "Lent out; the note says to whom.", lasts=True),
            EventKind(BORROWED, "Borrowed; the note says of whom.", lasts=True),
            EventKind(RETURNED, "Back from a loan, or gone back from one."),
            EventKind(CO_OWNED, "Owned in part by whom the note names; the value is their share.", "%", lasts=True),
            EventKind(MOVED, "Came to a place; the note names it, the largest first.", lasts=True),
            EventKind(READY, "Held to be ready for sale."),
        )
    }
)  # fmt: skip
"""Every kind that something is concluded from, by its word."""

_WORDS = {word: kind.word for kind in KINDS.values() for word in (kind.word, *kind.also)}
_NOT_TAKEN = re.compile(
    r"refus|regurg|vomit|came up|left (?:it|over)|not (?:taken|eaten)|untouched|ignored|no interest"
)
_CAME_UP = re.compile(r"regurg|vomit|came up")
_COUNT = re.compile(r"(\d+)\s*(?:follicles?|eggs?)\b")


def kind_of(text: str) -> str:
    """Word of the kind that a text means; the text itself, in small letters, where it is none of them.

    Examples
    --------
    >>> kind_of("Fed"), kind_of("PLS"), kind_of("weighed")
    ('meal', 'pre-lay shed', 'weighed')
    """
    folded = " ".join(text.casefold().split())
    return _WORDS.get(folded, folded)


def is_taken(event: Event) -> bool:
    """Whether a meal was taken and stayed down."""
    return kind_of(event.kind) == MEAL and not _NOT_TAKEN.search(event.note.casefold())


def came_up(event: Event) -> bool:
    """Whether a meal was taken and came up again."""
    return kind_of(event.kind) == MEAL and bool(_CAME_UP.search(event.note.casefold()))


def follicle_count(note: str) -> int | None:
    """Number of follicles that a note gives, None where it gives none."""
    found = _COUNT.search(note.casefold())
    return int(found.group(1)) if found else None
