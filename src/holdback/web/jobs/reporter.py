"""How a piece of work tells how far it is, and learns that it should stop."""

from __future__ import annotations

import time

from django.utils import timezone

from holdback.web.jobs.models import Job, State

BEAT_SECONDS = 0.5
"""Least time between two reports that are written down."""


class Cancelled(Exception):
    """Somebody asked to stop the job."""


class Lost(Exception):
    """The lease was over and the job is no longer this worker's."""


class Reporter:
    """Reports of one job by one worker; every report renews the lease.

    Call it with rows done and rows in all, outside of a transaction: a report within one would be seen by nobody
    before its end, and go with it if it fails.
    """

    def __init__(self, job: Job) -> None:
        self.job = job
        self._last = 0.0

    def __call__(self, done: int, total: int, message: str | None = None) -> None:
        """Tell how far it is.

        Parameters
        ----------
        done, total : int
            Rows done and in all; 0 in all where that is not known.
        message : str, optional
            What is being done; the former words stay if left out.

        Raises
        ------
        Cancelled
            If somebody asked to stop.
        Lost
            If the job was taken away, because no report came for too long.
        """
        now = time.monotonic()
        if message is None and done < total and now - self._last < BEAT_SECONDS:
            return
        self._last = now
        values: dict[str, object] = {"progress": done, "total": total, "heartbeat": timezone.now()}
        if message is not None:
            values["message"] = message
        mine = Job.objects.filter(pk=self.job.pk, state=State.RUNNING, worker=self.job.worker)
        if not mine.update(**values):
            raise Lost(str(self.job.pk))
        if mine.filter(cancel_asked=True).exists():
            raise Cancelled(str(self.job.pk))
