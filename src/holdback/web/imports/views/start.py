"""The way in and the way out: bring a file, take everything along."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from holdback.collection.collection import Collection
from holdback.errors import Fault, HoldbackError
from holdback.intake.sheets import SUFFIXES
from holdback.web.imports import services
from holdback.web.imports.models import ImportBatch
from holdback.web.pages.keeper import writer
from holdback.web.records.queries import present_animals

SHOWN = 12
"""Earlier files listed."""

KINDS = ",".join((*SUFFIXES, ".zip"))
"""Endings that the choice of a file offers."""

_EXPORTS: dict[str, tuple[str, Callable[[Path], Collection]]] = {
    "folder": ("holdback-{day}.zip", services.export_zip),
    "workbook": ("holdback-{day}.xlsx", services.export_xlsx),
}


@require_http_methods(["GET", "HEAD", "POST"])
def start(request: HttpRequest) -> HttpResponse:
    """Choose a file; what was brought in before."""
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        file = request.FILES.get("file")
        if file is None or not file.name:
            faults = (Fault("ITK-021", "No file was chosen.", "Choose the sheet you have."),)
        else:
            try:
                batch = services.stage(file, who=writer(), file_name=file.name)
            except HoldbackError as error:
                faults = error.faults
            else:
                return redirect("imports:batch", key=batch.pk)
    context = {
        "room": "Import",
        "kinds": KINDS,
        "faults": faults[:SHOWN],
        "n_faults": len(faults),
        "earlier": ImportBatch.objects.all()[:SHOWN],
        "n_animals": present_animals().count(),
    }
    return render(request, "imports/start.html", context, status=422 if faults else 200)


@require_safe
def export(request: HttpRequest, kind: str) -> HttpResponse:
    """Everything as a file."""
    if kind not in _EXPORTS:
        raise Http404(f"There is no export {kind!r}.")
    name, write = _EXPORTS[kind]
    name = name.format(day=timezone.localdate().isoformat())
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / name
        try:
            write(path)
        except HoldbackError as error:
            faults = error.faults
            context = {"room": "Import", "kinds": KINDS, "faults": faults[:SHOWN], "n_faults": len(faults)}
            return render(request, "imports/start.html", context, status=422)
        response = HttpResponse(path.read_bytes(), content_type="application/octet-stream")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
