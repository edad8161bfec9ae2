"""What was measured and what happened, day by day."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from holdback.collection.model import Trait
from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import READINGS, PartialDateField, Record


class Measurement(Record):
    """One reading: `typed` keeps what was written, `value` is the number in `unit`."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="measurements")
    date = PartialDateField(blank=False)
    trait = models.CharField(max_length=20, choices=[(one.value, one.value) for one in Trait])
    value = models.FloatField()
    unit = models.CharField(max_length=4)
    typed = models.CharField(max_length=40, blank=True)
    condition = models.CharField(max_length=40, blank=True)

    scope = READINGS

    class Meta:
        ordering = ("date", "id")
        constraints = [
            models.CheckConstraint(condition=Q(value__gt=0), name="measurement_positive"),
            models.CheckConstraint(condition=~Q(date=""), name="measurement_has_a_date"),
        ]
        indexes = [models.Index(fields=["animal", "trait", "date"], name="measurement_series")]

    def __str__(self) -> str:
        """Date, value and unit."""
        return f"{self.date} {self.value:g} {self.unit}"


class Mating(Record):
    """A male put to a female."""

    dam = models.ForeignKey(Animal, models.PROTECT, related_name="matings_as_dam")
    sire = models.ForeignKey(Animal, models.PROTECT, related_name="matings_as_sire")
    together = PartialDateField()
    apart = PartialDateField()
    locks = models.PositiveSmallIntegerField(default=0)
    notes = models.TextField(blank=True)

    scope = READINGS

    class Meta:
        ordering = ("together", "id")
        constraints = [models.CheckConstraint(condition=~Q(dam=F("sire")), name="mating_of_two_animals")]

    def __str__(self) -> str:
        """Both animals and the first day."""
        return f"{self.sire} with {self.dam} {self.together}".strip()


class Observation(Record):
    """Anything else that was seen of an animal on a day: a meal, a shed, an ultrasound."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="observations")
    date = PartialDateField(blank=False)
    until = PartialDateField()
    """Last day, of what lasts: a loan, a quarantine."""
    kind = models.CharField(max_length=40)
    value = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=12, blank=True)
    note = models.TextField(blank=True)
    mating = models.ForeignKey(Mating, models.PROTECT, null=True, blank=True, related_name="seen")
    """Of a lock: the mating it belongs to."""

    scope = READINGS

    class Meta:
        ordering = ("date", "id")
        constraints = [
            models.CheckConstraint(condition=~Q(kind=""), name="observation_has_a_kind"),
            models.CheckConstraint(condition=~Q(date=""), name="observation_has_a_date"),
        ]
        indexes = [models.Index(fields=["animal", "kind", "date"], name="observation_series")]

    def __str__(self) -> str:
        """Date and kind."""
        return f"{self.date} {self.kind}"
