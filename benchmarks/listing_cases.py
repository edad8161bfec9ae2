"""D1 to D3: the likeliest looks of many loci, against building all of them with numpy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

import measuring
import numpy as np
from generator import factors

from holdback.heredity.crosses.listing import likeliest

AGREE = 1e-12
Factors = Sequence[Sequence[float]]


def enumerated(chances: Factors, top: int) -> tuple[np.ndarray, tuple[np.ndarray, ...]]:
    """Likeliest chances and their classes by building the whole table, a partition and a sort."""
    table = np.ones(1)
    for factor in chances:
        table = np.multiply.outer(table, np.asarray(factor)).ravel()
    top = min(top, table.size)
    places = np.argpartition(table, table.size - top)[table.size - top :]
    places = places[np.argsort(table[places])[::-1]]
    return table[places], np.unravel_index(places, [len(factor) for factor in chances])


def by_halves(chances: Factors, top: int) -> np.ndarray:
    """Likeliest chances of too many loci for one table: the likeliest of each half, multiplied.

    A combination among the likeliest `top` is made of halves that are each among the likeliest `top` of their half.
    """
    middle = len(chances) // 2
    first, second = enumerated(chances[:middle], top)[0], enumerated(chances[middle:], top)[0]
    return np.sort(np.multiply.outer(first, second).ravel())[::-1][:top]


def check(case: str, chances: Factors, top: int, expected: np.ndarray) -> None:
    """Refuse a listing whose chances differ from the expected, or that lists one combination twice."""
    found = likeliest(chances, top)
    listed = np.array([chance for chance, _ in found])
    if listed.shape != expected.shape or float(np.max(np.abs(listed - expected))) > AGREE:
        raise measuring.WrongError(f"{case}: chances differ from those of the whole table")
    for chance, choice in found:
        again = np.prod([factor[place] for factor, place in zip(chances, choice, strict=True)])
        if abs(chance - again) > AGREE:
            raise measuring.WrongError(f"{case}: a chance is not that of its classes")
    if len({choice for _, choice in found}) != len(found):
        raise measuring.WrongError(f"{case}: one combination is listed twice")


def run() -> Iterator[measuring.Measured]:
    """Figures of the three cases."""
    for case, loci, three, rounds in (("D1", 20, 6, (50, 1)), ("D2", 6, 2, (200, 200))):
        chances = factors(case, loci, three_looks=three)
        check(case, chances, 100, enumerated(chances, 100)[0])
        own, peer = partial(likeliest, chances, 100), partial(enumerated, chances, 100)
        mine, theirs = measuring.alternate(own, peer, rounds=rounds)
        yield measuring.compared(case, f"{loci} loci, likeliest 100, against numpy's whole table", mine, theirs)
    chances = factors("D3", 30, three_looks=8)
    check("D3", chances, 1000, by_halves(chances, 1000))
    seconds = [measuring.one(lambda: likeliest(chances, 1000), rounds=10) for _ in range(measuring.REPEATS)]
    yield measuring.alone("D3", "30 loci, likeliest 1000", seconds, limit=0.003)
