"""Tiny collections for the tests of conflicts; everything in them is invented."""

from __future__ import annotations

from typing import Any

from holdback.answers.conflicts import Conflict, conflicts_of
from holdback.collection.collection import Collection
from holdback.descent.family import Family
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.reading import evidence_of
from holdback.species.catalogue import load

Row = dict[str, Any]


def bought(animal: str, genes: str, sex: str = "unknown") -> Row:
    """An animal without recorded parents."""
    return {"id": animal, "genes": genes, "sex": sex}


def young(
    genes: list[str], *, sire: str, dam: str, clutch: str = "", name: str = "K", day: str = "2024-07-01"
) -> list[Row]:
    """Clutch mates K0, K1, ... with these genes."""
    return [
        {"id": f"{name}{number}", "genes": text, "sire": sire, "dam": dam, "clutch": clutch, "hatched": "2024-07-01"}
        for number, text in enumerate(genes)
    ]


def believed(animals: list[Row], **tables: list[Row]) -> tuple[Collection, Beliefs]:
    """Collection of some rows, with its beliefs."""
    collection = Collection.from_frames({"animals": animals, **tables})
    family = Family.from_collection(collection)
    return collection, infer(family, evidence_of(collection, load(), family))


def conflicts(animals: list[Row], **tables: list[Row]) -> tuple[Conflict, ...]:
    """Conflicts of some rows."""
    collection, beliefs = believed(animals, **tables)
    return conflicts_of(collection, load(), beliefs)
