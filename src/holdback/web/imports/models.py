"""One file on its way in: where it is kept, what its columns are, what was answered, how far it is."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q


class State(models.TextChoices):
    """How far a file is."""

    UPLOADED = "uploaded", "uploaded"
    MAPPED = "mapped", "columns confirmed"
    PREVIEWED = "previewed", "read"
    COMMITTED = "committed", "landed"
    CANCELLED = "cancelled", "not landed"
    UNDONE = "undone", "taken back"


class Source(models.TextChoices):
    """What kind of file it is."""

    SHEET = "sheet", "sheet"
    COLLECTION = "collection", "collection"


class ImportBatch(models.Model):
    """A file brought in. The file itself lies in the data folder; nothing lands before it is committed.

    `log_batch` is the batch of the log under which everything that landed stands, so that it is taken back as one.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    log_batch = models.UUIDField(default=uuid.uuid4, editable=False, unique=True)
    source = models.CharField(max_length=12, choices=Source.choices, default=Source.SHEET)
    file_name = models.CharField(max_length=255)
    sheet_name = models.CharField(max_length=255, blank=True)
    sheet_names = models.JSONField(default=list)
    state = models.CharField(max_length=12, choices=State.choices, default=State.UPLOADED)
    mapping = models.JSONField(default=dict)
    answers = models.JSONField(default=dict)
    summary = models.JSONField(default=dict)
    result = models.JSONField(default=dict)
    n_rows = models.PositiveIntegerField(default=0)
    n_columns = models.PositiveIntegerField(default=0)
    who = models.CharField(max_length=120)
    job = models.UUIDField(null=True, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    committed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-made_at",)
        constraints = [
            models.CheckConstraint(condition=Q(state__in=State.values), name="import_state_is_known"),
            models.CheckConstraint(condition=Q(source__in=Source.values), name="import_source_is_known"),
        ]

    def __str__(self) -> str:
        """File, sheet and state."""
        return f"{self.title} ({self.state})"

    @property
    def title(self) -> str:
        """File name, and the sheet where the file has several."""
        return f"{self.file_name}, {self.sheet_name}" if len(self.sheet_names) > 1 else self.file_name

    @property
    def is_open(self) -> bool:
        """Whether it can still be changed and landed."""
        return self.state in {State.UPLOADED, State.MAPPED, State.PREVIEWED}
