"""What a keeper may know of an animal at one locus of a goal, and what a cross gives there.

Alleles fall into classes: 0 for all that the goal does not ask about, then one for each of its genes at the locus. A
*state* is an unordered pair of classes, the true genotype. A *profile* is a law over states; a *level* is one of a few
profiles that types are made of, ordered by what is sure: for a wanted gene the chance of one copy or more and of two,
for a refused one the chance of none and of at most one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations_with_replacement, product

from holdback.decisions.goal import GoalGene
from holdback.decisions.kinds import SURE
from holdback.species.model import Pair

State = tuple[int, int]
Law = tuple[float, ...]
"""Chances of the states, in the order of `Locus.states`."""
Look = tuple[int, ...]

POSSIBLE = (0.5, 2.0 / 3.0)
"""Chances of a hidden copy that types tell apart, as the trade does: from het x normal, and from het x het."""
_DIGITS = 9


@dataclass(frozen=True, slots=True)
class Option:
    """One kind of young that a cross can give at a locus.

    Parameters
    ----------
    level : int
        Young are at least this good.
    q : tuple of tuple of float
        Chance of such a young, by the sire's state and the dam's; only states that they may have.
    """

    level: int
    q: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, eq=False)
class Locus:
    """The genes of a goal at one locus.

    Parameters
    ----------
    genes : tuple of GoalGene
        One, or two that make a compound.
    """

    genes: tuple[GoalGene, ...]

    @cached_property
    def states(self) -> tuple[State, ...]:
        """All states, those that die left out."""
        every = combinations_with_replacement(range(len(self.genes) + 1), 2)
        return tuple(state for state in every if not self.dies(state))

    @cached_property
    def levels(self) -> tuple[Law, ...]:
        """Laws of the levels; the poorest may stand anywhere."""
        found = [self._sure(state) for state in self.states]
        for number, gene in enumerate(self.genes, start=1):
            if gene.is_hidden:
                none, one = self._sure((0, 0)), self._sure((0, number))
                found += [tuple(p * b + (1 - p) * a for a, b in zip(none, one, strict=True)) for p in POSSIBLE]
        return tuple(found)

    @cached_property
    def at_least(self) -> tuple[tuple[bool, ...], ...]:
        """Whether one level is at least as good as another."""
        known = [self.measures(law) for law in self.levels]
        return tuple(tuple(_covers(mine, other) for other in known) for mine in known)

    @cached_property
    def is_goal(self) -> tuple[bool, ...]:
        """Whether each level is what the goal asks for."""
        return tuple(self._meets(self.measures(law)) for law in self.levels)

    def dies(self, state: State) -> bool:
        """Whether young of a state do not live."""
        return state[0] == state[1] and state[0] > 0 and self.genes[state[0] - 1].two_die

    def measures(self, law: Law) -> tuple[tuple[float, float], ...]:
        """For each gene the two chances that levels are ordered by."""
        found = []
        for number, gene in enumerate(self.genes, start=1):
            copies = [0.0, 0.0, 0.0]
            for state, chance in zip(self.states, law, strict=True):
                copies[state.count(number)] += chance
            sure = (copies[0], copies[0] + copies[1]) if gene.copies == 0 else (copies[1] + copies[2], copies[2])
            found.append((round(sure[0], _DIGITS), round(sure[1], _DIGITS)))
        return tuple(found)

    def known(self, level: int) -> tuple[tuple[float, float], ...]:
        """The same of a level as `Kind.genes` tells it."""
        return tuple(
            (first, 0.0) if gene.copies == 0 else (first, second)
            for gene, (first, second) in zip(self.genes, self.measures(self.levels[level]), strict=True)
        )

    def law_of(self, pairs: Mapping[Pair, float]) -> Law:
        """Law over the states of an animal with these chances of pairs."""
        found = dict.fromkeys(self.states, 0.0)
        for (first, second), chance in pairs.items():
            one, other = self._class(first), self._class(second)
            state = (min(one, other), max(one, other))
            if state in found:
                found[state] += chance
        total = sum(found.values())
        if total <= 0:
            # All that is said of it does not live: as it does, it has one copy.
            return self._sure((0, max(max(self._class(allele) for allele in pair) for pair in pairs)))
        return tuple(round(chance / total, _DIGITS) for chance in found.values())

    def rounded_down(self, law: Law) -> int:
        """Best level that a law is at least as good as, to within `SURE`: no visual on record is quite certain."""
        mine = [(first + SURE, second + SURE) for first, second in self.measures(law)]
        below = [n for n, level in enumerate(self.levels) if _covers(mine, self.measures(level))]
        return max(below, key=lambda n: sum(sum(both) for both in self.measures(self.levels[n])))

    def options(self, sire: Law, dam: Law) -> tuple[Option, ...]:
        """Kinds of young that a cross can give, each as good as its chance allows; empty where some would die."""
        looks = self._looks(sire, dam)
        if looks is None:
            return ()
        sets: dict[frozenset[int], list[int]] = {}
        for level in range(len(self.levels)):
            will_do = frozenset(n for n, (known, _) in enumerate(looks) if self.at_least[known][level])
            if will_do:
                sets.setdefault(will_do, []).append(level)
        found = []
        for will_do, levels in sets.items():
            best = [n for n in levels if not any(self._better(other, n) for other in levels)]
            q = _total([looks[n][1] for n in sorted(will_do)])
            found += [Option(level, q) for level in best]
        return tuple(found)

    def goal_q(self, sire: Law, dam: Law) -> tuple[tuple[float, ...], ...] | None:
        """Chance of young that are what the goal asks for, as `Option.q`; None where there are none."""
        looks = self._looks(sire, dam)
        will_do = [q for known, q in looks or () if self.is_goal[known]]
        return _total(will_do) if will_do else None

    def _looks(self, sire: Law, dam: Law) -> list[tuple[int, tuple[tuple[float, ...], ...]]] | None:
        """Level as known, and chance by the parents' states, of young that look alike; None where some would die."""
        fathers, mothers = self._held(sire), self._held(dam)
        shares: dict[Look, dict[State, float]] = {}
        chances: dict[Look, list[list[float]]] = {}
        for row, (father, weight) in enumerate(fathers):
            for column, (mother, other) in enumerate(mothers):
                for first, second in product(father, mother):
                    state: State = (min(first, second), max(first, second))
                    if self.dies(state):
                        return None
                    look = self._look(state)
                    table = chances.setdefault(look, [[0.0] * len(mothers) for _ in fathers])
                    table[row][column] += 0.25
                    held = shares.setdefault(look, {})
                    held[state] = held.get(state, 0.0) + 0.25 * weight * other
        found = []
        for look, held in shares.items():
            total = sum(held.values())
            law = tuple(held.get(state, 0.0) / total for state in self.states)
            found.append((self.rounded_down(law), tuple(tuple(row) for row in chances[look])))
        return found

    def _held(self, law: Law) -> list[tuple[State, float]]:
        return [(state, chance) for state, chance in zip(self.states, law, strict=True) if chance > 0]

    def _look(self, state: State) -> Look:
        """What can be told by eye: copies shown of each gene."""
        hidden_pair = all(one > 0 and self.genes[one - 1].is_hidden for one in state)
        shown = []
        for number, gene in enumerate(self.genes, start=1):
            copies = state.count(number)
            if gene.is_hidden:
                shown.append(copies if hidden_pair else 0)
            else:
                shown.append(copies if gene.tells_two else min(copies, 1))
        return tuple(shown)

    def _better(self, one: int, other: int) -> bool:
        return self.at_least[one][other] and not self.at_least[other][one]

    def _meets(self, known: Sequence[tuple[float, float]]) -> bool:
        return all(both[1 if gene.copies == 2 else 0] >= 1 for gene, both in zip(self.genes, known, strict=True))

    def _class(self, allele: str) -> int:
        return next((n for n, gene in enumerate(self.genes, start=1) if allele in gene.alleles), 0)

    def _sure(self, state: State) -> Law:
        return tuple(float(one == state) for one in self.states)


def held(law: Law) -> Law:
    """Chances of those states that an animal may have, in the order of the rows or columns of `Option.q`."""
    return tuple(chance for chance in law if chance > 0)


def _covers(mine: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]) -> bool:
    return all(a >= c and b >= d for (a, b), (c, d) in zip(mine, other, strict=True))


def _total(tables: Sequence[tuple[tuple[float, ...], ...]]) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(sum(cells) for cells in zip(*rows, strict=True)) for rows in zip(*tables, strict=True))
