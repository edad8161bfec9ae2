"""What an animal would carry with sets of records left out, worked out together in one calculation."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

import numpy as np

from holdback.heredity.beliefs.beliefs import Beliefs, pairs_of_states
from holdback.heredity.beliefs.evidence import FloatArray, LocusEvidence
from holdback.heredity.beliefs.unit import Part, Unit

Copies = tuple[float, float, float]
"""Chances of no, one and two copies."""

Question = tuple[str, int | str]
"""Name of a set of records that is left out: what for, and of which group or animal."""

ALL: Question = ("all", "")
"""Nothing left out."""
NOTHING: Question = ("nothing", "")
"""Everything left out: the population speaks alone."""
PARENTS: Question = ("parents", "")
"""The animal's own records and those of its descendants left out."""
ABOVE: Question = ("above", "")
"""All but the records of ancestors left out."""


@dataclass(frozen=True, eq=False)
class Weighed:
    """Beliefs at one locus, one for each question.

    Parameters
    ----------
    locus : LocusEvidence
        The locus.
    parts : mapping of Question to Part
        Beliefs with the records of each question left out.
    """

    locus: LocusEvidence
    parts: Mapping[Question, Part]
    _read: dict[tuple[int, str, str], Copies] = field(default_factory=dict, repr=False)

    def copies(self, question: Question, animal: str, allele: str) -> Copies:
        """Chances of no, one and two copies of an allele in an animal."""
        part = self.parts[question]
        key = (part.index, animal, allele)
        if key not in self._read:
            self._read[key] = copies_in(part, self.locus, animal, allele)
        return self._read[key]


def weighed(beliefs: Beliefs, animal: str, locus: str, questions: Mapping[Question, Collection[str]]) -> Weighed:
    """Answers to all questions at once; those that leave out the same records share one.

    Parameters
    ----------
    beliefs : Beliefs
        Of the collection.
    animal : str
        Any animal of the part of the pedigree asked about.
    locus : str
        Locus key.
    questions : mapping of Question to collection of str
        Keys of the records to leave out.
    """
    sets = {name: frozenset(keys) for name, keys in questions.items()}
    distinct = list(dict.fromkeys(sets.values()))
    unit = beliefs.unit_of(animal)
    assert isinstance(unit, Unit)
    parts, _ = unit.withheld(locus, distinct)
    by_set = dict(zip(distinct, parts, strict=True))
    return Weighed(beliefs.evidence.loci[locus], {name: by_set[keys] for name, keys in sets.items()})


def copies_in(part: Part, locus: LocusEvidence, animal: str, allele: str) -> Copies:
    """Chances of no, one and two copies of an allele by one calibrated part."""
    states = part.group.assembly.states[animal]
    odds = [0.0, 0.0, 0.0]
    for alleles, chance in pairs_of_states(locus, states, part.posterior(animal)).items():
        odds[alleles.count(allele)] += chance
    return odds[0], odds[1], odds[2]


@dataclass(frozen=True, slots=True)
class SireCase:
    """What an animal carries if one candidate is its sire.

    Parameters
    ----------
    sire : str
        Animal id, "?" for a male not on record, "none" for no sire.
    recorded, by_locus, chance : float
        Chance that it is: as recorded; with the genes of this locus counted; with all genes counted.
    copies : tuple of three floats
        Chances of no, one and two copies if it is.
    """

    sire: str
    recorded: float
    by_locus: float
    chance: float
    copies: Copies


def by_sire(beliefs: Beliefs, animal: str, locus: str, allele: str) -> tuple[SireCase, ...]:
    """What an animal carries by each candidate sire; empty where its sire is not in doubt."""
    unit = beliefs.unit_of(animal)
    assert isinstance(unit, Unit)
    node = unit.layout.sire_of.get(animal)
    if node is None or node.switch is None:
        return ()
    switches = [switch.name for switch in unit.layout.switches]
    axis, posterior = switches.index(node.switch.name), unit.of_switch(node.switch.name)
    here = _by_locus(unit, locus, axis)
    cases = []
    for number, (sire, weight) in enumerate(zip(node.candidates, node.switch.prior, strict=True)):
        part = _given(beliefs, unit, axis, number)[locus]
        copies = copies_in(part, beliefs.evidence.loci[locus], animal, allele)
        cases.append(SireCase(sire, weight, float(here[number]), float(posterior[number]), copies))
    return tuple(cases)


def _by_locus(unit: Unit, locus: str, axis: int) -> FloatArray:
    """Chance of each choice of a switch by what is recorded of it and by the genes of one locus."""
    outside = unit.log_outside(locus)
    is_open = np.isfinite(outside)
    of_locus = np.where(is_open, unit.log_switches, -np.inf) - np.where(is_open, outside, 0.0)
    logs = unit.log_prior + of_locus
    chances = np.exp(logs - logs.max())
    others = tuple(number for number in range(chances.ndim) if number != axis)
    found = chances.sum(axis=others)
    return np.asarray(found / found.sum())


def _given(beliefs: Beliefs, unit: Unit, axis: int, number: int) -> Mapping[str, Part]:
    """Beliefs at all loci with one switch set; kept, because a page asks for many loci."""

    def make() -> Mapping[str, Part]:
        shape = unit.log_prior.shape
        choices = np.zeros(shape)
        np.moveaxis(choices, axis, 0)[number] = 1.0
        return unit.given(choices)

    return beliefs.memory.get((unit, axis, number), make)
