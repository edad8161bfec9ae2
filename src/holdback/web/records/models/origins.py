"""The place that an animal is said to come from."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from holdback.collection.origins import Precision, coarse_degrees
from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import Record


class PlaceOfOrigin(Record):
    """Place in free words, country and coordinates, each as far as it is said."""

    animal = models.OneToOneField(Animal, models.PROTECT, related_name="place_of_origin")
    place = models.CharField(max_length=120, blank=True)
    country = models.CharField(max_length=2, blank=True)
    latitude = models.FloatField(null=True, blank=True)
    longitude = models.FloatField(null=True, blank=True)
    precision = models.CharField(
        max_length=6, choices=[(one.value, one.value) for one in Precision], default=Precision.COARSE.value
    )
    ground = models.CharField(max_length=200, blank=True)

    class Meta:
        verbose_name = "place of origin"
        constraints = [
            models.CheckConstraint(
                condition=Q(latitude__isnull=True, longitude__isnull=True)
                | Q(latitude__gte=-90, latitude__lte=90, longitude__gte=-180, longitude__lte=180),
                name="origin_coordinates_on_earth",
            ),
            models.CheckConstraint(
                condition=Q(precision__in=[one.value for one in Precision]), name="origin_precision_is_known_word"
            ),
        ]

    def __str__(self) -> str:
        """Place, else the country."""
        return self.place or self.country or "coordinates"

    def round_unless_exact(self) -> None:
        """Round the coordinates to a tenth of a degree, unless the exact ones are to be kept."""
        if self.precision == Precision.COARSE:
            self.latitude, self.longitude = coarse_degrees(self.latitude), coarse_degrees(self.longitude)
