"""Pages of ideas."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from holdback.answers.ideas import IdeasFor, ideas_for
from holdback.decisions.ideas import Only
from holdback.errors import Fault, HoldbackError
from holdback.web.pages import keeper
from holdback.web.pages.ideas import page
from holdback.web.pages.ideas.asked import MOST_OFFERED, Asked
from holdback.web.pages.ideas.picture import picture_of
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records import clock
from holdback.web.records.queries import animal_by_tag


@require_safe
def ideas(request: HttpRequest) -> HttpResponse:
    """Ideas for an animal of the collection or for genes as typed; the address holds everything."""
    asked = Asked.of(request.GET)
    context: dict[str, Any] = {
        "room": "Pair",
        "asked": asked,
        "choices": [(str(one), one is asked.only) for one in Only],
        "most_offered": MOST_OFFERED,
    }
    return render(request, "pages/ideas.html", context | _answered(asked))


@require_safe
def ideas_print(request: HttpRequest) -> HttpResponse:
    """The same for print: with the day and the keeper, everything unfolded, no form."""
    asked = Asked.of(request.GET)
    context = {"asked": asked, "is_print": True, "keeper": keeper.name(), "today": clock.today()}
    return render(request, "pages/ideas.html", context | _answered(asked))


@require_safe
def picture(request: HttpRequest) -> HttpResponse:
    """The ideas as a picture to share: reasons, chances and the word of caution, but no animal at hand."""
    asked = Asked.of(request.GET)
    found = _found(asked)
    if not isinstance(found, IdeasFor):
        return redirect(reverse("pages:ideas") + asked.address())  # the page says how far the work is, or what is wrong
    text = picture_of(found, keeper=keeper.name(), today=clock.today())
    response = HttpResponse(text, content_type="image/svg+xml")
    name = "-".join("".join(letter if letter.isalnum() else " " for letter in found.label.lower()).split())
    response["Content-Disposition"] = f'attachment; filename="ideas-{name[:60]}.svg"'
    return response


def _found(asked: Asked) -> IdeasFor | Working | tuple[Fault, ...] | None:
    """Ideas, the job that works the answers out, or what is wrong; None where nobody is named."""
    if not asked.animal:
        return None
    try:
        answers = answers_or_work()
        if isinstance(answers, Working):
            return answers
        return ideas_for(answers, asked.animal, offers=asked.lines, only=asked.only, allow=frozenset(asked.allow))
    except HoldbackError as error:
        return error.faults


def _answered(asked: Asked) -> dict[str, Any]:
    """Everything that a page says of the ideas."""
    found = _found(asked)
    if isinstance(found, Working):
        return {"working": found}
    if not isinstance(found, IdeasFor):
        return {"faults": found or ()}
    plain, doubt = page.lede(found)
    never, unless = page.not_brought(found.found.never, asked)
    return {
        "found": found,
        "on_record": animal_by_tag(found.id) if found.id else None,
        "plain": plain,
        "doubt": doubt,
        "cautions": [
            *(("think", f"{page.spaced(doubt)} Only what is read counts.") for doubt in found.doubts),
            *((each.level, page.spaced(each.message)) for each in found.found.cautions),
        ],
        "shown": page.ideas_shown(found, asked.only),
        "never": never,
        "unless": unless,
        "left_out": [(name, page.spaced(reason)) for name, reason in found.found.left_out],
        "notes": [page.spaced(note) for note in found.found.notes],
        "query": asked.address(),
    }
