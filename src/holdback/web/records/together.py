"""Which male is with which female on a day, and what speaks against putting two together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from holdback.collection.model import PartialDate, Sex
from holdback.errors import Fault
from holdback.web.records.models import Animal, Mating

OPEN_DAYS = 90
"""Days for which two count as together where nobody wrote that they were parted: longer than any of the keepers' ways,
so that one forgotten in another season is not taken up again (common practice, no source)."""


def pair_faults(dam: Animal, sire: Animal) -> Iterator[Fault]:
    """REC-017 for one animal twice; SEA-040 where the two are of one sex, or stand the wrong way round."""
    if dam.pk == sire.pk:
        yield Fault("REC-017", f"{dam.tag} stands for both.", "Choose two animals.", field="sire", animal=dam.tag)
    elif dam.sex == sire.sex != Sex.UNKNOWN.value:
        yield Fault(
            "SEA-040",
            f"{dam.tag} and {sire.tag} are both recorded as {dam.sex}.",
            "Which of them is it not? Correct the sex of that one, or choose another animal.",
            field="sire",
            value=sire.tag,
            animal=dam.tag,
        )
    elif dam.sex == Sex.MALE.value or sire.sex == Sex.FEMALE.value:
        yield Fault(
            "SEA-040",
            f"{dam.tag} stands as the female and is recorded as {dam.sex}, {sire.tag} as {sire.sex}.",
            "Name them the other way round, or correct a sex.",
            field="sire",
            value=sire.tag,
            animal=dam.tag,
        )


def spans(mating: Mating, day: dt.date) -> bool:
    """Whether the two were together on a day, as far as the records tell.

    A day or month that is not known is taken in its widest sense; without a last day they count as together for
    `OPEN_DAYS`.
    """
    if not mating.together:
        return False
    first = PartialDate.parse(mating.together)
    if day < first.earliest:
        return False
    if mating.apart:
        return day <= PartialDate.parse(mating.apart).latest
    return (day - first.latest).days <= OPEN_DAYS


def open_on(day: dt.date, *, dam: Animal | None = None, sire: Animal | None = None) -> list[Mating]:
    """Matings of a female, a male or both that span a day, the latest first."""
    found = Mating.objects.select_related("dam", "sire").order_by("-together", "-id")
    if dam:
        found = found.filter(dam=dam)
    if sire:
        found = found.filter(sire=sire)
    return [mating for mating in found if spans(mating, day)]


def elsewhere_faults(dam: Animal, sire: Animal, day: dt.date) -> Iterator[Fault]:
    """SEA-031, a question, for each other female that the male is with; the day he moves on is no contradiction."""
    for other in open_on(day, sire=sire):
        moved_on = other.apart and PartialDate.parse(other.apart).latest == day
        if other.dam_id != dam.pk and not moved_on:
            until = f"and parted {other.apart}" if other.apart else "and nobody wrote that they were parted"
            yield Fault(
                "SEA-031",
                f"{sire.tag} was put to {other.dam.tag} on {other.together}, {until}.",
                "Write down first when those two were parted, or say that it is right.",
                field="sire",
                value=sire.tag,
                animal=dam.tag,
            )


def outside_faults(mating: Mating, day: str) -> Iterator[Fault]:
    """SEA-041 where a lock lies before or after the days of the mating it belongs to."""
    date = PartialDate.parse(day)
    too_early = mating.together and date.latest < PartialDate.parse(mating.together).earliest
    if too_early or (mating.apart and date.earliest > PartialDate.parse(mating.apart).latest):
        yield Fault(
            "SEA-041",
            f"{mating.sire.tag} and {mating.dam.tag} were together {mating.together} to {mating.apart or 'now'}.",
            "Correct the day of the lock, or the days of the mating.",
            field="on",
            value=day,
            animal=mating.dam.tag,
        )
