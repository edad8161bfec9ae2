"""Rehearse a way again: with another seed, or more runs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.decisions import RUNS
from holdback.errors import DecisionError
from holdback.web.pages.decided import IN_REQUEST, Part, Tell, part_or_work, register
from holdback.web.pages.projects.page import Asked
from holdback.web.pages.worked_out import Working

REHEARSAL = "rehearsal"
LEAST_RUNS, MOST_RUNS = 100, 200_000
MOST_SEED = 2**31 - 1


def asked_of(given: Mapping[str, str]) -> Asked:
    """Runs and seed out of an address; what cannot be read is as usual."""
    return Asked(
        _whole(given.get("runs"), RUNS, LEAST_RUNS, MOST_RUNS),
        _whole(given.get("seed"), 0, 0, MOST_SEED),
    )  # fmt: skip


def rehearsal_or_work(key: str, asked: Asked) -> Decisions | Working:
    """Plans in which the way of a project is rehearsed as asked, or the job that rehearses it."""
    return part_or_work(REHEARSAL, key=key, runs=asked.runs, seed=asked.seed)


def _whole(text: str | None, otherwise: int, low: int, high: int) -> int:
    try:
        return min(max(int(text or ""), low), high)
    except ValueError:
        return otherwise


def _is_there(plans: Decisions, asked: dict[str, Any]) -> bool:
    has_way = plans.is_worked_out and plans.route_or_none(asked["key"]) is None
    return has_way or plans.rehearsed(asked["key"], runs=asked["runs"], seed=asked["seed"]) is not None


def _rehearse(plans: Decisions, asked: dict[str, Any], tell: Tell) -> None:
    try:
        plans.rehearsal(asked["key"], runs=asked["runs"], seed=asked["seed"], progress=tell)
    except DecisionError:
        return  # the page says why there is no way


def _is_quick(plans: Decisions) -> bool:
    return len(plans.stock.animals) <= IN_REQUEST


register(REHEARSAL, Part("The rehearsal", _is_there, _rehearse, _is_quick))
