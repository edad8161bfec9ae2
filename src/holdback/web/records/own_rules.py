"""The keeper's own rules: how new ids look, when to candle, what must be done before a sale.

A rule that nobody set has its default; what is on record under another name is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Any

from holdback.web.records.models import Setting

CLUTCH_WORDS = frozenset({"yy", "yyyy", "n", "nn", "nnn", "dam"})
"""What may stand in braces in the pattern of clutches."""
HATCHLING_WORDS = frozenset({"yy", "yyyy", "n", "nn", "nnn", "dam", "clutch", "egg"})
"""The same for hatchlings."""
NUMBERS = frozenset({"n", "nn", "nnn"})
WORD = re.compile(r"\{([^{}]*)\}")
"""A part of a pattern that is filled in."""
DEAREST = 1_000_000
"""Largest price that is taken for one."""


class RuleError(ValueError):
    """A value that a rule cannot have: what is wrong, and what to do."""

    def __init__(self, what: str, hint: str) -> None:
        super().__init__(what)
        self.what, self.hint = what, hint


@dataclass(frozen=True, slots=True)
class OwnRules:
    """All own rules, each as it is set or as it comes.

    Parameters
    ----------
    clutch_pattern : str
        Id of a new clutch; see `new_ids`.
    hatchling_pattern : str
        Id of a new hatchling.
    meals_before_sale : int
        Meals taken in a row without help before a young is held to be ready (3 to 5: common practice, no source).
    ready_min_days : int
        Least age of a young for sale, in days (six weeks: common practice, no source).
    candle_days : tuple of int
        Days after laying on which the eggs are candled (common practice, no source).
    egg_prefix : str
        What stands before the number of an egg on its label; may be empty.
    season_starts_month : int or None
        First month of a season, 1 to 12; None takes the one of the species file.
    warm_low_c, warm_high_c : float or None
        Range that the boxes are kept in, in degrees Celsius; None takes the one of the species file.
    qr_address : str
        What the addresses in the codes on labels begin with, such as ``http://192.168.1.20:8000``; empty takes the
        address by which the page of labels was opened.
    price_tub_year, price_feed_gram, price_vet, price_egg_place : float or None
        What a tub costs a year without feed, a gram of prey, a visit to the vet, and the place of an egg until it
        hatches; None where nobody said.
    currency : str
        What the prices are counted in; may be empty.
    """

    clutch_pattern: str = "{yy}-{nn}"
    hatchling_pattern: str = "{clutch}-{egg}"
    meals_before_sale: int = 3
    ready_min_days: int = 42
    candle_days: tuple[int, ...] = (7, 14, 30)
    egg_prefix: str = ""
    season_starts_month: int | None = None
    warm_low_c: float | None = None
    warm_high_c: float | None = None
    qr_address: str = ""
    price_tub_year: float | None = None
    price_feed_gram: float | None = None
    price_vet: float | None = None
    price_egg_place: float | None = None
    currency: str = ""


def own_rules() -> OwnRules:
    """The rules as they are now; one query."""
    known = Setting.objects.filter(key__in=RULES)
    return OwnRules(**{key: RULES[key].read(value) for key, value in known.values_list("key", "value")})


def _whole(low: int, high: int) -> Callable[[Any], int]:
    """Reader of a whole number within bounds."""

    def read(value: Any) -> int:
        hint = f"Write a whole number from {low} to {high}."
        try:
            number = float(str(value).strip())
        except ValueError:
            raise RuleError(f"{value!r} is no number.", hint) from None
        if not number.is_integer() or not low <= number <= high:
            raise RuleError(f"{value!r} cannot be.", hint)
        return int(number)

    return read


def _warmth(value: Any) -> float:
    """Degrees Celsius of a box of eggs."""
    hint = "Write degrees Celsius from 20 to 40, such as 31.5."
    try:
        celsius = float(str(value).strip().replace(",", "."))
    except ValueError:
        raise RuleError(f"{value!r} is no number.", hint) from None
    if not 20 <= celsius <= 40:
        raise RuleError(f"{value!r} cannot be.", hint)
    return celsius


def _price(value: Any) -> float:
    """Amount of money."""
    hint = "Write an amount such as 40 or 0.012, without the currency."
    try:
        amount = float(str(value).strip().replace(",", "."))
    except ValueError:
        raise RuleError(f"{value!r} is no amount.", hint) from None
    if not 0 <= amount <= DEAREST:
        raise RuleError(f"{value!r} cannot be.", hint)
    return amount


def _days(value: Any) -> tuple[int, ...]:
    """Days after laying, in order, each once; written as text they stand between commas or spaces."""
    parts = re.split(r"[\s,;]+", value.strip()) if isinstance(value, str) else value
    if not isinstance(parts, list | tuple):
        raise RuleError(f"{value!r} is no list of days.", "Write the days with commas between: 7, 14, 30.")
    read = _whole(0, 100)
    return tuple(sorted({read(part) for part in parts if part != ""}))


def _text(most: int) -> Callable[[Any], str]:
    """Reader of a short text in one line."""

    def read(value: Any) -> str:
        text = str(value).strip()
        if len(text) > most or not text.isprintable():
            raise RuleError(f"{text[:40]!r} does not fit.", f"Write up to {most} characters in one line.")
        return text

    return read


def _address(value: Any) -> str:
    """Address of a page, or nothing."""
    text = _text(200)(value)
    if text and not re.match(r"https?://[^\s/]+", text):
        raise RuleError(f"{text!r} is no address.", "Begin it with http:// or https:// and the name of the computer.")
    return text


def _pattern(words: frozenset[str]) -> Callable[[Any], str]:
    """Reader of a pattern of ids."""

    def read(value: Any) -> str:
        text = str(value).strip()
        found = set(WORD.findall(text))
        rest = WORD.sub("", text)
        if strange := sorted(found - words):
            raise RuleError(f"{{{strange[0]}}} is not known in {text!r}.", f"Known are {_listed(words)}.")
        if not text or len(text) > 40 or set(rest) & set("{}|:") or not rest.isprintable():
            raise RuleError(
                f"{text[:60]!r} makes no id.", "Use up to 40 characters without | and : and pair the braces."
            )
        if len(found & {*NUMBERS, "egg"}) > 1 or len(WORD.findall(text)) > len(found):
            raise RuleError(
                f"{text!r} fills something in twice.", "Let each part stand once, and either a number or {egg}."
            )
        if not (found & NUMBERS or {"clutch", "egg"} <= found):
            raise RuleError(f"{text!r} would give every one the same id.", _NUMBERED[words])
        return text

    return read


def _listed(words: frozenset[str]) -> str:
    """Parts of a pattern in braces, for a message."""
    return ", ".join(f"{{{word}}}" for word in sorted(words))


_NUMBERED = {
    CLUTCH_WORDS: "Put in a number: {n}, {nn} or {nnn}.",
    HATCHLING_WORDS: "Put in a number, {n}, {nn} or {nnn}; or {clutch} and {egg}.",
}


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what it says, and how a value is read.

    Parameters
    ----------
    about : str
        A sentence for the keeper.
    read : callable
        From what was typed or kept to the value; raises RuleError.
    """

    about: str
    read: Callable[[Any], Any]


RULES: Mapping[str, Rule] = MappingProxyType(
    {
        "clutch_pattern": Rule("Id of a new clutch.", _pattern(CLUTCH_WORDS)),
        "hatchling_pattern": Rule("Id of a new hatchling.", _pattern(HATCHLING_WORDS)),
        "meals_before_sale": Rule("Meals taken without help before a young is ready.", _whole(0, 20)),
        "ready_min_days": Rule("Least age of a young for sale, in days.", _whole(0, 365)),
        "candle_days": Rule("Days after laying on which the eggs are candled.", _days),
        "egg_prefix": Rule("What stands before the number of an egg on its label.", _text(10)),
        "season_starts_month": Rule("First month of a season.", _whole(1, 12)),
        "warm_low_c": Rule("Lowest warmth that the boxes are kept at, in degrees Celsius.", _warmth),
        "warm_high_c": Rule("Highest warmth that the boxes are kept at, in degrees Celsius.", _warmth),
        "qr_address": Rule("What the addresses in codes on labels begin with, as http://192.168.1.20:8000.", _address),
        "price_tub_year": Rule("What a tub costs a year, without feed.", _price),
        "price_feed_gram": Rule("What a gram of prey costs.", _price),
        "price_vet": Rule("What a visit to the vet costs.", _price),
        "price_egg_place": Rule("What the place of an egg costs until it hatches.", _price),
        "currency": Rule("What the prices are counted in.", _text(12)),
    }
)
"""Every rule by its key."""

assert set(RULES) == {field.name for field in fields(OwnRules)}, "a rule without a reader"
