"""What decides between sets of hatchlings that are worth the same."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.holdbacks.in_stock import without_candidates
from holdback.decisions.holdbacks.meeting import brings, meets, sides
from holdback.decisions.holdbacks.worths import Bag, Worths
from holdback.decisions.steps import Kind, Plan
from holdback.decisions.stock import Stock

TWO_SOURCES = 2
"""Animals of a sex at hand with the share wished, below which a line lacks that sex; assumed."""


class Lacking:
    """Sexes that a plan, or a line, still lacks and that a hatchling could fill.

    Parameters
    ----------
    worths : Worths
        Candidates and projects.
    plans : sequence of (int, Plan)
        Plans to look at, with the number of their project.
    """

    def __init__(self, worths: Worths, plans: Sequence[tuple[int, Plan]]) -> None:
        self._worths = worths
        self._base = without_candidates(worths.stock, list(worths.candidates.values()))
        wants = [*self._of_plans(plans), *self._of_lines()]
        self.fillers: tuple[frozenset[int], ...] = tuple(dict.fromkeys(one for one in wants if one))
        self.by_line: frozenset[int] = frozenset(k for one in self._of_lines() for k in one)

    def unfilled(self, bag: Bag) -> int:
        """Number of sexes still lacking with a set."""
        return sum(not fillers & set(bag) for fillers in self.fillers)

    def fills(self, k: int, bag: Bag) -> bool:
        """Whether one of a group fills a lack that a set leaves."""
        return any(k in fillers and not fillers & set(bag) for fillers in self.fillers)

    def _of_plans(self, plans: Sequence[tuple[int, Plan]]) -> list[frozenset[int]]:
        """Sides of crosses for which nobody at hand is good enough."""
        found = []
        for _, plan in plans:
            for side, sex in sides(plan):
                at_hand = [self._base.animals[place] for place in self._base.of_sex(sex)]
                if not any(meets(self._base, one, side.kind, plan.target, sex=sex) for one in at_hand):
                    found.append(self._good_enough(side.kind, plan, sex))
        return found

    def _good_enough(self, kind: Kind, plan: Plan, sex: Sex) -> frozenset[int]:
        worths = self._worths
        return frozenset(
            k
            for k, group in enumerate(worths.groups)
            if worths.candidates[group[0]].sex is sex and meets(worths.stock, group[0], kind, plan.target, sex=sex)
        )

    def _of_lines(self) -> list[frozenset[int]]:
        """Lines asked for of which a sex is scarce among the animals at hand."""
        found = []
        targets = [target for project in self._worths.projects for target in project.targets if target.share > 0]
        for line, share in dict.fromkeys((target.line, target.share) for target in targets):
            for sex in (Sex.MALE, Sex.FEMALE):
                if (
                    sum(_has(self._base, self._base.animals[k], line, share) for k in self._base.of_sex(sex))
                    < TWO_SOURCES
                ):
                    found.append(self._of_line(line, share, sex))
        return found

    def _of_line(self, line: str, share: float, sex: Sex) -> frozenset[int]:
        worths = self._worths
        return frozenset(
            k
            for k, group in enumerate(worths.groups)
            if worths.candidates[group[0]].sex is sex and _has(worths.stock, group[0], line, share)
        )


def _has(stock: Stock, animal: str, line: str, share: float) -> bool:
    return line in stock.shares and bool(stock.shares[line][stock.index(animal)] >= share - 1e-9)


def preference(worths: Worths, lacking: Lacking, bag: Bag) -> tuple[float, ...]:
    """Sexes lacking, animals, what speaks against them, genes, kinship, mass for their eggs; less is better.

    Parameters
    ----------
    worths : Worths
        Candidates.
    lacking : Lacking
        Sexes lacking.
    bag : tuple of int
        A set.
    """
    names = ids_of(worths, bag)
    kept = [worths.candidates[name] for name in names]
    against = sum(len(one.flags) + len(one.troubles) for one in kept)
    pairs = [worths.stock.kinship[worths.stock.index(a), worths.stock.index(b)] for a, b in combinations(names, 2)]
    kin = round(float(np.mean(pairs)), 6) if pairs else 0.0
    genes = round(sum(_brings(worths, name) for name in names), 6)
    return lacking.unfilled(bag), len(bag), against, -genes, kin, -sum(one.beyond_egg for one in kept)


def _brings(worths: Worths, animal: str) -> float:
    """What an animal brings of all targets."""
    targets = [target for project in worths.projects for target in project.targets]
    return sum(brings(worths.stock, animal, target) for target in targets)


def ids_of(worths: Worths, bag: Bag) -> tuple[str, ...]:
    """Ids of a set: of each group its first members."""
    return tuple(worths.groups[k][bag[:place].count(k)] for place, k in enumerate(bag))
