"""Racks, tubs and rooms, and who was where from when to when."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import PLACES, READINGS, Record


class Place(Record):
    """Somewhere an animal can be: a room, a rack in it, a tub in that."""

    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=30, blank=True)
    within = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="parts")
    capacity = models.PositiveSmallIntegerField(null=True, blank=True)
    """Egg places of an incubator or a box; null where nobody said."""
    notes = models.TextField(blank=True)
    closed = models.DateField(null=True, blank=True)
    """Day from which it is in use no more; null while it is."""

    scope = PLACES

    class Meta:
        ordering = ("name",)
        constraints = [
            models.CheckConstraint(condition=~Q(name=""), name="place_has_a_name"),
            models.UniqueConstraint(fields=["within", "name"], name="place_name_once_within"),
            models.UniqueConstraint(fields=["name"], condition=Q(within__isnull=True), name="place_name_once_on_top"),
            models.CheckConstraint(condition=Q(within__isnull=True) | ~Q(within=F("id")), name="place_not_in_itself"),
        ]

    def __str__(self) -> str:
        """The name."""
        return self.name


class Stay(Record):
    """An animal in a place from a day on, until another day or still."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="stays")
    place = models.ForeignKey(Place, models.PROTECT, related_name="stays")
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    scope = PLACES

    class Meta:
        ordering = ("since", "id")
        constraints = [
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("since")), name="stay_ends_after_it_began"
            ),
            models.UniqueConstraint(
                fields=["animal"], condition=Q(until__isnull=True), name="animal_in_one_place_at_a_time"
            ),
        ]

    def __str__(self) -> str:
        """Place and first day."""
        return f"{self.place} since {self.since}"


class Warmth(Record):
    """One reading of the temperature of a place."""

    place = models.ForeignKey(Place, models.PROTECT, related_name="warmth")
    date = models.DateField()
    time = models.TimeField(null=True, blank=True)
    celsius = models.FloatField()
    note = models.CharField(max_length=200, blank=True)

    scope = READINGS

    class Meta:
        ordering = ("date", F("time").asc(nulls_first=True), "id")
        constraints = [
            models.CheckConstraint(condition=Q(celsius__gt=-20, celsius__lt=60), name="warmth_of_a_room_for_snakes"),
        ]
        indexes = [models.Index(fields=["place", "date"], name="warmth_series")]

    def __str__(self) -> str:
        """Date and reading."""
        return f"{self.date} {self.celsius:g} °C"
