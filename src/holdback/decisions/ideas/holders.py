"""Who has a gene, at hand or on offer: unrelated first, then proven, then the surest."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from holdback.collection.model import Sex
from holdback.decisions.ideas.carried import Animal
from holdback.decisions.ideas.outcome import Aim, clutch_chances
from holdback.decisions.ideas.result import SURE, UNRELATED, Holder, PossibleMate
from holdback.decisions.ideas.rules import barriers
from holdback.heredity.crosses import EggCount
from holdback.heredity.genotype import ParentsJoint

_MOST = 4
"""Holders told of one gene."""


@dataclass(frozen=True, eq=False)
class Mates:
    """Mates that may be named, and those that may not with the reason.

    Parameters
    ----------
    usable : tuple of (PossibleMate, Animal)
        Each with its genes worked out.
    left_out : tuple of (str, str)
        Name and reason.
    """

    usable: tuple[tuple[PossibleMate, Animal], ...]
    left_out: tuple[tuple[str, str], ...]


def mates_for(animal: Animal, offered: Sequence[PossibleMate], allow: Collection[str]) -> Mates:
    """Mates of the other sex, without those that bring what is ruled out.

    Parameters
    ----------
    animal : Animal
        Who is to be paired.
    offered : sequence of PossibleMate
        Any animals.
    allow : collection of str
        Codes of cautions that the keeper allows.
    """
    usable, left_out = [], []
    for mate in offered:
        if mate.belief.sex is not Sex.UNKNOWN and mate.belief.sex is animal.belief.sex:
            continue
        other = Animal(mate.belief, animal.catalogue)
        against = next(_against(other, mate.belief.sex, animal, allow), "")
        if against:
            left_out.append((mate.name, against))
        else:
            usable.append((mate, other))
    return Mates(tuple(usable), tuple(left_out))


def _against(other: Animal, sex: Sex, animal: Animal, allow: Collection[str]) -> Iterator[str]:
    """Reasons not to name a mate; what kills young counts from the least chance on."""
    least = animal.catalogue.decisions["idea_least_chance"].value
    for allele, each in other.carried.items():
        for barrier in barriers(allele, animal, mate_sex=sex):
            if barrier.code not in allow and (not barrier.code or each.chance >= least):
                may = "has" if each.chance >= SURE else "may have"
                yield f"It {may} {each.name}. {barrier.reason}"


def holders_of(allele: str, mates: Mates, aim: Aim, animal: Animal, eggs: EggCount) -> tuple[Holder, ...]:
    """Mates with a gene, best first, at most four.

    Parameters
    ----------
    allele : str
        Standing key of the gene.
    mates : Mates
        Who may be named.
    aim : Aim
        What is counted among the young.
    animal : Animal
        The other parent.
    eggs : EggCount
        The clutch.
    """
    least = animal.catalogue.decisions["idea_least_chance"].value
    found = [(mate, other) for mate, other in mates.usable if other.chance_of(allele) >= least]
    ranked = sorted(found, key=lambda both: _rank(both[0], both[1].chance_of(allele)))
    return tuple(
        _holder(allele, mate, other, clutch_chances(aim, animal, mate.belief, eggs, _scenarios(mate, aim)))
        for mate, other in ranked[:_MOST]
    )


def nearness(allele: str, mates: Mates, animal: Animal) -> tuple[bool, bool, bool]:
    """How near a gene is, to sort by: whether nobody has it, whether the best who has is kin, whether unproven."""
    least = animal.catalogue.decisions["idea_least_chance"].value
    ranks = [_rank(mate, 0.0)[:2] for mate, other in mates.usable if other.chance_of(allele) >= least]
    return (False, *min(ranks)) if ranks else (True, True, True)


def _rank(mate: PossibleMate, chance: float) -> tuple[bool, bool, float, float, str]:
    related = mate.kinship is not None and mate.kinship >= UNRELATED
    return (related, not mate.is_proven, -chance, mate.kinship or 0.0, mate.name)


def _scenarios(mate: PossibleMate, aim: Aim) -> Sequence[ParentsJoint]:
    return mate.together(frozenset(aim.wish.loci)) if mate.together else ()


def _holder(allele: str, mate: PossibleMate, other: Animal, chances: tuple[float, float]) -> Holder:
    return Holder(
        id=mate.id,
        name=mate.name,
        chance=other.carried[allele].chance,
        shows=other.carried[allele].shows,
        per_hatchling=chances[0],
        first_clutch=chances[1],
        kinship=mate.kinship,
        is_proven=mate.is_proven,
        hatched=mate.hatched,
    )
