"""Operations on sizes."""

from __future__ import annotations

from typing import Annotated

from django.http import HttpRequest, JsonResponse
from ninja import Query, Router

from holdback.answers.size.as_json import sizes_as_json, sizes_asked
from holdback.web.api.schemas import ErrorOut, SizesOut
from holdback.web.api.working import worked_out

router = Router(tags=["size"])

_Ids = Annotated[list[str], Query(default_factory=list)]


@router.get("/sizes", response={200: SizesOut, 422: ErrorOut, 503: ErrorOut})
def sizes(request: HttpRequest, animal: _Ids, line: str = "", prior: float = 0.2) -> JsonResponse:
    """How big animals are; all where no `animal` is given. With `line` also the odds that they are of it."""
    answers = worked_out()
    found = sizes_asked(answers, animal)
    odds = {one: answers.sizes.of_line(one, line, prior).as_json() for one in found} if line and animal else {}
    return JsonResponse(sizes_as_json(found, answers.sizes) | ({"of_line": odds} if odds else {}))
