"""A job: what is to be done, how far it is, and who is at it."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q


class State(models.TextChoices):
    """Where a job stands."""

    QUEUED = "queued", "waiting"
    RUNNING = "running", "running"
    DONE = "done", "done"
    FAILED = "failed", "failed"
    CANCELLED = "cancelled", "cancelled"


class Job(models.Model):
    """One piece of long work."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(max_length=40)
    state = models.CharField(max_length=10, choices=State.choices, default=State.QUEUED)
    inputs = models.JSONField(default=dict)
    result = models.JSONField(null=True, blank=True)
    message = models.TextField(blank=True)
    progress = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    attempt = models.PositiveSmallIntegerField(default=0)
    cancel_asked = models.BooleanField(default=False)
    worker = models.CharField(max_length=80, blank=True)
    heartbeat = models.DateTimeField(null=True, blank=True)
    code_version = models.CharField(max_length=40, blank=True)
    made_at = models.DateTimeField()
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-made_at",)
        constraints = [
            models.CheckConstraint(condition=Q(state__in=[state.value for state in State]), name="job_state_is_known"),
        ]
        indexes = [models.Index(fields=["state", "made_at"], name="job_queue")]

    def __str__(self) -> str:
        """Kind and state."""
        return f"{self.kind} ({self.state})"

    @property
    def is_over(self) -> bool:
        """Whether nothing more will happen to it."""
        return self.state in {State.DONE, State.FAILED, State.CANCELLED}

    @property
    def percent(self) -> int | None:
        """How far it is, 0 to 100; None where the total is not known."""
        return min(100, 100 * self.progress // self.total) if self.total else None
