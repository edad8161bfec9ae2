"""The API's operations. They call the same functions as the commands, so the numbers are the same.

An answer with more keys than its schema promises is returned whole, as the command prints it; a test holds it to the
schema. Operations on the genes of recorded animals stand in `gene_views`, those on their descent in `descent_views`.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated, Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from ninja import File, NinjaAPI, UploadedFile
from pydantic import Field

import holdback
from holdback.answers.checking import checked
from holdback.bridge import answers as all_answers
from holdback.bridge import catalogue_of_records, collection_around, collection_of_records
from holdback.collection.model import Animal
from holdback.errors import CollectionError, Fault, HoldbackError
from holdback.heredity.shorthand import read
from holdback.web.api import decision_views, descent_views, gene_views, idea_views, season_views, size_views
from holdback.web.api.schemas import AnimalOut, CheckOut, ErrorOut, OddsOut, ReadingOut
from holdback.web.api.working import StillWorking, worked_out

api = NinjaAPI(
    title="Holdback",
    version=holdback.__version__,
    description="What the commands answer, as JSON; from this computer only, once the one-time address was opened.",
    urls_namespace="api",
)
api.add_router("", gene_views.router)
api.add_router("", descent_views.router)
api.add_router("", size_views.router)
api.add_router("", season_views.router)
api.add_router("", idea_views.router)
api.add_router("", decision_views.router)


@api.exception_handler(HoldbackError)
def refused(request: HttpRequest, error: HoldbackError) -> HttpResponse:
    """Faults of a request, with what to do about each."""
    return api.create_response(request, {"error": [fault.as_json() for fault in error.faults]}, status=422)


@api.exception_handler(StillWorking)
def not_yet(request: HttpRequest, error: StillWorking) -> HttpResponse:
    """What is still being worked out, and when to ask again."""
    response = api.create_response(request, {"error": [fault.as_json() for fault in error.faults]}, status=503)
    response["Retry-After"] = str(error.seconds)
    return response


@api.get("/read", response={200: ReadingOut, 422: ErrorOut}, by_alias=True, tags=["genes"])
def read_shorthand(request: HttpRequest, text: str) -> JsonResponse:
    """Read a line of trade shorthand."""
    catalogue = catalogue_of_records()
    return JsonResponse(read(text, catalogue).as_json(catalogue))


@api.get("/odds", response={200: OddsOut, 422: ErrorOut, 503: ErrorOut}, by_alias=True, tags=["genes"])
def pair_odds(
    request: HttpRequest,
    sire: str,
    dam: str,
    want: str = "",
    eggs: int | None = None,
    hatch_rate: float | None = None,
    top: Annotated[int, Field(ge=1, le=10_000)] = 16,
) -> JsonResponse:
    """What a pair gives; each side is an id, a name or genes in shorthand."""
    answers = all_answers()
    if any(answers.find(side) for side in (sire, dam)):
        answers = worked_out()
    found = answers.odds(sire, dam, want=want, eggs=eggs, hatch_rate=hatch_rate, top=top)
    return JsonResponse(found.as_json(answers.catalogue))


@api.get("/animals/{animal_id}", response={200: AnimalOut, 422: ErrorOut}, tags=["records"])
def animal(request: HttpRequest, animal_id: str) -> dict[str, Any]:
    """One animal as recorded.

    Raises
    ------
    CollectionError
        If there is no such animal.
    """
    found = collection_around([animal_id]).animals.get(animal_id)
    if found is None:
        raise CollectionError(Fault("API-001", f"There is no animal {animal_id!r}.", "Give an id.", animal=animal_id))
    return _as_json(found)


@api.get("/check", response={200: CheckOut, 503: ErrorOut}, tags=["records"])
def check(request: HttpRequest) -> dict[str, Any]:
    """Everything in the records that cannot be, does not fit together, or is not fully read."""
    return checked(lambda: worked_out(conflicts=True))


@api.get("/export.xlsx", tags=["records"], openapi_extra={"responses": {200: {"description": "an XLSX workbook"}}})
def export_workbook(request: HttpRequest) -> HttpResponse:
    """All records as a workbook."""
    from holdback.intake.workbook import write_workbook

    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / "holdback.xlsx"
        write_workbook(collection_of_records(), target)
        response = HttpResponse(
            target.read_bytes(), content_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
        )
    response["Content-Disposition"] = 'attachment; filename="holdback.xlsx"'
    return response


@api.post("/import", response={200: dict[str, Any], 422: ErrorOut}, tags=["records"])
def import_sheet(request: HttpRequest, file: File[UploadedFile], dry_run: bool = True) -> dict[str, Any]:
    """Import a sheet with the proposed mapping; a dry run unless told otherwise."""
    from holdback.web.imports.services import import_files

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / Path(file.name or "sheet.csv").name
        path.write_bytes(file.read())
        return import_files([path], answers=None, dry_run=dry_run).as_json()


def _as_json(animal: Animal) -> dict[str, Any]:
    """Animal as a JSON object."""
    return {
        "id": animal.id,
        "name": animal.name,
        "sex": str(animal.sex),
        "hatched": str(animal.hatched or ""),
        "origin": str(animal.origin),
        "sires": [{"animal": candidate.animal, "weight": candidate.weight} for candidate in animal.sires],
        "dam": animal.dam,
        "clutch": animal.clutch,
        "genes": animal.genes,
        "status": animal.status,
        "notes": animal.notes,
    }
