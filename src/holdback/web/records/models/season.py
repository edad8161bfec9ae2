"""What the working year keeps beside the records proper: own rules, the inbox of phones, what the calendar was told."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from holdback.web.records.models.base import SETTINGS, Record


class Setting(Record):
    """One of the keeper's own rules, by name: the pattern of new ids, meals before sale, places for eggs."""

    key = models.CharField(max_length=40, unique=True)
    value = models.JSONField()

    scope = SETTINGS

    class Meta:
        ordering = ("key",)

    def __str__(self) -> str:
        """Name and value."""
        return f"{self.key}: {self.value}"


class Entry(models.Model):
    """What a phone sent: kept as it came, done once, and answered the same however often it comes.

    It is no record: the deed that it leads to is logged under `batch`.
    """

    DONE, ASKED, REFUSED, LEFT = "done", "asked", "refused", "left"

    id = models.UUIDField(primary_key=True)
    """Made by the phone, once for each entry."""
    device = models.CharField(max_length=40)
    number = models.PositiveIntegerField()
    """Counts on within the device, so that entries are taken in their order."""
    made_at = models.DateTimeField()
    received_at = models.DateTimeField()
    who = models.CharField(max_length=120)
    body = models.JSONField()
    state = models.CharField(max_length=8, choices=[(one, one) for one in (DONE, ASKED, REFUSED, LEFT)])
    said = models.JSONField(default=list)
    """What was answered: sentences, or faults as JSON."""
    batch = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ("received_at", "number")
        verbose_name_plural = "entries"
        constraints = [
            models.CheckConstraint(condition=Q(state__in=["done", "asked", "refused", "left"]), name="entry_state"),
        ]
        indexes = [models.Index(fields=["state", "received_at"], name="entry_waiting")]

    def __str__(self) -> str:
        """Device and number."""
        return f"{self.device} {self.number}"


class CalendarItem(models.Model):
    """What the calendar was last told of one thing, so that it can be changed or called off under the same id."""

    uid = models.CharField(max_length=120, primary_key=True)
    sequence = models.PositiveIntegerField(default=0)
    digest = models.CharField(max_length=64)
    """SHA-256 of what was told, in hexadecimal."""
    told = models.JSONField()
    stamp = models.DateTimeField()
    cancelled = models.BooleanField(default=False)

    class Meta:
        ordering = ("uid",)

    def __str__(self) -> str:
        """The stable id."""
        return self.uid
