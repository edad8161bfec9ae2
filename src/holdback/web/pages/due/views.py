"""One tap on the Desk: write down what was done."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from holdback.bridge.season import season_of_records
from holdback.errors import HoldbackError, RecordError
from holdback.season.due import deed_of
from holdback.season.outlook import DueItem
from holdback.web.pages.due.deeds import do
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.questions import How, Questions, questions
from holdback.web.pages.season.names import Names, clutch_url
from holdback.web.pages.toasts import add_toast
from holdback.web.records import clock
from holdback.web.records.asking import is_question


@require_POST
def done(request: HttpRequest) -> HttpResponse:
    """Write the deed of one thing that is due, and go back to the Desk with a way back."""
    key, today = request.POST.get("key", ""), clock.today()
    try:
        season = season_of_records(today)
        item = next((one for one in season.due if one.key == key), None)
    except HoldbackError as error:
        return render(request, "pages/due_asked.html", {"room": "Desk", "faults": error.faults}, status=422)
    if item is None or not deed_of(item):
        add_toast(request, "Nothing was written: that was done already, or is not due any more.")
        return redirect("pages:desk")
    how = How.of(request.POST.dict())
    who = _who(item, Names.of(season.collection, [] if item.is_clutch else [item.subject]))
    try:
        said = do(item, today, how)
    except RecordError as error:
        return _refused(request, item, who, error, how)
    add_toast(request, f"{who}: {said}.", undo=how.undo)
    return redirect("pages:desk")


def _who(item: DueItem, names: Names) -> str:
    return f"Clutch {item.subject}" if item.is_clutch else names.label(item.subject)


def _refused(request: HttpRequest, item: DueItem, who: str, error: RecordError, how: How) -> HttpResponse:
    """What speaks against it, and a button that says that it is right where that is all that is asked."""
    asked: Questions | None = None
    if all(is_question(fault) for fault in error.faults):
        asked = questions(list(error.faults), how, PlainForm())
    context = {
        "room": "Desk",
        "item": item,
        "who": who,
        "asked": asked,
        "faults": () if asked else error.faults,
        "page": clutch_url(item.subject) if item.is_clutch else reverse("pages:desk"),
    }
    return render(request, "pages/due_asked.html", context, status=422)
