"""The worker: takes one job after the other, in a thread of the server or in a process of its own."""

from __future__ import annotations

import logging
import os
import socket
import threading
import uuid

from django.db import close_old_connections, connection
from django.db.utils import OperationalError
from django.utils import timezone

from holdback.errors import HoldbackError
from holdback.web.jobs.models import Job, State
from holdback.web.jobs.reporter import Cancelled, Lost, Reporter
from holdback.web.jobs.work import claim, recover, work_of

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
    if job is None:
        return None
    state, message, result = _outcome(job)
    held = Job.objects.filter(pk=job.pk, state=State.RUNNING, worker=worker)
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
