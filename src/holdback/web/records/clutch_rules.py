"""What the deeds on a clutch and its eggs check alike."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from holdback.collection.model import EggOutcome, PartialDate
from holdback.errors import Fault, RecordError
from holdback.web.records.clock import today
from holdback.web.records.models import Clutch, Egg
from holdback.web.records.rules import date_faults

if TYPE_CHECKING:
    from holdback.web.records.services.deed import Deed

Day = dt.date | str
"""A day, or a date to the year or month as text."""


def come_faults(day: str, *, field: str, required: bool = True) -> Iterator[Fault]:
    """REC-012 where a date cannot be read; SEA-002 where it has not come yet."""
    yield from (found := list(date_faults(day, field=field, required=required)))
    if day and not found and PartialDate.parse(day).earliest > today():
        yield Fault("SEA-002", f"{day} has not come yet.", "Correct the date.", field=field, value=day)


def since_laying_faults(clutch: Clutch, day: str, *, field: str, mark: str = "") -> Iterator[Fault]:
    """As `come_faults`; SEA-008 where the day lies before laying."""
    yield from (found := list(come_faults(day, field=field)))
    if found or not clutch.laid_first or PartialDate.parse(day).latest >= clutch.laid_first:
        return
    egg = f"egg {mark} of " if mark else ""
    what = f"{day} lies before {egg}clutch {clutch.tag} was laid, {clutch.laid}."
    yield Fault("SEA-008", what, "Correct this date, or the day of laying.", field=field, value=day)


def held_clutch(clutch: Clutch) -> Clutch:
    """The clutch as it is now, held for this writer alone until the deed ends.

    Raises
    ------
    RecordError
        SEA-027 where it is there no more.
    """
    now = Clutch.objects.select_for_update(of=("self",)).filter(pk=clutch.pk, removed_at__isnull=True).first()
    if now is None:
        what = f"clutch {clutch.tag} is not there any more."
        raise RecordError(Fault("SEA-027", what, "Look at the log, and load the page again.", field="clutch"))
    return now


def locked_clutch(clutch: Clutch) -> Clutch:
    """As `held_clutch`, of a clutch that is still open.

    Raises
    ------
    RecordError
        SEA-027 where it is there no more; SEA-017 where it is closed.
    """
    now = held_clutch(clutch)
    if now.closed:
        what = f"clutch {now.tag} was closed {now.closed}: every egg is accounted for."
        raise RecordError(Fault("SEA-017", what, "Open it again first.", field="clutch", value=now.tag))
    return now


def eggs_by_mark(clutch: Clutch) -> dict[str, Egg]:
    """Eggs of a clutch on record, by mark."""
    return {egg.mark: egg for egg in clutch.egg_records.select_related("animal", "box")}


def eggs_at_hand(done: Deed, clutch: Clutch) -> dict[str, Egg]:
    """Eggs by mark; where they were only counted, they are made, numbered from 1."""
    eggs = eggs_by_mark(clutch)
    if eggs or not clutch.eggs:
        return eggs
    made = [Egg(clutch=clutch, mark=str(number)) for number in range(1, clutch.eggs + 1)]
    done.make(*made)
    return {egg.mark: egg for egg in made}


def held_egg(egg: Egg) -> Egg:
    """The egg as it is now, held until the deed ends; nobody wrote what became of it since it was shown.

    Raises
    ------
    RecordError
        SEA-027 where somebody did, or where it is there no more.
    """
    found = Egg.objects.select_for_update(of=("self",)).select_related("animal", "clutch__dam")
    now = found.filter(pk=egg.pk).first()
    hint = "Load the page again, and say whether it still holds."
    if now is None:
        what = f"egg {egg.mark} is not there any more."
        raise RecordError(Fault("SEA-027", what, hint, field="egg", value=egg.mark))
    if (now.outcome, now.animal_id) != (egg.outcome, egg.animal_id):
        what = f"egg {now.mark} is {fate(now)}: somebody wrote so meanwhile."
        raise RecordError(Fault("SEA-027", what, hint, field="egg", value=now.mark))
    return now


def slugs_known(clutch: Clutch, eggs: Iterable[Egg], *, less: int = 0) -> int | None:
    """Slugs counted of a clutch, or found among its eggs if that is more; None where neither is known.

    Parameters
    ----------
    clutch : Clutch
        The clutch.
    eggs : iterable of Egg
        Its eggs as they are now.
    less : int
        Eggs that were held to be slugs and are none.
    """
    found = sum(egg.outcome == EggOutcome.SLUG for egg in eggs)
    counted = None if clutch.slugs is None else clutch.slugs - less
    return found or None if counted is None else max(counted, found)


def strange_faults(clutch: Clutch, marks: Sequence[str], eggs: dict[str, Egg]) -> Iterator[Fault]:
    """SEA-007 for every mark that no egg of the clutch bears."""
    for mark in marks:
        if mark not in eggs:
            hint = (
                f"Its eggs are {', '.join(sorted(eggs, key=in_order))}." if eggs else "None of its eggs is on record."
            )
            yield Fault("SEA-007", f"clutch {clutch.tag} has no egg {mark!r}.", hint, field="egg", value=mark)


def in_order(mark: str) -> tuple[bool, int, str]:
    """Key that sorts marks as a person would: 2 before 10, letters behind."""
    return (False, int(mark), "") if mark.isascii() and mark.isdigit() else (True, 0, mark)


def fate(egg: Egg) -> str:
    """What became of an egg, in words."""
    day = f" since {egg.ended}" if egg.ended else ""
    if egg.outcome == EggOutcome.UNKNOWN:
        return "in its box again"
    if egg.outcome == EggOutcome.HATCHED:
        return f"hatched{day}" + (f" ({egg.animal.tag})" if egg.animal else "")
    return f"{'a slug' if egg.outcome == EggOutcome.SLUG else 'lost'}{day}"
