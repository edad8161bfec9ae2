"""Claim a job, do it, and see to those that were left behind.

A worker holds a job as long as its heartbeat is younger than the lease. What a killed worker leaves is put back once
its lease is over, and failed after the last attempt.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from django.db import connection, transaction
from django.db.models import F, Q
from django.utils import timezone

import holdback
from holdback.web.jobs.models import Job, State
from holdback.web.jobs.reporter import Reporter

LEASE = dt.timedelta(seconds=60)
"""How old a heartbeat may be. A worker beats far more often; a write of a large import takes some seconds."""
ATTEMPTS = 2
"""Times that a job is begun: a job that brought its worker down twice would do so again."""


Work = Callable[[Reporter, dict[str, Any]], Any]
"""Takes a reporter and the job's inputs, returns a result that JSON knows."""

_kinds: dict[str, Work] = {}


def work_of(job: Job) -> Work | None:
    """The work behind a job's kind; None if this version knows none."""
    return _kinds.get(job.kind)


def kind(name: str) -> Callable[[Work], Work]:
    """Decorator that registers the work behind a kind of job."""

    def register(work: Work) -> Work:
        _kinds[name] = work
        return work

    return register


def enqueue(name: str, **inputs: Any) -> Job:
    """A new job, waiting.

    Parameters
    ----------
    name : str
        A registered kind.
    **inputs
        What the work needs, as JSON knows it.
    """
    assert name in _kinds, f"no work is registered as {name}"
    return Job.objects.create(kind=name, inputs=inputs, made_at=timezone.now(), code_version=holdback.__version__)


def cancel(job: Job) -> Job:
    """The job, cancelled at once if it is waiting; else its work is told to stop at its next report."""
    waiting = Job.objects.filter(pk=job.pk, state=State.QUEUED)
    if not waiting.update(state=State.CANCELLED, ended_at=timezone.now(), message="Cancelled before it began."):
        Job.objects.filter(pk=job.pk, state=State.RUNNING).update(cancel_asked=True)
    job.refresh_from_db()
    return job


def recover(*, now: dt.datetime | None = None) -> int:
    """Number of jobs taken from workers whose lease is over: put back, cancelled if so asked, or failed."""
    late = (now or timezone.now()) - LEASE
    left = Job.objects.filter(Q(heartbeat__lt=late) | Q(heartbeat__isnull=True), state=State.RUNNING)
    ended = {"ended_at": timezone.now(), "worker": ""}
    stopped = left.filter(cancel_asked=True).update(state=State.CANCELLED, message="Cancelled.", **ended)
    what = "It was begun {} times and its worker was gone each time. Nothing of it was kept half done."
    failed = left.filter(attempt__gte=ATTEMPTS).update(state=State.FAILED, message=what.format(ATTEMPTS), **ended)
    put_back = left.update(state=State.QUEUED, worker="", heartbeat=None, progress=0, message="Begun anew.")
    return stopped + failed + put_back


def claim(worker: str) -> Job | None:
    """The job waiting longest, now held by this worker; None if none waits.

    Notes
    -----
    On PostgreSQL the row is locked and rows locked by others are skipped; on SQLite the transaction is the only
    writer. Either way the update names the state it expects.
    """
    with transaction.atomic():
        waiting = Job.objects.filter(state=State.QUEUED).order_by("made_at", "pk")
        if connection.features.has_select_for_update_skip_locked:
            waiting = waiting.select_for_update(skip_locked=True)
        job = waiting.first()
        if job is None:
            return None
        held = take(job, worker)
    return held if held.worker == worker else None


def take(job: Job, worker: str) -> Job:
    """The job, held by this worker if it was waiting."""
    now = timezone.now()
    Job.objects.filter(pk=job.pk, state=State.QUEUED).update(
        state=State.RUNNING, worker=worker, heartbeat=now, started_at=now, attempt=F("attempt") + 1, message=""
    )
    job.refresh_from_db()
    return job
