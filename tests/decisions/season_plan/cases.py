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


def worth(inp: PlanInput, pairs: Pairs) -> float:
    """Worth of pairs, written out: a chance of a miss multiplied for each clutch, an uncertain male's all at once."""
    table = zip(*(one.tolist() for one in (*_four(inp), inp.crosses.chance)), strict=True)
    chance = {row[:4]: float(row[4]) for row in table}
    carries = {(one.sire, one.project, one.part): one.chance for one in inp.may_carry}
    total = 0.0
    for which, project in enumerate(inp.projects):
        each = []
        for place in range(len(project.parts)):
            misses: dict[int, float] = {}
            for pair in pairs:
                if pair[2:] == (which, place):
                    known = carries.get((inp.males[pair[0]], project.id, place), 1.0)
                    misses[pair[0]] = misses.get(pair[0], 1.0) * (1 - chance.get(pair, 0.0) / known)
            miss = 1.0
            for sire, one in misses.items():
                known = carries.get((inp.males[sire], project.id, place), 1.0)
                miss *= 1 - known + known * one
            each.append(1 - miss)
        if project.together:
            total += project.worth * min(each)
        else:
            total += project.worth * sum(part.share * one for part, one in zip(project.parts, each, strict=True))
    costs = np.zeros(len(inp.males)) if inp.male_costs is None else inp.male_costs
    clutch = np.zeros(len(inp.females)) if inp.clutch_costs is None else inp.clutch_costs
    total -= float(sum(costs[sire] for sire in {pair[0] for pair in pairs}))
    return total - float(sum(clutch[pair[1]] for pair in pairs))


def keeps(inp: PlanInput, pairs: Pairs) -> bool:
    """Whether pairs keep all limits, each written out."""
    banned = {(one.sire, one.dam, one.project) for one in inp.bans}
    made = [(inp.males[sire], inp.females[dam], inp.projects[which].id) for sire, dam, which, _ in pairs]
    used = {sire for sire, _, _ in made}
    ready = [one for one in inp.males if one not in inp.not_ready]
    fits = [
        all(sum(pair[0] == male for pair in pairs) <= cap for male, cap in enumerate(inp.caps.tolist())),
        not any({(sire, dam, ""), (sire, dam, which)} & banned for sire, dam, which in made),
        not any(animal in inp.not_ready for one in made for animal in one[:2]),
        all(any((sire, dam) == one[:2] and which in ("", one[2]) for one in made) for sire, dam, which in _locks(inp)),
        len(ready) - len(used) >= inp.reserve,
        inp.clutches_at_most is None or len(pairs) <= inp.clutches_at_most,
    ]
    for which, project in enumerate(inp.projects):
        its = [pair for pair in pairs if pair[2] == which]
        fits += [len(its) >= project.least, project.most is None or len(its) <= project.most]
        if project.eggs is not None and inp.eggs is not None:
            fits.append(sum(inp.eggs[pair[1]] for pair in its) <= project.eggs + 1e-9)
    dams = [pair[1] for pair in pairs]
    for load in inp.loads:
        high = load.mean[dams].sum(axis=0) + inp.caution * np.sqrt((load.sd[dams] ** 2).sum(axis=0))
        fits.append(not dams or bool((high <= load.places + 1e-9).all()))
    return all(fits)


def _locks(inp: PlanInput) -> list[tuple[str, str, str]]:
    return [(one.sire, one.dam, one.project) for one in inp.locks]


def best_of_all(inp: PlanInput) -> float:
    """Largest worth of all plans that keep the limits; minus infinity where none does."""
    return max((worth(inp, pairs) for pairs in every_plan(inp) if keeps(inp, pairs)), default=-np.inf)
