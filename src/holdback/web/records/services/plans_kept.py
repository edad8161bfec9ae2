"""Keep a plan as the keeper was told it."""

from __future__ import annotations

import json
import uuid
from collections.abc import Mapping
from typing import Any

from django.utils import timezone

from holdback import __version__
from holdback.collection.projects import FIRST_YEAR, LAST_YEAR
from holdback.errors import Fault
from holdback.web.records.models import PlanKept, Project
from holdback.web.records.rules import length_faults, number_faults, refuse
from holdback.web.records.services.deed import deed

LARGEST = 1_000_000
"""Characters that a plan takes at most."""


def keep_plan(
    plan: Mapping[str, Any],
    *,
    who: str,
    year: int,
    digest: str,
    project: Project | None = None,
    version: str = __version__,
    batch: uuid.UUID | None = None,
) -> PlanKept:
    """The plan that is kept; the one on record already where nothing of it changed.

    Parameters
    ----------
    plan : mapping of str to object
        What was told, as JSON.
    who : str
        Who keeps it.
    year : int
        Season that it begins with.
    digest : str
        Digest of the records that it was made from.
    project : Project, optional
        The project; left out for the plan of a whole season.
    version : str
        Version of the program that made it.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        REC-011, REC-014; DEC-135 where the plan is no JSON or too long.
    """
    with deed("keep plan", who=who, batch=batch) as done:
        refuse(
            [
                *number_faults(year, FIRST_YEAR, LAST_YEAR, field="year"),
                *length_faults(digest, 64, field="digest"),
                *_plan_faults(plan),
            ]
        )
        written = json.loads(json.dumps(plan))
        last = plan_last_kept(year=year, project=project)
        if last is not None and (last.plan, last.digest, last.version) == (written, digest, version):
            return last
        kept = PlanKept(
            project=project, year=year, made_at=timezone.now(), plan=written, digest=digest, version=version
        )
        done.make(kept)
    return kept


def plan_last_kept(*, year: int | None = None, project: Project | None = None) -> PlanKept | None:
    """The plan kept last, of a project or of whole seasons; None where there is none.

    Parameters
    ----------
    year : int, optional
        Season that it began with; any if left out.
    project : Project, optional
        The project; left out for plans of whole seasons.
    """
    found = PlanKept.objects.filter(project=project)
    if year is not None:
        found = found.filter(year=year)
    return found.order_by("-made_at", "-id").first()


def _plan_faults(plan: Mapping[str, Any]) -> list[Fault]:
    """DEC-135 where a plan cannot be kept."""
    try:
        text = json.dumps(plan, allow_nan=False)
    except (TypeError, ValueError) as error:
        return [Fault("DEC-135", f"the plan is no JSON: {error}.", "Keep it as the program gave it.", field="plan")]
    if len(text) > LARGEST:
        what = f"the plan takes {len(text)} characters, and {LARGEST} fit."
        return [Fault("DEC-135", what, "Keep a shorter horizon of it.", field="plan")]
    return []
