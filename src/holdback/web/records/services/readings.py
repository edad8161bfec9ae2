"""Add, change and remove measurements; add matings and observations."""

from __future__ import annotations

import uuid
from typing import TypedDict, Unpack

from holdback.collection.model import Sex, Trait
from holdback.errors import Fault
from holdback.web.records.models import Animal, Mating, Measurement, Observation
from holdback.web.records.rules import (
    LENGTH_UNITS,
    MASS_UNITS,
    date_faults,
    length_faults,
    number_faults,
    refuse,
    word_faults,
)
from holdback.web.records.services.deed import deed


class Reading(TypedDict, total=False):
    """One reading."""

    date: str
    trait: str
    value: float
    unit: str
    typed: str
    condition: str


def add_measurement(
    animal: Animal, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[Reading]
) -> Measurement:
    """A new measurement.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``date`` and ``value`` (needed), ``trait`` (mass if left out), ``unit`` (g if left out), ``typed`` (as
        written, such as "3,2"), ``condition``.

    Raises
    ------
    RecordError
        REC-011 to REC-014, all faults together.
    """
    with deed("add measurement", who=who, batch=batch) as done:
        given: Reading = {"trait": Trait.MASS.value, "unit": "g", "value": 0.0, "date": "", **fields}
        reading = Measurement(animal=animal, **given)
        refuse(measurement_faults(reading))
        done.make(reading)
    return reading


def change_measurement(
    reading: Measurement, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[Reading]
) -> Measurement:
    """The measurement with some fields changed; the fields are those of `add_measurement`.

    Raises
    ------
    RecordError
        REC-011 to REC-014, all faults together.
    """
    with deed("change measurement", who=who, batch=batch) as done:
        reading = Measurement.objects.select_related("animal").select_for_update(of=("self",)).get(pk=reading.pk)
        wanted = {**{name: getattr(reading, name) for name in Reading.__annotations__}, **fields}
        refuse(measurement_faults(Measurement(animal=reading.animal, **wanted)))
        done.change(reading, **fields)
    return reading


def remove_measurement(reading: Measurement, *, who: str, batch: uuid.UUID | None = None) -> None:
    """Take a measurement out; undo brings it back."""
    with deed("remove measurement", who=who, batch=batch) as done:
        done.delete(Measurement.objects.get(pk=reading.pk))


def measurement_faults(reading: Measurement) -> list[Fault]:
    """Faults of one measurement."""
    tag = reading.animal.tag
    faults = [
        *date_faults(reading.date, field="date", required=True, animal=tag),
        *word_faults(reading.trait, Trait, field="trait", animal=tag),
        *number_faults(reading.value, 0, 1e6, field="value", above=True, animal=tag),
        *length_faults(reading.condition, 40, field="condition", animal=tag),
    ]
    units = MASS_UNITS if reading.trait == Trait.MASS else LENGTH_UNITS
    if reading.unit not in units:
        faults.append(
            Fault(
                "REC-013",
                f"the unit {reading.unit!r} does not fit {reading.trait}.",
                f"Use one of: {', '.join(units)}.",
                field="unit",
                value=reading.unit,
                animal=tag,
            )
        )
    return faults


class MatingFields(TypedDict, total=False):
    """When the two were together."""

    together: str
    apart: str
    locks: int
    notes: str


def add_mating(
    *, who: str, dam: Animal, sire: Animal, batch: uuid.UUID | None = None, **fields: Unpack[MatingFields]
) -> Mating:
    """A new mating.

    Parameters
    ----------
    who : str
        Who writes it.
    dam, sire : Animal
        The two.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``together``, ``apart``, ``locks``, ``notes``.

    Raises
    ------
    RecordError
        REC-012, REC-014 or REC-017, all faults together.
    """
    with deed("add mating", who=who, batch=batch) as done:
        mating = Mating(dam=dam, sire=sire, **fields)
        faults = [
            *date_faults(mating.together, field="together"),
            *date_faults(mating.apart, field="apart"),
            *number_faults(mating.locks, 0, 1000, field="locks"),
        ]
        for animal, other, field in ((dam, Sex.MALE, "dam"), (sire, Sex.FEMALE, "sire")):
            if animal.sex == other:
                faults.append(
                    Fault("REC-017", f"{animal.tag} is recorded as {other}.", "Correct its sex.", field=field)
                )
        if dam.pk == sire.pk:
            faults.append(Fault("REC-017", "dam and sire are one animal.", "Choose two.", field="sire"))
        refuse(faults)
        done.make(mating)
    return mating


class Seen(TypedDict, total=False):
    """What was seen."""

    date: str
    kind: str
    value: float | None
    unit: str
    note: str
    until: str


def add_observation(animal: Animal, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[Seen]) -> Observation:
    """A new observation.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``date`` and ``kind`` (needed: meal, shed, ovulation, ultrasound, ...), ``value``, ``unit``, ``note``,
        ``until``.

    Raises
    ------
    RecordError
        REC-010 to REC-014, all faults together.
    """
    with deed("add observation", who=who, batch=batch) as done:
        seen = Observation(animal=animal, **fields)
        faults = [
            *date_faults(seen.date, field="date", required=True),
            *date_faults(seen.until, field="until"),
            *number_faults(seen.value, -1e9, 1e9, field="value"),
            *length_faults(seen.kind, 40, field="kind"),
            *length_faults(seen.unit, 12, field="unit"),
        ]
        if not seen.kind:
            faults.append(Fault("REC-010", "the observation has no kind.", "Say what was seen.", field="kind"))
        refuse(faults)
        done.make(seen)
    return seen
