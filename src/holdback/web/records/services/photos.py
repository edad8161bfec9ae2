"""Add photographs, keep what is marked on them, and put them away."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING

from holdback.collection.photo_marks import TRAITS, Part, Trace
from holdback.collection.units import LENGTH_IN_CM
from holdback.errors import Fault, RecordError, SizeError
from holdback.web.records import clock
from holdback.web.records.models import Animal, Measurement, Photo, PhotoMarks
from holdback.web.records.rules import LENGTH_UNITS, date_faults, refuse
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.services.readings import add_measurement

if TYPE_CHECKING:
    from holdback.size.from_photo import PhotoLength

CONDITION = "from a photo"
"""Condition of a reading that was made from a photograph."""


@dataclass(frozen=True, slots=True)
class Marked:
    """Everything that is marked on a photo.

    Parameters
    ----------
    traces : sequence of (Part, Trace)
        The marks; repeats of a part one after the other.
    length : float
        True length of the scale, in `unit`.
    unit : str
        mm, cm, m or in.
    """

    traces: Sequence[tuple[Part, Trace]]
    length: float
    unit: str

    def lengths(self) -> tuple[PhotoLength, ...]:
        """What the marks say of the animal.

        Raises
        ------
        SizeError
            PHO-020 to PHO-023, all faults together.
        RecordError
            REC-013 if the unit is none of length.
        """
        from holdback.size.from_photo import lengths_of  # brings numpy, which most requests do without

        if self.unit not in LENGTH_UNITS:
            hint = f"Use one of: {', '.join(LENGTH_UNITS)}."
            raise RecordError(Fault("REC-013", f"the unit {self.unit!r} is none of length.", hint, field="unit"))
        return lengths_of(self.traces, self.length * LENGTH_IN_CM[self.unit] * 10)


def add_photo(animal: Animal, *, who: str, file: IO[bytes], taken: str = "", batch: uuid.UUID | None = None) -> Photo:
    """A new photograph of an animal.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who adds it.
    file : binary file
        JPEG, PNG, WebP or HEIC.
    taken : str
        Day it was taken; left out, the day that the camera wrote, else today.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        PHO-002 to PHO-005, REC-012.
    """
    from holdback.web.records.photo_files import discard, read_picture, store  # slow to import, seldom needed

    refuse(date_faults(taken, field="taken", animal=animal.tag))
    picture = read_picture(file)
    photo = Photo(
        animal=animal,
        taken=taken or picture.taken or clock.today().isoformat(),
        width=picture.width,
        height=picture.height,
        digest=picture.digest,
    )
    store(photo.pk, picture)
    try:
        with deed("add photo", who=who, batch=batch) as done:
            done.make(photo)
    except RecordError:
        discard(photo.pk)
        raise
    return photo


def put_photo_away(photo: Photo, *, who: str, is_away: bool = True, batch: uuid.UUID | None = None) -> None:
    """Take a photograph out of sight, or back into it; the file and all that was measured on it stay."""
    with deed("put photo away" if is_away else "take photo out again", who=who, batch=batch) as done:
        done.change(photo, put_away=is_away)


def keep_marks(
    photo: Photo, marked: Marked, *, who: str, date: str = "", batch: uuid.UUID | None = None
) -> list[Measurement]:
    """Keep what is marked on a photo, and the readings made of it.

    Parameters
    ----------
    photo : Photo
        The photo.
    marked : Marked
        All marks. They take the place of those kept before, and the readings made of these are corrected.
    who : str
        Who marked it.
    date : str
        Day of the readings; left out, the day that the photo was taken.
    batch : UUID, optional
        Batch that the change belongs to.

    Returns
    -------
    list of Measurement
        One for each part of the animal that is marked.

    Raises
    ------
    SizeError
        PHO-020 to PHO-023.
    RecordError
        PHO-011 to PHO-013, REC-012, REC-013.
    """
    refuse(date_faults(date, field="date", animal=photo.animal.tag))
    lengths = _checked(photo, marked)
    batch = batch or uuid.uuid4()
    with deed("measure on a photo", who=who, batch=batch) as done:
        earlier = list(photo.marks.select_related("measurement", "measurement__animal"))
        readings = {one.measurement.trait: one.measurement for one in earlier if one.measurement}
        done.delete(*earlier)
        kept = {one.part: _reading(done, photo, one, readings, date or photo.taken) for one in lengths}
        done.make(*_rows(photo, marked, kept))
        done.delete(*readings.values())
    return list(kept.values())


def _checked(photo: Photo, marked: Marked) -> tuple[PhotoLength, ...]:
    """Lengths of the marks; refuses marks that cannot be kept on this photo."""
    faults = []
    if photo.put_away:
        faults.append(Fault("PHO-013", "This photo is put away.", "Take it out again first."))
    if all(part is Part.SCALE for part, _ in marked.traces):
        hint = "Mark the head or the body, then keep it."
        faults.append(Fault("PHO-011", "Nothing of the animal is marked.", hint, field="marks"))
    for part, trace in marked.traces:
        if any(not (0 <= x <= photo.width and 0 <= y <= photo.height) for x, y in trace.points):
            faults.append(
                Fault("PHO-012", f"A mark of the {part} lies outside the photo.", "Set it again.", field=part)
            )
    try:
        lengths = marked.lengths()
    except SizeError as error:
        raise RecordError([*faults, *error.faults]) from error
    refuse(faults)
    return lengths


def _reading(done: Deed, photo: Photo, length: PhotoLength, earlier: dict[str, Measurement], date: str) -> Measurement:
    """The reading of a length: the one made before from this photo, corrected, else a new one."""
    estimate, trait = length.estimate, TRAITS[length.part].value
    value = round(estimate.mean, 2)
    typed = f"{value:g} {estimate.unit} ±{length.half_width:.1%}"
    if present := earlier.pop(trait, None):
        done.change(present, value=value, unit=estimate.unit, typed=typed, date=date)
        return present
    return add_measurement(
        photo.animal,
        who=done.who,
        batch=done.batch,
        date=date,
        trait=trait,
        value=value,
        unit=estimate.unit,
        typed=typed,
        condition=CONDITION,
    )


def _rows(photo: Photo, marked: Marked, kept: dict[Part, Measurement]) -> list[PhotoMarks]:
    """A row for each trace."""
    counts: dict[Part, int] = {}
    rows = []
    for part, trace in marked.traces:
        counts[part] = counts.get(part, 0) + 1
        rows.append(
            PhotoMarks(
                photo=photo,
                kind=part.value,
                repeat=counts[part],
                points=[[round(x, 2), round(y, 2)] for x, y in trace.points],
                step=round(trace.step, 3),
                true_length=marked.length if part is Part.SCALE else None,
                unit=marked.unit if part is Part.SCALE else "",
                measurement=kept.get(part),
            )
        )
    return rows


def marked_of(rows: Sequence[PhotoMarks]) -> Marked | None:
    """What is kept of a photo, as it was marked; None where nothing is."""
    scale = next((row for row in rows if row.kind == Part.SCALE.value), None)
    if scale is None or scale.true_length is None:
        return None
    traces = [(Part(row.kind), Trace(tuple((float(x), float(y)) for x, y in row.points), row.step)) for row in rows]
    return Marked(traces, scale.true_length, scale.unit)
