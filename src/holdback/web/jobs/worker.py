"""The worker: takes one job after the other, in a thread of the server or in a process of its own."""

from __future__ import annotations

import logging
import os
import socket
import threading
import uuid
from contextlib import suppress
from typing import Any

from django.db import close_old_connections, connection, transaction
from django.db.utils import OperationalError
from django.utils import timezone

from holdback.errors import HoldbackError
from holdback.web.jobs.models import Job, State
from holdback.web.jobs.reporter import Cancelled, Lost, Reporter
from holdback.web.jobs.work import claim, enqueue, recover, take, work_of

log = logging.getLogger(__name__)

IDLE_SECONDS = 1.0
"""How long a worker that found nothing waits before it looks again."""


def worker_name() -> str:
    """Name that no other worker has: computer, process and a few random letters."""
    return f"{socket.gethostname()[:40]}-{os.getpid()}-{uuid.uuid4().hex[:8]}"


def run_one(worker: str) -> Job | None:
    """The job that was taken and brought to its end; None if none waits."""
    recover()
    job = claim(worker)
    return None if job is None else finish(job)


def finish(job: Job) -> Job:
    """A job that its worker holds, brought to its end."""
    state, message, result = _outcome(job)
    held = Job.objects.filter(pk=job.pk, state=State.RUNNING, worker=job.worker)
    values: dict[str, object] = {"state": state, "ended_at": timezone.now(), "heartbeat": timezone.now()}
    if message is not None:
        values["message"] = message
    held.update(result=result, **values)
    job.refresh_from_db()
    return job


def _outcome(job: Job) -> tuple[State, str | None, object]:
    """State, message and result after doing the work."""
    work = work_of(job)
    if work is None:
        return State.FAILED, f"This version of Holdback knows no work called {job.kind!r}.", None
    try:
        return State.DONE, None, work(Reporter(job), job.inputs)
    except Cancelled:
        return State.CANCELLED, "Cancelled. Nothing of it was kept.", None
    except Lost:
        return State.FAILED, "The worker gave no sign of life for too long.", None
    except HoldbackError as fault:
        return State.FAILED, str(fault), None
    except Exception as fault:
        log.exception("job %s (%s) broke", job.pk, job.kind)
        return State.FAILED, f"It broke: {type(fault).__name__}. The log of the server tells more.", None


def run_worker(stop: threading.Event, *, once: bool = False) -> int:
    """Number of jobs done until `stop` is set.

    Parameters
    ----------
    stop : Event
        Set it to end after the present job.
    once : bool
        End as soon as no job waits.
    """
    name, count = worker_name(), 0
    while not stop.is_set():
        if not connection.in_atomic_block:  # one that a caller has begun goes on
            close_old_connections()
        try:
            job = run_one(name)
        except OperationalError:
            log.warning("the database is busy or away; trying again", exc_info=True)
            job = None
        if job is not None:
            count += 1
            continue
        if once:
            break
        stop.wait(IDLE_SECONDS)
    return count


class WorkerThread(threading.Thread):
    """The worker beside a server in the same process."""

    def __init__(self) -> None:
        super().__init__(name="holdback-worker", daemon=True)
        self._stop_asked = threading.Event()

    def run(self) -> None:
        """Work until asked to stop."""
        try:
            run_worker(self._stop_asked)
        finally:
            connection.close()

    def finish(self, timeout: float | None = 5.0) -> None:
        """Ask to stop and wait; a job that goes on longer is put back when its lease is over."""
        self._stop_asked.set()
        self.join(timeout)


def start_worker_thread() -> WorkerThread:
    """The worker of this process, started."""
    thread = WorkerThread()
    thread.start()
    return thread


def start_here(name: str, **inputs: Any) -> Job:
    """A job that a thread of this very process does at once, because its fruit stays in this process.

    Parameters
    ----------
    name : str
        A registered kind.
    **inputs
        What the work needs, as JSON knows it.

    Notes
    -----
    It waits behind no other job. If the process ends first, it is put back as any other and done elsewhere.
    """
    with transaction.atomic():  # so that no other worker sees it waiting
        held = take(enqueue(name, **inputs), worker_name())
    threading.Thread(target=_do_here, args=[held.pk], name=f"holdback-{name}", daemon=True).start()
    return held


def _do_here(key: uuid.UUID) -> None:
    """Bring a job to its end in a thread of its own; nobody waits for one whose row is gone."""
    try:
        with suppress(Job.DoesNotExist):
            finish(Job.objects.get(pk=key))
    finally:
        connection.close()
