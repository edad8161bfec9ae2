"""Chances, numbers and dates in a breeder's words.

A chance is said as a natural frequency first ("about 3 in 16 eggs"), the percentage after it, quieter.
"""

from __future__ import annotations

import datetime as dt
import re

from holdback.collection.model import PartialDate
from holdback.heredity.frequency import in_words

GAP = "\u00a0"
"""No-break space before a unit. The narrow one of typography is next to nothing in common system fonts."""

SURE = 0.995
"""Chance from which a thing is said as sure: no record is beyond error, and nothing is ever quite certain."""

WORTH_TELLING = 0.01
"""Chance of carrying a gene below which a page does not speak of it."""

_ISO_DAY = re.compile(r"(?<![\w-])\d{4}-\d{2}-\d{2}(?![\w-])")
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def about(chance: float) -> str:
    """Chance as a natural frequency: "3 in 16", "about 1 in 4", "none", "every one".

    Examples
    --------
    >>> about(3 / 16), about(0.26), about(1.0)
    ('3 in 16', 'about 1 in 4', 'every one')
    """
    words = in_words(chance, of="")
    return "every one" if words == "all" else words


def eggs_of(chance: float) -> str:
    """Chance counted in eggs: "about 3 in 16 eggs", "every egg", "no egg"."""
    return {"none": "no egg", "all": "every egg"}.get(words := in_words(chance, of="eggs"), words)


def percent(chance: float) -> str:
    """Percentage with no more figures than it can bear, and a thin space before the sign.

    Examples
    --------
    >>> percent(0.1875).replace(GAP, " ")
    '18.8 %'
    >>> percent(0.0002).replace(GAP, " ")
    'under 0.1 %'
    """
    if 0 < chance < 0.001:
        return f"under 0.1{GAP}%"
    if 0.999 < chance < 1:
        return f"over 99.9{GAP}%"
    text = f"{100 * chance + 1e-9:.1f}"  # one half goes up
    return f"{text.removesuffix('.0')}{GAP}%"


def whole_percent(chance: float) -> str:
    """Percentage without decimals, as the trade writes it on a label."""
    return f"{round(100 * chance)}{GAP}%"


def het_percent(chance: float) -> str:
    """Chance of a het as the trade writes it on a label: two in three is 66 %, 100 % only from `SURE`.

    Examples
    --------
    >>> het_percent(2 / 3).replace(GAP, " ")
    '66 %'
    """
    if SURE > chance > 0.99:
        return f"over 99{GAP}%"
    return f"{66 if abs(chance - 2 / 3) < 5e-3 else round(100 * chance)}{GAP}%"


def number(value: float, digits: int = 0) -> str:
    """Number with thousands marked and trailing zeros dropped."""
    text = f"{value:,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def quantity(value: float, unit: str, digits: int = 0) -> str:
    """Number and unit with a thin space between them.

    Examples
    --------
    >>> quantity(3010, "g").replace(GAP, " ")
    '3,010 g'
    """
    return f"{number(value, digits)}{GAP}{unit}" if unit else number(value, digits)


def span(low: float, high: float, digits: int = 0) -> str:
    """Range with an en dash; "to" where an end is negative."""
    between = " to " if low < 0 else "–"
    return f"{number(low, digits)}{between}{number(high, digits)}".replace("-", "−")


def day(date: dt.date | PartialDate | None) -> str:
    """Date in words to the precision known: "14 May 2026", "May 2026", "2026"; empty where unknown."""
    if date is None:
        return ""
    parts = [
        str(date.day) if date.day else "",
        _MONTHS[date.month - 1] if date.month else "",
        str(date.year),
    ]
    return " ".join(part for part in parts if part)


def days_worded(text: str) -> str:
    """Sentence of the engine or of a service with its days in words.

    Examples
    --------
    >>> days_worded("23-12 hatched 2023-07-24.")
    '23-12 hatched 24 July 2023.'
    """
    return _ISO_DAY.sub(_day_of, text)


def _day_of(found: re.Match[str]) -> str:
    try:
        return day(dt.date.fromisoformat(found[0]))
    except ValueError:
        return found[0]


def listed(words: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Words as a list in a sentence.

    Examples
    --------
    >>> listed(["Clown", "Piebald", "Enchi"])
    'Clown, Piebald and Enchi'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def counted(count: int, one: str, many: str = "") -> str:
    """Count with its noun: "1 animal", "2,140 animals"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
