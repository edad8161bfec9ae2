"""`holdback log`: write down one deed."""

from __future__ import annotations

import argparse
import datetime as dt
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.answers.season.words import day_asked
from holdback.cli.output import print_json
from holdback.cli.sources import start_django
from holdback.collection.event_kinds import KINDS, LAID, LOCK, MEAL, kind_of
from holdback.errors import Fault, HoldbackError

if TYPE_CHECKING:
    from holdback.web.records.models import Animal

WHO = "the terminal"
"""Name that the log keeps where the keeper is not named."""
WEIGHT, FED, REFUSED, TOGETHER, APART = "weight", "fed", "refused", "together", "apart"
WORDS = (WEIGHT, FED, REFUSED, TOGETHER, APART, *(word for word in KINDS if word != MEAL))
"""Deeds that can be written down."""


@dataclass(frozen=True)
class _Asked:
    """What is to be written down of whom."""

    animal: Animal
    deed: str
    value: str
    day: dt.date
    mate: str
    note: str
    until: str
    sure: bool
    who: str
    batch: uuid.UUID

    @property
    def shared(self) -> dict[str, Any]:
        """What every service is told."""
        return {"who": self.who, "sure": self.sure, "batch": self.batch}


def run(arguments: argparse.Namespace) -> int:
    """Write one deed down and say under which number it can be taken back."""
    if arguments.undo:
        return _undo(arguments)
    asked = _asked(arguments)
    said = _WRITE.get(asked.deed, _event)(asked)
    if arguments.json:
        print_json({"animal": asked.animal.tag, "deed": asked.deed, "said": said, "batch": str(asked.batch)})
    else:
        print(f"{asked.animal.tag}: {said}")
        print(f"Take back with: holdback log --undo {asked.batch}")
    return 0


def _asked(arguments: argparse.Namespace) -> _Asked:
    """What is to be written down.

    Raises
    ------
    HoldbackError
        SEA-103 to SEA-105, SEA-102.
    """
    if not arguments.animal or not arguments.deed:
        raise HoldbackError(Fault("SEA-103", "Nobody or no deed is named.", "holdback log ANIMAL DEED [VALUE]"))
    word = kind_of(arguments.deed)
    deed = {MEAL: FED}.get(word, word)
    if deed not in WORDS:
        hint = f"Use one of: {', '.join(WORDS)}."
        raise HoldbackError(
            Fault("SEA-104", f"{arguments.deed!r} is no deed.", hint, field="deed", value=arguments.deed)
        )
    start_django()
    from holdback.web.records import clock

    return _Asked(
        _animal(arguments.animal),
        deed,
        " ".join(arguments.value),
        day_asked(arguments.on) or clock.today(),
        arguments.mate,
        arguments.note,
        arguments.until,
        arguments.sure,
        _who(),
        uuid.uuid4(),
    )


def _who() -> str:
    from django.conf import settings

    return str(settings.HOLDBACK_KEEPER) or WHO


def _animal(text: str) -> Animal:
    """Animal by its id, or by a name that only one bears."""
    from holdback.web.records.queries import animal_by_tag, present_animals

    found = animal_by_tag(text)
    if found is None:
        named = list(present_animals().filter(name__iexact=text.strip())[:2])
        if len(named) > 1:
            what = f"More than one animal is called {text!r}."
            raise HoldbackError(Fault("SEA-105", what, "Give the id.", field="animal", value=text))
        found = named[0] if named else None
    if found is None:
        what = f"There is no animal {text!r}."
        raise HoldbackError(Fault("SEA-105", what, "Give its id or its name.", field="animal", value=text))
    return found


def _weight(asked: _Asked) -> str:
    from holdback.web.records.services import weigh

    if not asked.value:
        raise _wants(asked, "a weight, as in 3165 g or 3.1 lb")
    reading = weigh(asked.animal, typed=asked.value, on=asked.day, condition=asked.note, **asked.shared)
    return f"{reading.value:g} {reading.unit} on {reading.date}{f', {reading.condition}' if reading.condition else ''}."


def _meal(asked: _Asked) -> str:
    from holdback.web.records.services import log_meal

    prey = _number(asked) if asked.value else None
    seen = log_meal(asked.animal, taken=asked.deed == FED, on=asked.day, prey_g=prey, note=asked.note, **asked.shared)
    mass = f" of {seen.value:g} {seen.unit}" if seen.value is not None else ""
    return f"A meal{mass} on {seen.date}, {'taken' if asked.deed == FED else 'refused'}."


def _together(asked: _Asked) -> str:
    from holdback.web.records.services import put_together

    dam, sire = _two(asked)
    mating = put_together(dam=dam, sire=sire, on=asked.day, **asked.shared)
    return f"{mating.sire.tag} with {mating.dam.tag} from {mating.together}."


def _apart(asked: _Asked) -> str:
    from holdback.web.records.services import part
    from holdback.web.records.together import open_on

    side = {"sire": asked.animal} if asked.animal.sex == "male" else {"dam": asked.animal}
    found = [mating for mating in open_on(asked.day, **side) if not mating.apart]
    if asked.mate:
        mate = _animal(asked.mate)
        found = [mating for mating in found if mate.pk in {mating.dam_id, mating.sire_id}]
    if len(found) != 1:
        what = f"{asked.animal.tag} is with {'nobody' if not found else f'{len(found)} others'}."
        hint = "Write down first that they were put together." if not found else "Say with whom: --with ANIMAL."
        raise HoldbackError(Fault("SEA-106", what, hint, field="with", animal=asked.animal.tag))
    mating = part(found[0], on=asked.day, **asked.shared)
    return f"{mating.sire.tag} and {mating.dam.tag} parted on {mating.apart}."


def _lock(asked: _Asked) -> str:
    from holdback.web.records.services import log_lock

    dam, sire = _two(asked) if asked.mate else (asked.animal, None)
    found = log_lock(dam=dam, sire=sire, on=asked.day, again=asked.sure, **asked.shared)
    mating = found.seen.mating
    assert mating is not None, "a lock belongs to a mating"
    return f"A lock of {mating.sire.tag} with {mating.dam.tag} on {found.seen.date}."


def _laid(asked: _Asked) -> str:
    from holdback.web.records.services import lay_clutch

    if not asked.value:
        raise _wants(asked, "the number of eggs, as in 8, or 8+1 for eight and a slug")
    good, _, slugs = asked.value.replace(" ", "").partition("+")
    if not good.isdecimal() or (slugs and not slugs.isdecimal()):
        raise _wants(asked, "the number of eggs, as in 8, or 8+1 for eight and a slug")
    n_slugs = int(slugs or 0)
    clutch = lay_clutch(
        dam=asked.animal, laid=asked.day, eggs=int(good) + n_slugs, slugs=n_slugs, notes=asked.note, **asked.shared
    )
    return f"Clutch {clutch.tag}, {clutch.eggs} eggs, {n_slugs} of them slugs, laid {clutch.laid}."


def _event(asked: _Asked) -> str:
    from holdback.web.records.services import log_event

    kind = KINDS[asked.deed]
    value = _number(asked) if asked.value and kind.unit else None
    note = asked.note if value is not None or not asked.value else f"{asked.value} {asked.note}".strip()
    seen = log_event(
        asked.animal, kind=asked.deed, on=asked.day, value=value, note=note, until=asked.until, **asked.shared
    )
    number = f" {seen.value:g} {seen.unit}".rstrip() if seen.value is not None else ""
    return f"{seen.kind}{number} on {seen.date}{f', until {seen.until}' if seen.until else ''}."


_WRITE: dict[str, Callable[[_Asked], str]] = {
    WEIGHT: _weight,
    FED: _meal,
    REFUSED: _meal,
    TOGETHER: _together,
    APART: _apart,
    LOCK: _lock,
    LAID: _laid,
}


def _two(asked: _Asked) -> tuple[Animal, Animal]:
    """Female and male out of the animal and its mate, whichever was named first."""
    if not asked.mate:
        raise _wants(asked, "the other animal: --with ANIMAL")
    mate = _animal(asked.mate)
    return (mate, asked.animal) if asked.animal.sex == "male" else (asked.animal, mate)


def _number(asked: _Asked) -> float:
    """Number of the value, its unit left off."""
    text = asked.value.split()[0].rstrip("gm%") if asked.value.split() else ""
    try:
        return float(text.replace(",", "."))
    except ValueError as fault:
        raise _wants(asked, "a number") from fault


def _wants(asked: _Asked, what: str) -> HoldbackError:
    return HoldbackError(
        Fault(
            "SEA-107",
            f"{asked.deed} wants {what}.",
            "Give it after the deed.",
            field="value",
            value=asked.value,
            animal=asked.animal.tag,
        )
    )


def _undo(arguments: argparse.Namespace) -> int:
    """Take a deed back."""
    start_django()
    from holdback.web.records.services import undo

    try:
        batch = uuid.UUID(arguments.undo)
    except ValueError as fault:
        hint = "Give the number that the command printed."
        raise HoldbackError(
            Fault("SEA-108", f"{arguments.undo!r} names no deed.", hint, value=arguments.undo)
        ) from fault
    rows = undo(batch, who=_who())
    if arguments.json:
        print_json({"undone": str(batch), "records": len(rows), "batch": str(rows[0].batch) if rows else ""})
    else:
        print(f"Taken back: {len(rows)} record{'' if len(rows) == 1 else 's'}.")
    return 0
