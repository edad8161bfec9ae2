"""Operations on goals and plans."""

from __future__ import annotations

from typing import Annotated

from django.http import HttpRequest, JsonResponse
from ninja import Query, Router
from pydantic import Field

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.as_json import mates_as_json, plan_as_json, route_as_json
from holdback.answers.decisions.contributing import INBREEDING, RATE, SHARE, LineWish
from holdback.decisions.holdbacks import as_json as hold_backs_as_json
from holdback.errors import DecisionError, Fault
from holdback.web.api.decision_schemas import (
    HoldBacksOut,
    LineOut,
    MatesOut,
    ProjectsOut,
    RehearsalOut,
    RouteOut,
    SeasonPlanOut,
)
from holdback.web.api.schemas import ErrorOut
from holdback.web.api.working import ready
from holdback.web.pages.decided import ALL, part_or_work, plans_now
from holdback.web.pages.holdback_day.asked import MOST_EGGS, USUAL_TUBS, Asked
from holdback.web.pages.holdback_day.work import hold_backs_or_work
from holdback.web.pages.line.work import line_or_work

router = Router(tags=["decisions"])

Runs = Annotated[int, Field(ge=250, le=100_000)]
Eggs = Annotated[float, Field(ge=0, le=MOST_EGGS)]
Texts = Annotated[list[str], Query(default_factory=list)]


def _worked_out() -> Decisions:
    """Plans with every route and rehearsal; API-002 where a job is at it."""
    return ready(part_or_work(ALL))


@router.get("/projects", response={200: ProjectsOut, 422: ErrorOut})
def projects(request: HttpRequest) -> JsonResponse:
    """Open projects, and why one has no route."""
    found = _worked_out()
    without = found.without_route
    rows = [
        {"key": key, "name": goal.name, "want": goal.want, "by": goal.by or None, "not_planned": without.get(key, "")}
        for key, goal in found.goals.items()
    ]
    return JsonResponse({"projects": rows})


@router.get("/mates/{animal}", response={200: MatesOut, 422: ErrorOut})
def mates(
    request: HttpRequest, animal: str, project: str = "", want: str = "", year: int | None = None
) -> JsonResponse:
    """Every possible mate of an animal for a project, or for a wish in trade shorthand."""
    found = _worked_out() if project else plans_now()
    key = found.key_of(project) if project else ""
    one = found.answers.find(animal)
    if one is None:
        raise DecisionError(Fault("DEC-020", f"There is no animal {animal!r}.", "Give an id, or a name on record."))
    answer = mates_as_json(one.id, found.mates(one.id, key=key, want=want, year=year))
    answer["missing"] = [each.text for each in found.missing_mates(one.id, key=key, want=want, year=year)]
    return JsonResponse(answer)


@router.get("/season/plan", response={200: SeasonPlanOut, 422: ErrorOut})
def season_plan(request: HttpRequest, year: int | None = None) -> JsonResponse:
    """Who goes with whom in a season, for all projects at once."""
    found = _worked_out()
    return JsonResponse(plan_as_json(year or found.open_year, found.season_plan(year)))


@router.get("/route/{project}", response={200: RouteOut, 422: ErrorOut})
def route(request: HttpRequest, project: str) -> JsonResponse:
    """The crosses that lead to the goal of a project, as rehearsed."""
    found = _worked_out()
    key = found.key_of(project)
    plan = found.route(key)
    return JsonResponse(route_as_json(found.stock_for(key), plan, found.rehearsal(key)))


@router.get("/hold-backs", response={200: HoldBacksOut, 422: ErrorOut, 503: ErrorOut})
def hold_backs(
    request: HttpRequest, clutch: Texts, project: Texts, tubs: int = USUAL_TUBS, tub_eggs: Eggs = 0.0
) -> JsonResponse:
    """Which hatchlings to hold back: of the last year, for all open projects, where no clutch or project is given."""
    asked = Asked(tuple(clutch), tubs, tuple(project), tub_eggs)
    return JsonResponse(hold_backs_as_json(ready(hold_backs_or_work(asked.inputs))))


@router.get("/lines/{path:line}/contributions", response={200: LineOut, 422: ErrorOut, 503: ErrorOut})
def contributions(
    request: HttpRequest,
    line: str,
    rate: float = RATE,
    clutches: int | None = None,
    share: float = SHARE,
    inbreeding: float = INBREEDING,
) -> JsonResponse:
    """Who of a line should breed in the next season, and how much."""
    wish = LineWish(share=share, rate=rate, clutches=clutches, inbreeding_at_most=inbreeding)
    found = ready(line_or_work(line, wish))
    return JsonResponse(found.contributions(line, wish).as_json())


@router.get("/rehearsal/{project}", response={200: RehearsalOut, 422: ErrorOut})
def rehearsal(request: HttpRequest, project: str, runs: Runs = 10_000, seed: int = 0) -> JsonResponse:
    """The plan of a project played forward many times."""
    found = _worked_out()
    return JsonResponse(found.rehearsal(found.key_of(project), runs=runs, seed=seed).as_json())
