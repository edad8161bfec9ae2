"""Photographs of an animal, and what was marked on them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from holdback.collection.photo_marks import Part
from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import PHOTOS, PartialDateField, Record
from holdback.web.records.models.readings import Measurement


class Photo(Record):
    """One photograph; the picture lies in the data folder under the record's key."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="photos")
    taken = PartialDateField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    digest = models.CharField(max_length=64)
    """SHA-256 of the stored picture, in hexadecimal."""
    put_away = models.BooleanField(default=False)

    scope = PHOTOS

    class Meta:
        ordering = ("-taken", "id")
        constraints = [models.CheckConstraint(condition=Q(width__gt=0, height__gt=0), name="photo_has_a_size")]

    def __str__(self) -> str:
        """The day it was taken."""
        return f"photo {self.taken}".strip()


class PhotoMarks(Record):
    """One marking of one part on a photograph: of the scale with its true length, or of the animal."""

    photo = models.ForeignKey(Photo, models.PROTECT, related_name="marks")
    kind = models.CharField(max_length=12, choices=[(part.value, part.value) for part in Part])
    repeat = models.PositiveSmallIntegerField(default=1)
    points = models.JSONField()
    """Marks in pixels of the stored picture: [[x, y], ...]."""
    step = models.FloatField(default=1.0)
    """Pixels that one step of the pointer moved."""
    true_length = models.FloatField(null=True, blank=True)
    """Of a scale: its length in `unit`."""
    unit = models.CharField(max_length=2, blank=True)
    measurement = models.ForeignKey(Measurement, models.PROTECT, null=True, blank=True, related_name="photo_marks")
    """The reading that was made of it; none for a scale."""

    scope = PHOTOS

    class Meta:
        verbose_name = "marking of a photo"
        ordering = ("kind", "repeat")
        constraints = [
            models.UniqueConstraint(fields=["photo", "kind", "repeat"], name="photo_marks_once_a_repeat"),
            models.CheckConstraint(condition=Q(kind__in=[part.value for part in Part]), name="photo_marks_of_a_part"),
            models.CheckConstraint(
                condition=Q(kind=Part.SCALE.value, true_length__gt=0) | ~Q(kind=Part.SCALE.value),
                name="photo_scale_has_a_length",
            ),
        ]

    def __str__(self) -> str:
        """Part and repeat."""
        return f"{self.kind} {self.repeat}"
