"""What the parents of a clutch were held to be before its young spoke: all records but those of the young and theirs.

A test of a clutch against odds that its own young have moved would find that they fit.
"""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from holdback.answers.pair import independent
from holdback.answers.season.near_family import near_family
from holdback.collection.model import NO_SIRE, Candidate, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs import Beliefs, GeneRecord, LocusEvidence, RecordKind, infer, parents_joint, states_of
from holdback.heredity.beliefs.looks import frozen
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint
from holdback.heredity.network import Cancelled

if TYPE_CHECKING:
    from holdback.answers.answers import Answers

MOST_ANIMALS = 400
"""Animals of one connected pedigree up to which all of it is used; of a larger one the next of kin."""

LEAST_KNOWN = 0.5
"""Weight of the candidates on record from which odds are foretold at all."""


@dataclass(frozen=True, eq=False)
class Couple:
    """One thing that the parents may be.

    Parameters
    ----------
    weight : float
        Probability.
    joint : ParentsJoint
        What both carry.
    has_sire : bool
        False for a young of the dam alone.
    """

    weight: float
    joint: ParentsJoint
    has_sire: bool = True


def brood_of_clutch(answers: Answers, clutch: str) -> Brood | None:
    """Young of a clutch with their candidate sires by matings or record; None where no odds can be foretold.

    Notes
    -----
    Of young with different candidates those of the most count. Nothing is foretold where the dam is not on record, or
    where the males on record (and no sire at all) have less than `LEAST_KNOWN` of the weight.
    """
    mates = {one.id for one in answers.collection.clutch_mates(clutch)}
    found = max((one for one in answers.family.broods if mates & set(one.young)), key=_n_young, default=None)
    if found is None or found.dam is None:
        return None
    known = sum(one.weight for one in found.sires if one.animal != UNKNOWN_SIRE)
    return found if known >= LEAST_KNOWN else None


def _n_young(brood: Brood) -> int:
    return len(brood.young)


def uses_all_kin(answers: Answers, brood: Brood) -> bool:
    """Whether the whole pedigree tells of the parents of a brood: it is not too large, and beliefs of it are exact."""
    dam = brood.dam or ""
    piece = next(one for one in answers.family.pieces if dam in one)
    return len(piece) <= MOST_ANIMALS and answers.beliefs.unit_of(dam).exact


def beliefs_before(answers: Answers, brood: Brood) -> Beliefs:
    """Beliefs of the parents of a brood by all records but those of its young and of all that descends from them.

    Parameters
    ----------
    answers : Answers
        Of the collection.
    brood : Brood
        With a dam on record.

    Notes
    -----
    Where `uses_all_kin` is false, by the records of the next of kin; where even these are too entangled, by the
    parents' own.
    """
    silent = _with_descendants(answers.family, set(brood.young))
    loci = {key: _without(locus, silent) for key, locus in answers.evidence.loci.items()}
    evidence = replace(answers.evidence, loci=loci)
    if uses_all_kin(answers, brood):
        return infer(answers.family, evidence, memory=answers.memory)
    parents = answers.family.parents(brood.young[0])
    near = near_family(answers.family, parents, silent=silent)
    try:
        return infer(near, evidence, memory=answers.memory, cancelled=lambda: True)
    except Cancelled:
        alone = Family({one: answers.family.sexes[one] for one in parents})
        return infer(alone, evidence, memory=answers.memory)


def _with_descendants(family: Family, animals: Set[str]) -> frozenset[str]:
    found, waiting = set(animals), list(animals)
    while waiting:
        for brood in family.broods_of_parent.get(waiting.pop(), ()):
            new = set(brood.young) - found
            found |= new
            waiting += new
    return frozenset(found)


def _without(locus: LocusEvidence, silent: frozenset[str]) -> LocusEvidence:
    """Locus without what is recorded of some animals; that they lived says nothing either."""
    records = {animal: found for animal, found in locus.records.items() if animal not in silent}
    if locus.survival.min() < 1.0:
        unborn = 1.0 / locus.survival
        likelihood = frozen(unborn / unborn.max())
        right = frozen(likelihood < 0.0)
        for animal in silent:
            key = f"not asked:{animal}:{locus.key}"
            records[animal] = (GeneRecord(key, animal, RecordKind.LOOK, "not asked", likelihood, right),)
    elif len(records) == len(locus.records) and not silent & locus.maker.keys():
        return locus
    maker = {animal: chance for animal, chance in locus.maker.items() if animal not in silent}
    return replace(locus, records=records, maker=maker)


def couples_before(answers: Answers, brood: Brood, *, also: Set[str]) -> list[Couple]:
    """What the parents of a brood may be, without its young; weights sum to 1.

    Parameters
    ----------
    answers : Answers
        Of the collection.
    brood : Brood
        With a dam on record.
    also : set of str
        Keys of loci to tell in any case: those at which a young shows something.

    Notes
    -----
    A male that is not on record is drawn from the population at the loci where anything is told.
    """
    beliefs = beliefs_before(answers, brood)
    return [couple for one in brood.sires for couple in _couples(beliefs, one, brood.dam or "", also)]


def _couples(beliefs: Beliefs, sire: Candidate, dam: str, also: Set[str]) -> list[Couple]:
    if sire.animal not in (UNKNOWN_SIRE, NO_SIRE):
        joints = parents_joint(beliefs, sire.animal, dam, also=also)
        return [Couple(sire.weight * joint.weight, joint) for joint in joints]
    found = []
    for weight, state in states_of(beliefs, dam, sex=Sex.FEMALE, also=also):
        has_sire = sire.animal != NO_SIRE
        loci = {key: _population(beliefs.evidence.loci[key]) for key in state.loci} if has_sire else {}
        joint = independent(GenotypeBelief(sex=Sex.MALE, loci=loci), state)
        found.append(Couple(sire.weight * weight, joint, has_sire))
    return found


def _population(locus: LocusEvidence) -> dict[tuple[str, str], float]:
    """Chances of the pairs of an animal of unknown descent."""
    found: dict[tuple[str, str], float] = {}
    for first, share in enumerate(locus.frequencies.tolist()):
        for second, other in enumerate(locus.frequencies.tolist()):
            both = locus.pair(first, second)
            found[both] = found.get(both, 0.0) + share * other
    return found
