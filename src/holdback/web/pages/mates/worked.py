"""Mates as a page gets them: those that are there, else the job that works them out."""

from __future__ import annotations

import threading
import weakref
from dataclasses import dataclass
from typing import Any

from holdback.answers.decisions import Decisions
from holdback.decisions.mates import Mate
from holdback.decisions.missing_mate import MissingMate
from holdback.errors import DecisionError
from holdback.web.pages.decided import ALL, IN_REQUEST, Part, Tell, part_or_work, register
from holdback.web.pages.worked_out import Working

MATES = "mates"
"""The part that the page asks for."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Whose mates, and for what.

    Parameters
    ----------
    animal : str
        Id.
    project : str
        Key of a project; empty for a plain wish.
    want : str
        Wish in trade shorthand, where no project is named.
    year : int
        Season of the pairing.
    """

    animal: str
    project: str
    want: str
    year: int


@dataclass(frozen=True, slots=True)
class Found:
    """Mates, the best first, and kinds that are not in the collection and would do better."""

    decisions: Decisions
    wanted: Wanted
    mates: tuple[Mate, ...]
    missing: tuple[MissingMate, ...]


_Pair = tuple[tuple[Mate, ...], tuple[MissingMate, ...]]
_found: weakref.WeakKeyDictionary[Decisions, dict[Wanted, _Pair | DecisionError]] = weakref.WeakKeyDictionary()
_lock = threading.Lock()


def mates_or_work(wanted: Wanted) -> Found | Working:
    """Mates, or the job that works them out; for a project its route comes first.

    Raises
    ------
    DecisionError
        As `Decisions.mates`.
    HoldbackError
        With all faults, if the records do not hold together.
    """
    if wanted.project:
        everything = part_or_work(ALL)
        if isinstance(everything, Working):
            return everything
    plans = part_or_work(MATES, animal=wanted.animal, project=wanted.project, want=wanted.want, year=wanted.year)
    if isinstance(plans, Working):
        return plans
    with _lock:
        found = _found[plans][wanted]
    if isinstance(found, DecisionError):
        raise found
    return Found(plans, wanted, *found)


def _is_there(plans: Decisions, given: dict[str, Any]) -> bool:
    with _lock:
        return Wanted(**given) in _found.get(plans, {})


def _work(plans: Decisions, given: dict[str, Any], tell: Tell) -> None:
    wanted = Wanted(**given)
    key = plans.key_of(wanted.project) if wanted.project else ""
    found: _Pair | DecisionError
    try:
        mates = plans.mates(wanted.animal, key=key, want=wanted.want, year=wanted.year)
        tell(0.5)
        found = (mates, plans.missing_mates(wanted.animal, key=key, want=wanted.want, year=wanted.year))
    except DecisionError as error:
        found = error
    with _lock:
        _found.setdefault(plans, {})[wanted] = found


register(MATES, Part("Every mate", _is_there, _work, lambda plans: len(plans.stock.animals) <= IN_REQUEST))
