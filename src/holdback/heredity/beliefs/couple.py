"""What two animals may be together: the joint belief behind the odds of a pair."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from holdback.collection.model import Sex
from holdback.heredity.beliefs.beliefs import AnyPart, AnyUnit, Beliefs, any_worth_telling, pairs_of_states
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, LocusEvidence
from holdback.heredity.beliefs.inference import unfolded, unit_of
from holdback.heredity.beliefs.states import States
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint
from holdback.species.model import Pair

MOST_SCENARIOS = 24
"""States of the doubtful sires that are kept apart; further ones are averaged over."""

_NEGLIGIBLE = 1e-9


def parents_joint(
    beliefs: Beliefs,
    sire: str,
    dam: str,
    *,
    also: Collection[str] = frozenset(),
    only: Collection[str] | None = None,
) -> tuple[ParentsJoint, ...]:
    """Joint belief over a male and a female.

    Parameters
    ----------
    beliefs : Beliefs
        Of the collection.
    sire, dam : str
        Ids of two animals.
    also : collection of str
        Keys of loci to tell in any case.
    only : collection of str, optional
        Keys of the only loci to tell, whatever speaks at them.

    Returns
    -------
    tuple of ParentsJoint
        One for each state of the doubtful sires above either animal, weights summing to 1; within each, loci are
        independent. Loci at which nothing on record speaks for an allele in either are left out.

    Raises
    ------
    KeyError
        If there is no such animal.

    Notes
    -----
    Chances below 1e-9 are dropped. Where more than `MOST_SCENARIOS` states of doubtful sires lie above the two, the
    least doubtful of them are averaged over first.
    """
    loci = [
        locus
        for key, locus in beliefs.evidence.loci.items()
        if (
            key in only
            if only is not None
            else key in also or any(any_worth_telling(locus, beliefs.at(animal, key)) for animal in (sire, dam))
        )
    ]
    if beliefs.unit_of(sire) is beliefs.unit_of(dam):
        unit = _opened(beliefs, beliefs.unit_of(sire), (sire, dam))
        return tuple(_together(unit, loci, sire, dam))
    sides = [
        list(_scenarios(_opened(beliefs, beliefs.unit_of(animal), (animal,)), (animal,), MOST_SCENARIOS // 4))
        for animal in (sire, dam)
    ]
    limited = _limited(beliefs.evidence, sire, dam)
    return tuple(_apart(loci, sires, dams, sire, dam, limited=limited) for sires, dams in product(*sides))


def states_of(
    beliefs: Beliefs, animal: str, *, sex: Sex, also: Collection[str] = frozenset()
) -> Iterator[tuple[float, GenotypeBelief]]:
    """Belief of one animal in each state of the doubtful sires above it, with the weight of the state.

    Parameters
    ----------
    beliefs : Beliefs
        Of the collection.
    animal : str
        Id.
    sex : Sex
        Sex to give the belief: that of the side the animal stands on.
    also : collection of str
        Keys of loci to tell in any case.

    Raises
    ------
    KeyError
        If there is no such animal.
    """
    loci = [
        locus
        for key, locus in beliefs.evidence.loci.items()
        if key in also or any_worth_telling(locus, beliefs.at(animal, key))
    ]
    found = list(_scenarios(_opened(beliefs, beliefs.unit_of(animal), (animal,)), (animal,), MOST_SCENARIOS))
    total = sum(weight for weight, _ in found)
    for weight, parts in found:
        pairs, phase = {}, {}
        for locus in loci:
            part = parts[locus.key]
            states = part.states(animal)
            pairs[locus.key] = pairs_of_states(locus, states, part.posterior(animal))
            phase.update(_phase(locus, part, animal))
        yield weight / total, GenotypeBelief(sex=sex, loci=pairs, phase=phase)


def opened_for(beliefs: Beliefs, animals: Collection[str]) -> Beliefs:
    """The same beliefs with some animals as nodes of their own, so that many couples of them are quick to ask for.

    Parameters
    ----------
    beliefs : Beliefs
        Of the collection.
    animals : collection of str
        Ids.

    Notes
    -----
    A part of the pedigree that becomes too entangled for exact inference by it stays as it was.
    """
    units = []
    for unit in beliefs.units:
        wider = _opened(beliefs, unit, [one for one in unit.layout.folded if one in animals])
        units.append(wider if wider.exact or not unit.exact else unit)
    return replace(beliefs, units=tuple(units))


def _opened(beliefs: Beliefs, unit: AnyUnit, animals: Sequence[str]) -> AnyUnit:
    """The unit with the animals as nodes of their own."""
    hidden = [animal for animal in animals if animal in unit.layout.folded]
    if not hidden:
        return unit
    return unit_of(unfolded(unit.layout, hidden), beliefs.evidence, beliefs.memory)


def _scenarios(unit: AnyUnit, animals: Sequence[str], most: int) -> Iterator[tuple[float, Mapping[str, AnyPart]]]:
    """Weight and beliefs for each state of the doubtful sires that stand above the animals."""
    axes = _doubtful_axes(unit, animals, most)
    shape = unit.switch_posterior.shape
    for choice in product(*(range(shape[axis]) for axis in axes)):
        holds = np.ones(shape)
        for axis, chosen in zip(axes, choice, strict=True):
            only = np.zeros(shape[axis])
            only[chosen] = 1.0
            holds = holds * only.reshape([-1 if number == axis else 1 for number in range(len(shape))])
        weight = float((unit.switch_posterior * holds).sum())
        if weight > _NEGLIGIBLE:
            yield weight, unit.given(holds) if axes else {key: unit.part(key) for key in unit.evidence.loci}


def _doubtful_axes(unit: AnyUnit, animals: Sequence[str], most: int) -> list[int]:
    """Switches above the animals, the most doubtful first, as long as their states are few enough."""
    kin = {*animals, *(one for animal in animals for one in unit.layout.family.ancestors(animal))}
    found = []
    for axis, switch in enumerate(unit.layout.switches):
        young = next((each.young for each in unit.layout.broods if each.key == switch.brood), ())
        above = {switch.animal} if switch.animal else set(young)
        if above & kin:
            chances = unit.of_switch(switch.name)
            found.append((float(chances.max()), axis))
    axes, states = [], 1
    for _, axis in sorted(found):
        states *= unit.switch_posterior.shape[axis]
        if states > most:
            break
        axes.append(axis)
    return axes


def _together(unit: AnyUnit, loci: Sequence[LocusEvidence], sire: str, dam: str) -> Iterator[ParentsJoint]:
    """Joint belief of two animals of one unit."""
    found = list(_scenarios(unit, (sire, dam), MOST_SCENARIOS))
    total = sum(weight for weight, _ in found)
    for weight, parts in found:
        joints, phase = {}, {}
        for locus in loci:
            part = parts[locus.key]
            joints[locus.key] = _pairs(locus, part.states(sire), part.states(dam), part.joint(sire, dam))
            phase.update(_phase(locus, part, _limited(unit.evidence, sire, dam)))
        yield ParentsJoint(weight / total, joints, phase)


def _apart(
    loci: Sequence[LocusEvidence],
    sires: tuple[float, Mapping[str, AnyPart]],
    dams: tuple[float, Mapping[str, AnyPart]],
    sire: str,
    dam: str,
    *,
    limited: str,
) -> ParentsJoint:
    """Belief of two animals that nothing joins: the product; `limited` is the one of the heterogametic sex."""
    joints, phase = {}, {}
    for locus in loci:
        mine, hers = sires[1][locus.key], dams[1][locus.key]
        chances = np.outer(mine.posterior(sire), hers.posterior(dam))
        joints[locus.key] = _pairs(locus, mine.states(sire), hers.states(dam), chances)
        phase.update(_phase(locus, mine if limited == sire else hers, limited))
    return ParentsJoint(sires[0] * dams[0], joints, phase)


def _pairs(locus: LocusEvidence, sires: States, dams: States, chances: FloatArray) -> dict[tuple[Pair, Pair], float]:
    """Joint chances of pairs of alleles from joint chances of states."""
    found: dict[tuple[Pair, Pair], float] = {}
    of_sire = [pairs_of_states(locus, sires, row) for row in np.eye(sires.size)]
    of_dam = [pairs_of_states(locus, dams, row) for row in np.eye(dams.size)]
    for s, d in zip(*np.nonzero(chances > _NEGLIGIBLE), strict=True):
        for mine, share in of_sire[s].items():
            for hers, rest in of_dam[d].items():
                chance = float(chances[s, d]) * share * rest
                if chance > 0.0:
                    found[mine, hers] = found.get((mine, hers), 0.0) + chance
    total = sum(found.values())
    return {both: chance / total for both, chance in found.items()}


def _limited(evidence: Evidence, sire: str, dam: str) -> str:
    """The parent of the heterogametic sex."""
    return sire if evidence.heterogametic is Sex.MALE else dam


def _phase(locus: LocusEvidence, part: AnyPart, animal: str) -> dict[str, float]:
    """Phase of an animal of the heterogametic sex, where the locus is sex-linked."""
    on_limited = part.phase(animal)
    return {} if on_limited is None else {locus.key: on_limited}
