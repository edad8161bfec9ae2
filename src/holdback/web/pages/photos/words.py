"""What is said of photographs and of the lengths read from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.model import PartialDate, Trait
from holdback.collection.photo_marks import Part
from holdback.size.from_photo import NORMAL_90, PhotoLength
from holdback.web.pages.components import LedgerRow
from holdback.web.pages.wording import day, listed, percent, quantity, span
from holdback.web.records.models import Animal, Measurement, Photo, PhotoMarks

NAMES = {Part.HEAD_WIDTH: "Head width", Part.HEAD_LENGTH: "Head length", Part.BODY: "Snout to vent"}


@dataclass(frozen=True, slots=True)
class PhotoLine:
    """A photo in the list on an animal's page: the photo, its day, and what was measured on it."""

    photo: Photo
    day: str
    said: str
    is_measured: bool


def day_of(photo: Photo) -> str:
    """Day of a photo in words."""
    return day(PartialDate.parse(photo.taken)) if photo.taken else "day not known"


def photo_lines(animal: Animal) -> list[PhotoLine]:
    """Photos of an animal that are not put away, newest first; two queries."""
    photos = animal.photos.filter(put_away=False).prefetch_related("marks__measurement")
    return [_line(photo, list(photo.marks.all())) for photo in photos]


def _line(photo: Photo, rows: Sequence[PhotoMarks]) -> PhotoLine:
    """A photo with what was measured on it."""
    by_part = {row.kind: row.measurement for row in rows if row.measurement}
    found = [by_part[part.value] for part in NAMES if part.value in by_part]
    words = [f"{_trait(one)} {quantity(one.value, one.unit, 1)}" for one in found]
    said = listed(words).capitalize() if words else "Nothing is measured on it yet."
    return PhotoLine(photo, day_of(photo), said, bool(words))


def _trait(one: Measurement) -> str:
    return "snout to vent" if one.trait == Trait.SNOUT_VENT_LENGTH.value else one.trait


def length_rows(lengths: Sequence[PhotoLength]) -> list[LedgerRow]:
    """Each length with its range and what it rests on."""
    return [
        LedgerRow(
            NAMES[one.part],
            quantity(one.estimate.mean, one.estimate.unit, 1),
            f"{span(one.estimate.low, one.estimate.high, 1)}, ±{percent(one.half_width)}",
            one.estimate.basis,
            one.estimate.ground,
            "on a photo" if one.n_traces == 1 else f"on a photo, {one.n_traces} times",
        )
        for one in lengths
    ]


def told(lengths: Sequence[PhotoLength]) -> str:
    """The lengths in one sentence."""
    parts = [
        f"{NAMES[one.part].lower()} {quantity(one.estimate.mean, one.estimate.unit, 1)} "
        f"({span(one.estimate.low, one.estimate.high, 1)})"
        for one in lengths
    ]
    return f"{listed(parts).capitalize()}." if parts else ""


def advice(lengths: Sequence[PhotoLength]) -> str:
    """What makes the least sure of the lengths uncertain, and what would help."""
    if not lengths:
        return ""
    worst = max(lengths, key=lambda one: one.half_width)
    shares = {
        "pointing": (worst.pointing_sd, "Zoom in, drag the marks to their places, and mark it once more."),
        "the scale": (worst.scale_sd, "Zoom in on the ends of the scale, or use a longer piece of it."),
        "perspective": (worst.perspective_sd, "A scale as high as the animal and a camera straight above help most."),
    }
    name, (share, help_) = max(shares.items(), key=lambda item: item[1][0])
    what = f"Of the {NAMES[worst.part].lower()}, {name} makes most of the error: ±{percent(NORMAL_90 * share)}."
    return f"{what} {help_}"
