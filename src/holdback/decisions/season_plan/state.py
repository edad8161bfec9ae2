"""Some pairs as they stand: worth, what each adds, places by week, and the limits they break."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from holdback.decisions.season_plan.columns import Columns, columns_of
from holdback.decisions.season_plan.plan_input import Crosses, FloatArray, IntArray, PlanInput
from holdback.decisions.season_plan.result import ProjectOutlook, WeekPlaces

Four = tuple[int, int, int, int]
"""Places of sire, dam, project and part within the project."""


class State:
    """Pairs of a plan.

    Parameters
    ----------
    inp : PlanInput
        What the plan is made from.
    pairs : sequence of (int, int, int, int)
        Places of sire, dam, project (-1 for none) and part within the project.
    """

    def __init__(self, inp: PlanInput, pairs: Sequence[Four]) -> None:
        self.inp = inp
        self.pairs = np.array(pairs, dtype=np.int64).reshape(-1, 4)
        self.columns = _columns(inp, self.pairs)
        self.all = np.arange(len(self.pairs))
        self.worth = self.columns.worth(self.all)

    def value(self, pair: int) -> float:
        """Worth that would be lost without one of the pairs."""
        return self.worth - self.columns.worth(np.delete(self.all, pair))

    def outlooks(self) -> tuple[ProjectOutlook, ...]:
        """What comes of each project."""
        columns = self.columns
        chances, worths = columns.chances(self.all), columns.project_worths(self.all)
        counts = np.bincount(columns.project[columns.project >= 0], minlength=len(self.inp.projects))
        return tuple(
            ProjectOutlook(
                one.id, int(counts[place]), tuple(chances[columns.part_project == place].tolist()), float(worths[place])
            )
            for place, one in enumerate(self.inp.projects)
        )

    def load(self) -> tuple[WeekPlaces, ...]:
        """Places by week, the year planned for by the sum of variances itself."""
        found = []
        dams = np.unique(self.pairs[:, 1])
        for one in self.inp.loads:
            expected = one.taken_mean + one.mean[dams].sum(axis=0)
            sd = np.sqrt(one.taken_sd**2 + (one.sd[dams] ** 2).sum(axis=0))
            high = expected + self.inp.caution * sd
            rows = zip(self.inp.weeks, expected.tolist(), high.tolist(), one.places.tolist(), strict=True)
            found += [WeekPlaces(one.name, week, mean, most, there) for week, mean, most, there in rows]
        return tuple(found)


def _columns(inp: PlanInput, pairs: IntArray) -> Columns:
    """Columns of just these pairs, whatever bans and locks say."""
    project = np.maximum(pairs[:, 2], 0)
    chance = np.where(pairs[:, 2] >= 0, chances_of(inp, pairs), 0.0)
    bare = replace(
        inp,
        crosses=Crosses(pairs[:, 0], pairs[:, 1], project, pairs[:, 3], chance),
        bans=(),
        locks=(),
        not_ready={},
    )
    columns = columns_of(bare)
    none = pairs[:, 2] < 0
    return replace(columns, project=np.where(none, -1, columns.project), part=np.where(none, -1, columns.part))


def chances_of(inp: PlanInput, pairs: IntArray) -> FloatArray:
    """Chances of pairs among the crosses; 0 of those that are not there."""
    crosses = inp.crosses
    sizes = (
        len(inp.males),
        len(inp.females),
        len(inp.projects) + 1,
        1 + max((len(one.parts) for one in inp.projects), default=1),
    )
    known = np.ravel_multi_index((crosses.sire, crosses.dam, crosses.project, crosses.part), sizes)
    asked = np.ravel_multi_index(
        (pairs[:, 0], pairs[:, 1], np.maximum(pairs[:, 2], 0), np.maximum(pairs[:, 3], 0)), sizes
    )
    if not len(known):
        return np.zeros(len(pairs))
    order = np.argsort(known, kind="stable")
    at = np.minimum(np.searchsorted(known[order], asked), len(known) - 1)
    hit = order[at]
    return np.where(known[hit] == asked, crosses.chance[hit], 0.0)
