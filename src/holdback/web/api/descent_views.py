"""Operations on relatedness and line share."""

from __future__ import annotations

from typing import Annotated

from django.http import HttpRequest, JsonResponse
from ninja import Query, Router

from holdback.answers.descent.as_json import everybody_as_json, pair_asked, shares_as_json, shares_asked
from holdback.web.api.schemas import ErrorOut, KinOut, SharesOut
from holdback.web.api.working import worked_out

router = Router(tags=["descent"])

_FAULTS = {422: ErrorOut, 503: ErrorOut}
_Ids = Annotated[list[str], Query(default_factory=list)]


@router.get("/kin", response={200: KinOut, **_FAULTS})
def kin(request: HttpRequest, first: str = "", second: str = "") -> JsonResponse:
    """How related two animals are, with their young; without both, everybody's inbreeding and the founders' parts."""
    answers = worked_out()
    asked = pair_asked(answers, [one for one in (first, second) if one.strip()])
    return JsonResponse(answers.descent.young(*asked).as_json() if asked else everybody_as_json(answers))


@router.get("/shares", response={200: SharesOut, **_FAULTS})
def shares(request: HttpRequest, animal: _Ids, line: str = "", above: float | None = None) -> JsonResponse:
    """How much of each line runs in animals; all of them where no `animal` is given, which may be repeated."""
    found = shares_asked(worked_out(), animal, line=line, above=above)
    return JsonResponse(shares_as_json(found, above))
