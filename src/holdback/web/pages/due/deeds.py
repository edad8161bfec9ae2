"""What one tap on the Desk writes down: a service for each deed of the things due."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TypeVar

from holdback.collection.event_kinds import NEST_BOX, READY, SHED, VET
from holdback.collection.model import EggOutcome, EggState
from holdback.errors import Fault
from holdback.season.due import DEEDS, deed_of
from holdback.season.due_clutches import number_word
from holdback.season.outlook import DueItem
from holdback.web.pages.questions import How
from holdback.web.records.models import Animal, Clutch, Egg, Mating
from holdback.web.records.queries import animal_by_tag, clutch_by_tag
from holdback.web.records.rules import refuse
from holdback.web.records.services.eggs import look_at_eggs
from holdback.web.records.services.happenings import log_event, log_meal, returned
from holdback.web.records.services.matings import part

Row = TypeVar("Row")
Write = Callable[[DueItem, dt.date, How], str]
_CLOSED = frozenset({EggState.SLUG, EggState.LOST, EggState.PIPPED, EggState.OUT})


def do(item: DueItem, on: dt.date, how: How) -> str:
    """Write the deed of a thing due, and say what was written.

    Parameters
    ----------
    item : DueItem
        Thing with a deed.
    on : date
        The day.
    how : How
        In whose name, in which batch, and what the keeper has answered.

    Raises
    ------
    RecordError
        What the service refuses or asks; SEA-110 where the thing is not there any more, SEA-111 where it is not told
        which eggs are meant.
    """
    return _WRITES[deed_of(item)](item, on, how)


def _meal(item: DueItem, on: dt.date, how: How) -> str:
    log_meal(_animal(item), who=how.who, taken=True, on=on, sure=how.sure, batch=how.batch)
    return "meal taken"


def _event(kind: str, said: str, note: str = "") -> Write:
    """Deed that is an event of an animal."""

    def write(item: DueItem, on: dt.date, how: How) -> str:
        log_event(_animal(item), who=how.who, kind=kind, on=on, note=note, sure=how.sure, batch=how.batch)
        return said

    return write


def _back(said: str) -> Write:
    def write(item: DueItem, on: dt.date, how: How) -> str:
        returned(_animal(item), who=how.who, on=on, sure=how.sure, batch=how.batch)
        return said

    return write


def _male_out(item: DueItem, on: dt.date, how: How) -> str:
    """The stay ends that the key of the item names: ``apart:dam:sire:first day``."""
    _, _, sire, first = item.key.split(":")
    dam, male = _animal(item), _found(animal_by_tag(sire), sire)
    mating = Mating.objects.filter(dam=dam, sire=male, together=first, apart="").order_by("-id").first()
    part(_found(mating, f"{sire} with {item.subject}"), who=how.who, on=on, sure=how.sure, batch=how.batch)
    return f"{male.name or male.tag} taken out"


def _veins(item: DueItem, on: dt.date, how: How) -> str:
    clutch = _found(clutch_by_tag(item.subject), item.subject)
    marks = open_marks(clutch)
    if item.deed != f"{number_word(len(marks))} with veins":
        what = f"{item.deed.capitalize()} were asked about, and {len(marks)} eggs of clutch {clutch.tag} are open."
        hint = "Say it egg by egg on the page of the clutch."
        refuse([Fault("SEA-111", what, hint, field="deed", value=item.subject)])
    looks: dict[str, tuple[EggState | str, str]] = dict.fromkeys(marks, (EggState.VEINS, ""))
    look_at_eggs(clutch, looks, date=on, who=how.who, batch=how.batch, sure=how.sure)
    return item.deed


def open_marks(clutch: Clutch) -> list[str]:
    """Marks of the eggs of a clutch that may hold veins; none where nobody told which of them are slugs."""
    eggs = list(Egg.objects.filter(clutch=clutch).prefetch_related("looks"))
    if not eggs:
        return [str(number + 1) for number in range(clutch.eggs or 0)] if not clutch.slugs else []
    return [egg.mark for egg in eggs if egg.outcome == EggOutcome.UNKNOWN and not _is_closed(egg)]


def _is_closed(egg: Egg) -> bool:
    looks = sorted(egg.looks.all(), key=lambda look: look.date)
    return bool(looks) and EggState(looks[-1].state) in _CLOSED


def _animal(item: DueItem) -> Animal:
    return _found(animal_by_tag(item.subject), item.subject)


def _found(row: Row | None, name: str) -> Row:
    """A row that is there.

    Raises
    ------
    RecordError
        SEA-110 if it is not.
    """
    if row is None:
        refuse([Fault("SEA-110", f"{name} is not there any more.", "Load the Desk again.", field="key", value=name)])
    assert row is not None, "refuse raises where there is a fault"
    return row


_WRITES: Mapping[str, Write] = MappingProxyType(
    {
        "meal taken": _meal,
        "with veins": _veins,
        "box is in": _event(NEST_BOX, "nest box in"),
        "male is out": _male_out,
        "first shed": _event(SHED, "first shed"),
        "ready to sell": _event(READY, "held ready for sale"),
        "came back": _back("came back"),
        "went back": _back("went back"),
        "seen by a vet": _event(VET, "seen by a vet"),
    }
)
"""Deed of `holdback.season.due.DEEDS` to what writes it."""

assert set(_WRITES) == set(DEEDS), "a deed that no tap writes"
