"""What a set of hatchlings is worth: the rehearsed goals with them, over the sexes they may turn out to be.

Worth is counted in eggs: `Goal.worth_eggs` for a goal that is there by its wished season, and `Goal.year_worth_eggs`
for each season before the last one rehearsed. A set is as good as the best plan that is known for it: the one searched
for it, those of the smaller sets in it, or leaving the added animals unused. The sex of a young is known before it can
breed, so each sex has its own best plan, and the worth is the mean over sexes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import comb

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal
from holdback.decisions.holdbacks.candidate import Candidate, Keeping, Project
from holdback.decisions.holdbacks.in_stock import with_kept
from holdback.decisions.holdbacks.meeting import is_target, with_animal
from holdback.decisions.holdbacks.tools import Tools
from holdback.decisions.steps import Plan
from holdback.decisions.stock import FloatArray, Stock

Bag = tuple[int, ...]
"""A set of hatchlings by the numbers of their groups, sorted; a group stands as often as it has members in the set."""
Told = tuple[tuple[int, Sex], ...]
"""A bag with the sexes its members turn out to have, sorted."""


@dataclass(frozen=True, eq=False)
class Reached:
    """How a project goes: one entry a run.

    Parameters
    ----------
    by_wish : float array, shape (runs,)
        Whether, or with what chance, the goal is there by the wished season.
    saved : float array, shape (runs,)
        Seasons before the last one rehearsed.
    plan : Plan or None
        The plan that goes so; None where the goal is there, or no way leads to it.
    """

    by_wish: FloatArray
    saved: FloatArray
    plan: Plan | None

    def eggs(self, goal: Goal) -> FloatArray:
        """Worth in eggs, run by run."""
        return goal.worth_eggs * self.by_wish + goal.year_worth_eggs * self.saved


@dataclass(frozen=True, eq=False)
class Worth:
    """What a set of hatchlings is worth.

    Parameters
    ----------
    eggs : float array, shape (runs,)
        Worth in eggs over all projects, the cost of the tubs taken off.
    projects : tuple of Reached
        In the order of the projects; the plan is that of the likeliest sexes.
    """

    eggs: FloatArray
    projects: tuple[Reached, ...]

    @property
    def mean(self) -> float:
        """Mean worth in eggs."""
        return float(self.eggs.mean())


def difference(more: FloatArray, less: FloatArray) -> tuple[float, float]:
    """Mean of a difference of runs with equal luck, and its standard error; 0 for one run, which is exact."""
    gap = more - less
    error = float(gap.std(ddof=1) / np.sqrt(len(gap))) if len(gap) > 1 else 0.0
    return float(gap.mean()), error


class Worths:
    """Worth of sets of hatchlings, each worked out once.

    Parameters
    ----------
    stock : Stock
        With all candidates in it.
    candidates : mapping of str to Candidate
        By id.
    groups : sequence of sequence of str
        Ids of those that are alike.
    projects : sequence of Project
        What they are weighed for.
    keeping : Keeping
        Cost of a tub.
    tools : Tools
        Search and rehearsal.
    """

    def __init__(
        self,
        stock: Stock,
        candidates: Mapping[str, Candidate],
        groups: Sequence[Sequence[str]],
        projects: Sequence[Project],
        *,
        keeping: Keeping,
        tools: Tools,
    ) -> None:
        self.stock = stock
        self.candidates = candidates
        self.groups = groups
        self.projects = projects
        self.keeping = keeping
        self.tools = tools
        self._bags: dict[Bag, Worth] = {}
        self._told: dict[Told, Worth] = {}
        self._found: dict[tuple[int, Told, int], Reached] = {}

    @property
    def bags(self) -> Mapping[Bag, Worth]:
        """Sets worked out so far."""
        return self._bags

    def of(self, bag: Bag) -> Worth:
        """Worth of a set, mixed over the sexes of its members."""
        if bag not in self._bags:
            parts = [(chance, self.told(told)) for told, chance in self.sexes_of(bag)]
            best = max(parts, key=lambda part: part[0])[1]
            self._bags[bag] = Worth(
                _mixed([(chance, worth.eggs) for chance, worth in parts]),
                tuple(
                    Reached(
                        _mixed([(chance, worth.projects[k].by_wish) for chance, worth in parts]),
                        _mixed([(chance, worth.projects[k].saved) for chance, worth in parts]),
                        best.projects[k].plan,
                    )
                    for k in range(len(self.projects))
                ),
            )
        return self._bags[bag]

    def sexes_of(self, bag: Bag) -> tuple[tuple[Told, float], ...]:
        """What the sexes of a set may turn out to be, with their chances."""
        found: dict[Told, float] = {}
        for choice in product(*(self.candidates[self.groups[k][0]].sexes for k in bag)):
            told = tuple(sorted((k, sex) for k, (sex, _) in zip(bag, choice, strict=True)))
            found[told] = found.get(told, 0.0) + float(np.prod([chance for _, chance in choice]))
        return tuple(found.items())

    def told(self, told: Told) -> Worth:
        """Worth of a set whose sexes are known."""
        if told not in self._told:
            reached = tuple(self._reached(k, told) for k in range(len(self.projects)))
            runs = zip(reached, self.projects, strict=True)
            eggs = np.sum([one.eggs(project.goal) for one, project in runs], axis=0)
            self._told[told] = Worth(eggs - self._tubs(told), reached)
        return self._told[told]

    def _tubs(self, told: Told) -> float:
        """Cost of the tubs of a set until its members breed, in eggs."""
        years = [self.candidates[self.groups[k][0]].ready(sex) for k, sex in told]
        return self.keeping.year_eggs * sum(years)

    def members(self, told: Told) -> dict[str, Sex]:
        """Ids of a set with their sexes: of each group its first members."""
        seen: dict[int, int] = {}
        found = {}
        for k, sex in told:
            found[self.groups[k][seen.get(k, 0)]] = sex
            seen[k] = seen.get(k, 0) + 1
        return found

    def _reached(self, project: int, told: Told) -> Reached:
        """A project with a set: members that are the goal count while they live, the others as the plan uses them."""
        goals = [(k, sex) for k, sex in told if self.is_goal(project, k, sex)]
        rest = tuple(one for one in told if one not in goals)
        wanted = self.projects[project].goal.number
        lives = self.stock.breeding.young_lives
        parts = []
        for n in range(len(goals) + 1):
            chance = comb(len(goals), n) * lives**n * (1 - lives) ** (len(goals) - n)
            if chance > 0:
                parts.append((chance, self._played(project, rest, max(wanted - n, 0))))
        return Reached(
            _mixed([(chance, one.by_wish) for chance, one in parts]),
            _mixed([(chance, one.saved) for chance, one in parts]),
            next((one.plan for _, one in reversed(parts) if one.plan), None),
        )

    def is_goal(self, project: int, group: int, sex: Sex) -> bool:
        """Whether a member of a group is what a project wants."""
        animal = self.groups[group][0]
        return any(is_target(self.stock, animal, target, sex=sex) for target in self.projects[project].targets)

    def _played(self, project: int, told: Told, number: int) -> Reached:
        key = (project, told, number)
        if key not in self._found:
            self._found[key] = self._best(project, told, number)
        return self._found[key]

    def _best(self, project: int, told: Told, number: int) -> Reached:
        """The best that is known for a set whose sexes are known."""
        if number == 0:
            return Reached(np.ones(1), np.full(1, float(self.tools.seasons - 1)), None)
        smaller = list(self._smaller(project, told, number))
        stock = with_kept(self.stock, self.candidates, self.members(told))
        options = [one for _, one in smaller]
        options += [self._run(project, stock, plan, number) for plan in self._plans(project, stock, told, smaller)]
        if not options:
            return Reached(np.zeros(1), np.zeros(1), None)
        goal = self.projects[project].goal
        return max(options, key=lambda one: float(one.eggs(goal).mean()))

    def _smaller(self, project: int, told: Told, number: int) -> Iterator[tuple[Told, Reached]]:
        """The empty set, and what is worked out of the same set with one member less."""
        if told:
            yield (), self._played(project, (), number)
        for place in range(len(told)):
            less = told[:place] + told[place + 1 :]
            if less and (project, less, number) in self._found:
                yield less, self._found[project, less, number]

    def _plans(self, project: int, stock: Stock, told: Told, smaller: Sequence[tuple[Told, Reached]]) -> list[Plan]:
        """Plans worth playing: those of smaller sets with the added animal where it is good enough, and those found."""
        known = [one.plan for _, one in smaller]
        plans = []
        for less, reached in smaller:
            plan = reached.plan
            for k, sex in (Counter(told) - Counter(less)).elements():
                plan = plan and with_animal(stock, plan, self.groups[k][0], sex=sex)
            if plan is not None and plan not in known:
                plans.append(plan)
        for target in self.projects[project].targets:
            plan = self.tools.search(stock, target, self.projects[project].goal)
            if plan is not None and plan not in known:
                plans.append(plan)
        return list(dict.fromkeys(plans))

    def _run(self, project: int, stock: Stock, plan: Plan, number: int) -> Reached:
        goal = self.projects[project].goal
        runs = self.tools.play(stock, plan, goal, number).astype(np.float64)
        last = self.tools.seasons - 1
        wished = min(max(goal.by - stock.year, 0), last) if goal.by else last
        return Reached(runs[:, wished], runs[:, :last].sum(axis=1), plan)


def _mixed(parts: Sequence[tuple[float, FloatArray]]) -> FloatArray:
    """Mean of runs over what may be; what is the same in every run stands as one."""
    total = np.zeros(1)
    for chance, runs in parts:
        total = total + chance * runs
    return total
