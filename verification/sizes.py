"""Whether sizes, breeding values and line effects are what they are said to be: collections drawn at random.

The short form judges the world as assumed; the full one draws more of it and every other world, and writes the tables.
"""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import numpy as np
from verification.size_scenarios import BASE, SCENARIOS, Scenario
from verification.size_scoring import scored
from verification.size_told import Scored

from holdback.species.catalogue import load

SHORT, FULL, EACH = 30, 300, 42
"""Collections of the short form, of the world as assumed in the full form, and of each other world."""


def _one(task: tuple[np.random.SeedSequence, Scenario, float]) -> Scored:
    return scored(*task, load("python_regius"))


def drawn(scenario: Scenario, collections: int, seed: int, *, workers: int = 1) -> list[Scored]:
    """Some collections of one world, the effects of the line in turn.

    Parameters
    ----------
    scenario : Scenario
        World.
    collections : int
        How many.
    seed : int
        Of all random numbers; the worlds of one seed differ only in what the scenario says, as far as that goes.
    workers : int
        Processes.
    """
    effects = scenario.effects
    seeds = np.random.SeedSequence(seed).spawn(collections)
    tasks = [(one, scenario, effects[number % len(effects)]) for number, one in enumerate(seeds)]
    if workers == 1:
        return [_one(task) for task in tasks]
    # each process works by itself; threads of the linear algebra would only get into each other's way
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        return list(pool.map(_one, tasks))


def all_drawn(seed: int, *, workers: int, full: int = FULL, each: int = EACH) -> dict[str, list[Scored]]:
    """Collections of every world, by its name."""
    return {
        one.name: drawn(one, full if one is BASE else each, seed if one is BASE else seed + 1, workers=workers)
        for one in SCENARIOS
    }
