"""Ids of new clutches and hatchlings, after the keeper's pattern.

In a pattern stand in braces: ``yy`` and ``yyyy``, the year; ``n``, ``nn``, ``nnn``, the next number of that year with
so many digits at least; ``dam``, ``clutch`` and ``egg``, the ids they are named after. An id is never given twice: what
is removed or dead still counts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from string import ascii_lowercase

from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Clutch
from holdback.web.records.own_rules import NUMBERS, WORD, own_rules


def next_clutch_id(year: int, *, dam: str = "") -> str:
    """Next free id of a clutch laid in a year.

    Parameters
    ----------
    year : int
        Year of laying.
    dam : str
        Id of the dam.
    """
    pattern = own_rules().clutch_pattern
    return _numbered(pattern, _of_year(year, dam=dam), Clutch, 1)[0]


def offered_ids(clutch: Clutch, marks: Sequence[str], *, year: int | None = None) -> list[str]:
    """Free ids for the young of some eggs, in their order.

    Parameters
    ----------
    clutch : Clutch
        The clutch.
    marks : sequence of str
        Marks of the eggs.
    year : int, optional
        Year of hatching; the year of laying if left out.
    """
    pattern = own_rules().hatchling_pattern
    if not year:
        year = clutch.laid_first.year if clutch.laid_first else today().year
    parts = {**_of_year(year, dam=clutch.dam.tag if clutch.dam else ""), "clutch": clutch.tag}
    if set(WORD.findall(pattern)) & NUMBERS:
        return _numbered(pattern, parts, Animal, len(marks))
    head = _filled(pattern.partition("{egg}")[0], parts)
    taken = set(Animal.objects.filter(tag__startswith=head).values_list("tag", flat=True))
    offered: list[str] = []
    for mark in marks:
        offered.append(free_beside(_filled(pattern, {**parts, "egg": mark}), taken))
        taken.add(offered[-1])
    return offered


def free_beside(tag: str, taken: Iterable[str]) -> str:
    """The id itself where it is free, else with the first letter behind it that makes it so.

    Examples
    --------
    >>> free_beside("26-01-3", {"26-01-3", "26-01-3b"})
    '26-01-3c'
    """
    known = set(taken)
    letters = (first + second for first in ("", *ascii_lowercase) for second in ascii_lowercase)
    tries = (tag, *(f"{tag}{letter}" for letter in letters if letter != "a"))
    return next(one for one in tries if one not in known)


def _of_year(year: int, *, dam: str) -> dict[str, str]:
    """What a year and a dam fill in."""
    return {"yy": f"{year % 100:02d}", "yyyy": f"{year:04d}", "dam": dam}


def _filled(pattern: str, parts: dict[str, str]) -> str:
    """Pattern with its parts filled in."""
    return WORD.sub(lambda found: parts[found[1]], pattern)


def _numbered(pattern: str, parts: dict[str, str], model: type[Animal | Clutch], count: int) -> list[str]:
    """The next ids of a pattern with a number in it, none of which an animal or a clutch has."""
    number = next(word for word in WORD.findall(pattern) if word in NUMBERS)
    before, after = (_filled(half, parts) for half in pattern.split(f"{{{number}}}"))
    form = re.compile(re.escape(before) + r"([0-9]+)" + re.escape(after))
    last, others = (
        {int(found[1]) for tag in _tags(one, before) if (found := form.fullmatch(tag))}
        for one in (model, Animal if model is Clutch else Clutch)
    )
    step = max(last, default=0)
    offered: list[str] = []
    while len(offered) < count:
        step += 1
        if step not in others:
            offered.append(f"{before}{step:0{len(number)}d}{after}")
    return offered


def _tags(model: type[Animal | Clutch], before: str) -> Iterable[str]:
    """Ids that begin with some words."""
    return model._default_manager.filter(tag__startswith=before).values_list("tag", flat=True)
