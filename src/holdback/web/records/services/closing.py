"""Close a clutch once every egg is accounted for, and set one aside from counts."""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import dataclass

from holdback.collection.model import EggOutcome
from holdback.errors import Fault, RecordError
from holdback.web.records.clock import today
from holdback.web.records.clutch_rules import held_clutch, locked_clutch, since_laying_faults, slugs_known
from holdback.web.records.models import Clutch
from holdback.web.records.rules import length_faults, refuse
from holdback.web.records.services.deed import deed


@dataclass(frozen=True, slots=True)
class Tally:
    """What became of the eggs of a clutch.

    Parameters
    ----------
    laid : int or None
        Eggs in all; None is not counted.
    hatched, lost, slugs : int
        Those that came out, that died, and that never were fertile.
    """

    laid: int | None
    hatched: int
    lost: int
    slugs: int

    @property
    def waiting(self) -> int | None:
        """Eggs that nothing is known of; below 0 where more is told than was laid."""
        return None if self.laid is None else self.laid - self.hatched - self.lost - self.slugs

    def __str__(self) -> str:
        """The sum in words."""
        laid = "eggs not counted" if self.laid is None else f"{self.laid} laid"
        return f"{laid}; {self.hatched} hatched + {self.lost} lost + {self.slugs} slugs"


def tally(clutch: Clutch) -> Tally:
    """The sum of a clutch as it stands; two queries.

    Notes
    -----
    A young of the clutch whose egg nobody named counts as hatched. Slugs that were only counted count too.
    """
    eggs = list(clutch.egg_records.all())
    lost = sum(egg.outcome == EggOutcome.DIED for egg in eggs)
    of_eggs = {egg.animal_id for egg in eggs if egg.animal_id}
    others = clutch.hatchlings.filter(removed_at__isnull=True).exclude(pk__in=of_eggs).count()
    hatched = sum(egg.outcome == EggOutcome.HATCHED for egg in eggs) + others
    return Tally(clutch.eggs, hatched, lost, slugs_known(clutch, eggs) or 0)


def close_clutch(clutch: Clutch, *, who: str, on: dt.date | None = None, batch: uuid.UUID | None = None) -> Clutch:
    """The clutch, closed: every egg is hatched, lost or a slug.

    Parameters
    ----------
    clutch : Clutch
        The clutch.
    who : str
        Who closes it.
    on : date, optional
        The day; today if left out.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        SEA-016 where the sum does not hold; SEA-002, SEA-008, SEA-017 or SEA-027.
    """
    day = on or today()
    with deed("close clutch", who=who, batch=batch) as done:
        now = locked_clutch(clutch)
        refuse(since_laying_faults(now, str(day), field="on"))
        found = tally(now)
        if found.waiting != 0:
            what = f"clutch {now.tag}: {found}."
            raise RecordError(Fault("SEA-016", what, _hint(found), field="eggs", value=now.tag))
        done.change(now, closed=day, slugs=found.slugs)
    return now


def _hint(found: Tally) -> str:
    """What to do where the sum does not hold."""
    if found.waiting is None:
        return "Say how many were laid."
    if found.waiting > 0:
        return f"{found.waiting} not accounted for: say what became of each."
    return "More is told than was laid: count again."


def open_clutch_again(clutch: Clutch, *, who: str, batch: uuid.UUID | None = None) -> Clutch:
    """The clutch, open again so that its eggs can be corrected.

    Raises
    ------
    RecordError
        SEA-027 where it is there no more.
    """
    with deed("open clutch again", who=who, batch=batch) as done:
        now = held_clutch(clutch)
        done.change(now, closed=None)
    return now


def set_clutch_aside(clutch: Clutch, reason: str, *, who: str, batch: uuid.UUID | None = None) -> Clutch:
    """The clutch, left out of counts of size, loss and defects; with an empty reason it counts again.

    Raises
    ------
    RecordError
        REC-011 where the reason is too long; SEA-027.
    """
    with deed("set clutch aside" if reason.strip() else "count clutch again", who=who, batch=batch) as done:
        now = held_clutch(clutch)
        refuse(length_faults(reason.strip(), 120, field="reason"))
        done.change(now, set_aside=reason.strip())
    return now
