"""Invented collections that breed with lines, and what is said of their founders."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from holdback.collection.model import Sex
from holdback.descent.pedigree import Draft
from holdback.descent.shares import LineFounder

DOUBTFUL_SIRES = 0.3
"""Share of clutches with more than one candidate."""


@dataclass
class Stock:
    """A collection: who was bred from whom, what is said of the founders, and how each animal was bred.

    Parameters
    ----------
    draft : Draft
        Animals.
    founders : dict of str to LineFounder
        What is said of each founder.
    bred : dict of str to str
        How an animal was bred.
    """

    draft: Draft = field(default_factory=lambda: Draft({}, {}))
    founders: dict[str, LineFounder] = field(default_factory=dict)
    bred: dict[str, str] = field(default_factory=dict)

    def founder(self, sex: Sex, said: LineFounder) -> str:
        """Add a founder; its id."""
        name = f"F{len(self.founders) + 1}"
        self.draft.parents[name], self.draft.sexes[name] = (None, None), sex
        self.founders[name] = said
        return name

    def young(self, sire: str, dam: str, how: str, sex: Sex) -> str:
        """Add an animal; its id."""
        name = f"A{len(self.bred) + 1}"
        self.draft.parents[name], self.draft.sexes[name] = (sire, dam), sex
        self.bred[name] = how
        return name

    def one_of(self, sires: list[str], weights: list[float]) -> str:
        """Add a sire of which there are several candidates; its id."""
        name = f"?{len(self.draft.candidates) + 1}"
        self.draft.parents[name], self.draft.sexes[name] = (None, None), Sex.MALE
        self.draft.off_record.add(name)
        self.draft.candidates[name] = tuple(zip(sires, weights, strict=True))
        return name


def stock(rng: np.random.Generator, animals: int) -> Stock:
    """A collection of about so many animals: backcrosses either way, crosses of sibs, and matings as they come."""
    made = Stock()
    males = [made.founder(Sex.MALE, _said(rng)) for _ in range(5)]
    females = [made.founder(Sex.FEMALE, _said(rng)) for _ in range(8)]
    while len(made.bred) < animals:
        if rng.random() < 0.25:
            _backcrosses(rng, made)
        else:
            _clutch(rng, made, males, females)
    return made


def _said(rng: np.random.Generator) -> LineFounder:
    """What is said of a founder: of the line, not of it, all or nothing, or a part between two ends."""
    kind = rng.random()
    if kind < 0.3:
        return LineFounder(1.0, 1.0, 1.0)
    if kind < 0.55:
        return LineFounder(0.0, 0.0, 0.0)
    if kind < 0.75:
        return LineFounder(0.0, 1.0, float(rng.uniform(0.2, 0.8)))
    low, high = sorted(rng.choice([0.25, 0.5, 0.75, 1.0], 2, replace=False).tolist())
    return LineFounder(low, high, 0.5)


def _backcrosses(rng: np.random.Generator, made: Stock) -> None:
    """A first cross, backcrosses to the line or away from it, each to a new partner, and a second cross of sibs."""
    is_up = float(rng.integers(2))
    donor = made.founder(Sex.MALE, _said(rng) if rng.random() < 0.3 else LineFounder(1.0 - is_up, 1.0 - is_up, 1.0))
    first = made.founder(Sex.FEMALE, LineFounder(is_up, is_up, 1.0))
    brother, sister = (made.young(donor, first, "first cross", sex) for sex in (Sex.MALE, Sex.FEMALE))
    second = made.young(brother, sister, "second cross", Sex.MALE)
    partner = made.young(brother, sister, "second cross", Sex.FEMALE)
    made.young(second, partner, "of second-cross sibs", Sex.UNKNOWN)
    one = brother
    for generation in range(1, int(rng.integers(2, 5)) + 1):
        partner = made.founder(Sex.FEMALE, LineFounder(is_up, is_up, 1.0))
        two = [made.young(one, partner, f"backcross {generation}", Sex.MALE) for _ in range(2)]
        one = two[0]


def _clutch(rng: np.random.Generator, made: Stock, males: list[str], females: list[str]) -> None:
    """Young of two animals as they come; some are kept to breed."""
    sire, dam = str(rng.choice(males)), str(rng.choice(females))
    how = "bred as it came"
    sisters = [one for one in females if made.draft.parents[one] == made.draft.parents[sire] != (None, None)]
    if sisters and rng.random() < 0.7:
        dam, how = str(rng.choice(sisters)), "of sibs"
    elif rng.random() < DOUBTFUL_SIRES:
        others = rng.choice([one for one in males if one != sire], int(rng.integers(1, 3)), replace=False).tolist()
        weights = rng.dirichlet(np.full(len(others) + 1, 2.0)).tolist()
        sire, how = made.one_of([sire, *others], weights), "of a doubtful sire"
    for _ in range(int(rng.integers(2, 5))):
        is_male = rng.random() < 0.4
        young = made.young(sire, dam, how, Sex.MALE if is_male else Sex.FEMALE)
        if rng.random() < 0.3:
            (males if is_male else females).append(young)
