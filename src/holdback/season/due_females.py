"""What is due of females on their way to a clutch."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from holdback.season.day_words import day_words, days_words
from holdback.season.outlook import DueItem, Outlook, Step
from holdback.season.signs import SEEN

TOGETHER_DAYS = 3
"""Pairs are left together for one to three days (common practice, no source)."""

FORGOTTEN_DAYS = 60
"""After so many days a male without a last day was taken out, and nobody wrote it; a look as late was forgotten too (an
assumption)."""

BOX_DAYS = 7
"""The nest box goes in within so many days of the shed before laying (common practice, no source)."""

LOOK_AHEAD_DAYS = 3
"""A look by ultrasound may be so many days early (an assumption)."""


def female_items(outlooks: Sequence[Outlook], today: dt.date) -> Iterator[DueItem]:
    """Vet, ultrasound, nest box, laying, and males to be taken out.

    Parameters
    ----------
    outlooks : sequence of Outlook
        Where each female stands.
    today : date
        Today.
    """
    for one in outlooks:
        dam = one.cycle.dam
        if one.caution and SEEN not in one.caution:
            yield DueItem(f"vet:{dam}", "vet", dam, False, today, today, one.caution, "seen by a vet", "stop")
        yield from _apart(one, today)
        if one.cycle.has_laid:
            continue
        yield from _ultrasound(one, today)
        yield from _nest_box(one, today)
        yield from _laying(one, today)


def _apart(one: Outlook, today: dt.date) -> Iterator[DueItem]:
    for stay in one.cycle.together:
        if stay.last is not None or stay.first is None:
            continue
        days = (today - stay.first).days
        if TOGETHER_DAYS < days <= FORGOTTEN_DAYS:
            text = (
                f"{stay.sire} is with her since {day_words(stay.first, today)} ({days_words(days)}), as far as written."
            )
            text += f" One to {TOGETHER_DAYS} days are usual (common practice, no source)."
            key = f"apart:{one.cycle.dam}:{stay.sire}:{stay.first}"
            last = stay.first + dt.timedelta(days=TOGETHER_DAYS)
            yield DueItem(key, "apart", one.cycle.dam, False, last, last, text, "male is out")


def _ultrasound(one: Outlook, today: dt.date) -> Iterator[DueItem]:
    if one.look_by is None or (today - one.look_by).days > FORGOTTEN_DAYS:
        return
    cycle = one.cycle
    seen = cycle.follicles[-1] if cycle.follicles else None
    since = str(seen.day) if seen else "first"
    text = one.advice or f"Look by {day_words(one.look_by, today)}."
    first = one.look_by - dt.timedelta(days=LOOK_AHEAD_DAYS)
    if seen is not None:
        first = min(max(first, seen.day), one.look_by)
    key = f"ultrasound:{cycle.dam}:{cycle.season}:{since}"
    yield DueItem(key, "ultrasound", cycle.dam, False, first, one.look_by, text)


def _nest_box(one: Outlook, today: dt.date) -> Iterator[DueItem]:
    cycle = one.cycle
    if cycle.shed is None or cycle.nest_box is not None:
        return
    text = f"Shed on {day_words(cycle.shed, today)}. Nest box in"
    text += f"; laying from {day_words(one.laying.law.window()[0], today)}." if one.laying else "."
    last = cycle.shed + dt.timedelta(days=BOX_DAYS)
    key = f"nest-box:{cycle.dam}:{cycle.season}"
    yield DueItem(key, "nest box", cycle.dam, False, cycle.shed, last, text, "box is in")


def _laying(one: Outlook, today: dt.date) -> Iterator[DueItem]:
    """Once she has ovulated; before that the window is too wide to wait for."""
    if one.laying is None or one.step not in (Step.OVULATED, Step.SHED):
        return
    first, last = one.laying.law.window()
    text = f"Laying {day_words(first, today)} to {day_words(last, today)}, most likely."
    if one.overdue:
        text = f"Laying is late. {one.advice}".strip()
    key = f"lay:{one.cycle.dam}:{one.cycle.season}"
    level = "think" if one.overdue else ""
    yield DueItem(key, "lay", one.cycle.dam, False, min(first, last), last, text, level=level)
