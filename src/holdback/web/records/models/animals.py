"""The animal, the names it had and how its sex was found."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import Q

from holdback.collection.model import Origin, PartialDate, Sex
from holdback.collection.status import lives
from holdback.web.records.models.base import PartialDateField, Record, first_day


class Animal(Record):
    """One animal. `tag` is the keeper's id; it is unique among the living that are not removed."""

    tag = models.CharField(max_length=64)
    name = models.CharField(max_length=120, blank=True)
    species = models.CharField(max_length=64, default="python_regius")
    sex = models.CharField(max_length=8, choices=[(sex.value, sex.value) for sex in Sex], default=Sex.UNKNOWN.value)
    hatched = PartialDateField()
    hatched_first = models.DateField(null=True, blank=True, editable=False)
    origin = models.CharField(
        max_length=20, choices=[(one.value, one.value) for one in Origin], default=Origin.UNKNOWN.value
    )
    status = models.CharField(max_length=60, blank=True)
    genes_text = models.TextField(blank=True)
    notes = models.TextField(blank=True)
    dam = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="young_of_dam")
    clutch = models.ForeignKey("records.Clutch", models.PROTECT, null=True, blank=True, related_name="hatchlings")
    living = models.BooleanField(default=True, editable=False)
    removed_at = models.DateTimeField(null=True, blank=True)
    search_text = models.TextField(blank=True, editable=False)

    computed = frozenset({"hatched_first", "living", "search_text"})

    class Meta:
        ordering = ("tag",)
        constraints = [
            models.UniqueConstraint(
                fields=["tag"], condition=Q(living=True, removed_at__isnull=True), name="tag_unique_among_living"
            ),
            models.CheckConstraint(condition=~Q(tag=""), name="animal_has_a_tag"),
            models.CheckConstraint(condition=Q(sex__in=[sex.value for sex in Sex]), name="sex_is_known_word"),
            models.CheckConstraint(condition=Q(origin__in=[one.value for one in Origin]), name="origin_is_known_word"),
            models.CheckConstraint(condition=Q(dam__isnull=True) | ~Q(dam=models.F("id")), name="not_its_own_dam"),
        ]
        indexes = [
            models.Index(fields=["tag"], name="animal_tag"),
            models.Index(fields=["name"], name="animal_name"),
            models.Index(fields=["sex", "tag"], name="animal_sex"),
            models.Index(fields=["hatched_first", "tag"], name="animal_hatched"),
            models.Index(fields=["status", "tag"], name="animal_status"),
        ]

    def __str__(self) -> str:
        """Tag, and the name where it has one."""
        return f"{self.tag} {self.name}".strip()

    @property
    def hatch_date(self) -> PartialDate | None:
        """Hatch date to the precision known."""
        return PartialDate.parse(self.hatched) if self.hatched else None

    def compute(self) -> None:
        """Fill the columns for sorting, uniqueness and search."""
        self.hatched_first = first_day(self.hatched)
        self.living = lives(self.status)
        parts = (self.tag, self.name, self.genes_text, self.status, self.notes)
        self.search_text = "\n".join(part for part in parts if part).casefold()


class AnimalName(Record):
    """A name that an animal has or had."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="names")
    name = models.CharField(max_length=120)
    since = models.DateField(default=dt.date.today)

    class Meta:
        ordering = ("since", "id")

    def __str__(self) -> str:
        """The name."""
        return self.name


class SexDetermination(Record):
    """One finding of an animal's sex; the last one counts."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="sex_determinations")
    sex = models.CharField(max_length=8, choices=[(sex.value, sex.value) for sex in Sex])
    method = models.CharField(max_length=60, blank=True)
    date = PartialDateField()
    found_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ("date", "id")
        constraints = [
            models.CheckConstraint(condition=Q(sex__in=[sex.value for sex in Sex]), name="found_sex_is_known_word"),
        ]

    def __str__(self) -> str:
        """Sex and how it was found."""
        return f"{self.sex} ({self.method})" if self.method else self.sex
