"""What will come out of a pair."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.html import format_html
from django.views.decorators.http import require_safe

from holdback.answers import Answers, Parent
from holdback.bridge import catalogue_of_records, collection_around
from holdback.collection.model import PartialDate
from holdback.errors import Fault, HoldbackError
from holdback.web.pages import pairing
from holdback.web.pages.components import LedgerRow
from holdback.web.pages.lineage import YoungShown, young_shown
from holdback.web.pages.size.pair import young_rows
from holdback.web.pages.size.parts import Part, part
from holdback.web.pages.views.find import offers
from holdback.web.pages.weights import last_weights
from holdback.web.pages.wording import day, quantity
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records.models import Animal
from holdback.web.records.queries import animal_by_tag

_TOP = {"16": 16, "64": 64, "256": 256}


@require_safe
def pair(request: HttpRequest) -> HttpResponse:
    """Form for a pair and, once both are named, its odds; the address holds everything."""
    asked = {name: request.GET.get(name, "").strip() for name in ("sire", "dam", "want", "eggs")}
    context: dict[str, object] = {"room": "Pair", "asked": asked}
    if not (asked["sire"] and asked["dam"]):
        return render(request, "pages/pair.html", context | _offers_for(asked))
    try:
        answers = _answers(asked)
        if isinstance(answers, Working):
            return render(request, "pages/pair.html", context | {"working": answers})
        context |= _answer(answers, asked, top=_TOP.get(request.GET.get("top", ""), 16), is_all="all" in request.GET)
    except HoldbackError as error:
        context |= {"faults": error.faults} | _offers_for(asked, is_asked=False)
        return render(request, "pages/pair.html", context)
    return render(request, "pages/pair.html", context)


def _answers(asked: dict[str, str]) -> Answers | Working:
    """Answers over the whole collection, or none at all where both sides are genes as typed."""
    sides = [asked["sire"], asked["dam"]]
    around = collection_around(sides)
    return answers_or_work() if around.animals else Answers(around, catalogue_of_records())


def _answer(answers: Answers, asked: dict[str, str], *, top: int, is_all: bool) -> dict[str, object]:
    """Everything that the page says of a pair."""
    catalogue = answers.catalogue
    found = answers.odds(asked["sire"], asked["dam"], want=asked["want"], eggs=_eggs(asked["eggs"]), top=top)
    on_record = [animal_by_tag(side.id) if side.id else None for side in (found.sire, found.dam)]
    plain, doubt = pairing.title_sentences(found, catalogue)
    return {
        "found": found,
        "sire": _named(found.sire, on_record[0]),
        "dam": _named(found.dam, on_record[1]),
        "plain": plain,
        "doubt": doubt,
        "two": pairing.two_table(found, catalogue, *_links(found.sire, found.dam, on_record)),
        "looks": pairing.look_lines(found, catalogue),
        "left_out": pairing.left_out(found),
        "more": _more(asked, top) if found.odds.unlisted >= pairing.LEAST_LISTED else "",
        "hidden": pairing.hidden_rows(found, catalogue),
        "clutch": pairing.clutch_rows(found),
        "figure": pairing.clutch_figure(found, catalogue),
        "cautions": pairing.cautions_by_level(found),
        "size": _size(answers, found.sire.id, found.dam.id, on_record, is_asked=is_all),
        "size_all": f"?{urlencode(asked | {'all': '1'})}#weigh",
        "size_query": urlencode({"sire": found.sire.id, "dam": found.dam.id}),
        "descent": _descent(answers, found.sire.id, found.dam.id, on_record),
    }


def _descent(answers: Answers, sire: str, dam: str, on_record: list[Animal | None]) -> YoungShown | None:
    """Descent of the young; None where a side is genes as typed."""
    male, female = on_record
    if male is None or female is None:
        return None
    return young_shown(answers, male, female, (sire, dam))


def _size(
    answers: Answers, sire: str, dam: str, on_record: list[Animal | None], *, is_asked: bool
) -> Part[list[LedgerRow]] | None:
    """What the young would weigh; None where a side is genes as typed."""
    if None in on_record:
        return None
    return part(answers, lambda sizes: young_rows(sizes, sire, dam), is_asked=is_asked)


def _eggs(text: str) -> int | None:
    """Number of eggs as typed.

    Raises
    ------
    HoldbackError
        If it is no whole number.
    """
    if not text:
        return None
    try:
        return int(text)
    except ValueError:
        raise HoldbackError(
            Fault(
                "PAGE-001", f"{text!r} is no number of eggs.", "Give a whole number, or leave it empty.", field="eggs"
            )
        ) from None


def _offers_for(asked: dict[str, str], *, is_asked: bool = True) -> dict[str, object]:
    """Animals to choose from for a side that is typed but not settled; for a page without script."""
    found: dict[str, object] = {}
    for side, other in (("sire", "dam"), ("dam", "sire")):
        if not asked[side] or (is_asked and asked[other]):
            continue
        given = offers(asked[side], side)
        is_settled = animal_by_tag(asked[side]) is not None or given["back"]
        if not is_settled:
            found[f"{side}_offers"] = given
            found[f"{side}_rest"] = f"&{urlencode({other: asked[other]})}" if asked[other] else ""
    return found


def _named(side: Parent, animal: Animal | None) -> dict[str, str]:
    """Name and tag of a side, for the title."""
    if animal is None:
        return {"name": side.label, "tag": ""}
    return {"name": animal.name or animal.tag, "tag": animal.tag if animal.name else ""}


def _links(sire: Parent, dam: Parent, animals: list[Animal | None]) -> tuple[list[str], list[str]]:
    """Heads of the two rows, and the last weights."""
    keys = [animal.pk for animal in animals if animal]
    readings = last_weights(keys)
    heads: list[str] = []
    weights: list[str] = []
    for side, word, animal in zip((sire, dam), ("sire", "dam"), animals, strict=True):
        if animal is None:
            heads.append(format_html("{}, {} as typed", side.label, word))
            weights.append("no record")
            continue
        heads.append(
            format_html('<a href="{}">{}</a>, {}', reverse("pages:animal", args=[animal.pk]), side.label, word)
        )
        reading = readings.get(animal.pk)
        when = day(PartialDate.parse(reading.date)) if reading else ""
        weights.append(
            format_html(
                '<span class="est"><b>{}</b><span class="range">{}</span><span class="basis">measured</span></span>',
                quantity(reading.value, reading.unit, 1),
                when,
            )
            if reading
            else ""
        )
    return heads, weights


def _more(asked: dict[str, str], top: int) -> str:
    """Address of the same pair with more looks listed; empty where there is no longer list."""
    longer = next((str(size) for size in _TOP.values() if size > top), "")
    return "?" + urlencode({**{name: value for name, value in asked.items() if value}, "top": longer}) if longer else ""
