"""The working year as commands and the API give it."""

from __future__ import annotations

import datetime as dt
import math
from typing import TYPE_CHECKING, Any

from holdback.collection.estimate import Estimate
from holdback.season.outlook import ClutchOutlook, CountLaw, DueItem, Outlook, WeekLoad, Window

if TYPE_CHECKING:
    from holdback.answers.season.season import Season

COVERAGE = 0.8
"""Share of cases that a window of days holds."""


def season_as_json(season: Season) -> dict[str, Any]:
    """The keys of `holdback season`."""
    load = season.load
    return {
        "season": season.year,
        "on": season.on.isoformat(),
        "females": [outlook_as_json(one) for one in season.outlooks],
        "clutches": {name: clutch_as_json(one) for name, one in season.clutches.items()},
        "room": {
            "eggs": [_week(one) for one in load.eggs],
            "young": [_week(one) for one in load.young],
            "egg_places": load.egg_places,
            "tubs_free": load.tubs_free,
            "draws": load.draws,
            "seed": load.seed,
            "standard_error": load.standard_error,
        },
        "may_breed": {
            one.animal: {
                "verdict": str(one.verdict),
                "reasons": [
                    {"rule": reason.rule, "message": reason.text, "verdict": str(reason.verdict)}
                    for reason in one.reasons
                ],
                "mass_g": estimate_as_json(one.mass_g),
                "change_percent": estimate_as_json(one.trend_percent),
                "females_this_season": one.load,
            }
            for one in season.fitness
        },
    }


def due_as_json(season: Season, *, days: int) -> dict[str, Any]:
    """The keys of `holdback due`: what is late, and what falls due within a number of days."""
    last = season.on + dt.timedelta(days=days)
    found = [one for one in season.due if one.first <= last]
    return {
        "on": season.on.isoformat(),
        "due": [due_item_as_json(one, season.on) for one in found],
        "meals": {
            one.animal: {
                "stage": one.stage,
                "last_taken": _day(one.last_taken),
                "refused_since": one.refused,
                "due": [_day(one.due_first), _day(one.due_last)] if one.due_first else None,
                "prey_g": None if math.isnan(one.prey_low_g) else [one.prey_low_g, one.prey_high_g],
                "caution": one.caution,
            }
            for one in season.meals
        },
        "prey": [
            {"low_g": one.low_g, "high_g": one.high_g, "count": one.count} for one in season.prey(season.on, last)
        ],
    }


def due_item_as_json(item: DueItem, today: dt.date) -> dict[str, Any]:
    """One thing to do; `late_days` is 0 where it is not late."""
    return {
        "key": item.key,
        "kind": item.kind,
        "clutch" if item.is_clutch else "animal": item.subject,
        "first": item.first.isoformat(),
        "last": item.last.isoformat(),
        "late_days": max((today - item.last).days, 0),
        "message": item.text,
        "level": item.level,
    }


def outlook_as_json(outlook: Outlook) -> dict[str, Any]:
    """Where one female stands."""
    cycle = outlook.cycle
    return {
        "animal": cycle.dam,
        "step": str(outlook.step),
        "lays_percent": estimate_as_json(outlook.lays),
        "laying": window_as_json(outlook.laying),
        "shed": window_as_json(outlook.shedding),
        "hatching": window_as_json(outlook.hatching),
        "ready": window_as_json(outlook.ready),
        "eggs": count_as_json(outlook.eggs),
        "young": count_as_json(outlook.young),
        "advice": outlook.advice,
        "look_by": _day(outlook.look_by),
        "overdue": outlook.overdue,
        "caution": outlook.caution,
        "record": {
            "males": [
                {"sire": one.sire, "first": _day(one.first), "last": _day(one.last), "locks": one.locks}
                for one in cycle.together
            ],
            "follicles": [{"date": _day(one.day), "mm": one.largest_mm, "count": one.count} for one in cycle.follicles],
            "ovulated": _day(cycle.ovulated),
            "shed": _day(cycle.shed),
            "laid": _day(cycle.laid),
            "clutch": cycle.clutch,
            "hatched": _day(cycle.hatched),
        },
    }


def clutch_as_json(one: ClutchOutlook) -> dict[str, Any]:
    """What is to come of one clutch."""
    return {
        "laid": one.laid,
        "alive": one.alive,
        "lost": one.lost,
        "slugs": one.slugs,
        "not_known": one.unknown,
        "hatching": window_as_json(one.hatching),
        "ready": window_as_json(one.ready),
        "young": count_as_json(one.young),
        "celsius": estimate_as_json(one.celsius),
        "ground": one.ground,
    }


def window_as_json(window: Window | None) -> dict[str, Any] | None:
    """A day foretold: the days that hold 80 % of the cases, the likeliest, and what it rests on."""
    if window is None:
        return None
    first, last = window.law.window(COVERAGE)
    return {
        "first": first.isoformat(),
        "last": last.isoformat(),
        "likeliest": window.law.likeliest.isoformat(),
        "coverage": COVERAGE,
        "basis": str(window.estimate.basis),
        "ground": window.estimate.ground,
        "own_records": window.n_own,
    }


def count_as_json(law: CountLaw | None) -> dict[str, Any] | None:
    """A number foretold: its mean and the numbers that hold 80 % of the cases."""
    if law is None:
        return None
    low, high = law.window(COVERAGE)
    return {"mean": law.mean, "low": low, "high": high, "coverage": COVERAGE}


def estimate_as_json(estimate: Estimate | None) -> dict[str, Any] | None:
    """An estimate with its range and basis."""
    if estimate is None:
        return None
    return {
        "mean": estimate.mean,
        "low": estimate.low,
        "high": estimate.high,
        "coverage": estimate.coverage,
        "unit": estimate.unit,
        "basis": str(estimate.basis),
        "ground": estimate.ground,
    }


def _week(week: WeekLoad) -> dict[str, Any]:
    return {"monday": week.monday.isoformat(), "expected": week.expected, "upper_90": week.upper}


def _day(day: dt.date | None) -> str | None:
    return day.isoformat() if day else None
