"""Slow, obvious inference for one odd animal: every gene copy of every animal listed.

Written without the tables of the package: an animal is (sex, allele from the dam, allele from the sire); in the
heterogametic sex, here the male, the allele from the sire sits on the Y.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import product

State = tuple[str, int, int]
NORMAL, ODD, STRONGER = range(3)
LOOK = {"rec": (0, 0, 1), "inc": (0, 1, 2), "dom": (0, 1, 1), "sex": (0, 1, 2), "not": (0, 0, 0)}
MISSED, IMAGINED, FREQUENCY = 0.02, 0.01, 0.001
SEEN = (
    (1 - IMAGINED - IMAGINED**2, IMAGINED, IMAGINED**2),
    (MISSED, 1 - MISSED - IMAGINED, IMAGINED),
    (MISSED**2, MISSED, 1 - MISSED - MISSED**2),
)


def look(mode: str, state: State) -> int:
    return LOOK[mode][state[1] + state[2]]


def gametes(parent: State, r: float) -> Iterator[tuple[str, int, float]]:
    """Sex chromosome, allele and chance of each gamete."""
    sex, maternal, paternal = parent
    if sex == "f":
        yield "x", maternal, 0.5
        yield "x", paternal, 0.5
        return
    for chromosome, own, other in (("x", maternal, paternal), ("y", paternal, maternal)):
        yield chromosome, own, 0.5 * (1 - r)
        yield chromosome, other, 0.5 * r


def birth(dam: State, sire: State, r: float) -> dict[State, float]:
    found: dict[State, float] = {}
    if (dam[0], sire[0]) != ("f", "m"):
        return found
    for (_, egg, chance), (chromosome, sperm, other) in product(gametes(dam, r), gametes(sire, r)):
        state = ("m" if chromosome == "y" else "f", egg, sperm)
        found[state] = found.get(state, 0.0) + chance * other
    return found


def founders(mode: str, sex: str) -> dict[State, float]:
    q = 0.0 if mode == "not" else FREQUENCY
    return {
        (sex, a, b): (q if a else 1 - q) * (q if b else 1 - q) for a, b in product((0, 1), repeat=2) if q or not a + b
    }


def odd_of_normal_parents(mode: str, sex: str) -> dict[State, float]:
    """By hand: two copies of a recessive, one new copy of a dominant on either chromosome alike."""
    if mode == "not":
        return {(sex, 0, 0): 1.0}
    if mode == "rec":
        return {(sex, 1, 1): 1.0}
    return {(sex, 1, 0): 0.5, (sex, 0, 1): 0.5}


def r_of(mode: str) -> float:
    return 0.07 if mode == "sex" else 0.5


def counted(mode: str, dam: State, sire: State, counts: Mapping[tuple[int, str], int], r: float) -> float:
    """Chance of young by (look, sex), sex "?" where not known."""
    chances: dict[tuple[int, str], float] = {}
    for state, chance in birth(dam, sire, r).items():
        for seen, share in enumerate(SEEN[look(mode, state)]):
            for sex in (state[0], "?"):
                chances[seen, sex] = chances.get((seen, sex), 0.0) + chance * share
    return math.prod(chances.get(which, 0.0) ** number for which, number in counts.items())


def young_of(mode: str, dam: State, sire: State, seen: int, r: float) -> list[tuple[State, float]]:
    """States of one young that is seen with a look, with their joint chances."""
    return [(state, p * SEEN[look(mode, state)][seen]) for state, p in birth(dam, sire, r).items()]


def normal_mates(mode: str, sex: str) -> list[tuple[State, float]]:
    weights = [(state, p * SEEN[look(mode, state)][NORMAL]) for state, p in founders(mode, sex).items()]
    whole = sum(p for _, p in weights)
    return [(state, p / whole) for state, p in weights]
