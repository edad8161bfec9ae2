"""Operation on ideas: what an animal should be bred to."""

from __future__ import annotations

from typing import Annotated, Literal

from django.http import HttpRequest, JsonResponse
from ninja import Query, Router

from holdback.answers.ideas import ideas_for
from holdback.decisions.ideas import Only
from holdback.web.api.idea_schemas import IdeasOut
from holdback.web.api.schemas import ErrorOut
from holdback.web.api.working import worked_out

router = Router(tags=["decisions"])

_Texts = Annotated[list[str], Query(default_factory=list)]


@router.get("/ideas", response={200: IdeasOut, 422: ErrorOut, 503: ErrorOut})
def ideas(
    request: HttpRequest,
    animal: str,
    offer: _Texts,
    allow: _Texts,
    only: Literal["", "at hand", "on offer"] = "",
    most: int = 12,
) -> JsonResponse:
    """What an animal should be bred to: an id, a name or genes; `offer` (a listing) and `allow` may be repeated."""
    which = Only(only) if only else Only.ANYTHING
    found = ideas_for(worked_out(), animal, offers=offer, only=which, most=most, allow=frozenset(allow))
    return JsonResponse(found.as_json())
