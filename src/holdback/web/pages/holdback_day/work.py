"""Hold-backs as a part of the plans: worked out by a job, kept in this process with the plans they were made from."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from holdback.answers.decisions.hold_backs import Asked, check_asked, hold_backs_of
from holdback.decisions.holdbacks import HoldBacks, Keeping
from holdback.web.pages.decided import Part, Tell, part_or_work, plans_now, register
from holdback.web.pages.worked_out import Working

if TYPE_CHECKING:
    from holdback.answers.decisions import Decisions

HOLD_BACKS = "hold backs"

_found: WeakKeyDictionary[Decisions, dict[str, HoldBacks]] = WeakKeyDictionary()


def hold_backs_or_work(asked: dict[str, Any]) -> HoldBacks | Working:
    """Hatchlings in order, or the job that works them out.

    Parameters
    ----------
    asked : dict
        ``clutches``, ``tubs``, ``projects`` and ``tub_eggs``, as `holdback.web.pages.holdback_day.asked.Asked.inputs`.

    Raises
    ------
    DecisionError
        What no job could work out, as `holdback.answers.decisions.hold_backs.check_asked`.
    """
    check_asked(plans_now(), _wish(asked))
    plans = part_or_work(HOLD_BACKS, **asked)
    if isinstance(plans, Working):
        return plans
    found = hold_backs_found(plans, asked)
    assert found is not None, "a part that is there has its answer"
    return found


def hold_backs_found(plans: Decisions, asked: dict[str, Any]) -> HoldBacks | None:
    """Hatchlings in order; None where they are not worked out."""
    return _found.get(plans, {}).get(_key(asked))


def _key(asked: dict[str, Any]) -> str:
    return json.dumps(asked, sort_keys=True)


def _is_there(plans: Decisions, asked: dict[str, Any]) -> bool:
    return hold_backs_found(plans, asked) is not None


def work(plans: Decisions, asked: dict[str, Any], tell: Tell) -> None:
    """Work hold-backs out and keep them beside the plans."""
    _found.setdefault(plans, {})[_key(asked)] = hold_backs_of(plans, _wish(asked), progress=tell)


def _wish(asked: dict[str, Any]) -> Asked:
    keeping = Keeping(asked["tubs"], year_eggs=asked["tub_eggs"])
    return Asked(tuple(asked["clutches"]), keeping, tuple(asked["projects"]))


register(HOLD_BACKS, Part("What to hold back", _is_there, work))
