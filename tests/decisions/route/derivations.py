"""Every way to a goal from a few animals, listed one by one: the slow and plain reference of the search.

Nothing of the search is used: crosses are worked out with fractions of gametes, every tree of a given number of
generations is built, and the arrival of each is summed season by season.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from tests.decisions.herd import laws

CARRIES = {"-": 0.0, "50": 0.5, "66": 2 / 3, "het": 1.0}
GRID = ("-", "50", "66", "het")
HORIZON = 24
LAYS = 0.7
WAIT = {"m": 2, "f": 4}
RANK = {level: rank for rank, level in enumerate((*GRID, "vis"))}


@dataclass(frozen=True)
class Animal:
    """One animal or some like sisters: a level for each gene, hidden ones as text, shown ones as copies."""

    sex: str
    levels: tuple[str | int, ...]
    count: int
    ready: tuple[float, ...]


def at_hand(sex: str, levels: tuple[str | int, ...], count: int = 1) -> Animal:
    return Animal(sex, levels, count, (1.0,) * (HORIZON + 1))


def soonest(animals: Sequence[Animal], goal: tuple[str | int, ...], *, generations: int) -> float:
    """Least mean season of the goal over every tree of crosses."""
    best = float(HORIZON)
    level: list[Animal] = list(animals)
    for turn in range(generations):
        bred = []
        for sire, dam in _pairs(level):
            best = min(best, mean(arrival(sire, dam, goal, 1.0)))
            if turn < generations - 1:
                bred += list(_young(sire, dam))
        level = _different([*level, *bred])
    return best


def _pairs(animals: Sequence[Animal]) -> Iterator[tuple[Animal, Animal]]:
    return product([one for one in animals if one.sex == "m"], [one for one in animals if one.sex == "f"])


def _different(animals: Sequence[Animal]) -> list[Animal]:
    return list({(one.sex, one.levels, one.count, tuple(np.round(one.ready, 12))): one for one in animals}.values())


def _young(sire: Animal, dam: Animal) -> Iterator[Animal]:
    kinds = [_kinds(mine, hers) for mine, hers in zip(sire.levels, dam.levels, strict=True)]
    for levels in product(*kinds):
        for sex, wait in WAIT.items():
            come = arrival(sire, dam, levels, 0.5)
            ready = tuple([0.0] * wait + list(come[: HORIZON + 1 - wait]))
            if max(ready) > 0:
                yield Animal(sex, levels, 1, ready)


def _kinds(mine: str | int, hers: str | int) -> list[str | int]:
    """What young can be told to be at least, at one gene."""
    if isinstance(mine, int):
        assert isinstance(hers, int)
        return [copies for copies in range(3) if _shown(_halves(mine), _halves(hers), copies) > 0]
    a, b = _halves(mine), _halves(hers)
    kinds: list[str | int] = ["vis"] if a * b > 0 else []
    if a * b < 1:
        carries = (a + b - 2 * a * b) / (1 - a * b)
        kinds.append(max((one for one in GRID if CARRIES[one] <= carries + 1e-9), key=RANK.__getitem__))
    return kinds


def _halves(level: str | int) -> float:
    """Mean chance that a gamete has the gene."""
    if isinstance(level, int):
        return level / 2
    return 1.0 if level == "vis" else CARRIES[level] / 2


def _shown(a: float, b: float, copies: int) -> float:
    return (1.0, 1 - (1 - a) * (1 - b), a * b)[copies]


def _states(level: str | int) -> list[tuple[float, float]]:
    """Chance of each true state, and of the gene in a gamete then."""
    if isinstance(level, int) or level in ("-", "het", "vis"):
        return [(1.0, _halves(level))]
    return [(CARRIES[level], 0.5), (1 - CARRIES[level], 0.0)]


def arrival(sire: Animal, dam: Animal, wanted: tuple[str | int, ...], of_sex: float) -> list[float]:
    """Chance by each season, summed over the season from which both are ready."""
    success = _success(sire, dam, wanted, of_sex)
    both = [mine * hers for mine, hers in zip(sire.ready, dam.ready, strict=True)]
    begins = [both[0], *(later - before for before, later in pairwise(both))]
    return [
        sum(begins[start] * success[season - start] for start in range(season + 1)) for season in range(HORIZON + 1)
    ]


def _success(sire: Animal, dam: Animal, wanted: tuple[str | int, ...], of_sex: float) -> list[float]:
    """Chance of one or more within 1, 2, ... seasons."""
    fathers = list(product(*(_states(level) for level in sire.levels)))
    mothers = list(product(*(_states(level) for level in dam.levels)))
    young = laws()[1].chances
    missed = np.zeros(HORIZON + 1)
    for father in fathers:
        each = np.zeros(HORIZON + 1)
        for mother in mothers:
            q = of_sex
            for (_, a), (_, b), level in zip(father, mother, wanted, strict=True):
                q *= _chance(a, b, level)
            none = 1 - LAYS + LAYS * sum(chance * (1 - q) ** n for n, chance in enumerate(young))
            each += float(np.prod([weight for weight, _ in mother])) * none ** np.arange(1, HORIZON + 2)
        missed += float(np.prod([weight for weight, _ in father])) * each**dam.count
    return list(1 - missed)


def _chance(a: float, b: float, level: str | int) -> float:
    """A level that does not show is what every young is at least."""
    if isinstance(level, int):
        return _shown(a, b, level)
    return a * b if level == "vis" else 1.0


def mean(by_season: Sequence[float]) -> float:
    return HORIZON - sum(by_season[:HORIZON])
