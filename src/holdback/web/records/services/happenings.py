"""Write down what happened to an animal; what ends its stay here changes its status in the same deed."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TypedDict, Unpack

from holdback.collection.event_kinds import (
    BORROWED,
    CO_OWNED,
    DIED,
    KINDS,
    LENT,
    LOCK,
    MEAL,
    QUARANTINE,
    RETURNED,
    SOLD,
    is_taken,
    kind_of,
)
from holdback.collection.model import Event, PartialDate
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.clock import today
from holdback.web.records.happening_rules import happening_faults, shares_on
from holdback.web.records.lifetimes import WHEREABOUTS, Day, before_on, whereabouts, written
from holdback.web.records.models import Animal, Change, Observation, Stay
from holdback.web.records.rules import date_faults, refuse
from holdback.web.records.services.animals import write_fields
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.services.matings import log_lock
from holdback.web.records.together import open_on

OFFERED = "offered, not taken so far"
"""Note of a meal that lies in the tub; not taken until somebody says so."""

OFFER_DAYS = 3
"""Days within which a meal that was offered gets its outcome (common practice, no source)."""


class Told(TypedDict, total=False):
    """What else may be told of an event."""

    value: float | None
    unit: str
    note: str
    until: str


def log_event(
    animal: Animal,
    *,
    who: str,
    kind: str,
    on: Day,
    sure: bool = False,
    batch: uuid.UUID | None = None,
    **more: Unpack[Told],
) -> Observation:
    """What happened to an animal on a day.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    kind : str
        One of `event_kinds.KINDS`, or a word of the keeper's own, from which nothing is concluded.
    on : date or str
        The day, or a date to the month or year.
    sure : bool
        Whether the keeper has answered the questions.
    batch : UUID, optional
        Batch that the change belongs to.
    **more
        ``value`` and ``unit`` (the unit may be left out where the kind has one), ``note``, and ``until``, the last day
        of what lasts.

    Raises
    ------
    RecordError
        REC-010 to REC-012 and REC-014, SEA-042 to SEA-047, SEA-051, SEA-052; as questions SEA-030, SEA-033 to SEA-036,
        SEA-039. Of a lock those of `log_lock`.

    Notes
    -----
    Died, sold and a loan that ends change the status, end the stay in a tub, and part the animal, in the same deed.
    """
    word = kind_of(kind)
    known = KINDS.get(word)
    if word == LOCK:
        return _lock(animal, who=who, on=on, sure=sure, batch=batch)
    with deed(word[:60] or "event", who=who, batch=batch) as done:
        value = more.get("value")
        seen = Observation(
            animal=animal,
            kind=word,
            date=written(on),
            value=value,
            unit="" if value is None else more.get("unit", "").strip() or (known.unit if known else ""),
            note=more.get("note", "").strip(),
            until=more.get("until", "").strip(),
        )
        judge(happening_faults(seen), sure=sure)
        done.make(seen)
        _follow(done, seen)
    return seen


def log_meal(
    animal: Animal,
    *,
    who: str,
    taken: bool | None,
    on: Day | None = None,
    prey_g: float | None = None,
    note: str = "",
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> Observation:
    """A meal; one that was offered within `OFFER_DAYS` before gets its outcome.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    taken : bool or None
        Whether it was taken; None where it was offered and nobody has looked yet.
    on : date or str, optional
        The day; today if left out.
    prey_g : float, optional
        Mass of the prey in gram.
    note : str
        In words; "came up again" is told as such.
    sure : bool
        Whether the keeper has answered the questions.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        SEA-053 where the note says that it was not taken, and `taken` that it was; else as of `log_event`.
    """
    day = today() if on is None else on
    text = _meal_note(animal, taken=taken, note=note.strip(), day=day)
    offer = _open_offer(animal, day) if taken is not None else None
    if offer is None:
        return log_event(
            animal, who=who, kind=MEAL, on=day, value=prey_g, note=text, sure=sure, batch=batch
        )  # fmt: skip
    with deed("meal", who=who, batch=batch) as done:
        values = {"note": text} if prey_g is None else {"note": text, "value": prey_g, "unit": KINDS[MEAL].unit}
        for name, value in values.items():
            setattr(offer, name, value)
        judge(happening_faults(offer), sure=sure)
        offer = Observation.objects.select_related("animal").get(pk=offer.pk)
        done.change(offer, **values)
    return offer


def died(
    animal: Animal,
    *,
    who: str,
    on: Day,
    cause: str = "",
    opened: bool | None = None,
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> Observation:
    """Its death; `opened` says whether it was examined after, None that nobody said."""
    examined = "" if opened is None else ("opened" if opened else "not opened")
    note = "; ".join(part for part in (cause.strip(), examined) if part)
    return log_event(animal, who=who, kind=DIED, on=on, note=note, sure=sure, batch=batch)


def sold(
    animal: Animal,
    *,
    who: str,
    on: Day,
    to: str = "",
    price_text: str = "",
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> Observation:
    """Its sale: to whom, and for how much, as typed."""
    note = "; ".join(part for part in (to.strip(), price_text.strip()) if part)
    return log_event(animal, who=who, kind=SOLD, on=on, note=note, sure=sure, batch=batch)


def lent(
    animal: Animal, *, who: str, on: Day, to: str, until: str = "", sure: bool = False, batch: uuid.UUID | None = None
) -> Observation:
    """A loan to somebody; its status stays, as it comes back."""
    return log_event(animal, who=who, kind=LENT, on=on, note=to, until=until, sure=sure, batch=batch)


def borrowed(
    animal: Animal, *, who: str, on: Day, of: str, until: str = "", sure: bool = False, batch: uuid.UUID | None = None
) -> Observation:
    """A loan of somebody."""
    return log_event(animal, who=who, kind=BORROWED, on=on, note=of, until=until, sure=sure, batch=batch)


def returned(
    animal: Animal, *, who: str, on: Day, note: str = "", sure: bool = False, batch: uuid.UUID | None = None
) -> Observation:
    """The end of a loan, or the way back of an animal that was sold."""
    return log_event(animal, who=who, kind=RETURNED, on=on, note=note, sure=sure, batch=batch)


def co_owned(
    animal: Animal,
    *,
    who: str,
    on: Day,
    by: str,
    percent: float,
    until: str = "",
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> Observation:
    """A share of somebody in an animal; an older share of theirs ends with it."""
    return log_event(
        animal, who=who, kind=CO_OWNED, on=on, value=percent, note=by, until=until, sure=sure, batch=batch
    )  # fmt: skip


def quarantine(
    animal: Animal,
    *,
    who: str,
    on: Day,
    until: str = "",
    note: str = "",
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> Observation:
    """Kept apart from the others from a day on, until another or until somebody ends it."""
    return log_event(animal, who=who, kind=QUARANTINE, on=on, note=note, until=until, sure=sure, batch=batch)


def status_before(seen: Observation) -> str | None:
    """Status that an animal had before an event changed it; None where the event did not."""
    made = Change.objects.filter(model="observation", record=seen.pk, before__isnull=True).order_by("-id").first()
    if made is None:
        return None
    rows = Change.objects.filter(batch=made.batch, model="animal", record=seen.animal_id).order_by("id")
    return next((str(row.before["status"]) for row in rows if row.before and "status" in row.before), None)


def _lock(animal: Animal, *, who: str, on: Day, sure: bool, batch: uuid.UUID | None) -> Observation:
    """A lock with the male that is with her."""
    text = written(on)
    refuse(date_faults(text, field="on", animal=animal.tag, required=True))
    date = PartialDate.parse(text)
    if not date.day:
        what, hint = f"{text} is no day.", "Write the day of the lock."
        refuse([Fault("REC-012", what, hint, field="on", value=text, animal=animal.tag)])
    return log_lock(who=who, dam=animal, on=date.earliest, again=sure, sure=sure, batch=batch).seen


def _follow(done: Deed, seen: Observation) -> None:
    """What follows at once from an event for where an animal is and whose it is."""
    if seen.kind in WHEREABOUTS:
        _follow_away(done, seen)
    elif seen.kind == CO_OWNED:
        for share in shares_on(seen.animal, PartialDate.parse(seen.date), of=seen.note):
            if share.pk != seen.pk:
                done.change(share, until=seen.date)


def _follow_away(done: Deed, seen: Observation) -> None:
    """What follows for where an animal is; written down late, an event no longer tells where it is now."""
    animal, day = seen.animal, PartialDate.parse(seen.date)
    others = whereabouts(animal, but=seen.pk)
    before = before_on(others, day)
    was = kind_of(before.kind) if before else ""
    if seen.kind == RETURNED and before and was != SOLD and not _ended_by(before, day):
        done.change(before, until=seen.date)
    if others and others[-1] != before:
        return
    if seen.kind in {DIED, SOLD}:
        write_fields(done, animal, {"status": seen.kind})
    elif seen.kind == RETURNED and was == BORROWED:
        write_fields(done, animal, {"status": RETURNED})
    elif before and (seen.kind == RETURNED or (seen.kind == BORROWED and was == RETURNED)):
        _set_back(done, animal, before)
    if seen.kind in {DIED, SOLD, LENT} or (seen.kind == RETURNED and was == BORROWED):
        _leave(done, animal, day.latest)


def _ended_by(loan: Observation, day: PartialDate) -> bool:
    """Whether a loan has a last day that is not after a day."""
    return bool(loan.until) and PartialDate.parse(loan.until).earliest <= day.latest


def _set_back(done: Deed, animal: Animal, event: Observation) -> None:
    """Give an animal the status from before an event, where the event changed it."""
    status = status_before(event)
    if status is not None:
        write_fields(done, animal, {"status": status})


def _leave(done: Deed, animal: Animal, day: dt.date) -> None:
    """Take an animal out of its tub, and part it from whom it is with, on the day it leaves."""
    for stay in Stay.objects.filter(animal=animal, until__isnull=True):
        done.change(stay, until=max(day, stay.since))
    for mating in [*open_on(day, dam=animal), *open_on(day, sire=animal)]:
        if not mating.apart:
            done.change(mating, apart=day.isoformat())


def _meal_note(animal: Animal, *, taken: bool | None, note: str, day: Day) -> str:
    """Note of a meal from which its outcome can be read again."""
    says_not = not is_taken(Event(animal.tag, PartialDate(1900), MEAL, note=note))
    if taken and says_not:
        what = f"the note {note!r} says that the meal was not taken."
        hint = "Change the note, or say that it was not taken."
        refuse([Fault("SEA-053", what, hint, field="note", value=note[:40], animal=animal.tag)])
    if taken is None:
        return "; ".join(part for part in (OFFERED, note) if part)
    if taken or says_not:
        return note
    return "; ".join(part for part in ("refused", note) if part)


def _open_offer(animal: Animal, day: Day) -> Observation | None:
    """A meal that was offered shortly before, of which nobody wrote yet whether it was taken."""
    text = written(day)
    refuse(date_faults(text, field="on", animal=animal.tag, required=True))
    last = PartialDate.parse(text).latest
    first = last - dt.timedelta(days=OFFER_DAYS)
    found = animal.observations.filter(kind=MEAL, note__startswith=OFFERED).order_by("-date", "-id")
    return next((one for one in found if first <= PartialDate.parse(one.date).earliest <= last), None)
