"""The Desk, the first page: what is to be done, and what in the records needs the keeper."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.errors import HoldbackError
from holdback.web.pages import desk as sheet
from holdback.web.pages import keeper
from holdback.web.pages.due.today import due_today, lede_of
from holdback.web.pages.rounds.asked import asked_of_phones
from holdback.web.pages.views.collection import import_url
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records import clock
from holdback.web.records.queries import present_animals


@require_safe
def desk(request: HttpRequest) -> HttpResponse:
    """What is due, what does not fit, what is asked, what was written since last time."""
    total = present_animals().count()
    context: dict[str, Any] = {
        "room": "Desk",
        "keeper": keeper.name(),
        "today": clock.today(),
        "total": total,
        "import_url": import_url(),
        "news": sheet.since_last_time(request),
        "of_phones": asked_of_phones(),
    }
    if total:
        context |= _fit() | _due()
    return render(request, "pages/desk.html", context)


def _due() -> dict[str, Any]:
    """What is late, for today and soon."""
    found = due_today(clock.today())
    if found is None:
        return {}
    said, vet = lede_of(found.found)
    return {"due": found.found, "prey": found.prey, "due_said": said, "vet_said": vet}


def _fit() -> dict[str, Any]:
    """How the records fit each other, as far as that is worked out."""
    try:
        found = answers_or_work(conflicts=True)
        if isinstance(found, Working):
            return {"working": found, "plain": sheet.lede(None)[0]}
        fit = sheet.fit_of(found)
    except HoldbackError as error:
        return {"faults": error.faults, "plain": "The records do not hold together, so nothing can be weighed."}
    plain, wanted = sheet.lede(fit)
    return {"fit": fit, "plain": plain, "wanted": wanted}
