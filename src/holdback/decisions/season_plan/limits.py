"""The limits of a plan as rows of one matrix over crosses and males used: low <= A x + B y <= high."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from holdback.decisions.season_plan.columns import Columns, allowed
from holdback.decisions.season_plan.plan_input import FloatArray, IntArray, PlanInput, WeeklyLoad


@dataclass(frozen=True, eq=False)
class Limit:
    """One row.

    Parameters
    ----------
    kind : str
        "male", "least", "most", "eggs", "money", "reserve", "clutches", or the name of the places of a week.
    about : str
        Id of the male or project, or the week; empty where it is about the whole plan.
    columns : int array
        Crosses that count.
    weights : float array
        How much each counts.
    high, low : float
        Ends; infinite where open.
    males : int array
        Males whose use counts, by one each; see `male_weight`.
    male_weight : float
        What the use of one of them counts.
    """

    kind: str
    about: str
    columns: IntArray
    weights: FloatArray
    high: float = np.inf
    low: float = -np.inf
    males: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    male_weight: float = 1.0

    @property
    def key(self) -> str:
        """Its name for programs: "male:ID", "most:PROJECT", "tubs:2031-07-08"."""
        return f"{self.kind}:{self.about}" if self.about else self.kind


def limits_of(inp: PlanInput, columns: Columns) -> list[Limit]:
    """All limits but those of the dams (one clutch each), in the order they are told in."""
    return [
        *_caps(inp, columns),
        *_projects(inp, columns),
        *_reserves(inp),
        *_total(inp, columns),
        *(row for load in inp.loads for row in _weeks(inp, columns, load)),
    ]


def _caps(inp: PlanInput, columns: Columns) -> list[Limit]:
    """Clutches of a sire <= cap x y[sire]."""
    rows = []
    for male, name in enumerate(inp.males):
        his = np.flatnonzero(columns.sire == male)
        if len(his):
            males = np.array([male])
            rows.append(
                Limit("male", name, his, np.ones(len(his)), 0.0, males=males, male_weight=-float(inp.caps[male]))
            )
    return rows


def _projects(inp: PlanInput, columns: Columns) -> list[Limit]:
    rows = []
    for place, project in enumerate(inp.projects):
        its = np.flatnonzero(columns.project == place)
        one = np.ones(len(its))
        dams = columns.dam[its]
        if project.least:
            rows.append(Limit("least", project.id, its, one, low=float(project.least)))
        if project.most is not None:
            rows.append(Limit("most", project.id, its, one, float(project.most)))
        if project.eggs is not None and inp.eggs is not None:
            rows.append(Limit("eggs", project.id, its, inp.eggs[dams], project.eggs))
        if project.money is not None and inp.money is not None:
            rows.append(Limit("money", project.id, its, inp.money[dams], project.money))
    return rows


def _reserves(inp: PlanInput) -> list[Limit]:
    """Males used <= males there are less those kept free, in all and among those that could serve a project."""
    none, nothing = np.zeros(0, dtype=np.int64), np.zeros(0)
    rows = []
    may = allowed(inp)
    if inp.reserve:
        able = ready_males(inp)
        rows.append(Limit("reserve", "", none, nothing, float(len(able) - inp.reserve), males=able))
    for place, project in enumerate(inp.projects):
        if project.reserve:
            able = np.unique(inp.crosses.sire[may & (inp.crosses.project == place)])
            rows.append(Limit("reserve", project.id, none, nothing, float(len(able) - project.reserve), males=able))
    return rows


def ready_males(inp: PlanInput) -> IntArray:
    """Places of the males that may breed this season."""
    return np.array(
        [place for place, one in enumerate(inp.males) if one not in inp.not_ready and inp.caps[place] > 0],
        dtype=np.int64,
    )


def _total(inp: PlanInput, columns: Columns) -> list[Limit]:
    if inp.clutches_at_most is None:
        return []
    return [Limit("clutches", "", np.arange(columns.n), np.ones(columns.n), float(inp.clutches_at_most))]


def _weeks(inp: PlanInput, columns: Columns, load: WeeklyLoad) -> list[Limit]:
    """Mean + z sd <= places, the sd by its tangent v / (2 r) + r / 2, which never lies below it.

    r is the sd at which the week would be full if variance grew with the mean as it does over all females of the week;
    there the tangent touches. Where the places are too few whatever the plan does, nothing may be added.
    """
    rows = []
    z = inp.caution
    for week, day in enumerate(inp.weeks):
        weights, room = week_row(load, week, z)
        if weights.sum() > room:
            busy = np.flatnonzero(weights[columns.dam] > 0)
            rows.append(Limit(load.name, day.isoformat(), busy, weights[columns.dam[busy]], room))
    return rows


def week_row(load: WeeklyLoad, week: int, z: float) -> tuple[FloatArray, float]:
    """What each female counts in a week, shape (n_females,), and the room there is for all of them."""
    mean, variance = load.mean[:, week], load.sd[:, week] ** 2
    taken, taken_variance = float(load.taken_mean[week]), float(load.taken_sd[week]) ** 2
    places = float(load.places[week])
    if z <= 0 or not variance.any():
        return mean, max(places - taken - z * np.sqrt(taken_variance), 0.0)
    ratio = variance.sum() / max(mean.sum(), 1e-12)
    sd = _sd_when_full(places - taken, ratio, taken_variance, z)
    return mean + z * variance / (2 * sd), max(places - taken - z * (taken_variance / (2 * sd) + sd / 2), 0.0)


def _sd_when_full(room: float, ratio: float, taken_variance: float, z: float) -> float:
    """The s with m + z s = room and s^2 = taken_variance + ratio m; at least what is taken or a small clutch's."""
    low = np.sqrt(taken_variance)
    root = -z * ratio + np.sqrt((z * ratio) ** 2 + 4 * (taken_variance + ratio * max(room, 0.0)))
    return float(max(root / 2, low, 1e-3))


def stand(limit: Limit, columns: Columns, chosen: IntArray) -> float:
    """What a choice of columns makes of a limit's row."""
    mask = np.zeros(columns.n, dtype=bool)
    mask[chosen] = True
    males = np.isin(limit.males, columns.sire[chosen]).sum()
    return float(limit.weights[mask[limit.columns]].sum() + limit.male_weight * males)
