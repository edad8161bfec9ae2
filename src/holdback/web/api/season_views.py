"""Operations on the working year."""

from __future__ import annotations

from typing import Annotated

from django.http import HttpRequest, JsonResponse
from ninja import Router
from pydantic import Field

from holdback.answers.season.as_json import clutch_as_json, due_as_json, season_as_json
from holdback.answers.season.words import day_asked
from holdback.bridge.season import season_of_records
from holdback.web.api.schemas import ErrorOut
from holdback.web.api.season_schemas import ClutchOutlookOut, DueOut, SeasonOut
from holdback.web.records import clock

router = Router(tags=["season"])


@router.get("/season", response={200: SeasonOut, 422: ErrorOut})
def season(request: HttpRequest, on: str = "", year: int | None = None) -> JsonResponse:
    """Where every female stands in a season, places wanted by week, and who may breed."""
    return JsonResponse(season_as_json(season_of_records(day_asked(on) or clock.today(), year=year)))


@router.get("/season/clutches/{clutch_id}", response={200: ClutchOutlookOut, 422: ErrorOut})
def clutch(request: HttpRequest, clutch_id: str, on: str = "") -> JsonResponse:
    """What is to come of a clutch, or what came of it."""
    return JsonResponse(clutch_as_json(season_of_records(day_asked(on) or clock.today()).clutch(clutch_id)))


@router.get("/due", response={200: DueOut, 422: ErrorOut})
def due(request: HttpRequest, on: str = "", days: Annotated[int, Field(ge=0, le=366)] = 7) -> JsonResponse:
    """What is late, what falls due within a number of days, and the prey wanted."""
    return JsonResponse(due_as_json(season_of_records(day_asked(on) or clock.today()), days=days))
