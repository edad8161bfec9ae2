"""How long the head and the body of an animal are by its last readings, and where on a photo they were marked."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import PartialDate
from holdback.collection.photo_marks import TRAITS, Part, Trace
from holdback.collection.units import LENGTH_IN_CM
from holdback.size.from_photo import NORMAL_90, Scale, mm_per_pixel
from holdback.web.pages.wording import day
from holdback.web.records.models import Animal, Measurement, Photo
from holdback.web.records.services import marked_of


@dataclass(frozen=True, slots=True)
class Read:
    """A length by one reading.

    Parameters
    ----------
    mm : float
        The length, in millimetre.
    half : float
        Half the 90 % range as a share of it; 0 where the reading came without one.
    day : str
        In words.
    photo : Photo or None
        The photo it was read from.
    """

    mm: float
    half: float
    day: str
    photo: Photo | None

    @property
    def low(self) -> float:
        """Lower end of the range, in millimetre."""
        return self.mm * math.exp(-self.half)

    @property
    def high(self) -> float:
        """Upper end of the range, in millimetre."""
        return self.mm * math.exp(self.half)

    @property
    def sd(self) -> float:
        """Standard deviation, in millimetre."""
        return self.mm * self.half / NORMAL_90


@dataclass(frozen=True, slots=True)
class HeadOnPhoto:
    """A head on a photo: the marks on it, and how large a pixel is."""

    photo: Photo
    traces: tuple[tuple[Part, Trace], ...]
    mm_per_px: float


@dataclass(frozen=True, slots=True)
class Sized:
    """An animal with its lengths by part; `head` is where its head was marked last."""

    animal: Animal
    name: str
    reads: Mapping[Part, Read]
    head: HeadOnPhoto | None


def sized(animal: Animal) -> Sized:
    """An animal with its last readings; five queries."""
    readings = animal.measurements.filter(trait__in=[trait.value for trait in TRAITS.values()])
    last: dict[str, Measurement] = {
        one.trait: one for one in readings.order_by("date").prefetch_related("photo_marks__photo__marks")
    }
    reads = {part: _read(part, last[trait.value]) for part, trait in TRAITS.items() if trait.value in last}
    return Sized(animal, animal.name or animal.tag, reads, _head(list(reads.values())))


def photo_of(measurement: Measurement) -> Photo | None:
    """The photo that a reading was made from."""
    rows = list(measurement.photo_marks.all())
    return rows[0].photo if rows else None


def _read(part: Part, measurement: Measurement) -> Read:
    photo = photo_of(measurement)
    half = 0.0
    if photo and (marked := marked_of(list(photo.marks.all()))):
        half = next((one.half_width for one in marked.lengths() if one.part is part), 0.0)
    mm = measurement.value * LENGTH_IN_CM[measurement.unit] * 10
    return Read(mm, half, day(PartialDate.parse(measurement.date)), photo)


def _head(reads: Sequence[Read]) -> HeadOnPhoto | None:
    """The photo on which the head was marked, not put away; that with more marks of it if there are two."""
    found = [head for read in reads if read.photo and not read.photo.put_away and (head := head_on(read.photo))]
    return max(found, key=lambda head: len(head.traces), default=None)


def head_on(photo: Photo) -> HeadOnPhoto | None:
    """The head that is marked on a photo; None where only a body is."""
    marked = marked_of(list(photo.marks.all()))
    if marked is None:
        return None
    head = tuple((part, trace) for part, trace in marked.traces if part in {Part.HEAD_WIDTH, Part.HEAD_LENGTH})
    scale = Scale(
        tuple(trace for part, trace in marked.traces if part is Part.SCALE),
        marked.length * LENGTH_IN_CM[marked.unit] * 10,
    )
    return HeadOnPhoto(photo, head, mm_per_pixel(scale)) if head else None


def difference(one: Read, other: Read) -> tuple[float, float, bool]:
    """Difference of two lengths in millimetre, half its 90 % range, and whether it is more than its error.

    A reading without a range has an unknown error, so nothing is more than it.
    """
    half = NORMAL_90 * math.hypot(one.sd, other.sd)
    found = one.mm - other.mm
    return found, half, bool(one.half and other.half) and abs(found) > half
