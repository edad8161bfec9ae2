"""Sentences of the clutch page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.season.words import day_words, span_words
from holdback.collection.model import EggState, PartialDate
from holdback.season.due_clutches import number_word
from holdback.season.outlook import ClutchOutlook
from holdback.web.pages.clutch.eggs import EggShown, days_between
from holdback.web.pages.family import label
from holdback.web.pages.wording import counted, day, listed
from holdback.web.records.models import Clutch
from holdback.web.records.services import Tally


def over_line(clutch: Clutch, today: dt.date) -> str:
    """Line above the title: dam, sires, laid, and the day since."""
    sires = [label(row.sire) for row in clutch.candidate_sires.all() if row.sire]
    dam = label(clutch.dam) if clutch.dam else "dam not known"
    parts = [f"{dam} with {listed(sires, 'or')}" if sires else f"{dam}, sire not known"]
    if clutch.laid:
        parts.append(f"laid {day(PartialDate.parse(clutch.laid))}")
        age = days_between(clutch.laid, today.isoformat())
        if not clutch.hatched and age is not None and age >= 0:
            parts.append(f"day {age}")
    else:
        parts.append("laying date not known")
    if clutch.hatched:
        parts.append(f"hatched {day(PartialDate.parse(clutch.hatched))}")
    return " · ".join(parts)


def lede(
    clutch: Clutch, eggs: Sequence[EggShown], outlook: ClutchOutlook | None, today: dt.date, *, n_young: int
) -> SafeString:
    """What the page says first: alive of laid, when they hatch, which is weak; of an old one, the young on record."""
    waiting = [one for one in eggs if one.is_waiting]
    out = [one for one in eggs if one.state is EggState.OUT]
    if not eggs and (clutch.hatched or n_young):
        return format_html("{} of it on record.", counted(n_young, "young", "young"))
    if not eggs:
        return SafeString("Nobody counted the eggs.")
    if not waiting:
        return format_html("{}", _all_known(len(eggs), len(out)))
    unlooked = all(one.state is None for one in waiting) and not out
    alive = len(waiting) + len(out)
    first = f"{number_word(alive)} of {_small(len(eggs))} {_verb(alive)} "
    first += "not written off; nobody looked at them yet." if unlooked else "alive."
    if out:
        first += f" {number_word(len(out))} {_verb(len(out))} out."
    parts = [SafeString(format_html("{}", first[:1].upper() + first[1:]))]
    if outlook and outlook.expected and today > outlook.expected[1]:
        parts.append(format_html(" Hatching was expected by <b>{}</b>", day_words(outlook.expected[1], today=today)))
    elif outlook and outlook.hatching:
        low, high = outlook.hatching.law.window(0.8)
        when = span_words(low, high, today=today)
        text = " They hatch between <b>{}</b>" if low < high else " They hatch on <b>{}</b>"
        parts.append(format_html(text, when.replace("–", " and ") if low < high else when))
    elif not clutch.hatched and not out:
        parts.append(SafeString(" When they hatch is not known"))
    weak = [one.mark for one in waiting if one.state is EggState.WEAK]
    doubtful = [one.mark for one in waiting if one.state is EggState.NO_VEINS]
    tail = "; ".join(_these(marks, words) for marks, words in ((weak, "weak"), (doubtful, "without veins")) if marks)
    if len(parts) == 1:
        return format_html("{}{}", parts[0], f" {tail[:1].upper()}{tail[1:]}." if tail else "")
    return format_html("{}{}{}", parts[0], parts[1], f"; {tail}." if tail else ".")


def _these(marks: Sequence[str], words: str) -> str:
    return f"egg{'s' if len(marks) > 1 else ''} {listed(list(marks))} {'are' if len(marks) > 1 else 'is'} {words}"


def _all_known(laid: int, out: int) -> str:
    if out == laid:
        return f"All {_small(laid)} hatched." if laid > 1 else "Its egg hatched."
    if not out:
        return f"None of {counted(laid, 'egg')} hatched."
    return f"{number_word(out).capitalize()} of {_small(laid)} hatched; every egg is accounted for."


def _small(count: int) -> str:
    return number_word(count).lower()


def _verb(count: int) -> str:
    return "is" if count == 1 else "are"


def tally_words(clutch: Clutch, found: Tally) -> str:
    """The sum of the clutch as it stands: "8 laid = 6 waited for + 1 lost + 1 slug"."""
    rest = found.waiting or 0
    parts = [
        *([f"{rest} {'not accounted for' if clutch.hatched else 'waited for'}"] if rest > 0 else []),
        *([f"{found.hatched} hatched"] if found.hatched else []),
        *([f"{found.lost} lost"] if found.lost else []),
        *([counted(found.slugs, "slug")] if found.slugs else []),
    ]
    if found.laid is None:
        return f"Eggs not counted: {' + '.join(parts)}." if parts else ""
    if not parts:
        return f"{found.laid} laid."
    return f"{found.laid} laid {'is not' if rest < 0 else '='} {' + '.join(parts)}."
