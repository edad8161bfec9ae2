"""Short collections for the tests of reading records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from holdback.collection.collection import Collection
from holdback.descent.family import Family
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, GeneRecord, LocusEvidence
from holdback.heredity.beliefs.reading import evidence_of
from holdback.species.catalogue import Catalogue, load

Row = Mapping[str, Any]


def collection_of(animals: Sequence[Row], statements: Sequence[Row] = ()) -> Collection:
    """Collection of rows; a statement has one copy, seen, unless it says otherwise."""
    plain = {"kind": "seen", "none": 0, "one": 1, "two": 0, "trust": 1}
    stated = [{**plain, **row} for row in statements]
    return Collection.from_frames({"animals": list(animals), **({"statements": stated} if stated else {})})


def evidence(collection: Collection, catalogue: Catalogue | None = None) -> Evidence:
    """Evidence of a collection."""
    return evidence_of(collection, catalogue or load(), Family.from_collection(collection))


def of_texts(*texts: str) -> Evidence:
    """Evidence of unrelated animals with these gene texts, named A, B, C ..."""
    return evidence(collection_of([{"id": chr(65 + index), "genes": text} for index, text in enumerate(texts)]))


def of_young(text: str, *, sire: str, dam: str) -> Evidence:
    """Evidence of a young K of the animals S and D, with their gene texts."""
    rows = [{"id": "S", "genes": sire}, {"id": "D", "genes": dam}, {"id": "K", "genes": text, "sire": "S", "dam": "D"}]
    return evidence(collection_of(rows))


def only(locus: LocusEvidence, animal: str) -> GeneRecord:
    """The one record of an animal at a locus."""
    (record,) = locus.records[animal]
    return record


def record(locus: LocusEvidence, key: str) -> GeneRecord:
    """Record of a key."""
    return next(one for each in locus.records.values() for one in each if one.key == key)


def by_copies(table: FloatArray | NDArray[np.bool_]) -> list[float]:
    """Entries at no, one and two copies, at a locus of two alleles."""
    return [float(table[0, 0]), float(table[0, 1]), float(table[1, 1])]


def founder(locus: LocusEvidence, *records: GeneRecord) -> FloatArray:
    """Belief of an animal of unknown descent with these records; ordered genotypes, shape (n, n)."""
    belief = np.outer(locus.frequencies, locus.frequencies) * locus.survival
    for one in records:
        belief = belief * one.likelihood
    result: FloatArray = belief / belief.sum()
    return result


def copies_in(belief: FloatArray, allele: int = 1) -> list[float]:
    """Chances of no, one and two copies of an allele."""
    has = (np.arange(len(belief)) == allele).astype(int)
    number = np.add.outer(has, has)
    return [float(belief[number == k].sum()) for k in range(3)]
