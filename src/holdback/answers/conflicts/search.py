"""Conflicts that genes show, the surest first, each taken as corrected before the next is asked about."""

from __future__ import annotations

from dataclasses import replace

from holdback.answers.conflicts.broods import BroodWords
from holdback.answers.conflicts.candidates import Breeders
from holdback.answers.conflicts.conflict import Conflict, Kind
from holdback.answers.conflicts.papers import paper_conflicts
from holdback.answers.conflicts.rivals import Hypothesis, Rivalry, Weighing
from holdback.answers.conflicts.screening import OddBroods, Screen, odd_records, odd_sexes
from holdback.answers.conflicts.singles import record_conflict, sex_conflict
from holdback.collection.collection import Collection
from holdback.collection.model import Candidate
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.memory import Memory
from holdback.species.catalogue import Catalogue

_LIKELIER = 0.5
"""Chance from which an explanation is taken as the correction."""


def conflicts_of_genes(
    collection: Collection, catalogue: Catalogue, beliefs: Beliefs, breeders: Breeders, memory: Memory
) -> tuple[list[Conflict], Beliefs]:
    """Conflicts of broods, looks, claims and sexes, and the beliefs with the likeliest corrections made.

    Parameters
    ----------
    collection, catalogue, beliefs
        Records, species, and beliefs of all records.
    breeders : Breeders
        Who may be a parent.
    memory : Memory
        Where plans are kept.
    """
    screen = Screen(beliefs, breeders)
    odd = screen.odd_broods()
    papers = paper_conflicts(collection, catalogue, beliefs)
    off = {one.animals[0] for one in papers if one.code == "CNF-031"}
    odd.paper = {brood.key for brood in beliefs.family.broods if off & set(brood.young)}
    asked = [
        brood.key
        for brood in beliefs.family.broods
        if brood.key in odd.keys or brood.key in odd.paper or breeders.is_misdated(brood)
    ]
    words = BroodWords(collection, catalogue, beliefs, breeders)
    told = [one for one in map(words.settled_sire, beliefs.family.broods) if one is not None]
    explained: set[str] = set()
    known: dict[str, Rivalry] = {}
    while asked:
        weighing = Weighing(beliefs, breeders, screen)
        words = BroodWords(collection, catalogue, beliefs, breeders)
        broods = [one for one in beliefs.family.broods if one.key in asked and beliefs.exact_unit_of(one.young[0])]
        near = {one for brood in broods for one in (*brood.young, *beliefs.family.parents(brood.young[0]))}
        doubted = list(odd_records(beliefs, near))
        known = {one.brood.key: one for one in known.values() if _is_untouched(one, beliefs)}
        known |= {brood.key: _rivalry(brood, odd, weighing) for brood in broods if brood.key not in known}
        rivalries = [known[brood.key] for brood in broods]
        found = [(one, conflict) for one in rivalries if (conflict := words.of_brood(one, doubted)) is not None]
        if not found:
            break
        surest, conflict = min(found, key=lambda one: one[0].log_recorded - one[0].log_total)
        told.append(conflict)
        asked = [one.brood.key for one, _ in found if one is not surest]
        likeliest = surest.hypotheses[0]
        if surest.chance(likeliest) > _LIKELIER and conflict.code != "CNF-022":
            beliefs = infer(corrected(beliefs.family, surest.brood, likeliest), beliefs.evidence, memory=memory)
            screen = Screen(beliefs, breeders)
        else:
            explained |= {one.record.key for one in words.covered(surest, doubted)}
    doubted = [one for one in odd_records(beliefs) if one.record.key not in explained]
    told += [record_conflict(one, collection, catalogue, beliefs) for one in doubted]
    told += [sex_conflict(one, collection, catalogue) for one in odd_sexes(beliefs)]
    return told, beliefs


def _is_untouched(rivalry: Rivalry, beliefs: Beliefs) -> bool:
    """Whether no correction since has changed the part of the pedigree of a brood."""
    other = rivalry.sire or rivalry.dam
    return other is not None and other.unit.layout.broods == beliefs.unit_of(rivalry.brood.young[0]).layout.broods


def _rivalry(brood: Brood, odd: OddBroods, weighing: Weighing) -> Rivalry:
    """Rivals of a brood; of one that is odd only for its young, the young first."""
    strange = odd.young.get(brood.key, brood.young if len(brood.young) == 1 else ())
    is_whole = brood.key in odd.sides or brood.key in odd.paper or weighing.breeders.is_misdated(brood)
    return weighing.rivalry(brood, strange=[one for one in strange if one in brood.young], only_strange=not is_whole)


def corrected(family: Family, brood: Brood, hypothesis: Hypothesis) -> Family:
    """Family in which a hypothesis on a brood holds.

    Parameters
    ----------
    family : Family
        As recorded.
    brood : Brood
        One of its broods.
    hypothesis : Hypothesis
        What is wrong with it.
    """
    animal = hypothesis.animal
    if hypothesis.kind is Kind.SWAP:
        rest = replace(brood, young=tuple(one for one in brood.young if one != hypothesis.young))
        broods = [rest if one.key == brood.key else one for one in family.broods]
        broods = [
            replace(one, young=(*one.young, hypothesis.young)) if one.key == hypothesis.nest else one for one in broods
        ]
        return Family(family.sexes, tuple(one for one in broods if one.young))
    if hypothesis.kind is Kind.DAM:
        changed = replace(brood, dam=None if animal == UNKNOWN_SIRE else animal)
    elif hypothesis.kind is Kind.TWO_SIRES:
        sires = (Candidate(brood.sires[0].animal, 0.5), Candidate(animal, 0.5))
        changed = replace(brood, sires=sires, each_egg=True)
    else:
        changed = replace(brood, sires=(Candidate(animal, 1.0),))
    return Family(family.sexes, tuple(changed if one.key == brood.key else one for one in family.broods))
