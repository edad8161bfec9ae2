"""Shapes of what the API gives of goals and plans."""

from __future__ import annotations

from typing import Any

from holdback.web.api.schemas import Open


class ProjectOut(Open):
    """An open project in the keeper's order."""

    key: str
    name: str
    want: str
    by: int | None
    not_planned: str
    """Why it has no route; empty where it has one."""


class ProjectsOut(Open):
    """All open projects."""

    projects: list[ProjectOut]


class MateOut(Open):
    """One possible mate; `blocked` is the reason against it, or empty."""

    mate: str
    score: float
    at_least_one: float
    inbreeding: float
    share: float | None
    reasons: list[str]
    blocked: str


class MatesOut(Open):
    """Mates of an animal, the best first."""

    animal: str
    mates: list[MateOut]
    missing: list[str]


class PairingOut(Open):
    """One pairing of a season."""

    sire: str
    dam: str
    project: str
    value: float
    reasons: list[str]


class LeftOutOut(Open):
    """A female without a pairing."""

    dam: str
    reason: str
    takes: str


class SeasonPlanOut(Open):
    """Who goes with whom in a season."""

    season: int
    pairings: list[PairingOut]
    left_out: list[LeftOutOut]
    optimal: bool
    gap: float


class SpreadOut(Open):
    """A number that differs from rehearsal to rehearsal: nine in ten lie between low and high."""

    mean: float
    low: float
    high: float


class RouteOut(Open):
    """The crosses that lead to a goal, as rehearsed."""

    year: int
    steps: list[dict[str, Any]]
    years: SpreadOut
    eggs: SpreadOut
    chance: float
    by: int


class ShareOut(Open):
    """A share of all rehearsals with its standard error."""

    mean: float
    se: float


class RehearsalOut(Open):
    """A plan played forward many times."""

    runs: int
    seed: int
    reached_by_year: dict[str, ShareOut]


class GainOut(Open):
    """What a hatchling does for a project: the chance to have it by a year without it and with it."""

    project: str
    year: int
    before: float
    after: float
    seasons: float
    is_goal: bool


class RangeOut(Open):
    """Ends of a range."""

    low: float
    high: float


class HatchlingOut(Open):
    """One hatchling in the order in which they are worth holding back; `score` and `alone` are in eggs."""

    animal: str
    rank: int
    kept: bool
    score: float
    score_range: RangeOut
    alone: float
    sex: str
    shows: str
    carries: str
    shares: dict[str, float]
    projects: list[GainOut]
    equal_to: list[str]
    reasons: list[str]


class HoldBacksOut(Open):
    """Which hatchlings to hold back, and what may be said of the others."""

    hatchlings: list[HatchlingOut]
    kept: list[str]
    tubs: int
    proof: str
    best_of_all: bool
    advice: list[str]
    one_more: str
    waiting: list[dict[str, Any]]
    cautions: list[dict[str, Any]]
    for_sale: list[dict[str, Any]]
    runs: int
    assumptions: list[str]


class LineClutchOut(Open):
    """One clutch planned for a line."""

    sire: str
    dam: str
    inbreeding: float
    share: float
    lays: float


class LineAnimalOut(Open):
    """One animal of a line that can breed."""

    animal: str
    share: float
    kinship: float
    best_part: float
    clutches: int
    clutches_at_most: int


class LineOut(Open):
    """Who of a line should breed in a season."""

    line: str
    year: int
    clutches: int
    by: str
    pairs: list[LineClutchOut]
    animals: list[LineAnimalOut]
    waiting: dict[str, str]
    least_kinship: float
    limit: float
    kinship: float
    share: float
    one_percent_costs: float | None
    notes: list[str]
