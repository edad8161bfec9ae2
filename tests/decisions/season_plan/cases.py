"""Season plans to try, and every plan of a small one looked at."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

import numpy as np

from holdback.decisions.season_plan import Crosses, PlanInput, Project


def crosses(rows: Sequence[tuple[int, int, int, int, float]]) -> Crosses:
    """Crosses from rows of sire, dam, project, part, chance."""
    table = np.array(rows, dtype=float).reshape(-1, 5)
    whole = table[:, :4].astype(np.int64)
    return Crosses(whole[:, 0], whole[:, 1], whole[:, 2], whole[:, 3], table[:, 4])


def small(seed: int, *, males: int = 3, females: int = 5, projects: Sequence[Project] | None = None) -> PlanInput:
    """A season of random chances: every male with every female for every part, about a third of them with none."""
    rng = np.random.default_rng(seed)
    asked = tuple(projects or (Project("A", "Alder", 60.0), Project("B", "Birch", 45.0)))
    places = [(which, part) for which, one in enumerate(asked) for part in range(len(one.parts))]
    rows = [
        (sire, dam, which, part, float(rng.uniform(0.05, 0.7)))
        for sire, dam, (which, part) in itertools.product(range(males), range(females), places)
        if rng.random() < 0.65
    ]
    return PlanInput(
        tuple(f"m{one}" for one in range(males)),
        tuple(f"f{one}" for one in range(females)),
        rng.integers(1, 4, males),
        asked,
        crosses(rows),
        male_costs=rng.uniform(0, 4, males),
    )


Pairs = tuple[tuple[int, int, int, int], ...]


def every_plan(inp: PlanInput) -> Iterator[Pairs]:
    """Every way to give each female no cross or one of hers."""
    table = list(zip(*(one.tolist() for one in _four(inp)), strict=True))
    each = [[None, *(row for row in table if row[1] == dam)] for dam in range(len(inp.females))]
    for choice in itertools.product(*each):
        yield tuple(row for row in choice if row is not None)


def _four(inp: PlanInput) -> tuple[np.ndarray, ...]:
    return inp.crosses.sire, inp.crosses.dam, inp.crosses.project, inp.crosses.part
