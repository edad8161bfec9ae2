"""What a phone sent, read into one entry with its deeds."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from holdback.errors import Fault, RecordError
from holdback.web.records.rules import MASS_UNITS, refuse

TAKEN, REFUSED, NOT_OFFERED = "taken", "refused", "not offered"
MEALS = (TAKEN, REFUSED, NOT_OFFERED)
SHEDS = ("whole", "in pieces")
LONGEST_NOTE = 2_000
FIRST_YEAR, LAST_YEAR = 1900, 2999
"""Years that the clock of a phone, however wrong, may show."""


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight as typed.

    Parameters
    ----------
    typed : str
        The number as it was typed ("3,165").
    unit : str
        g, kg, oz or lb.
    sure : bool
        Whether the keeper said on the phone that it is no slip.
    """

    typed: str
    unit: str = "g"
    sure: bool = False


@dataclass(frozen=True, slots=True)
class Deeds:
    """What is to be written of one animal.

    Parameters
    ----------
    weight : Weight or None
        None where it was not weighed.
    meal : str
        taken, refused, not offered; empty where nothing is said of a meal.
    prey_g : float or None
        Mass of the meal.
    note : str
        A note of its own.
    signs : tuple of str
        Signs of illness, in words.
    shed : str
        whole, in pieces; empty where there was none.
    """

    weight: Weight | None = None
    meal: str = ""
    prey_g: float | None = None
    note: str = ""
    signs: tuple[str, ...] = ()
    shed: str = ""

    @property
    def is_fed(self) -> bool:
        """Whether a meal is to be written: one that was not offered leaves no record."""
        return self.meal in {TAKEN, REFUSED}

    @property
    def says(self) -> bool:
        """Whether anything is to be written."""
        return bool(self.weight or self.is_fed or self.note or self.signs or self.shed)

    def without(self, names: frozenset[str]) -> Deeds:
        """The deeds without some of them."""
        if "meal" in names:
            names |= {"prey_g"}
        return replace(self, **{name: getattr(Deeds(), name) for name in names})


@dataclass(frozen=True, slots=True)
class Sent:
    """One entry of a phone.

    Parameters
    ----------
    id : UUID
        Made by the phone, once for each entry.
    number : int
        Counts on within the device.
    made_at : datetime
        When it was typed, by the phone's clock, with its offset.
    animal : str
        Key of the animal, as sent.
    corrects : UUID or None
        Entry that this one takes the place of.
    body : mapping
        As it came.
    """

    id: uuid.UUID
    number: int
    made_at: dt.datetime
    animal: str
    corrects: uuid.UUID | None
    body: Mapping[str, Any]


def sent_of(raw: object) -> Sent:
    """An entry with its mark, number and time.

    Parameters
    ----------
    raw : object
        As decoded from JSON.

    Raises
    ------
    RecordError
        SEA-300 if it has no usable mark, number or time, so that it could not even be kept.
    """
    hint = "Load the page of rounds again and send once more; the entries still wait on the phone."
    if not isinstance(raw, dict):
        raise RecordError(Fault("SEA-300", "an entry is no object.", hint, field="entries"))
    try:
        made_at = dt.datetime.fromisoformat(str(raw.get("made_at")))
        number = int(raw.get("number", -1))
        sent = Sent(
            id=uuid.UUID(str(raw.get("id"))),
            number=number,
            made_at=made_at,
            animal=str(raw.get("animal", "")),
            corrects=uuid.UUID(str(raw["corrects"])) if raw.get("corrects") else None,
            body=raw,
        )
    except (ValueError, TypeError, OverflowError) as fault:
        raise RecordError(Fault("SEA-300", f"an entry cannot be read: {fault}.", hint, field="entries")) from fault
    if not 0 <= number < 2**31 or not is_time(made_at):
        what = f"the number {number} or the time {raw.get('made_at')} of an entry cannot be."
        raise RecordError(Fault("SEA-300", what, hint, field="entries"))
    return sent


def is_time(time: dt.datetime) -> bool:
    """Whether a clock can show it: with its offset, and in a year that can be counted on from."""
    return time.utcoffset() is not None and FIRST_YEAR <= time.year <= LAST_YEAR


def deeds_of(body: Mapping[str, Any], *, animal: str) -> Deeds:
    """Deeds of an entry.

    Parameters
    ----------
    body : mapping
        The entry as it came.
    animal : str
        Tag of the animal, for the faults.

    Raises
    ------
    RecordError
        SEA-301, all faults together.
    """
    raw = body.get("deeds")
    if not isinstance(raw, dict):
        raise RecordError(_unread("deeds", raw, animal))
    refuse(_deed_faults(raw, animal))
    weight = raw.get("weight")
    deeds = Deeds(
        weight=Weight(str(weight["typed"]).strip(), weight.get("unit", "g"), weight.get("sure") is True)
        if weight
        else None,
        meal=raw.get("meal") or "",
        prey_g=None if raw.get("prey_g") is None else float(raw["prey_g"]),
        note=(raw.get("note") or "").strip(),
        signs=tuple(sign.strip() for sign in raw.get("signs") or () if sign.strip()),
        shed=raw.get("shed") or "",
    )
    if deeds == Deeds(prey_g=deeds.prey_g) and not raw.get("photo"):
        hint = "Type a weight, say what became of the meal, or skip the tub."
        raise RecordError(Fault("SEA-302", "the entry says nothing.", hint, animal=animal))
    return deeds


def _deed_faults(raw: Mapping[str, Any], animal: str) -> Iterator[Fault]:
    """SEA-301 for each deed of the wrong shape."""
    weight = raw.get("weight")
    if weight and not (
        isinstance(weight, dict) and str(weight.get("typed", "")).strip() and weight.get("unit", "g") in MASS_UNITS
    ):
        yield _unread("weight", weight, animal)
    if raw.get("meal") and raw["meal"] not in MEALS:
        yield _unread("meal", raw["meal"], animal)
    if raw.get("shed") and raw["shed"] not in SHEDS:
        yield _unread("shed", raw["shed"], animal)
    prey = raw.get("prey_g")
    if prey is not None and (isinstance(prey, bool) or not isinstance(prey, int | float) or not 0 < prey < 1e5):
        yield _unread("prey_g", prey, animal)
    if not isinstance(raw.get("note") or "", str) or len(raw.get("note") or "") > LONGEST_NOTE:
        yield _unread("note", raw["note"], animal)
    signs = raw.get("signs") or []
    if not isinstance(signs, list) or not all(isinstance(sign, str) and len(sign) <= LONGEST_NOTE for sign in signs):
        yield _unread("signs", signs, animal)
    for name in sorted(raw.keys() - {"weight", "meal", "prey_g", "note", "signs", "shed", "photo"}):
        yield _unread(name, raw[name], animal)


def _unread(name: str, value: object, animal: str) -> Fault:
    hint = "The entry is kept as it came: write it down on the animal's page, or put it away."
    return Fault(
        "SEA-301", f"{name} cannot be read: {value!r:.80}.", hint, field=name, value=f"{value!r:.80}", animal=animal
    )
