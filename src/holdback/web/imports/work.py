"""The long parts of an import as jobs: reading all rows, landing them."""

from __future__ import annotations

from typing import Any

from holdback.web.imports.models import ImportBatch, State
from holdback.web.imports.services import commit, preview, undo_import
from holdback.web.jobs.models import Job
from holdback.web.jobs.reporter import Reporter
from holdback.web.jobs.work import enqueue, kind

READ, LAND, TAKE_BACK = "read a sheet", "land a sheet", "take a sheet back"


@kind(READ)
def read_sheet(report: Reporter, inputs: dict[str, Any]) -> dict[str, Any]:
    """Read all rows of a batch."""
    batch = ImportBatch.objects.get(pk=inputs["batch"])
    report(0, batch.n_rows, "Reading the rows.")
    preview(batch, progress=report)
    return {"batch": str(batch.pk)}


@kind(LAND)
def land_sheet(report: Reporter, inputs: dict[str, Any]) -> dict[str, Any]:
    """Land everything of a batch that is ready."""
    batch = ImportBatch.objects.get(pk=inputs["batch"])
    report(
        0, batch.n_rows, "Reading and landing the rows. Until the last step it can be stopped; then all lands at once."
    )
    commit(batch, who=inputs["who"], expected=inputs.get("expected", ""), progress=report)
    return {"batch": str(batch.pk)}


@kind(TAKE_BACK)
def take_back(report: Reporter, inputs: dict[str, Any]) -> dict[str, Any]:
    """Take back everything that a batch landed."""
    batch = ImportBatch.objects.get(pk=inputs["batch"])
    report(0, 0, "Taking everything back at once.")
    if batch.state != State.UNDONE:
        undo_import(batch, who=inputs["who"])
    return {"batch": str(batch.pk)}


def start(name: str, batch: ImportBatch, **inputs: Any) -> Job:
    """A job for a batch, noted with it."""
    job = enqueue(name, batch=str(batch.pk), **inputs)
    batch.job = job.pk
    batch.save(update_fields=["job"])
    return job


def job_of(batch: ImportBatch) -> Job | None:
    """The last job of a batch, None if it had none."""
    return Job.objects.filter(pk=batch.job).first() if batch.job else None
