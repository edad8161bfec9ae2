"""Places that animals, eggs and instruments are in, and how a place is written with all that holds it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holdback.collection.model import PartialDate

SEPARATOR = " / "
"""Stands between a place and what is within it."""

_SLASHES = re.compile(r"(?<!\S)(/+)(?!\S)")
_DOUBLED = re.compile(r"(?<!\S)/(/+)(?!\S)")


@dataclass(frozen=True, slots=True)
class Place:
    """A room, a rack, a tub, an incubator, a box.

    Parameters
    ----------
    path : str
        Names from the largest place down, as in ``room 1 / rack B / tub 4``.
    kind : str
        What it is ("room", "rack", "tub", "incubator", "box"); may be empty.
    capacity : int or None
        Places for eggs; None where nobody said.
    notes : str
        Free text as typed.
    closed : PartialDate or None
        Day from which it is in use no more; None while it is.
    """

    path: str
    kind: str = ""
    capacity: int | None = None
    notes: str = ""
    closed: PartialDate | None = None


def path_text(names: Sequence[str]) -> str:
    """Names from the largest place down as one text; slashes that stand alone in a name are written with one more.

    Examples
    --------
    >>> path_text(["room 1", "rack B"]), path_text(["hens / cocks", "rack B"])
    ('room 1 / rack B', 'hens // cocks / rack B')
    """
    return SEPARATOR.join(_SLASHES.sub(r"/\1", name) for name in names)


def path_names(text: str) -> tuple[str, ...]:
    """Names of the places in a path, the largest first; undoes `path_text`. Empty where the text is.

    Examples
    --------
    >>> path_names("room 1 / rack B"), path_names("hens // cocks / rack B"), path_names(" ")
    (('room 1', 'rack B'), ('hens / cocks', 'rack B'), ())
    """
    names = (_DOUBLED.sub(r"\1", part.strip()) for part in text.strip().split(SEPARATOR))
    return tuple(name for name in names if name)
