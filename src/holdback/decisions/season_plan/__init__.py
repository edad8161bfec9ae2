"""The season's pairings for all females and males at once, within all limits, proven best or with the gap."""

from holdback.decisions.season_plan.alternatives import next_best, using
from holdback.decisions.season_plan.assignment import pair_up
from holdback.decisions.season_plan.moves import what_if
from holdback.decisions.season_plan.plan import plan_season
from holdback.decisions.season_plan.plan_input import (
    BAD_YEAR,
    Ban,
    Crosses,
    Lock,
    MayCarry,
    Part,
    PlanInput,
    Project,
    WeeklyLoad,
)
from holdback.decisions.season_plan.prices import prices
from holdback.decisions.season_plan.result import (
    Broken,
    LeftOut,
    Move,
    Pairing,
    Price,
    ProjectOutlook,
    SeasonPlan,
    UsingHer,
    WeekPlaces,
    WhatIf,
)

__all__ = [
    "BAD_YEAR",
    "Ban",
    "Broken",
    "Crosses",
    "LeftOut",
    "Lock",
    "MayCarry",
    "Move",
    "Pairing",
    "Part",
    "PlanInput",
    "Price",
    "Project",
    "ProjectOutlook",
    "SeasonPlan",
    "UsingHer",
    "WeekPlaces",
    "WeeklyLoad",
    "WhatIf",
    "next_best",
    "pair_up",
    "plan_season",
    "prices",
    "using",
    "what_if",
]
