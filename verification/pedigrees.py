"""Invented pedigrees bred in lines, with doubtful sires, before any gene is drawn.

Who breeds is settled first and depends on nothing that is drawn later, so that what is known of a herd is exactly what
inference is told of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from holdback.collection.model import NO_SIRE, Candidate, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood

LINE = 36
"""Animals of a line."""
DOUBTFUL = 0.15
"""Share of clutches with more than one candidate sire."""
MOST_DOUBTFUL = 7
"""Clutches with doubtful sires in one herd: what is worked out exactly grows with the product of their candidates."""


@dataclass
class Pedigree:
    """Animals in the order of their birth, and broods.

    Parameters
    ----------
    roles : dict of str to Sex
        Sex of everything that breeds or may have bred; unknown for the others.
    broods : list of Brood
        As recorded.
    """

    roles: dict[str, Sex] = field(default_factory=dict)
    broods: list[Brood] = field(default_factory=list)

    @property
    def doubtful(self) -> int:
        """Choices of sires that are open."""
        return sum(len(brood.young) if brood.each_egg else 1 for brood in self.broods if brood.is_uncertain)


@dataclass
class _Line:
    """Animals of one line that may breed."""

    males: list[str]
    females: list[str]


def pedigree(rng: np.random.Generator, animals: int) -> Pedigree:
    """Pedigree of about so many animals in lines that now and then lend each other a female."""
    made = Pedigree()
    before: _Line | None = None
    while len(made.roles) < animals:
        before = _bred(rng, made, before)
    parents = {brood.dam for brood in made.broods}
    parents |= {one.animal for brood in made.broods for one in brood.sires}
    made.roles = {name: role if name in parents else Sex.UNKNOWN for name, role in made.roles.items()}
    return made


def _bred(rng: np.random.Generator, made: Pedigree, before: _Line | None) -> _Line:
    first = len(made.roles)
    line = _Line([_born(made, Sex.MALE), _born(made, Sex.MALE)], [_born(made, Sex.FEMALE) for _ in range(3)])
    while len(made.roles) < first + LINE:
        sire = line.males[0] if rng.random() < 0.4 else str(rng.choice(line.males))
        lent = before is not None and rng.random() < 0.08
        dam = str(rng.choice(before.females if before and lent else line.females))
        young = [_born(made, Sex.UNKNOWN) for _ in range(int(rng.integers(2, 7)))]
        sires, each_egg = _sires(rng, made, line, sire)
        number = len(made.broods) + 1
        made.broods.append(Brood(f"clutch {number}", dam, sires, tuple(young), each_egg and len(young) < 4))
        for kept in rng.choice(young, 2, replace=False).tolist():
            is_male = rng.random() < 0.4
            made.roles[kept] = Sex.MALE if is_male else Sex.FEMALE
            (line.males if is_male else line.females).append(kept)
    return line


def _born(made: Pedigree, role: Sex) -> str:
    name = f"A{len(made.roles) + 1:03}"
    made.roles[name] = role
    return name


def _sires(rng: np.random.Generator, made: Pedigree, line: _Line, sire: str) -> tuple[tuple[Candidate, ...], bool]:
    """The sire alone, or in doubt: with another male of the line, a male not on record, or none."""
    if rng.random() >= DOUBTFUL or made.doubtful > MOST_DOUBTFUL - 3:
        return (Candidate(sire),), False
    others = [one for one in line.males if one != sire]
    second = [str(rng.choice(others)), UNKNOWN_SIRE, NO_SIRE][int(rng.choice(3, p=(0.6, 0.25, 0.15)))]
    names = [sire, second]
    if second in others and rng.random() < 0.2:
        names.append(UNKNOWN_SIRE)
    weights = rng.dirichlet(np.full(len(names), 2.0)).tolist()
    candidates = tuple(Candidate(name, weight) for name, weight in zip(names, weights, strict=True))
    return candidates, second != NO_SIRE and rng.random() < 0.3
