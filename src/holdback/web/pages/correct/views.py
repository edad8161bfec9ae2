"""Correct an animal: type it, see what would follow, do it, see what followed."""

from __future__ import annotations

import json
import uuid
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from holdback.bridge import records_fingerprint
from holdback.errors import Fault, HoldbackError, RecordError
from holdback.web.jobs.models import Job, State
from holdback.web.jobs.work import cancel
from holdback.web.pages.correct.kinds import CORRECTIONS, Correction, plain_values
from holdback.web.pages.correct.words import Told, table
from holdback.web.pages.correct.working import FORESEEN, begin, look, told_by
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.questions import How
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.records.models import Animal, Change

_LOOKED, _DONE = "foreseen", "corrected"
_KEPT = 5
"""Corrections of a session whose consequences are kept."""


@require_http_methods(["GET", "POST"])
def correct(request: HttpRequest, key: uuid.UUID, what: str) -> HttpResponse:
    """Type a correction and see what would follow, or do it once that was seen."""
    if what not in CORRECTIONS:
        raise Http404(f"no such correction: {what}")
    one, kind = animal_or_404(key), CORRECTIONS[what]
    if request.method == "POST":
        return _posted(request, one, kind)
    job = _job(request.GET.get("job", ""), one, kind)
    if job is None:
        return _page(request, one, kind, kind.form(initial=kind.start(one)))
    form = kind.form(job.inputs["said"])
    if job.state == State.DONE and job.inputs["records"] == records_fingerprint():
        found = told_by(job)
        _keep(request, one, kind, job.inputs["said"], found)
        return _page(request, one, kind, form, found=found)
    return _page(request, one, kind, form, job=job)


@require_safe
def progress(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """How far the looking is; once it is over the page is loaded anew."""
    job = get_object_or_404(Job, pk=key, kind=FORESEEN)
    if job.is_over:
        response = HttpResponse(status=204)
        response["HX-Refresh"] = "true"
        return response
    return render(request, "pages/parts/foreseeing.html", {"job": job})


@require_POST
def stop(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Stop the looking and go back to the form."""
    job = get_object_or_404(Job, pk=key, kind=FORESEEN)
    cancel(job)
    return redirect("pages:correct", key=uuid.UUID(job.inputs["animal"]), what=job.inputs["what"])


def _posted(request: HttpRequest, one: Animal, kind: Correction) -> HttpResponse:
    form = kind.form(request.POST)
    if not form.is_valid():
        return _page(request, one, kind, form, status=422)
    said = plain_values(form.cleaned_data)
    seen = _seen(request, one, kind, said)
    faults: tuple[Fault, ...]
    try:
        if seen is not None and request.POST.get("step") == "do":
            return _do(request, one, kind, said, seen)
        records = records_fingerprint()
        found = look(one.pk, kind.key, said)
    except RecordError as error:
        faults = form.take(error)
    except HoldbackError as error:
        faults = error.faults
    else:
        if found is None:
            job = begin(one.pk, kind.key, said, records=records)
            return redirect(f"{reverse('pages:correct', args=[one.pk, kind.key])}?job={job.pk}#follow")
        _keep(request, one, kind, said, found)
        return _page(request, one, kind, form, found=found)
    return _page(request, one, kind, form, faults=faults, status=422)


def _do(request: HttpRequest, one: Animal, kind: Correction, said: dict[str, str], seen: Told) -> HttpResponse:
    """Write the correction, and go to what followed."""
    how = How(uuid.uuid4())
    kind.write(one.pk, said, how)
    del request.session[_LOOKED]
    done = request.session.get(_DONE, {})
    kept = dict(list(done.items())[1 - _KEPT :])
    request.session[_DONE] = {**kept, str(how.batch): {"what": kind.key, "animal": str(one.pk), "told": seen}}
    return redirect("pages:corrected", batch=how.batch)


@require_safe
def corrected(request: HttpRequest, batch: uuid.UUID) -> HttpResponse:
    """What followed from a correction, with the way back."""
    rows = list(Change.objects.filter(batch=batch).select_related("undone_by"))
    kept = request.session.get(_DONE, {}).get(str(batch))
    if not rows and kept is None:
        raise Http404("there is no such correction")
    if kept is None:
        raise Http404("what followed from it is no longer kept; the deed stands in the history of the animal")
    one = animal_or_404(uuid.UUID(kept["animal"]))
    context: dict[str, Any] = {
        "room": "Collection",
        "animal": one,
        "kind": CORRECTIONS[kept["what"]],
        "batch": batch,
        "is_new": bool(rows),
        "is_undone": any(hasattr(row, "undone_by") for row in rows),
        **_told(kept["told"], is_done=True),
    }
    return render(request, "pages/corrected.html", context)


def _page(
    request: HttpRequest,
    one: Animal,
    kind: Correction,
    form: PlainForm,
    *,
    found: Told | None = None,
    job: Job | None = None,
    faults: tuple[Fault, ...] = (),
    status: int = 200,
) -> HttpResponse:
    context: dict[str, Any] = {
        "room": "Collection",
        "animal": one,
        "kind": kind,
        "form": form,
        "faults": faults,
        "job": job,
        "kinds": [each for each in CORRECTIONS.values() if each is not kind],
        **(_told(found, is_done=False) if found else {}),
    }
    return render(request, "pages/correct.html", context, status=status)


def _told(found: Told, *, is_done: bool) -> dict[str, Any]:
    """What follows as the page shows it."""
    return {
        "told": found,
        "sections": [(section, table(section, is_done=is_done)) for section in found["sections"]],
    }


def _job(text: str, one: Animal, kind: Correction) -> Job | None:
    """Job of an address, where it is one of this animal and correction."""
    try:
        job = Job.objects.filter(pk=uuid.UUID(text), kind=FORESEEN).first()
    except ValueError:
        return None
    fits = job and (job.inputs["animal"], job.inputs["what"]) == (str(one.pk), kind.key)
    return job if fits else None


def _mark(one: Animal, kind: Correction, said: dict[str, str]) -> str:
    """What was looked at: the correction, and the records it was looked at with."""
    return json.dumps([str(one.pk), kind.key, said, records_fingerprint()], sort_keys=True)


def _keep(request: HttpRequest, one: Animal, kind: Correction, said: dict[str, str], found: Told) -> None:
    request.session[_LOOKED] = {"mark": _mark(one, kind, said), "told": found}


def _seen(request: HttpRequest, one: Animal, kind: Correction, said: dict[str, str]) -> Told | None:
    """What was shown of this very correction; None where something else was, or the records changed since."""
    kept = request.session.get(_LOOKED)
    if not kept or kept["mark"] != _mark(one, kind, said):
        return None
    shown: Told = kept["told"]
    return shown
