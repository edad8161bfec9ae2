"""Everything in the records that cannot be, does not fit, or is not fully read."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from holdback.answers.doubts import doubts
from holdback.collection.collection import Collection
from holdback.errors import CollectionError
from holdback.heredity.shorthand import read
from holdback.species.catalogue import Catalogue
from holdback.species.model import Allele

if TYPE_CHECKING:
    from holdback.answers.answers import Answers

_KINDS = ("animals", "clutches", "eggs", "measurements", "matings", "lines", "events", "statements", "origins")


def checked(make: Callable[[], Answers], *, conflicts: bool = True) -> dict[str, Any]:
    """Outcome of a check: the keys of `holdback check`.

    Parameters
    ----------
    make : callable
        Gives the answers over all records, or raises `CollectionError` with all faults of the records.
    conflicts : bool
        Whether to look for records that cannot all be true, which takes far longer than the rest.

    Returns
    -------
    dict
        ``counts`` of records, ``problems`` (faults), ``doubts`` (gene texts not fully read) and ``conflicts`` (records
        that cannot all be true, worst first; null where they were not looked for).
    """
    try:
        answers = make()
    except CollectionError as error:
        problems = [fault.as_json() for fault in error.faults]
        return {"counts": {}, "problems": problems, "doubts": [], "conflicts": None}
    records = answers.collection.records
    return {
        "counts": {kind: len(getattr(records, kind)) for kind in _KINDS},
        "problems": [],
        "doubts": _doubts(answers.collection, answers.catalogue),
        "conflicts": [one.as_json() for one in answers.conflicts] if conflicts else None,
    }


def _doubts(collection: Collection, catalogue: Catalogue) -> list[dict[str, Any]]:
    """Words of gene texts that stayed unread, what was doubtful in reading them, and statements on no known gene."""
    strange = [
        {"animal": one.animal, "code": "unknown-gene", "message": f"No gene is called {one.gene!r}; not counted."}
        for one in collection.records.statements
        if not _is_gene(one.gene, catalogue)
    ]
    return strange + [
        {"animal": animal.id, "code": code, "message": message}
        for animal in collection.animals.values()
        if animal.genes
        for code, message in doubts(read(animal.genes, catalogue))
    ]


def _is_gene(text: str, catalogue: Catalogue) -> bool:
    """Whether a key or a trade name means an allele."""
    return text in catalogue.alleles or isinstance(catalogue.find(text), Allele)
