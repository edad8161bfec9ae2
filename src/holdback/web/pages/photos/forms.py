"""What is chosen and typed to measure on a photograph."""

from __future__ import annotations

import json
import math
from typing import Any

from django import forms

from holdback.collection.photo_marks import Part, Trace
from holdback.errors import Fault, RecordError
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.pages.photos.objects import BY_KEY, KNOWN, RULER
from holdback.web.records.services import Marked

_UNITS = [("cm", "cm"), ("mm", "mm"), ("in", "in")]
_OBJECTS = [(RULER, "ruler, tape or another thing")] + [
    (one.key, f"{one.words}, {one.length_mm:.4g} mm") for one in KNOWN
]


class PhotoForm(PlainForm):
    """A photograph to be added."""

    file = forms.FileField(
        label="Photo",
        help_text="JPEG, PNG, WebP or HEIC. A phone offers its camera.",
        widget=forms.FileInput(attrs={"accept": "image/*,.heic,.heif", "data-send": ""}),
    )


class MarksForm(PlainForm):
    """The marks of a photo, and how long the scale is."""

    names = {"scale": "length", "marks": ""}

    marks = forms.CharField(widget=forms.HiddenInput)
    object = choice_field("The scale is a", _OBJECTS, required=True, initial=RULER)
    length = text_field("Marked length", attrs={"inputmode": "decimal"})
    unit = choice_field("Unit", _UNITS, required=True, initial="cm")
    date = text_field("Day", "When the photo was taken.")

    def scale(self) -> tuple[float, str]:
        """True length of the scale and its unit; not a number where none is typed."""
        if known := BY_KEY.get(self.data.get("object", "")):
            return known.length_mm, "mm"
        return typed_length(self.data.get("length", "")), self.data.get("unit") or "cm"

    def marked(self) -> Marked:
        """The marks as the service takes them.

        Raises
        ------
        RecordError
            PHO-010 if they did not arrive whole.
        """
        return Marked(traces_of(self.data.get("marks", "")), *self.scale())


def typed_length(text: str) -> float:
    """Number with a point or a comma; not a number where there is none."""
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return math.nan


def traces_of(text: str) -> list[tuple[Part, Trace]]:
    """Marks out of what the page sends: ``[{"kind": "scale", "points": [[x, y], ...], "step": 1}, ...]``."""
    try:
        return [_trace(one) for one in json.loads(text or "[]")]
    except (ValueError, TypeError, KeyError) as error:
        hint = "Load the page again and mark the photo anew."
        raise RecordError(Fault("PHO-010", "The marks did not arrive in one piece.", hint, field="marks")) from error


def _trace(one: dict[str, Any]) -> tuple[Part, Trace]:
    points = tuple((float(x), float(y)) for x, y in one["points"])
    return Part(one["kind"]), Trace(points, float(one["step"]))
