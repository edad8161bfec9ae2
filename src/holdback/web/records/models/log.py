"""The log of every change, and a mark that tells whether anything changed."""

from __future__ import annotations

import uuid

from django.db import models

from holdback.web.records.models.base import SCOPES


class Change(models.Model):
    """One row of the log: who did what to which record, and how it was before and after.

    Triggers refuse to change or delete a row. To undo adds rows that point at what they take back.
    """

    id = models.BigAutoField(primary_key=True)
    batch = models.UUIDField(default=uuid.uuid4)
    at = models.DateTimeField()
    who = models.CharField(max_length=120)
    deed = models.CharField(max_length=60)
    model = models.CharField(max_length=40)
    record = models.UUIDField()
    label = models.CharField(max_length=200, blank=True)
    before = models.JSONField(null=True)
    """The changed columns as they were; None where the record was made."""
    after = models.JSONField(null=True)
    """The changed columns as they became; None where the record was deleted."""
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")

    class Meta:
        ordering = ("id",)
        indexes = [
            models.Index(fields=["batch"], name="change_batch"),
            models.Index(fields=["record", "id"], name="change_record"),
        ]

    def __str__(self) -> str:
        """Deed and what it was done to."""
        return f"{self.deed}: {self.label}"


class Revision(models.Model):
    """A mark for each scope, new with every change: what was computed under another mark is out of date.

    A random mark and not a count: a restored backup may count on from the same number with other records.
    """

    scope = models.CharField(max_length=12, primary_key=True, choices=[(scope, scope) for scope in SCOPES])
    mark = models.UUIDField(default=uuid.uuid4)

    def __str__(self) -> str:
        """Scope and mark."""
        return f"{self.scope} {self.mark}"
