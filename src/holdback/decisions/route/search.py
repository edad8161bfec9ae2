"""Rounds of crosses from labels at hand to a goal.

Each round crosses every pair of labels of which one is new, and keeps what `frontier.Frontier` keeps of their young; a
round is a generation. A cross that cannot be made before the best goal found is left out. The search ends when a round
brings nothing new.

A label stands for one animal (or like sisters): its kinship with all others is carried along, so that a limit of
inbreeding is kept exactly if one animal serves wherever its label does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.route.active import Active
from holdback.decisions.route.crossing import NEVER, Crossing
from holdback.decisions.route.frontier import Frontier
from holdback.decisions.route.labels import FEMALE, MALE, Label, Space
from holdback.decisions.route.offers import Offers, best_offers

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

ROUNDS = 12
"""Most generations."""
GOALS = 40
"""Ways to the goal that are kept."""
_BLOCK = 20_000
"""Crosses looked at together."""
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class GoalCross:
    """A cross that gives the goal.

    Parameters
    ----------
    mean : float
        Mean season.
    sire, dam : int
        Labels.
    product : int
        Chance of the goal.
    by_season : float array, shape (H + 1,)
        Chance by each season.
    """

    mean: float
    sire: int
    dam: int
    product: int
    by_season: FloatArray


@dataclass(frozen=True, eq=False)
class Limits:
    """What a search keeps to.

    Parameters
    ----------
    inbreeding_at_most : float
        Of any young; from 1 on no limit.
    hold_back : int
        Most daughters of one kind that are held back.
    labels : int
        Labels of one type.
    banned : frozenset of (str, str)
        Sires and dams at hand that must not be paired.
    """

    inbreeding_at_most: float = 1.0
    hold_back: int = 3
    labels: int = 1
    banned: frozenset[tuple[int, int]] = frozenset()

    @property
    def is_apart(self) -> bool:
        """Whether inbreeding has a limit."""
        return self.inbreeding_at_most < 1.0


@dataclass(eq=False)
class Search:
    """One search.

    Parameters
    ----------
    space : Space
        What it is made of.
    labels : list of Label
        Labels at hand; bred ones are added behind.
    kinship : float array, shape (labels, labels)
        Kinship of the labels at hand.
    limits : Limits
        What it keeps to.
    stop : callable
        Whether to end now.
    progress : callable
        Told how far it is, from 0 to 1.
    """

    space: Space
    labels: list[Label]
    kinship: FloatArray
    limits: Limits
    stop: Callable[[], bool]
    progress: Callable[[float], None]
    goals: list[GoalCross] = field(default_factory=list)
    is_complete: bool = True

    def __post_init__(self) -> None:
        self.crossing = Crossing(self.space)
        self._words = 1 + max(label.founders for label in self.labels).bit_length() // 64 if self.limits.is_apart else 0
        self._frontiers = tuple(Frontier(self.space, self._words, self.limits.labels) for _ in (MALE, FEMALE))
        for number, label in enumerate(self.labels):
            self._frontiers[label.sex].offer(number, label, None)

    @property
    def best(self) -> float:
        """Mean season of the best way to the goal so far."""
        return self.goals[0].mean if self.goals else float(self.space.aim)

    @property
    def _worst_goal(self) -> float:
        """Mean season that a further way to the goal has to beat."""
        return self.goals[-1].mean if len(self.goals) == GOALS else float(self.space.aim)

    def run(self) -> None:
        """Go through rounds until one brings nothing new."""
        known = list(range(len(self.labels)))
        fresh = set(known)
        for turn in range(ROUNDS):
            active = Active.of(self.space, self.labels, known, fresh, self._words)
            pairs = active.pairs(self.kinship, self.limits.inbreeding_at_most, self.limits.banned)
            self._reach_goal(active, pairs)
            added = self._breed(active, pairs, turn)
            kept = sorted(number for frontier in self._frontiers for number in frontier.numbers)
            if not added or not self.is_complete:
                break
            self._follow_kinship(known, kept)
            known, fresh = kept, set(added) & set(kept)
        else:
            self.is_complete = False
        self.progress(1.0)

    def _reach_goal(self, active: Active, pairs: tuple[IntArray, IntArray]) -> None:
        """Note the crosses that give the goal soonest."""
        earliest = active.earliest(self.space.aim)
        bound = np.maximum(earliest[pairs[0]], earliest[pairs[1]])
        order = np.argsort(bound, kind="stable")
        for males, females in _blocks((pairs[0][order], pairs[1][order])):
            if max(earliest[males[0]], earliest[females[0]]) >= self._worst_goal - _ROUNDING:
                return
            if self.stop():
                self.is_complete = False
                return
            products = self.crossing.goal(active.profiles[males], active.profiles[females])
            can = products != NEVER
            if self.space.wants_share:
                share = (active.share[males] + active.share[females]) / 2
                can &= share >= self.space.target.share - _ROUNDING
            if can.any():
                self._note_goals(active, males[can], females[can], products[can])

    def _note_goals(self, active: Active, males: IntArray, females: IntArray, products: IntArray) -> None:
        if self.space.target.sex is not Sex.UNKNOWN:
            products = self.crossing.one_sex(products)
        numbers = self.space.tries.numbers(products, active.use(males, females))
        both = active.both_ready(males, females)
        saved = self.space.tries.saved(0)[numbers]
        means = self.space.aim - np.einsum("ij,ij->i", both, saved)
        for row in np.argsort(means, kind="stable")[:GOALS].tolist():
            if means[row] >= self._worst_goal - _ROUNDING:
                break
            sire, dam = int(active.numbers[males[row]]), int(active.numbers[females[row]])
            by_season = self.space.tries.arrival(both[row], int(numbers[row]))
            self.goals.append(GoalCross(float(means[row]), sire, dam, int(products[row]), by_season))
        self.goals.sort(key=lambda goal: goal.mean)
        del self.goals[GOALS:]

    def _breed(self, active: Active, pairs: tuple[IntArray, IntArray], turn: int) -> list[int]:
        """Numbers of the labels that a round adds."""
        added: list[int] = []
        for sex in (MALE, FEMALE):
            found: list[Offers] = []
            usable = self.space.aim - self.space.waits(sex)
            for males, females in _blocks(self._useful(active, pairs, usable)):
                if self.stop():
                    self.is_complete = False
                    return []
                found += self._young(active, sex, males, females)
                self.progress(min(0.99, (turn + sex / 2) / ROUNDS))
            offers = Offers.together(found)
            if offers is not None:
                added += self._take(active, best_offers(offers, self.limits.labels))
        return added

    def _useful(self, active: Active, pairs: tuple[IntArray, IntArray], usable: int) -> tuple[IntArray, IntArray]:
        """Crosses whose young may breed before the best goal; of waiting only `usable` seasons are left for it."""
        earliest = active.earliest(max(usable, 0)) + self.space.aim - usable
        chosen = np.maximum(earliest[pairs[0]], earliest[pairs[1]]) < self.best - _ROUNDING
        return pairs[0][chosen], pairs[1][chosen]

    def _young(self, active: Active, sex: int, males: IntArray, females: IntArray) -> list[Offers]:
        """Young of a block of crosses that can be of use, the best of each kind."""
        both = active.both_ready(males, females)
        usable = self.space.aim - self.space.waits(sex)
        soonest = self.space.aim - np.cumsum(both, axis=1)[:, :usable].sum(axis=1)
        chosen = np.flatnonzero(soonest < self.best - _ROUNDING)
        if not len(chosen):
            return []
        offers = self._offers(active, sex, males[chosen], females[chosen], both[chosen])
        return [best_offers(offers, self.limits.labels)]

    def _offers(self, active: Active, sex: int, males: IntArray, females: IntArray, both: FloatArray) -> Offers:
        tries, space = self.space.tries, self.space
        young = self.crossing.young(active.profiles[males], active.profiles[females])
        products = self.crossing.one_sex(young.product)
        numbers = tries.numbers(products, active.use(males, females)[young.pair])
        means = space.aim - np.einsum("ij,ij->i", both[young.pair], tries.saved(space.waits(sex))[numbers])
        share = ((active.share[males] + active.share[females]) / 2)[young.pair]
        kind = space.kinds(young.levels, share)
        keep = np.flatnonzero(means < np.minimum(self.best, self._frontiers[sex].to_beat(kind)) - _ROUNDING)
        mine, hers = males[young.pair[keep]], females[young.pair[keep]]
        return Offers(
            sex=sex,
            levels=young.levels[keep],
            share=share[keep],
            kind=kind[keep],
            count=self._counts(sex, products[keep]),
            mean=means[keep],
            male=mine,
            female=hers,
            product=products[keep],
            tries=numbers[keep],
            founders=active.founders[mine] | active.founders[hers],
        )

    def _counts(self, sex: int, products: IntArray) -> FloatArray:
        """Daughters that can be held back of a clutch that has one, as expected; 1 for sons."""
        if sex == MALE or self.limits.hold_back == 1:
            return np.ones(len(products))
        layings = np.full(len(products), self.space.bred_laying)
        return np.clip(self.space.tries.expected(products, layings), 1, self.limits.hold_back)

    def _take(self, active: Active, offers: Offers) -> list[int]:
        frontier, added = self._frontiers[offers.sex], []
        for row in np.argsort(offers.mean, kind="stable").tolist():
            label = self._label(active, offers, row)
            if frontier.offer(len(self.labels), label, int(offers.kind[row])):
                added.append(len(self.labels))
                self.labels.append(label)
        return added

    def _label(self, active: Active, offers: Offers, row: int) -> Label:
        sire, dam = int(active.numbers[offers.male[row]]), int(active.numbers[offers.female[row]])
        both = active.both_ready(offers.male[row : row + 1], offers.female[row : row + 1])[0]
        levels = tuple(offers.levels[row].tolist())
        return Label(
            sex=offers.sex,
            profiles=levels,
            levels=levels,
            share=float(offers.share[row]),
            ready=self.space.tries.arrival(both, int(offers.tries[row]), self.space.waits(offers.sex)),
            count=float(offers.count[row]),
            laying=self.space.bred_laying,
            clutches=self.space.breeding.male_clutches if offers.sex == MALE else 1,
            mean=float(offers.mean[row]),
            founders=self.labels[sire].founders | self.labels[dam].founders,
            sire=sire,
            dam=dam,
            product=int(offers.product[row]),
        )

    def _follow_kinship(self, known: list[int], kept: list[int]) -> None:
        """Kinship of the labels that stay, new ones last: of a young with another the mean of its parents' with it."""
        if not self.limits.is_apart:
            return
        place = {number: at for at, number in enumerate(known)}
        new = [self.labels[number] for number in kept if number not in place]
        old = [place[number] for number in kept if number in place]
        sires = np.array([*old, *(place[label.sire] for label in new)], np.int64)
        dams = np.array([*old, *(place[label.dam] for label in new)], np.int64)
        rows = (self.kinship[sires] + self.kinship[dams]) / 2
        itself = np.where(sires == dams, self.kinship[sires, sires], (1 + self.kinship[sires, dams]) / 2)
        self.kinship = (rows[:, sires] + rows[:, dams]) / 2
        np.fill_diagonal(self.kinship, itself)


def _blocks(pairs: tuple[IntArray, IntArray]) -> list[tuple[IntArray, IntArray]]:
    return [
        (pairs[0][start : start + _BLOCK], pairs[1][start : start + _BLOCK])
        for start in range(0, len(pairs[0]), _BLOCK)
    ]
