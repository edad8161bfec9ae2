"""Everything in the records that cannot be, and every gene text that is not fully read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from holdback.answers.doubts import doubts
from holdback.answers.statements import named_allele
from holdback.collection.collection import Collection
from holdback.errors import CollectionError
from holdback.heredity.shorthand import read
from holdback.species.catalogue import Catalogue


def checked(collection: Callable[[], Collection], catalogue: Catalogue) -> dict[str, Any]:
    """Outcome of a check: ``counts``, ``problems`` (faults) and ``doubts`` (gene texts not fully read).

    Parameters
    ----------
    collection : callable
        Gives the collection, or raises `CollectionError` with all its faults.
    catalogue : Catalogue
        Species that the gene texts are read with.

    Returns
    -------
    dict
        One JSON object.
    """
    try:
        records = collection()
    except CollectionError as error:
        return {"counts": {}, "problems": [fault.as_json() for fault in error.faults], "doubts": []}
    kinds = ("animals", "clutches", "eggs", "measurements", "matings", "lines", "events", "statements")
    counts = {kind: len(getattr(records.records, kind)) for kind in kinds}
    return {"counts": counts, "problems": [], "doubts": _doubts(records, catalogue)}


def _doubts(collection: Collection, catalogue: Catalogue) -> list[dict[str, Any]]:
    """Words of gene texts that stayed unread, what was doubtful in reading them, and statements on no known gene."""
    strange = [
        {"animal": one.animal, "code": "unknown-gene", "message": f"No gene is called {one.gene!r}; not counted."}
        for one in collection.records.statements
        if named_allele(one.gene, catalogue) is None
    ]
    return strange + [
        {"animal": animal.id, "code": code, "message": message}
        for animal in collection.animals.values()
        if animal.genes
        for code, message in doubts(read(animal.genes, catalogue))
    ]
