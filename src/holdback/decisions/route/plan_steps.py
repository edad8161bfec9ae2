"""A way to the goal, as the search found it, written as the steps of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.route.crossing import NEVER
from holdback.decisions.route.labels import EIGHTHS, FEMALE, MALE, Label, Space, eighths
from holdback.decisions.route.notes import notes
from holdback.decisions.route.search import GoalCross, Search
from holdback.decisions.route.tries import mean_season
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.decisions.stock import Stock

_ROUNDING = 1e-9
_SEXES = {MALE: Sex.MALE, FEMALE: Sex.FEMALE}


def plan_of(stock: Stock, search: Search, goal: GoalCross) -> Plan:
    """Plan that a goal cross of a search stands for.

    Notes
    -----
    A son and a daughter wanted alike of one cross are one step. Inbreeding is worked out on the plan's own pedigree on
    top of the kinship of the animals at hand: one animal for each label, the nearest of kin of like ones at hand.
    """
    return _Writer(stock, search).plan(goal)


@dataclass(eq=False)
class _Writer:
    """Steps written so far."""

    stock: Stock
    search: Search
    _step_of: dict[tuple[object, ...], int] = field(default_factory=dict)
    _order: list[tuple[object, ...]] = field(default_factory=list)
    _wanted: dict[tuple[object, ...], list[int]] = field(default_factory=dict)
    _kinships: dict[tuple[int, int], float] = field(default_factory=dict)

    @property
    def space(self) -> Space:
        return self.search.space

    @property
    def labels(self) -> Sequence[Label]:
        return self.search.labels

    def plan(self, goal: GoalCross) -> Plan:
        self._gather(goal.sire)
        self._gather(goal.dam)
        steps = [self._bred_step(number, key) for number, key in enumerate(self._order)]
        steps.append(self._goal_step(len(steps), goal))
        crosses = [(self.labels[found[0]].sire, self.labels[found[0]].dam) for found in self._wanted.values()]
        each = [self._inbreeding(sire, dam) for sire, dam in (*crosses, (goal.sire, goal.dam))]
        seasons, share = mean_season(goal.by_season), 0.0
        if self.space.wants_share:
            share = (self.labels[goal.sire].share + self.labels[goal.dam].share) / 2
        return Plan(
            target=self.space.target,
            steps=tuple(steps),
            by_season=tuple(float(chance) for chance in goal.by_season),
            seasons=seasons,
            inbreeding=each[-1],
            largest_inbreeding=max(each),
            share=share,
            is_best=self.search.is_complete,
            notes=notes(self.stock, self.space, steps, seasons=seasons, is_complete=self.search.is_complete),
        )

    def _gather(self, number: int) -> None:
        """Put the crosses behind a label in an order in which they can be made."""
        label = self.labels[number]
        if not label.is_bred:
            return
        self._gather(label.sire)
        self._gather(label.dam)
        key = (label.sire, label.dam, label.levels)
        if key not in self._step_of:
            self._step_of[key] = len(self._order)
            self._order.append(key)
            self._wanted[key] = []
        if number not in self._wanted[key]:
            self._wanted[key].append(number)

    def _bred_step(self, number: int, key: tuple[object, ...]) -> Step:
        wanted = [self.labels[one] for one in self._wanted[key]]
        label = wanted[0]
        both = len({one.sex for one in wanted}) == 2
        chance = self.space.chances.mean(label.product)
        sire, dam = self.labels[label.sire], self.labels[label.dam]
        dams = self._dams(label.sire, label.dam)
        tries = self.space.tries
        if both:
            per_season = tries.each_sex(label.product, dams, dam.laying)
        else:
            per_season = float(tries.success(tries.number(label.product, dams, dam.laying))[0])
        return Step(
            number=number,
            sire=self._side(label.sire, dams),
            dam=self._side(label.dam, dams),
            keep=self._kind(label, Sex.UNKNOWN if both else _SEXES[label.sex]),
            count=round(max(one.count for one in wanted)),
            first_season=max(sire.first, dam.first),
            per_hatchling=2 * chance if both else chance,
            per_season=per_season,
            is_goal=False,
            also=self._also(sire, dam),
        )

    def _also(self, sire: Label, dam: Label) -> tuple[Kind, ...]:
        """The goal, where a cross on the way to it can give it by luck."""
        target = self.space.target
        product = self.search.crossing.goal(np.array([sire.profiles], np.int64), np.array([dam.profiles], np.int64))
        has_share = (sire.share + dam.share) / 2 >= target.share - _ROUNDING
        return (self._goal_kind(),) if product[0] != NEVER and has_share else ()

    def _goal_kind(self) -> Kind:
        target = self.space.target
        return Kind(
            tuple((1.0, 1.0) if gene.copies == 2 else (1.0, 0.0) for gene in target.genes), target.sex, target.share
        )

    def _goal_step(self, number: int, goal: GoalCross) -> Step:
        return Step(
            number=number,
            sire=self._side(goal.sire, self._dams(goal.sire, goal.dam)),
            dam=self._side(goal.dam, self._dams(goal.sire, goal.dam)),
            keep=self._goal_kind(),
            count=1,
            first_season=max(self.labels[goal.sire].first, self.labels[goal.dam].first),
            per_hatchling=self.space.chances.mean(goal.product),
            per_season=self._first_season(goal),
            is_goal=True,
        )

    def _first_season(self, goal: GoalCross) -> float:
        tries = self.space.tries
        dams = self._dams(goal.sire, goal.dam)
        return float(tries.success(tries.number(goal.product, dams, self.labels[goal.dam].laying))[0])

    def _dams(self, sire: int, dam: int) -> float:
        return min(self.labels[dam].count, self.labels[sire].clutches)

    def _side(self, number: int, dams: float) -> Side:
        label = self.labels[number]
        kind = self._kind(label, _SEXES[label.sex])
        if label.is_bred:
            return Side(kind, step=self._step_of[label.sire, label.dam, label.levels])
        places = label.animals[: round(dams)] if label.sex == FEMALE else label.animals
        return Side(kind, animals=tuple(self.stock.animals[place] for place in places))

    def _kind(self, label: Label, sex: Sex) -> Kind:
        by_locus = [locus.known(level) for locus, level in zip(self.space.loci, label.levels, strict=True)]
        at = {locus.genes[0].locus: number for number, locus in enumerate(self.space.loci)}
        genes = []
        for gene in self.space.target.genes:
            number = at[gene.locus]
            genes.append(by_locus[number][self.space.loci[number].genes.index(gene)])
        share = int(eighths(np.array(label.share))) / EIGHTHS if self.space.wants_share else 0.0
        return Kind(tuple(genes), sex, share)

    def _inbreeding(self, sire: int, dam: int) -> float:
        """Inbreeding of young of two labels."""
        return self._kinship(sire, dam)

    def _at_hand(self, one: Label, other: Label) -> float:
        """The largest kinship of any two animals."""
        return float(self.stock.kinship[np.ix_(one.animals, other.animals)].max())

    def _kinship(self, one: int, other: int) -> float:
        younger, older = max(one, other), min(one, other)
        if (younger, older) not in self._kinships:
            self._kinships[younger, older] = self._worked_out(younger, older)
        return self._kinships[younger, older]

    def _worked_out(self, younger: int, older: int) -> float:
        label = self.labels[younger]
        if not label.is_bred:
            return self._at_hand(label, self.labels[older])
        if younger == older:
            return (1 + self._kinship(label.sire, label.dam)) / 2
        return (self._kinship(label.sire, older) + self._kinship(label.dam, older)) / 2
