"""Shapes of what the API gives of the working year."""

from __future__ import annotations

from typing import Any

from holdback.web.api.schemas import Open


class WindowOut(Open):
    """A day foretold: the days that hold a share of the cases, and what it rests on."""

    first: str
    last: str
    likeliest: str
    coverage: float
    basis: str
    ground: str
    own_records: int


class CountOut(Open):
    """A number foretold."""

    mean: float
    low: int
    high: int
    coverage: float


class FemaleOut(Open):
    """Where one female stands."""

    animal: str
    step: str
    laying: WindowOut | None
    hatching: WindowOut | None
    ready: WindowOut | None
    eggs: CountOut | None
    young: CountOut | None
    advice: str
    overdue: bool
    caution: str


class ClutchOutlookOut(Open):
    """What is to come of one clutch."""

    laid: int
    alive: int
    lost: int
    slugs: int
    not_known: int
    hatching: WindowOut | None
    ready: WindowOut | None
    young: CountOut | None


class SeasonOut(Open):
    """A season as it stands on a day."""

    season: int
    on: str
    females: list[FemaleOut]
    clutches: dict[str, ClutchOutlookOut]
    room: dict[str, Any]
    may_breed: dict[str, Any]


class DueItemOut(Open):
    """One thing to do."""

    key: str
    kind: str
    first: str
    last: str
    late_days: int
    message: str
    level: str


class DueOut(Open):
    """What is to be done."""

    on: str
    due: list[DueItemOut]
    meals: dict[str, Any]
    prey: list[dict[str, float]]
