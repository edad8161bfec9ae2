"""Operations on what recorded animals carry: by all records together."""

from __future__ import annotations

from typing import Annotated, Any

from django.http import HttpRequest, JsonResponse
from ninja import Query, Router
from pydantic import Field

from holdback.answers.carried import animal_as_json, animals_asked, beliefs_as_json, conflicts_as_json
from holdback.answers.proof import carrier_advice, odd_proof
from holdback.web.api.schemas import (
    AnimalGenesOut,
    BeliefsOut,
    ConflictsOut,
    ErrorOut,
    ProofOut,
    SiresOut,
    TestBreedingOut,
)
from holdback.web.api.working import worked_out

router = Router(tags=["genes"])

_FAULTS = {422: ErrorOut, 503: ErrorOut}
_Ids = Annotated[list[str], Query(default_factory=list)]
_Eggs = Annotated[int | None, Field(ge=1, le=10_000)]


@router.get("/beliefs", response={200: BeliefsOut, **_FAULTS})
def beliefs(request: HttpRequest, animal: _Ids, why: bool = False, conflicts: bool = True) -> JsonResponse:
    """What animals carry by all records; all of them where no `animal` is given, which may be repeated."""
    answers = worked_out(conflicts=conflicts)
    return JsonResponse(beliefs_as_json(answers, animal, why=why, conflicts=conflicts))


@router.get("/conflicts", response={200: ConflictsOut, **_FAULTS})
def conflicts(request: HttpRequest, animal: _Ids) -> dict[str, Any]:
    """Records that cannot all be true, worst first; those of an `animal` where one is given, which may be repeated."""
    answers = worked_out(conflicts=True)
    ids = [one.id for one in animals_asked(answers, animal)]
    return {"conflicts": conflicts_as_json(answers, ids)}


@router.get("/animals/{animal_id}/genes", response={200: AnimalGenesOut, **_FAULTS})
def animal_genes(request: HttpRequest, animal_id: str) -> JsonResponse:
    """What an animal carries by all records, with the records that moved each chance."""
    answers = worked_out()
    (one,) = animals_asked(answers, [animal_id])
    return JsonResponse(animal_as_json(answers, one.id))


@router.get("/animals/{animal_id}/proof", response={200: ProofOut, **_FAULTS})
def animal_proof(request: HttpRequest, animal_id: str, shown: _Ids, stronger: _Ids, eggs: _Eggs = None) -> JsonResponse:
    """How the look of an odd animal is passed on; `shown` and `stronger` are those that show it, may be repeated."""
    return JsonResponse(odd_proof(worked_out(), animal_id, shown, stronger, eggs=eggs).as_json())


@router.get("/animals/{animal_id}/test-breeding", response={200: TestBreedingOut, **_FAULTS})
def animal_test_breeding(
    request: HttpRequest,
    animal_id: str,
    gene: str,
    eggs: _Eggs = None,
    below: float = 0.05,
    top: Annotated[int, Field(ge=1, le=100)] = 5,
) -> JsonResponse:
    """Which mates of the collection would tell most of whether an animal carries a gene."""
    return JsonResponse(carrier_advice(worked_out(), animal_id, gene, eggs=eggs, below=below, top=top).as_json())


@router.get("/clutches/{clutch_id}/sires", response={200: SiresOut, **_FAULTS})
def clutch_sires(request: HttpRequest, clutch_id: str, each_egg: bool = False) -> JsonResponse:
    """Candidate sires of a clutch before and after the genes of its young spoke."""
    return JsonResponse(worked_out().sires(clutch_id, each_egg=each_egg).as_json())
