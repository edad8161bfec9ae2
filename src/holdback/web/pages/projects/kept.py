"""The plan that a keeper keeps, and what has changed since."""

from __future__ import annotations

import hashlib
import uuid
from dataclasses import dataclass
from typing import Any
from weakref import WeakKeyDictionary

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.settled import Settled
from holdback.bridge.decisions import decisions_fingerprint
from holdback.decisions.plan_values import plan_from, plan_values
from holdback.decisions.stock import Stock
from holdback.errors import DecisionError
from holdback.web.pages.decided import IN_REQUEST, Part, Tell, part_or_work, register
from holdback.web.pages.projects.words import spaced
from holdback.web.pages.wording import day
from holdback.web.pages.worked_out import Working
from holdback.web.records import services
from holdback.web.records.models import PlanKept, Project
from holdback.web.records.services.plans_kept import plan_last_kept

SETTLED = "settled"

_found: WeakKeyDictionary[Stock, dict[tuple[str, Any], tuple[str, ...]]] = WeakKeyDictionary()


@dataclass(frozen=True, slots=True)
class KeptShown:
    """The plan kept last: its day, and what is said of it now.

    Parameters
    ----------
    day : str
        When it was kept.
    why : tuple of str
        What changed, and why the plan stays or goes; empty while that is worked out.
    """

    day: str
    why: tuple[str, ...] = ()


def kept_shown(plans: Decisions, project: Project) -> KeptShown | Working | None:
    """What changed since a plan was kept, or the job that works it out; None where none was."""
    kept = plan_last_kept(project=project)
    if kept is None or plans.route_or_none(project.key) is None:
        return None
    found = part_or_work(SETTLED, key=project.key, kept=str(kept.pk))
    if isinstance(found, Working):
        return found
    why = _found[found.stock][_asked(found, project.key, str(kept.pk))]
    return KeptShown(day(kept.made_at.date()), tuple(spaced(one) for one in why))


def keep(plans: Decisions, project: Project, *, who: str, batch: uuid.UUID) -> PlanKept:
    """Keep the way of a project as it is told now.

    Raises
    ------
    DecisionError
        Where there is none.
    RecordError
        As the service raises.
    """
    digest = hashlib.sha256(decisions_fingerprint().encode()).hexdigest()
    plan = plan_values(plans.route(project.key))
    return services.keep_plan(plan, who=who, year=plans.stock.year, digest=digest, project=project, batch=batch)


def _asked(plans: Decisions, key: str, kept: str) -> tuple[str, Any]:
    return key, (kept, tuple(plans.goals.items()))


def _is_there(plans: Decisions, asked: dict[str, Any]) -> bool:
    if not plans.is_worked_out:
        return False
    return _asked(plans, asked["key"], asked["kept"]) in _found.get(plans.stock, {})


def _settle(plans: Decisions, asked: dict[str, Any], tell: Tell) -> None:
    tell(0.0)
    kept = PlanKept.objects.filter(pk=asked["kept"]).first()
    why: tuple[str, ...] = ("The plan kept last is no longer on record.",)
    if kept is not None:
        try:
            why = _why(plans.settled(asked["key"], plan_from(kept.plan), kept.year))
        except DecisionError as error:
            why = tuple(f"{one.what} {one.hint}".strip() for one in error.faults)
    _found.setdefault(plans.stock, {})[_asked(plans, asked["key"], asked["kept"])] = why


def _why(found: Settled) -> tuple[str, ...]:
    return found.why


def _is_quick(plans: Decisions) -> bool:
    return len(plans.stock.animals) <= IN_REQUEST


register(SETTLED, Part("What changed", _is_there, _settle, _is_quick))
