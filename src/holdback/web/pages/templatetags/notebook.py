"""The components as template tags: ``{% load notebook %}``."""

from __future__ import annotations

from typing import Any

from django import template
from django.http import HttpRequest
from django.template.context import Context
from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.estimate import Basis, Estimate
from holdback.web.pages import drawing, keeper, wording
from holdback.web.pages.components import STROKES, BeliefRow, LedgerRow, Table
from holdback.web.pages.toasts import take_toasts
from holdback.web.records import clock

register = template.Library()

ROOMS = (
    ("Desk", "pages:desk"),
    ("Rounds", "pages:rounds"),
    ("Collection", "pages:collection"),
    ("Season", "pages:season"),
    ("Pair", "pages:pair"),
    ("Projects", "pages:projects"),
    ("Lines", "pages:lines"),
    ("Almanac", "pages:almanac"),
    ("Import", "imports:start"),
)
"""Rooms and the url names of their first pages. A room whose page does not exist is not shown."""

ON_PHONE = ("Desk", "Rounds", "Season", "Collection", "Pair")
"""Rooms in reach of the thumb: the first four of them that exist; the others stand under More."""


@register.simple_tag(takes_context=True)
def rooms(context: Context) -> list[dict[str, Any]]:
    """Rooms that exist, and which one the page is in (context variable ``room``)."""
    found = []
    for name, url_name in ROOMS:
        try:
            url = reverse(url_name)
        except NoReverseMatch:
            continue
        found.append({"name": name, "url": url, "is_here": context.get("room") == name})
    near = sorted((one for one in found if one["name"] in ON_PHONE), key=lambda one: ON_PHONE.index(one["name"]))[:4]
    for one in found:
        one["is_near"] = one in near
    return found


@register.simple_tag
def folio() -> dict[str, Any]:
    """Today's date, the keeper's name, and whether the day can be moved."""
    today = clock.today()
    day = f"{today.strftime('%a')} {wording.day(today)}"
    return {"day": day, "iso": today.isoformat(), "keeper": keeper.name(), "is_movable": clock.is_movable()}


@register.inclusion_tag("holdback/parts/toasts.html", takes_context=True)
def toasts(context: Context) -> dict[str, Any]:
    """Sentences that follow the last deed."""
    request: HttpRequest | None = context.get("request")
    return {"toasts": take_toasts(request) if request else [], "csrf_token": context.get("csrf_token")}


@register.simple_block_tag
def entry(content: str, title: str, gloss: str = "", *, name: str = "") -> SafeString:
    """Entry with its side head; ``name`` is its id in the page."""
    anchor = name or "entry-" + "".join(letter if letter.isalnum() else "-" for letter in title.lower())
    return format_html(
        '<section class="entry" aria-labelledby="{0}"><div class="side"><h2 id="{0}">{1}</h2>{2}</div>'
        '<div class="body">{3}</div></section>',
        anchor,
        title,
        format_html('<p class="gloss">{}</p>', gloss) if gloss else "",
        content,
    )


@register.simple_block_tag
def blank(content: str, title: str) -> SafeString:
    """State of an empty page: what it will show, and the one thing to do."""
    return format_html('<div class="blank"><h3>{}</h3>{}</div>', title, content)


@register.simple_block_tag
def caution(content: str, title: str, level: str = "think") -> SafeString:
    """Caution; the weight of the margin stroke says the level: note, think or stop."""
    kind = {"note": " note", "stop": " stop"}.get(level, "")
    return format_html('<div class="caution{}"><b>{}</b>{}</div>', kind, title, content)


@register.simple_tag
def basis(kind: Basis | str, word: str = "") -> SafeString:
    """Basis stroke with its word; the word may be sharpened, the stroke not."""
    known = Basis(kind)
    return format_html('<span class="basis {}">{}</span>', STROKES[known], word or known.value)


@register.simple_tag
def estimate(value: Estimate, digits: int = 0) -> SafeString:
    """Estimate in one line: value, range, basis."""
    row = LedgerRow.of("", value, digits=digits)
    return format_html(
        '<span class="est"><b>{}</b><span class="range">{}</span>{}</span>', row.value, row.range, basis(value.basis)
    )


@register.simple_tag
def bar(copies: tuple[float, float, float], label: str) -> SafeString:
    """Belief bar."""
    return drawing.belief_bar(copies, label)


@register.simple_tag
def minibar(copies: tuple[float, float, float], label: str) -> SafeString:
    """Short belief bar for a table."""
    return drawing.belief_bar(copies, label, is_mini=True)


@register.simple_tag
def ovals(chance: float, of: str = "eggs") -> SafeString:
    """Sixteen ovals."""
    return drawing.ovals(chance, of)


@register.inclusion_tag("holdback/parts/ledger.html")
def ledger(rows: list[LedgerRow], *, narrow: bool = False) -> dict[str, Any]:
    """Ledger of numbers; ``narrow`` keeps two columns at every width."""
    return {"rows": rows, "narrow": narrow}


@register.inclusion_tag("holdback/parts/beliefs.html")
def beliefs(rows: list[BeliefRow]) -> dict[str, Any]:
    """Belief bars with their ground, under the key to the bars."""
    return {"rows": rows}


@register.inclusion_tag("holdback/parts/table.html")
def table(value: Table) -> dict[str, Any]:
    """Table that becomes cards at phone width."""
    return {"table": value}


@register.inclusion_tag("holdback/parts/numbers.html")
def numbers_behind(value: Table) -> dict[str, Any]:
    """The numbers behind a figure, folded away."""
    return {"table": value}


@register.inclusion_tag("holdback/parts/busy.html")
def busy(what: str, done: int, total: int) -> dict[str, Any]:
    """What is being worked out, and how far it is."""
    return {"what": what, "done": done, "total": total}


@register.inclusion_tag("holdback/parts/faults.html")
def faults(found: Any) -> dict[str, Any]:
    """Faults of a `HoldbackError`: what, where, what to do."""
    return {"faults": found}


@register.inclusion_tag("holdback/parts/field.html")
def field(bound: Any, *, rows: int = 0) -> dict[str, Any]:
    """Form field with label, hint and fault."""
    return {"field": bound, "rows": rows}


@register.simple_tag
def meter(done: int, total: int) -> SafeString:
    """Meter of a piece of work."""
    return drawing.meter(done, total)


register.filter("day", wording.day)
register.filter("days_worded", wording.days_worded)
register.filter("percent", wording.percent)
register.filter("number", wording.number)
register.filter("eggs", wording.eggs_of)
register.filter("about", wording.about)


@register.filter
def counted(count: int, nouns: str) -> str:
    """Count with its noun: ``{{ n|counted:"animal" }}`` or ``{{ n|counted:"young,young" }}``."""
    one, _, many = nouns.partition(",")
    return wording.counted(count, one, many)
