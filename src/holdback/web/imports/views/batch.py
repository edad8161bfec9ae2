"""One file on its way in: its columns, its questions, its rows, and what came of it."""

from __future__ import annotations

import csv
import uuid
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from holdback.collection.cells import guarded
from holdback.errors import Fault, HoldbackError
from holdback.web.imports import services, shown, storage
from holdback.web.imports.models import ImportBatch, State
from holdback.web.imports.work import LAND, READ, TAKE_BACK, job_of, start
from holdback.web.jobs.models import Job
from holdback.web.jobs.models import State as JobState
from holdback.web.jobs.work import cancel as stop_job
from holdback.web.pages.keeper import writer
from holdback.web.pages.toasts import add_toast

AT_ONCE = 400
"""Rows read and landed while one waits; more are a job with a bar."""

PAGE = 100
FEW = 3
LISTS = {
    "landings": "As it will land",
    "entries": "As it will land",
    "waiting": "Waiting for an answer",
    "left_out": "Left out",
    "held": "Values that do not land",
}


@require_safe
def batch(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Where a file stands: being read, to be answered, landed."""
    found = get_object_or_404(ImportBatch, pk=key)
    job = job_of(found)
    if job and not job.is_over:
        return render(request, "imports/busy.html", {"room": "Import", "batch": found, "job": job})
    faults: tuple[Fault, ...] = ()
    if not found.is_open:
        if _failed(job) and job is not None and job.kind == TAKE_BACK:
            faults = (Fault("ITK-020", job.message, "Take the later changes back first."),)
        return _over(request, found, faults=faults)
    if found.state != State.PREVIEWED:
        if found.n_rows > AT_ONCE and not _failed(job):
            start(READ, found)
            return redirect("imports:batch", key=found.pk)
        if found.n_rows <= AT_ONCE:
            try:
                services.preview(found)
            except HoldbackError as error:
                faults = error.faults
    if _failed(job):
        assert job is not None, "a job that failed is there"
        faults = (*faults, Fault("ITK-020", job.message or "It stopped.", "Change something, or land nothing."))
        ImportBatch.objects.filter(pk=found.pk).update(job=None)
    return _page(request, found, faults=faults)


def _failed(job: Job | None) -> bool:
    """Whether the last job ended without its result."""
    return job is not None and job.state in (JobState.FAILED, JobState.CANCELLED)


def _page(
    request: HttpRequest,
    found: ImportBatch,
    *,
    faults: tuple[Fault, ...] = (),
    writing_faults: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
) -> HttpResponse:
    """The page of an open batch."""
    mapping = shown.mapping_or_none(found)
    rows = storage.kept_rows(found) if found.state == State.PREVIEWED else storage.NO_ROWS
    context = {
        "room": "Import",
        "batch": found,
        "faults": faults,
        "ready": found.state == State.PREVIEWED,
        "columns": shown.column_rows(mapping) if mapping else [],
        "writing": shown.writing_rows(mapping, writing_faults, typed) if mapping else [],
        "questions": shown.questions_shown(found) if found.summary else [],
        "kinds": shown.kind_choices(mapping) if mapping else [],
        "kind_why": mapping.sheet_why if mapping else "",
        "entries": rows["entries"][: FEW * 3],
        "landings": shown.landings_shown(rows["landings"][:FEW]),
        "n_landings": len(rows["landings"]),
        "waiting": rows["waiting"],
        "left_out": rows["left_out"][: FEW * 3],
        "held": rows["held"][: FEW * 3],
    }
    if found.state == State.PREVIEWED:
        context["lede"], context["rest"] = shown.lede(found)
        context["land"] = shown.deed(found)
    return render(request, "imports/batch.html", context, status=422 if faults or writing_faults else 200)


def _over(request: HttpRequest, found: ImportBatch, *, faults: tuple[Fault, ...] = ()) -> HttpResponse:
    """The page of a batch that landed, was given up, or was taken back."""
    rows = storage.kept_rows(found) if found.state != State.CANCELLED else storage.NO_ROWS
    context = {
        "room": "Import",
        "batch": found,
        "faults": faults,
        "words": shown.result_words(found) if found.result else "",
        "waiting": rows["waiting"],
        "left_out": rows["left_out"],
        "held": rows["held"],
    }
    return render(request, "imports/over.html", context)


@require_safe
def progress(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """How far the job is; once it is over the page is loaded anew."""
    found = get_object_or_404(ImportBatch, pk=key)
    job = job_of(found)
    if job is None or job.is_over:
        response = HttpResponse(status=204)
        response["HX-Redirect"] = reverse("imports:batch", args=[found.pk])
        return response
    return render(request, "imports/parts/progress.html", {"batch": found, "job": job})


@require_POST
def stop(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Ask the running job to stop."""
    found = get_object_or_404(ImportBatch, pk=key)
    job = job_of(found)
    if job and not job.is_over:
        stop_job(job)
        add_toast(request, "It stops at the next step; nothing of it is kept.")
    return redirect("imports:batch", key=found.pk)


@require_POST
def columns(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take the columns as the keeper wants them."""
    found = get_object_or_404(ImportBatch, pk=key)
    fields, units = {}, {}
    for name, value in request.POST.items():
        kind, _, index = name.partition(" ")
        if kind == "column" and index.isdigit():
            fields[int(index)] = str(value)
        elif kind == "unit" and index.isdigit() and value:
            units[int(index)] = str(value)
    mapping = services.mapping_of(found)
    was = {plan.index: plan for plan in mapping.columns}
    # A unit belongs to the field it was shown with; where the field changes it is asked anew.
    units = {
        index: unit for index, unit in units.items() if index in was and fields.get(index) == was[index].field.value
    }
    try:
        services.set_columns(found, fields=fields, units=units)
    except HoldbackError as error:
        found.refresh_from_db()
        return _page(request, found, faults=error.faults)
    return redirect(reverse("imports:batch", args=[found.pk]) + "#columns")


@require_POST
def writing(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take what is said about how cells are written."""
    found = get_object_or_404(ImportBatch, pk=key)
    told = {
        name.removeprefix("written "): str(value).strip()
        for name, value in request.POST.items()
        if name.startswith("written ") or name == "written"
    }
    try:
        services.set_writing(found, told=told)
    except HoldbackError as error:
        faults = {fault.field: fault.what for fault in error.faults}
        return _page(request, found, writing_faults=faults, typed=told)
    return redirect(reverse("imports:batch", args=[found.pk]) + "#writing")


@require_POST
def answer(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take the answer to one question."""
    found = get_object_or_404(ImportBatch, pk=key)
    value = request.POST.get("value", "")
    text = request.POST.get("text", "").strip()
    if value == "write" and not text:
        return redirect(reverse("imports:batch", args=[found.pk]) + "#answer")
    try:
        services.answer(
            found, question=request.POST.get("question", ""), value=f"write:{text}" if value == "write" else value
        )
    except HoldbackError as error:
        return _page(request, found, faults=error.faults)
    return redirect(reverse("imports:batch", args=[found.pk]) + "#answer")


@require_POST
def sheet(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Read another sheet of the workbook."""
    found = get_object_or_404(ImportBatch, pk=key)
    try:
        services.choose_sheet(found, name=request.POST.get("sheet", ""))
    except HoldbackError as error:
        found.refresh_from_db()
        return _page(request, found, faults=error.faults)
    return redirect("imports:batch", key=found.pk)


@require_POST
def land(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Land what is ready."""
    found = get_object_or_404(ImportBatch, pk=key)
    expected = request.POST.get("mark", "") if found.mapping else ""
    if found.n_rows > AT_ONCE:
        job = job_of(found)
        if found.is_open and (job is None or job.is_over):
            start(LAND, found, who=writer(), expected=expected)
        return redirect("imports:batch", key=found.pk)
    try:
        services.commit(found, who=writer(), expected=expected)
    except HoldbackError as error:
        ImportBatch.objects.filter(pk=found.pk, state=State.PREVIEWED).update(state=State.MAPPED)
        found.refresh_from_db()
        if found.is_open:
            services.preview(found)
        return _page(request, found, faults=error.faults)
    add_toast(request, f"Landed: {shown.result_words(found)}.", undo=reverse("imports:undo", args=[found.pk]))
    return redirect("imports:batch", key=found.pk)


@require_POST
def nothing(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Land nothing and forget the file."""
    found = get_object_or_404(ImportBatch, pk=key)
    job = job_of(found)
    if job and not job.is_over:
        stop_job(job)
        return redirect("imports:batch", key=found.pk)
    if found.is_open:
        services.cancel(found)
        add_toast(request, f"{found.file_name}: nothing landed.")
    return redirect("imports:start")


@require_POST
def undo(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take back everything that landed."""
    found = get_object_or_404(ImportBatch, pk=key)
    if found.n_rows > AT_ONCE and found.state == State.COMMITTED:
        job = job_of(found)
        if job is None or job.is_over:
            start(TAKE_BACK, found, who=writer())
        return redirect("imports:batch", key=found.pk)
    try:
        services.undo_import(found, who=writer())
    except HoldbackError as error:
        context = {"room": "Import", "batch": found, "faults": error.faults, "words": shown.result_words(found)}
        return render(request, "imports/over.html", context, status=422)
    add_toast(request, f"{found.file_name} is taken back.")
    return redirect("imports:batch", key=found.pk)


@require_POST
def kind(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take the rows for something else."""
    found = get_object_or_404(ImportBatch, pk=key)
    try:
        services.choose_kind(found, kind=request.POST.get("kind", ""))
    except HoldbackError as error:
        found.refresh_from_db()
        return _page(request, found, faults=error.faults)
    return redirect("imports:batch", key=found.pk)


@require_safe
def rows(request: HttpRequest, key: uuid.UUID, kind: str) -> HttpResponse:
    """All rows of one kind, a page at a time."""
    found = get_object_or_404(ImportBatch, pk=key)
    if kind not in LISTS:
        raise Http404(f"There is no list {kind!r}.")
    pages = Paginator(storage.kept_rows(found)[kind], PAGE)
    page = pages.get_page(request.GET.get("page"))
    context: dict[str, Any] = {
        "room": "Import",
        "batch": found,
        "kind": kind,
        "title": LISTS[kind],
        "page": page,
        "total": pages.count,
        "rows": shown.landings_shown(list(page)) if kind == "landings" else list(page),
    }
    return render(request, "imports/rows.html", context)


@require_safe
def waiting_sheet(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Rows and values that did not land, as a CSV file."""
    found = get_object_or_404(ImportBatch, pk=key)
    kept = storage.kept_rows(found)
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = 'attachment; filename="to-answer.csv"'
    response.write("\ufeff")
    out = csv.writer(response)
    out.writerow(["row", "what", "why", "as typed"])
    for kind, word in (("waiting", "waits"), ("held", "value waits"), ("left_out", "left out")):
        for listed in kept[kind]:
            out.writerow([listed["row"], word, guarded(listed["reason"]), guarded(listed["text"])])
    return response
