"""What is seen of an animal's genes, what is said of them, and what is said of its line."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from holdback.species.model import Ease
from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import PartialDateField, Record


def _in_unit_interval(name: str) -> Q:
    """Condition that a column is a probability."""
    return Q(**{f"{name}__gte": 0, f"{name}__lte": 1})


class Look(Record):
    """A gene seen on an animal. Rows with `derived` follow from the animal's genes as typed."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="looks")
    allele = models.CharField(max_length=80)
    copies = models.PositiveSmallIntegerField(default=1)
    """Copies that the look shows: 1 or 2; 0 says that it was looked for and is absent."""
    seen_by = models.CharField(max_length=120, blank=True)
    date = PartialDateField()
    ease = models.CharField(max_length=8, choices=[(one.value, one.value) for one in Ease], default=Ease.PLAIN.value)
    sure = models.FloatField(default=1.0)
    note = models.TextField(blank=True)
    derived = models.BooleanField(default=False)

    class Meta:
        ordering = ("allele", "id")
        constraints = [
            models.CheckConstraint(condition=Q(copies__lte=2), name="look_copies_0_to_2"),
            models.CheckConstraint(condition=Q(sure__gt=0, sure__lte=1), name="look_sure_above_0_to_1"),
        ]
        indexes = [models.Index(fields=["allele"], name="look_allele")]

    def __str__(self) -> str:
        """Allele and copies."""
        return f"{self.allele} {self.copies}"


class Claim(Record):
    """What somebody says an animal carries: the chances of no, one and two copies of an allele."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="claims")
    allele = models.CharField(max_length=80)
    none = models.FloatField()
    one = models.FloatField()
    two = models.FloatField()
    said_by = models.CharField(max_length=120, blank=True)
    ground = models.CharField(max_length=200, blank=True)
    trust = models.FloatField(default=1.0)
    date = PartialDateField()
    derived = models.BooleanField(default=False)

    class Meta:
        ordering = ("allele", "id")
        constraints = [
            models.CheckConstraint(
                condition=_in_unit_interval("none") & _in_unit_interval("one") & _in_unit_interval("two"),
                name="claim_chances_in_0_to_1",
            ),
            models.CheckConstraint(condition=_in_unit_interval("trust"), name="claim_trust_in_0_to_1"),
        ]
        indexes = [models.Index(fields=["allele"], name="claim_allele")]

    def __str__(self) -> str:
        """Allele and the three chances."""
        return f"{self.allele} {self.none:g}/{self.one:g}/{self.two:g}"


class LineClaim(Record):
    """What is said of a founder's share of a line."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="line_claims")
    line = models.CharField(max_length=80)
    share_low = models.FloatField(default=1.0)
    share_high = models.FloatField(default=1.0)
    ground = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("line", "id")
        constraints = [
            models.CheckConstraint(
                condition=_in_unit_interval("share_low")
                & _in_unit_interval("share_high")
                & Q(share_low__lte=F("share_high")),
                name="line_share_in_order",
            ),
            models.UniqueConstraint(fields=["animal", "line"], name="line_once_an_animal"),
        ]
        indexes = [models.Index(fields=["line"], name="line_name")]

    def __str__(self) -> str:
        """Line and bounds."""
        return f"{self.line} {self.share_low:g} to {self.share_high:g}"
