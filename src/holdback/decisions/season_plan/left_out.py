"""Why a female is left out, and what it would take to use her."""

from __future__ import annotations

from holdback.decisions.season_plan.columns import Columns
from holdback.decisions.season_plan.limits import Limit
from holdback.decisions.season_plan.plan_input import IntArray, PlanInput
from holdback.decisions.season_plan.result import LeftOut


def left_out(inp: PlanInput, columns: Columns, limits: list[Limit], chosen: IntArray) -> tuple[LeftOut, ...]:
    """Females without a pairing, in the order of the input."""
    paired = {inp.females[one] for one in columns.dam[chosen].tolist()}
    return tuple(_told(inp, columns, one) for one in inp.females if one not in paired)


def _told(inp: PlanInput, columns: Columns, dam: str) -> LeftOut:
    if dam in inp.not_ready:
        return LeftOut(dam, inp.not_ready[dam])
    return LeftOut(dam, "Others add more within these limits.")
