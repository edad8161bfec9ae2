"""Families and records written by hand, shared by the tests of beliefs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from holdback.collection.model import Candidate, Sex
from holdback.descent.family import Brood, Family
from holdback.heredity.beliefs.evidence import (
    Evidence,
    FloatArray,
    GeneRecord,
    LocusEvidence,
    RecordKind,
    two_allele_locus,
)

Parents = Mapping[str, tuple[str, str] | None]


def family_of(parents: Parents, sexes: Mapping[str, Sex] | None = None) -> Family:
    """Family in which every young is a brood of its own; sire first."""
    broods = tuple(
        Brood(name, dam=both[1], sires=(Candidate(both[0]),), young=(name,)) for name, both in parents.items() if both
    )
    return Family({name: (sexes or {}).get(name, Sex.UNKNOWN) for name in parents}, broods)


def pair_table(values: Sequence[float]) -> FloatArray:
    """Symmetric table of a locus of two alleles from its values at no, one and two copies."""
    none, one, two = values
    return np.array([[none, one], [one, two]])


def record(animal: str, values: Sequence[float], key: str = "", **more: object) -> GeneRecord:
    """Record with the given likelihoods at no, one and two copies; the likeliest copies are right."""
    table = pair_table(values)
    made = GeneRecord(key or f"look:{animal}", animal, RecordKind.LOOK, "", table, table < table.max() / 2)
    return replace(made, **more) if more else made  # type: ignore[arg-type]


def claim(animal: str, values: Sequence[float], frequency: float) -> GeneRecord:
    """Claim that gives a founder exactly these chances of no, one and two copies."""
    x = frequency
    chances = np.array(values) / np.array([(1 - x) ** 2, 2 * x * (1 - x), x * x])
    return record(animal, chances, key=f"claim:{animal}")


def locus_with(locus: LocusEvidence, records: Sequence[GeneRecord]) -> LocusEvidence:
    """Locus with records added."""
    found: dict[str, tuple[GeneRecord, ...]] = dict(locus.records)
    for one in records:
        found[one.animal] = (*found.get(one.animal, ()), one)
    return replace(locus, records=found)


def evidence_at(*loci: LocusEvidence, **more: float) -> Evidence:
    """Evidence at some loci; nothing is known of sexing errors unless given."""
    return Evidence({locus.key: locus for locus in loci}, **{"sex_error": 0.0, **more})  # type: ignore[arg-type]


def recessive(key: str, frequency: float, records: Sequence[GeneRecord] = ()) -> LocusEvidence:
    """Locus of one recessive."""
    return locus_with(two_allele_locus(key, key, frequency), records)


LOOPED: Parents = {
    "S": None,
    "D1": None,
    "D2": None,
    "F1": ("S", "D1"),
    "B1": ("S", "F1"),
    "B2": ("S", "F1"),
    "G1": ("S", "D2"),
    "X1": ("B1", "B2"),
    "H": ("G1", "B1"),
}
"""Two backcrosses to one sire, their inbred young, and a half sib of the backcrosses."""

NORMAL, VISUAL = (0.999, 0.999, 0.01), (0.001, 0.001, 0.99)
