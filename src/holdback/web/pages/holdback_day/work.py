"""Hold-backs as a part of the plans: worked out by a job, kept in this process with the plans they were made from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from holdback.answers.decisions.hold_backs import Asked, hold_backs_of
from holdback.decisions.holdbacks import HoldBacks, Keeping
from holdback.web.pages.decided import Part, Tell, register

if TYPE_CHECKING:
    from holdback.answers.decisions import Decisions

HOLD_BACKS = "hold backs"

_Key = tuple[tuple[str, ...], int]
_found: WeakKeyDictionary[Decisions, dict[_Key, HoldBacks]] = WeakKeyDictionary()


def hold_backs_found(plans: Decisions, asked: dict[str, Any]) -> HoldBacks | None:
    """Hatchlings in order; None where they are not worked out."""
    return _found.get(plans, {}).get(_key(asked))


def _key(asked: dict[str, Any]) -> _Key:
    return tuple(asked["clutches"]), asked["tubs"]


def _is_there(plans: Decisions, asked: dict[str, Any]) -> bool:
    return hold_backs_found(plans, asked) is not None


def work(plans: Decisions, asked: dict[str, Any], tell: Tell) -> None:
    """Work hold-backs out and keep them beside the plans."""
    clutches, tubs = _key(asked)
    found = hold_backs_of(plans, Asked(clutches, Keeping(tubs)), progress=tell)
    _found.setdefault(plans, {})[clutches, tubs] = found


register(HOLD_BACKS, Part("What to hold back", _is_there, work))
