"""Hatchlings in order as JSON: the keys of `holdback keep`."""

from __future__ import annotations

from typing import Any

from holdback.collection.estimate import Estimate
from holdback.decisions.holdbacks.result import HoldBacks, ProjectGain, Ranked, Waiting


def as_json(found: HoldBacks) -> dict[str, Any]:
    """The answer, numbers unrounded; ``hatchlings`` holds ``animal``, ``rank``, ``score`` and ``reasons`` of each."""
    return {
        "hatchlings": [_row(row) for row in found.hatchlings],
        "kept": list(found.kept),
        "tubs": found.tubs,
        "proof": found.proof,
        "best_of_all": found.is_best_of_all,
        "advice": list(found.lede),
        "one_more": found.one_more,
        "waiting": [_waiting(one) for one in found.waiting],
        "cautions": [{"head": one.head, "message": one.text, "animals": list(one.animals)} for one in found.mind],
        "for_sale": [
            {"animal": one.animal, "statement": one.statement, "notes": list(one.notes)} for one in found.for_sale
        ],
        "runs": found.runs,
        "assumptions": list(found.assumptions),
    }


def _row(row: Ranked) -> dict[str, Any]:
    return {
        "animal": row.animal,
        "rank": row.rank,
        "kept": row.is_kept,
        "score": row.score.mean,
        "score_range": _range(row.score),
        "alone": row.alone.mean,
        "sex": str(row.sex),
        "shows": row.shows,
        "carries": row.carries,
        "shares": dict(row.shares),
        "projects": [_gain(gain) for gain in row.gains],
        "equal_to": list(row.equal_to),
        "reasons": list(row.reasons),
    }


def _gain(gain: ProjectGain) -> dict[str, Any]:
    return {
        "project": gain.project,
        "year": gain.year,
        "before": gain.before / 100,
        "after": gain.after / 100,
        "seasons": gain.seasons.mean,
        "is_goal": gain.is_goal,
    }


def _waiting(one: Waiting) -> dict[str, Any]:
    return {
        "what": one.what,
        "animals": list(one.animals),
        "until": one.until,
        "changes": one.changes,
        "gain": one.gain.mean,
        "unit": one.gain.unit,
        "message": one.text,
    }


def _range(value: Estimate) -> dict[str, float]:
    return {"low": value.low, "high": value.high}
