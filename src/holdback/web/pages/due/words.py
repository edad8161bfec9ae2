"""What is due in a breeder's words: who and what, when, the words of the tap, the page to open."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.season.words import day_words, span_words
from holdback.season.outlook import DueItem
from holdback.web.pages.season.names import Names, clutch_link, clutch_url
from holdback.web.pages.wording import counted

_BUTTONS = {
    "meal taken": "Taken",
    "box is in": "Box is in",
    "male is out": "He is out",
    "first shed": "Has shed",
    "ready to sell": "Hold it ready",
    "came back": "Is back",
    "went back": "Went back",
    "seen by a vet": "A vet saw it",
}


def button_of(item: DueItem, deed: str, names: Names) -> str:
    """Words of the tap that writes a deed; empty where none does."""
    if deed == "with veins":
        return item.deed[:1].upper() + item.deed[1:]
    if deed == "seen by a vet":
        return f"A vet saw {names.pronoun(item.subject)[1]}"
    return _BUTTONS.get(deed, "")


_HEADS: Mapping[str, str] = {
    "feed": "Feed {}.",
    "first meal": "First meal of {}.",
    "weigh": "Weigh {}.",
    "candle": "Candle {}.",
    "hatch": "{} hatches.",
    "tally": "Eggs of {}.",
    "ultrasound": "{}: ultrasound.",
    "nest box": "{}: nest box.",
    "lay": "{} lays.",
    "apart": "{}: take him out.",
    "first shed": "{}: first shed.",
    "ready": "{}: ready for sale.",
    "quarantine": "{}: quarantine.",
    "treatment": "{}: treatment.",
    "loan": "{}: loan.",
    "vet": "{}: ask a reptile vet.",
}
"""Kind of a thing due to its head; who it is about stands in the braces."""


def head_of(item: DueItem, names: Names) -> SafeString:
    """Who and what."""
    pattern = _HEADS.get(item.kind, "{}.")
    is_first = pattern.startswith("{}")
    who = clutch_link(item.subject, is_first=is_first) if item.is_clutch else names.link(item.subject)
    return format_html("<b>{}</b>", format_html(pattern, who))


_LOGGED = {"weigh": ("weighed", "Weigh"), "ultrasound": ("ultrasound", "Write it down")}


def page_of(item: DueItem, names: Names) -> tuple[str, str]:
    """Page on which a thing without a deed is done, and the words of the way there."""
    if item.is_clutch:
        return clutch_url(item.subject), "Open the clutch"
    if item.kind == "lay":
        return f"{reverse('pages:lay-clutch')}?{urlencode({'dam': item.subject})}", "She laid"
    key = names.keys.get(item.subject)
    if item.kind in _LOGGED and key:
        what, words = _LOGGED[item.kind]
        asked = urlencode({"animal": key, "what": what, "next": reverse("pages:desk")})
        return f"{reverse('pages:log')}?{asked}", words
    return names.url(item.subject), "Open"


def when_words(item: DueItem, today: dt.date) -> str:
    """When it is to be done."""
    if item.last < today:
        return f"{days_words((today - item.last).days)} late"
    if item.first <= today:
        return "today" if item.last == today else f"by {day_words(item.last, today=today)}"
    return span_words(item.first, item.last, today=today)


def days_words(count: int) -> str:
    """A number of days."""
    return counted(count, "day")
