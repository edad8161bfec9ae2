"""Where an animal is said to come from."""

from __future__ import annotations

import math
from typing import Any

from django import forms

from holdback.collection.countries import countries
from holdback.collection.origins import Precision
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.records.models import PlaceOfOrigin

_DEGREES = {"inputmode": "text"}


def _countries() -> list[tuple[str, str]]:
    """Choices by name."""
    named = sorted(countries().items(), key=lambda each: each[1])
    return [("", "not said"), *((code, name) for code, name in named)]


class OriginForm(PlainForm):
    """Place, country, coordinates, and on what ground."""

    place = text_field("Place", "As it is told or written: a district, a farm, a market.")
    country = choice_field("Country", _countries())
    north = text_field("Degrees north", "As 7.6; south with a minus. Empty if not known.", attrs=_DEGREES)
    east = text_field("Degrees east", "As 2.1; west with a minus.", attrs=_DEGREES)
    exact = forms.BooleanField(label="Keep the exact place on this computer", required=False)
    ground = text_field("On what ground", "Who said so, on what paper.")
    names = {"latitude": "north", "longitude": "east"}

    def clean_north(self) -> float | None:
        """Degrees as a number."""
        return self._degrees("north")

    def clean_east(self) -> float | None:
        """Degrees as a number."""
        return self._degrees("east")

    def _degrees(self, name: str) -> float | None:
        typed = str(self.cleaned_data[name]).strip()
        if not typed:
            return None
        try:
            value = float(typed.replace(",", ".").replace("\u2212", "-"))
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            raise forms.ValidationError(f"{typed} is no number. Write degrees with a point, as 7.6 or -0.9.")
        return value

    def record(self) -> dict[str, Any]:
        """Fields as the service takes them."""
        said = self.cleaned_data
        return {
            "place": said["place"],
            "country": said["country"],
            "latitude": said["north"],
            "longitude": said["east"],
            "precision": (Precision.EXACT if said["exact"] else Precision.COARSE).value,
            "ground": said["ground"],
        }


def initial_of(present: PlaceOfOrigin | None) -> dict[str, Any]:
    """What the form shows of the place on record."""
    if present is None:
        return {}
    return {
        "place": present.place,
        "country": present.country,
        "north": "" if present.latitude is None else f"{present.latitude:g}",
        "east": "" if present.longitude is None else f"{present.longitude:g}",
        "exact": present.precision == Precision.EXACT,
        "ground": present.ground,
    }
