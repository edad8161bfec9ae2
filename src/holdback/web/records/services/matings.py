"""Put two together, part them, write down a lock, and correct all of it."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypedDict, Unpack

from holdback.collection.event_kinds import LOCK
from holdback.collection.model import PartialDate
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.lifetimes import away_faults, day_faults, future_faults
from holdback.web.records.models import Animal, Mating, Observation
from holdback.web.records.rules import date_faults, number_faults, refuse
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.together import elsewhere_faults, open_on, outside_faults, pair_faults


def put_together(
    *, who: str, dam: Animal, sire: Animal, on: dt.date, sure: bool = False, batch: uuid.UUID | None = None
) -> Mating:
    """The mating that begins; the one that began that day already where it is written down twice.

    Parameters
    ----------
    who : str
        Who writes it.
    dam, sire : Animal
        The two.
    on : date
        First day.
    sure : bool
        Whether the keeper has answered the questions.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-017, SEA-040, SEA-042 or SEA-043; as questions SEA-030, SEA-031, SEA-034 or SEA-038.
    """
    with deed("put together", who=who, batch=batch) as done:
        there = [one for one in open_on(on, dam=dam, sire=sire) if not one.apart]
        if same := next((one for one in there if one.together == on.isoformat()), None):
            return same
        faults = [*_faults_of_two(dam, sire, on), *elsewhere_faults(dam, sire, on)]
        faults += [_still_together(one) for one in there]
        judge(faults, sure=sure)
        mating = Mating(dam=dam, sire=sire, together=on.isoformat())
        done.make(mating)
    return mating


def part(mating: Mating, *, who: str, on: dt.date, sure: bool = False, batch: uuid.UUID | None = None) -> Mating:
    """The mating with its last day.

    Raises
    ------
    RecordError
        SEA-041 if they were put together, or a lock was seen, after that day; SEA-048 if they were parted on another
        day already; as a question SEA-030.
    """
    with deed("part", who=who, batch=batch) as done:
        mating = _reloaded(mating)
        if mating.apart == on.isoformat():
            return mating
        faults = list(_order_faults(mating, apart=on.isoformat()))
        faults += future_faults(PartialDate(on.year, on.month, on.day), field="on", animal=mating.dam.tag)
        if mating.apart:
            faults.append(
                Fault(
                    "SEA-048",
                    f"{mating.sire.tag} and {mating.dam.tag} were parted {mating.apart} already.",
                    "Change that day if it is wrong.",
                    field="on",
                    value=str(on),
                    animal=mating.dam.tag,
                )
            )
        judge(faults, sure=sure)
        done.change(mating, apart=on.isoformat())
    return mating


@dataclass(frozen=True, slots=True)
class Locked:
    """A lock that was written down.

    Parameters
    ----------
    seen : Observation
        The lock, of the female.
    mating : Mating
        Where it was counted.
    is_new : bool
        Whether the mating was made for it, as one of a day.
    said : str
        What was written, in a sentence.
    """

    seen: Observation
    mating: Mating
    is_new: bool
    said: str


def log_lock(
    *,
    who: str,
    dam: Animal,
    on: dt.date,
    sire: Animal | None = None,
    mating: Mating | None = None,
    again: bool = False,
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> Locked:
    """Write down a lock and count it in the mating it belongs to.

    Parameters
    ----------
    who : str
        Who writes it.
    dam : Animal
        The female.
    on : date
        The day.
    sire : Animal, optional
        The male; where he is left out, the one that is with her.
    mating : Mating, optional
        The mating; where it is left out, the one that spans the day. Where there is none, one of that day is made.
    again : bool
        Whether it is another lock of the two on a day that has one already.
    sure : bool
        Whether the keeper has answered the other questions.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-017, SEA-040 to SEA-043, or SEA-055 where the male cannot be told; as questions SEA-030, SEA-031, SEA-034,
        and SEA-032 where the day has a lock of the two already.
    """
    with deed("lock", who=who, batch=batch) as done:
        with_her = [mating] if mating else open_on(on, dam=dam, sire=sire)
        male = sire or _the_male(dam, with_her, on)
        own = next((one for one in with_her if one.sire_id == male.pk and one.dam_id == dam.pk), None)
        faults = [*_faults_of_two(dam, male, on), *(() if own else elsewhere_faults(dam, male, on))]
        if mating and own is None:
            faults.append(_other_two(mating, dam, male))
        judge(faults, sure=sure)
        if not again:
            refuse(_same_day(dam, male, on))
        if own is None:
            own = Mating(dam=dam, sire=male, together=on.isoformat(), apart=on.isoformat(), locks=1)
            done.make(own)
            said = f"Nobody had written that {male.tag} was with {dam.tag}: one day is written, with one lock."
            is_new = True
        else:
            own = _reloaded(own)
            refuse(outside_faults(own, on.isoformat()))
            done.change(own, locks=own.locks + 1)
            said, is_new = f"Lock {own.locks} of {male.tag} with {dam.tag}, together since {own.together}.", False
        seen = Observation(animal=dam, date=on.isoformat(), kind=LOCK, note=_named(male), mating=own)
        done.make(seen)
    return Locked(seen, own, is_new, said)


class MatingChange(TypedDict, total=False):
    """What may be changed of a mating."""

    dam: Animal
    sire: Animal
    together: str
    apart: str
    locks: int
    notes: str


def change_mating(
    mating: Mating, *, who: str, sure: bool = False, batch: uuid.UUID | None = None, **fields: Unpack[MatingChange]
) -> Mating:
    """The mating with some fields changed; its dated locks go along with the two.

    Raises
    ------
    RecordError
        REC-012, REC-014, REC-017, SEA-040, SEA-041 or SEA-054, all faults together; as a question SEA-030.
    """
    with deed("change mating", who=who, batch=batch) as done:
        mating = _reloaded(mating)
        old = mating.dam_id, mating.sire
        faults = [
            *date_faults(fields.get("together", ""), field="together"),
            *date_faults(fields.get("apart", ""), field="apart"),
            *number_faults(fields.get("locks"), 0, 1000, field="locks"),
        ]
        refuse(faults)
        faults += pair_faults(fields.get("dam", mating.dam), fields.get("sire", mating.sire))
        faults += _order_faults(mating, together=fields.get("together"), apart=fields.get("apart"))
        faults += _count_faults(mating, fields.get("locks"))
        for name in ("together", "apart"):
            if text := fields.get(name, ""):
                faults += future_faults(PartialDate.parse(str(text)), field=name, animal=mating.dam.tag)
        judge(faults, sure=sure)
        done.change(mating, **fields)
        if old != (mating.dam_id, mating.sire):
            _move_locks(done, mating, old_note=_named(old[1]))
    return mating


def remove_mating(mating: Mating, *, who: str, batch: uuid.UUID | None = None) -> None:
    """Take a mating out, with the locks that were dated in it; undo brings all back."""
    with deed("remove mating", who=who, batch=batch) as done:
        present = _reloaded(mating)
        done.delete(*present.seen.all())
        done.delete(present)


def _reloaded(mating: Mating) -> Mating:
    """The mating as it is now, held against another writer where the database can."""
    return Mating.objects.select_related("dam", "sire").select_for_update(of=("self",)).get(pk=mating.pk)


def _faults_of_two(dam: Animal, sire: Animal, on: dt.date) -> Iterator[Fault]:
    """Faults of two animals being together on a day; a question of the day is asked once."""
    yield from pair_faults(dam, sire)
    told = set()
    day = PartialDate(on.year, on.month, on.day)
    for animal in (dam, sire):
        for fault in (*day_faults(animal, on), *away_faults(animal, day)):
            if fault.what not in told:
                told.add(fault.what)
                yield fault


def _still_together(mating: Mating) -> Fault:
    return Fault(
        "SEA-038",
        f"{mating.sire.tag} and {mating.dam.tag} were put together {mating.together}, and nobody wrote that they were "
        "parted.",
        "Write down first when they were parted, or say that they were put together anew.",
        field="on",
        animal=mating.dam.tag,
    )


def _order_faults(mating: Mating, *, together: str | None = None, apart: str | None = None) -> Iterator[Fault]:
    """SEA-041 where the last day comes before the first, or a dated lock lies outside."""
    first = mating.together if together is None else together
    last = mating.apart if apart is None else apart
    two = f"{mating.sire.tag} and {mating.dam.tag}"
    if first and last and PartialDate.parse(last).latest < PartialDate.parse(first).earliest:
        yield Fault(
            "SEA-041",
            f"{two} were put together {first}, after {last}.",
            "Correct one of the days.",
            field="apart",
            value=last,
            animal=mating.dam.tag,
        )
        return
    for seen in mating.seen.all():
        day = PartialDate.parse(seen.date)
        too_early = first and day.latest < PartialDate.parse(first).earliest
        if too_early or (last and day.earliest > PartialDate.parse(last).latest):
            yield Fault(
                "SEA-041",
                f"A lock of {two} is written for {seen.date}, outside the days they were together.",
                "Correct the day of the lock, or that one.",
                field="together" if too_early else "apart",
                value=first if too_early else last,
                animal=mating.dam.tag,
            )


def _count_faults(mating: Mating, locks: int | None) -> Iterator[Fault]:
    """SEA-054 where fewer locks are counted than are dated."""
    dated = mating.seen.count()
    if locks is not None and locks < dated:
        yield Fault(
            "SEA-054",
            f"{dated} locks of {mating.sire.tag} with {mating.dam.tag} are dated; {locks} cannot be.",
            "Remove the locks that were not, one by one.",
            field="locks",
            value=str(locks),
            animal=mating.dam.tag,
        )


def _the_male(dam: Animal, with_her: list[Mating], on: dt.date) -> Animal:
    """The one male that is with a female.

    Raises
    ------
    RecordError
        SEA-055 if there is none, or more than one.
    """
    males = {mating.sire_id: mating.sire for mating in with_her}
    if len(males) == 1:
        return next(iter(males.values()))
    told = " and ".join(sorted(male.tag for male in males.values()))
    what = f"{told} were with {dam.tag} on {on}" if males else f"nobody is recorded with {dam.tag} on {on}"
    fault = Fault("SEA-055", f"{what}.", "Which male was it? Name him.", field="sire", animal=dam.tag)
    refuse([fault])
    raise AssertionError("refuse raises where there is a fault")


def _other_two(mating: Mating, dam: Animal, male: Animal) -> Fault:
    return Fault(
        "SEA-040",
        f"that mating is of {mating.sire.tag} with {mating.dam.tag}, not of {male.tag} with {dam.tag}.",
        "Choose the mating of the two, or leave it out.",
        field="mating",
        animal=dam.tag,
    )


def _same_day(dam: Animal, male: Animal, on: dt.date) -> Iterator[Fault]:
    """SEA-032, a question of its own, where the day has a lock of the two."""
    count = Observation.objects.filter(animal=dam, kind=LOCK, date=on.isoformat(), mating__sire=male).count()
    if count:
        yield Fault(
            "SEA-032",
            f"A lock of {male.tag} with {dam.tag} is written for {on} already.",
            "Is this another one of the same day?",
            field="again",
            animal=dam.tag,
        )


def _named(male: Animal) -> str:
    """How the note of a lock names the male."""
    return f"with {male}"


def _move_locks(done: Deed, mating: Mating, *, old_note: str) -> None:
    """Give the dated locks of a mating to its two animals as they are now."""
    for seen in mating.seen.all():
        note = _named(mating.sire) if seen.note == old_note else seen.note
        done.change(seen, animal=mating.dam, note=note)
