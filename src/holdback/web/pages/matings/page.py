"""Who is with whom now, and what the males have done this season."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from holdback.bridge.season import season_of_records
from holdback.collection.model import PartialDate, Sex
from holdback.errors import HoldbackError
from holdback.season.outlook import Fitness, Verdict
from holdback.web.pages.components import Column, Table
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import counted, day
from holdback.web.records.models import Mating, Observation
from holdback.web.records.together import spans

RULES = ("rest days", "load", "mass trend", "sign")
"""Rules that a male is held to while he goes from female to female."""

_WORDS = {
    Verdict.MAY: "may go on",
    Verdict.ASK: "not known",
    Verdict.NOT_YET: "not yet",
    Verdict.REST: "let him rest",
    Verdict.STOP: "stop: a vet first",
}


@dataclass(frozen=True, slots=True)
class Pair:
    """A mating that nobody wrote the end of.

    Parameters
    ----------
    mating : Mating
        With its two animals.
    since : str
        First day in words.
    days : str
        For how long; empty where the day is not known.
    locks : str
        How many were seen, and the last day.
    """

    mating: Mating
    since: str
    days: str
    locks: str


def pairs(on: dt.date) -> tuple[list[Pair], list[Pair]]:
    """Those together on a day, and those that were put together so long ago that their end was forgotten.

    Two queries, however many there are.
    """
    rows = list(Mating.objects.select_related("dam", "sire").filter(apart="").order_by("-together", "dam__tag"))
    rows = [one for one in rows if not one.together or PartialDate.parse(one.together).earliest <= on]
    seen = Observation.objects.filter(mating__in=rows).order_by("date").values_list("mating_id", "date")
    last = dict(seen)
    found = [_pair(one, last.get(one.pk, ""), on) for one in rows]
    now = [one for one in found if spans(one.mating, on)]
    return now, [one for one in found if not spans(one.mating, on)]


def _pair(mating: Mating, last: str, on: dt.date) -> Pair:
    first = PartialDate.parse(mating.together) if mating.together else None
    count = (on - first.earliest).days if first and first.day else None
    said = "today" if count == 0 else "" if count is None else counted(count, "day")
    locks = counted(mating.locks, "lock") if mating.locks else "no lock seen"
    if last:
        locks += f", last {day(PartialDate.parse(last))}"
    return Pair(mating, day(first) or "a day not known", said, locks)


@dataclass(frozen=True, slots=True)
class Males:
    """What the males have done.

    Parameters
    ----------
    used : Table or None
        Those that were with a female this season, the most used first; None where none was.
    n_rested : int
        Males that were not.
    why_not : str
        Why nothing can be said; empty where it can.
    """

    used: Table | None = None
    n_rested: int = 0
    why_not: str = ""


def males(on: dt.date) -> Males:
    """Males of the season that a day lies in."""
    try:
        season = season_of_records(on)
        found = [one for one in season.fitness if season.collection.animals[one.animal].sex is Sex.MALE]
    except HoldbackError as error:
        return Males(why_not=" ".join(f"{fault.what} {fault.hint}" for fault in error.faults[:3]))
    used = sorted((one for one in found if one.load), key=lambda one: (-one.load, one.animal))
    names = Names.of(season.collection, [one.animal for one in used])
    heads = [Column("Male"), Column("Females", is_number=True), Column("Now"), Column("Why", is_full=True)]
    rows = [[names.link(one.animal), str(one.load), _WORDS[one.verdict], _reasons(one)] for one in used]
    return Males(Table(heads, rows) if rows else None, len(found) - len(used))


def _reasons(one: Fitness) -> SafeString:
    """The gravest reason first, then what the rules of use say of him."""
    gravest = [reason.text for reason in one.reasons if reason.verdict is one.verdict is not Verdict.MAY][:1]
    texts = dict.fromkeys([*gravest, *(reason.text for reason in one.reasons if reason.rule in RULES)])
    return format_html_join(" ", "<span>{}</span>", ((text,) for text in texts))


def title(now: Iterable[Pair], forgotten: Iterable[Pair]) -> tuple[str, str]:
    """What the page says first, and what is uncertain of it."""
    together, left = list(now), list(forgotten)
    plain = f"{counted(len(together), 'pair')} together now." if together else "No two are together on record."
    if not left:
        return plain, ""
    return plain, f"{counted(len(left), 'pair was', 'pairs were')} never parted on paper."
