"""Weigh an animal: the number as typed, with a question where it looks like a slip."""

from __future__ import annotations

import datetime as dt
import math
import uuid

from holdback.collection.event_kinds import LAID, OVULATION, PRELAY_SHED
from holdback.collection.model import PartialDate, Sex, Trait
from holdback.collection.units import MASS_IN_G
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.lifetimes import day_faults, last_seen
from holdback.web.records.models import Animal, Measurement
from holdback.web.records.rules import MASS_UNITS, refuse
from holdback.web.records.services.deed import deed
from holdback.web.records.services.readings import measurement_faults
from holdback.web.records.weights import last_weight, slip_faults, weight_typed

GRAVID = "gravid"
LONGEST_DAYS = 90
"""Days after ovulation in which she counts as gravid where no laying is written: a month over the longest told of
(common practice, no source)."""


def weigh(
    animal: Animal,
    *,
    who: str,
    typed: str,
    on: dt.date,
    unit: str = "g",
    condition: str = "",
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> Measurement:
    """A weight; the one that is there already where the same was written for that day.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who weighed it.
    typed : str
        As typed: ``3,165``, ``3.1 lb``, ``81,5 oz``. Which sign a comma is is told by what an animal can weigh.
    on : date
        The day.
    unit : str
        Unit where none was typed: g, kg, oz or lb.
    condition : str
        State: empty, fed, gravid, in shed, after laying. Left out, "gravid" is written where she ovulated or shed
        before laying and has not laid since.
    sure : bool
        Whether the keeper has answered the questions.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-011, REC-013, REC-014, SEA-042, SEA-043, SEA-049; as questions SEA-030, SEA-034, SEA-037.
    """
    with deed("weigh", who=who, batch=batch) as done:
        refuse(_unit_faults(unit, animal.tag))
        day = PartialDate(on.year, on.month, on.day)
        last = last_weight(animal, day)
        weight = weight_typed(typed, unit=unit, animal=animal.tag)
        reading = Measurement(
            animal=animal,
            date=str(day),
            trait=Trait.MASS.value,
            value=weight.value,
            unit=weight.unit,
            typed=typed.strip()[:40],
            condition=condition.strip() or (GRAVID if is_gravid(animal, day) else ""),
        )
        if there := _same(reading):
            return there
        faults = [*measurement_faults(reading), *day_faults(animal, on)]
        judge([*faults, *slip_faults(weight, last, species=animal.species, animal=animal.tag)], sure=sure)
        done.make(reading)
    return reading


def is_gravid(animal: Animal, day: PartialDate) -> bool:
    """Whether she ovulated, or shed before laying, within `LONGEST_DAYS` up to a day and did not lay since."""
    if animal.sex == Sex.MALE.value:
        return False
    signs = [seen for kind in (OVULATION, PRELAY_SHED) if (seen := last_seen(animal, kind))]
    dates = [PartialDate.parse(seen.date) for seen in signs]
    held = [date for date in dates if 0 <= (day.latest - date.earliest).days <= LONGEST_DAYS]
    if not held:
        return False
    clutches = animal.clutches.filter(removed_at__isnull=True).exclude(laid="")
    laid = [PartialDate.parse(text) for text in clutches.values_list("laid", flat=True)]
    if seen := last_seen(animal, LAID):
        laid.append(PartialDate.parse(seen.date))
    return not any(max(held).earliest <= date.latest and date.earliest <= day.latest for date in laid)


def _unit_faults(unit: str, animal: str) -> list[Fault]:
    """REC-013 for what is no unit of mass."""
    if unit in MASS_UNITS:
        return []
    what, hint = f"the unit {unit!r} does not fit mass.", f"Use one of: {', '.join(MASS_UNITS)}."
    return [Fault("REC-013", what, hint, field="unit", value=unit, animal=animal)]


def _same(reading: Measurement) -> Measurement | None:
    """A weight of the same day that is the same to a thousandth."""
    grams = reading.value * MASS_IN_G[reading.unit]
    rows = reading.animal.measurements.filter(date=reading.date, trait=Trait.MASS.value).order_by("id")
    return next((one for one in rows if math.isclose(one.value * MASS_IN_G[one.unit], grams, rel_tol=1e-3)), None)
