"""What is due today, and the prey of the week, by the working year of the records."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from holdback.bridge.season import season_of_records
from holdback.errors import HoldbackError
from holdback.season.outlook import PreyNeed
from holdback.web.pages.due.rows import DueList, due_list, ids_due
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import GAP, counted, listed, number

WEEK = dt.timedelta(days=6)


@dataclass(frozen=True, slots=True)
class Due:
    """What is due, and what to thaw.

    Parameters
    ----------
    found : DueList
        Lines.
    prey : str
        Prey wanted this week, in a sentence; empty where none is.
    """

    found: DueList
    prey: str


def due_today(today: dt.date) -> Due | None:
    """What is due; None where the records do not hold together, which the Desk tells elsewhere."""
    try:
        season = season_of_records(today)
        items = season.due
    except HoldbackError:
        return None
    names = Names.of(season.collection, ids_due(items))
    return Due(due_list(items, names, today=today), prey_words(season.prey(today, today + WEEK)))


def prey_words(wanted: tuple[PreyNeed, ...]) -> str:
    """Prey by size, in a sentence."""
    parts = [f"{one.count} of {number(one.low_g)} to {number(one.high_g)}{GAP}g" for one in wanted]
    return f"{listed(parts)}." if parts else ""


def lede_of(found: DueList) -> tuple[str, str]:
    """How much is late and for today; and what a vet has to see (may be empty)."""
    parts = []
    if found.n_late:
        parts.append(f"{counted(found.n_late, 'thing')} {'is' if found.n_late == 1 else 'are'} late")
    if found.n_today:
        verb = "is" if found.n_today == 1 else "are"
        parts.append(
            f"{found.n_today} {verb} for today"
            if found.n_late
            else f"{counted(found.n_today, 'thing')} {verb} for today"
        )
    said = f"{listed(parts)}." if parts else "Nothing is due today."
    if found.n_waiting:
        verb = "has" if found.n_waiting == 1 else "have"
        said = f"{said} {counted(found.n_waiting, 'thing')} {verb} waited for more than four weeks."
    if not found.vet:
        return said, ""
    verb = "needs" if len(found.vet) == 1 else "need"
    return said, f"{counted(len(found.vet), 'animal')} {verb} a reptile vet."
