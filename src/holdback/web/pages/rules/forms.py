"""What is typed of own rules."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from holdback.answers.season.words import MONTHS
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.records.own_rules import CLUTCH_WORDS, HATCHLING_WORDS, RULES, OwnRules

HINTS: Mapping[str, str] = {
    "clutch_pattern": "In braces: " + ", ".join(f"{{{word}}}" for word in sorted(CLUTCH_WORDS)) + ".",
    "hatchling_pattern": "In braces: " + ", ".join(f"{{{word}}}" for word in sorted(HATCHLING_WORDS)) + ".",
    "candle_days": "With commas between: 7, 14, 30.",
    "warm_low_c": "Empty takes the range of the species file.",
    "price_tub_year": "In your own currency; empty where you do not want to count money.",
    "price_feed_gram": "Such as 0.012: a rat of 100 g for 1.20.",
    "currency": "Such as EUR.",
    "qr_address": "Such as http://barn.local:8000/. Empty puts the id alone into the code.",
}
_NUMBERS = frozenset({"meals_before_sale", "ready_min_days"})
_AMOUNTS = frozenset(key for key in RULES if key.startswith("price_"))
_MONTH = "season_starts_month"


class RulesForm(PlainForm):
    """All own rules; each stands as it is kept."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for key, rule in RULES.items():
            self.fields[key] = _field(key, rule.about.removesuffix("."))


def _field(key: str, label: str) -> forms.Field:
    if key == _MONTH:
        months = [(str(number), name) for number, name in enumerate(MONTHS, 1)]
        return choice_field(label, [("", "as the species file says"), *months])
    mode = {"inputmode": "numeric" if key in _NUMBERS else "decimal"} if key in _NUMBERS | _AMOUNTS else {}
    return text_field(label, HINTS.get(key, ""), attrs=mode)


def as_typed(rules: OwnRules) -> dict[str, str]:
    """Rules as a form holds them."""
    found = {}
    for key in RULES:
        value = getattr(rules, key)
        if isinstance(value, tuple):
            value = ", ".join(map(str, value))
        found[key] = "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
    return found


class IncubatorForm(PlainForm):
    """An incubator."""

    name = text_field("Name", required=True)
    capacity = forms.IntegerField(label="Egg places", required=False, min_value=0, max_value=2000)


class BoxesForm(PlainForm):
    """Boxes in an incubator."""

    incubator = forms.ChoiceField(label="In")
    boxes = text_field("Names of the boxes", "With commas between: box 1, box 2, box 3.", required=True)
    each = forms.IntegerField(label="Egg places of each", required=False, min_value=0, max_value=200)
    names = {"name": "boxes", "capacity": "each"}

    def __init__(self, *args: Any, incubators: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["incubator"] = choice_field("In", incubators, required=True)
