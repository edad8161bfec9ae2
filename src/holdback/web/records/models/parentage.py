"""Clutches, their eggs, and who may be the sire."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from holdback.collection.model import EggOutcome, EggState
from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import READINGS, PartialDateField, Record, first_day
from holdback.web.records.models.places import Place


class Clutch(Record):
    """One clutch; its candidate sires are `Parentage` rows."""

    tag = models.CharField(max_length=64)
    dam = models.ForeignKey(Animal, models.PROTECT, null=True, blank=True, related_name="clutches")
    laid = PartialDateField()
    laid_first = models.DateField(null=True, blank=True, editable=False)
    hatched = PartialDateField()
    eggs = models.PositiveSmallIntegerField(null=True, blank=True)
    slugs = models.PositiveSmallIntegerField(null=True, blank=True)
    set_aside = models.CharField(max_length=120, blank=True)
    """Why it stays out of counts of size, loss and defects; empty where it counts."""
    closed = models.DateField(null=True, blank=True)
    """Day on which every egg was accounted for."""
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
    box = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="eggs")
    ended = PartialDateField()
    """Day it came out or was lost."""
    cause = models.CharField(max_length=120, blank=True)

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


class EggLook(Record):
    """One look at an egg: how it was found on a day."""

    egg = models.ForeignKey(Egg, models.PROTECT, related_name="looks")
    date = PartialDateField(blank=False)
    state = models.CharField(max_length=10, choices=[(one.value, one.value) for one in EggState])
    note = models.CharField(max_length=200, blank=True)

    scope = READINGS

    class Meta:
        ordering = ("date", "id")
        constraints = [
            models.CheckConstraint(condition=Q(state__in=[one.value for one in EggState]), name="egg_state_known"),
            models.CheckConstraint(condition=~Q(date=""), name="egg_look_has_a_date"),
        ]
        indexes = [models.Index(fields=["egg", "date"], name="egg_look_series")]

    def __str__(self) -> str:
        """Date and state."""
        return f"{self.date} {self.state}"
