"""What is due as the Desk lists it: one line a thing; what is many of a kind stands in one line that unfolds."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.season.due import deed_of
from holdback.season.outlook import DueItem
from holdback.web.pages.due.words import button_of, days_words, head_of, page_of, when_words
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import counted, listed

WAITING_DAYS = 28
"""What is late by more than so many days is told apart: somebody let it be."""
SOON_DAYS = 28
TOGETHER_FROM = 3
"""So many things of a kind stand in one line."""
NOT_EARLY = frozenset({"candle", "ready"})
"""What is not done before its first day: a look at the eggs today would not be the one that is due."""
NAMED = 4
"""Animals named in a line of many."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line.

    Parameters
    ----------
    when : str
        "2 days late", "today", "by 24 May", "3–12 June".
    is_late : bool
        Whether it is late.
    head : safe mark-up
        Who and what, with links.
    text : str
        A sentence or two.
    key : str
        Key of the thing whose deed one tap writes; empty where none does.
    button : str
        Words of that tap.
    url, link : str
        Page to open instead, and its words; empty where none is wanted.
    level : str
        "", "think" or "stop".
    parts : tuple of Row
        Lines that unfold.
    """

    when: str
    is_late: bool
    head: SafeString
    text: str = ""
    key: str = ""
    button: str = ""
    url: str = ""
    link: str = ""
    level: str = ""
    parts: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True)
class DueList:
    """What the Desk lists.

    Parameters
    ----------
    vet : tuple of Row
        What a vet has to see first.
    today : tuple of Row
        Late first, then what is for today.
    soon : tuple of Row
        Within `SOON_DAYS`.
    waiting : tuple of Row
        Late by more than `WAITING_DAYS`.
    n_waiting : int
        Things among them.
    """

    vet: tuple[Row, ...] = ()
    today: tuple[Row, ...] = ()
    soon: tuple[Row, ...] = ()
    waiting: tuple[Row, ...] = ()
    n_waiting: int = 0

    @property
    def n_late(self) -> int:
        """Lines that are late."""
        return sum(row.is_late for row in self.today)

    @property
    def n_today(self) -> int:
        """Lines that are for today."""
        return len(self.today) - self.n_late


@dataclass(frozen=True, slots=True)
class _Many:
    """Words of many things of a kind."""

    said: Callable[[int, str], str]
    url: str = ""
    link: str = ""
    is_always: bool = False
    """Whether even a single one stands in such a line."""


@dataclass(frozen=True)
class _Sorted:
    """Things by when they fall due."""

    vet: list[DueItem] = field(default_factory=list)
    now: list[DueItem] = field(default_factory=list)
    soon: list[DueItem] = field(default_factory=list)
    waiting: list[DueItem] = field(default_factory=list)


def ids_due(items: Iterable[DueItem]) -> set[str]:
    """Ids of the animals that are named."""
    return {one.subject for one in items if not one.is_clutch}


def due_list(items: Sequence[DueItem], names: Names, *, today: dt.date) -> DueList:
    """Lines of the Desk.

    Parameters
    ----------
    items : sequence of DueItem
        Everything due, late and soon.
    names : Names
        Of the animals in them.
    today : date
        Today.
    """
    found = _sorted(items, today)
    rows = _drawn_together(found.now, names, today)
    rows.sort(key=lambda row: not row.is_late)
    return DueList(
        vet=tuple(_row(one, names, today) for one in found.vet),
        today=tuple(rows),
        soon=tuple(_drawn_together(found.soon, names, today)),
        waiting=tuple(_drawn_together(found.waiting, names, today)),
        n_waiting=len(found.waiting),
    )


def _sorted(items: Sequence[DueItem], today: dt.date) -> _Sorted:
    found = _Sorted()
    for one in items:
        if one.level == "stop":
            found.vet.append(one)
        elif (today - one.last).days > WAITING_DAYS:
            found.waiting.append(one)
        elif one.first <= today:
            found.now.append(one)
        elif (one.first - today).days <= SOON_DAYS and one.kind not in ("feed", "weigh"):
            found.soon.append(one)
    return found


def _drawn_together(items: Sequence[DueItem], names: Names, today: dt.date) -> list[Row]:
    """Lines of some things, many of a kind in one."""
    kinds: dict[str, list[DueItem]] = defaultdict(list)
    for one in items:
        kinds[one.kind if one.level == "" else one.key].append(one)
    rows: list[tuple[dt.date, dt.date, Row]] = []
    for kind, group in kinds.items():
        many = _many().get(kind)
        if many and (len(group) >= TOGETHER_FROM or many.is_always):
            row = _line_of_many(many, group, names, today)
            rows.append((*min(_falls(one, today) for one in group), row))
        else:
            rows += [(*_falls(one, today), _row(one, names, today)) for one in group]
    rows.sort(key=lambda one: one[:2])
    return [row for _, _, row in rows]


def _falls(item: DueItem, today: dt.date) -> tuple[dt.date, dt.date]:
    """From which day on, not before today, and by which."""
    return max(item.first, today), item.last


def _many() -> Mapping[str, _Many]:
    rounds = reverse("pages:round")
    return {
        "feed": _Many(_fed, f"{rounds}?what=feed&place=due", "Start feeding", is_always=True),
        "weigh": _Many(
            lambda n, who: f"Weigh {counted(n, 'animal')}: {who}.", f"{rounds}?what=weigh&place=due", "Start weighing"
        ),
        "first meal": _Many(lambda n, who: f"First meal of {counted(n, 'young', 'young')}: {who}."),
        "first shed": _Many(lambda n, who: f"First shed of {counted(n, 'young', 'young')}: {who}."),
        "ready": _Many(lambda n, who: f"{counted(n, 'young', 'young')} may be held ready for sale: {who}."),
        "ultrasound": _Many(lambda n, who: f"Look for follicles in {counted(n, 'female')}: {who}."),
    }


def _fed(n: int, who: str) -> str:
    return f"Feed {counted(n, 'animal')} whose last meal is older than the plan: {who}."


def _line_of_many(many: _Many, items: Sequence[DueItem], names: Names, today: dt.date) -> Row:
    late = [one for one in items if one.last < today]
    labels = [names.short(one.subject) for one in items]
    who = listed(labels[:NAMED]) if len(labels) <= NAMED else f"{', '.join(labels[:NAMED])} and others"
    if late and len(late) < len(items):
        when, is_late = f"today, {len(late)} of them late", True
    elif late:
        when, is_late = f"{days_words(max((today - one.last).days for one in late))} late", True
    else:
        when, is_late = when_words(items[0], today), False
    return Row(
        when,
        is_late,
        format_html("<b>{}</b>", many.said(len(items), who)),
        url=many.url,
        link=many.link,
        parts=tuple(_row(one, names, today) for one in items),
    )


def _row(item: DueItem, names: Names, today: dt.date) -> Row:
    url, link = page_of(item, names)
    deed = "" if item.kind in NOT_EARLY and item.first > today else deed_of(item)
    return Row(
        when_words(item, today),
        item.last < today,
        head_of(item, names),
        item.text,
        key=item.key if deed else "",
        button=button_of(item, deed, names),
        url="" if deed and item.kind != "vet" else url,
        link=link,
        level=item.level,
    )
