"""Clutches, their eggs, and who may be the sire."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from holdback.collection.model import EggOutcome
from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import PartialDateField, Record, first_day


class Clutch(Record):
    """One clutch; its candidate sires are `Parentage` rows."""

    tag = models.CharField(max_length=64)
    dam = models.ForeignKey(Animal, models.PROTECT, null=True, blank=True, related_name="clutches")
    laid = PartialDateField()
    laid_first = models.DateField(null=True, blank=True, editable=False)
    hatched = PartialDateField()
    eggs = models.PositiveSmallIntegerField(null=True, blank=True)
    slugs = models.PositiveSmallIntegerField(null=True, blank=True)
    notes = models.TextField(blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    computed = frozenset({"laid_first"})

    class Meta:
        ordering = ("laid_first", "tag")
        verbose_name_plural = "clutches"
        constraints = [
            models.UniqueConstraint(fields=["tag"], condition=Q(removed_at__isnull=True), name="clutch_tag_unique"),
            models.CheckConstraint(condition=~Q(tag=""), name="clutch_has_a_tag"),
            models.CheckConstraint(
                condition=Q(eggs__isnull=True) | Q(slugs__isnull=True) | Q(slugs__lte=models.F("eggs")),
                name="slugs_among_eggs",
            ),
        ]
        indexes = [models.Index(fields=["laid_first"], name="clutch_laid")]

    def __str__(self) -> str:
        """The clutch's tag."""
        return self.tag

    def compute(self) -> None:
        """Fill the column for sorting."""
        self.laid_first = first_day(self.laid)


class Parentage(Record):
    """A candidate sire of an animal or of a clutch, with its weight; or the statement that there was none."""

    animal = models.ForeignKey(Animal, models.PROTECT, null=True, blank=True, related_name="candidate_sires")
    clutch = models.ForeignKey(Clutch, models.PROTECT, null=True, blank=True, related_name="candidate_sires")
    sire = models.ForeignKey(Animal, models.PROTECT, null=True, blank=True, related_name="sired")
    weight = models.FloatField(default=1.0)
    no_sire = models.BooleanField(default=False)

    class Meta:
        ordering = ("-weight", "id")
        constraints = [
            models.CheckConstraint(
                condition=Q(animal__isnull=True, clutch__isnull=False) | Q(animal__isnull=False, clutch__isnull=True),
                name="parentage_of_animal_or_clutch",
            ),
            models.CheckConstraint(
                condition=Q(sire__isnull=True, no_sire=True) | Q(sire__isnull=False, no_sire=False),
                name="parentage_names_sire_or_none",
            ),
            models.CheckConstraint(condition=Q(weight__gt=0, weight__lte=1), name="parentage_weight_above_0_to_1"),
            models.CheckConstraint(
                condition=Q(animal__isnull=True) | Q(sire__isnull=True) | ~Q(animal=models.F("sire")),
                name="not_its_own_sire",
            ),
            models.UniqueConstraint(
                fields=["animal", "sire"], condition=Q(animal__isnull=False), name="sire_once_an_animal"
            ),
            models.UniqueConstraint(
                fields=["clutch", "sire"], condition=Q(clutch__isnull=False), name="sire_once_a_clutch"
            ),
        ]

    def __str__(self) -> str:
        """Weight and sire."""
        return f"{self.sire or 'no sire'} ({self.weight:g})"


class Egg(Record):
    """One egg of a clutch and what became of it."""

    clutch = models.ForeignKey(Clutch, models.PROTECT, related_name="egg_records")
    mark = models.CharField(max_length=30)
    mass_g = models.FloatField(null=True, blank=True)
    candling = models.CharField(max_length=120, blank=True)
    outcome = models.CharField(
        max_length=8, choices=[(one.value, one.value) for one in EggOutcome], default=EggOutcome.UNKNOWN.value
    )
    animal = models.OneToOneField(Animal, models.PROTECT, null=True, blank=True, related_name="egg")

    class Meta:
        ordering = ("clutch", "mark")
        constraints = [
            models.UniqueConstraint(fields=["clutch", "mark"], name="egg_mark_once_a_clutch"),
            models.CheckConstraint(condition=Q(mass_g__isnull=True) | Q(mass_g__gt=0), name="egg_mass_positive"),
            models.CheckConstraint(
                condition=Q(outcome__in=[one.value for one in EggOutcome]), name="egg_outcome_is_known_word"
            ),
        ]

    def __str__(self) -> str:
        """Clutch and mark."""
        return f"{self.clutch} egg {self.mark}"
