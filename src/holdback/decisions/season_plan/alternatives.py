"""Other plans: the best one that is truly different, and the best one that uses a female who was left out."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from holdback.decisions.season_plan.columns import Columns
from holdback.decisions.season_plan.limits import Limit
from holdback.decisions.season_plan.plan import Run, best_plan, fours
from holdback.decisions.season_plan.plan_input import PlanInput
from holdback.decisions.season_plan.result import SeasonPlan, UsingHer
from holdback.decisions.season_plan.words import names
from holdback.errors import DecisionError, Fault

_NO_TIME = "DEC-038"


def next_best(
    inp: PlanInput,
    plan: SeasonPlan,
    *,
    different: float = 1 / 3,
    gap: float = 1e-6,
    seconds: float = 10.0,
    cancelled: Callable[[], bool] | None = None,
) -> SeasonPlan:
    """Best plan that shares at most 1 - `different` of the pairs of a plan.

    Parameters
    ----------
    inp : PlanInput
        What the plan was made from.
    plan : SeasonPlan
        Plan to differ from.
    different : float
        Least share of its pairs, in (0, 1], that must not be made; the same pair for another project is the same.
    gap, seconds, cancelled
        As of `plan_season`.

    Returns
    -------
    SeasonPlan
        The other plan.

    Raises
    ------
    DecisionError
        DEC-035 if fixed pairs or other limits leave no such plan; DEC-038 if time was up.
    """
    made = {(sire, dam) for sire, dam, _, _ in fours(inp, plan)}
    most = float(len(made) - math.ceil(different * len(made) - 1e-9))

    def also(columns: Columns) -> list[Limit]:
        pairs = zip(columns.sire.tolist(), columns.dam.tolist(), strict=True)
        same = np.flatnonzero(np.array([pair in made for pair in pairs], dtype=bool))
        return [Limit("other", "", same, np.ones(len(same)), most)]

    return best_plan(inp, Run(gap, seconds, cancelled=cancelled), also=also)


def using(
    inp: PlanInput,
    plan: SeasonPlan,
    dam: str,
    *,
    gap: float = 1e-6,
    seconds: float = 10.0,
    cancelled: Callable[[], bool] | None = None,
) -> UsingHer:
    """What it would take to use a female that a plan leaves out.

    Parameters
    ----------
    inp : PlanInput
        What the plan was made from.
    plan : SeasonPlan
        Plan without her.
    dam : str
        Her id.
    gap, seconds, cancelled
        As of `plan_season`.

    Returns
    -------
    UsingHer
        The best plan with her, what it costs, and who would be left out instead; or the limit that stands against her.

    Raises
    ------
    DecisionError
        DEC-037 if she is not among the females; DEC-038 if time was up.
    """
    if dam not in inp.females:
        raise DecisionError(Fault("DEC-037", f"{dam} is no female of this plan.", "Choose one that is.", animal=dam))
    her = inp.name(dam)
    if dam in inp.not_ready:
        return UsingHer(dam, None, math.nan, f"{her} cannot be used this season: {inp.not_ready[dam]}")

    def also(columns: Columns) -> list[Limit]:
        hers = np.flatnonzero(columns.dam == inp.females.index(dam))
        return [Limit("used", dam, hers, np.ones(len(hers)), low=1.0)]

    try:
        other = best_plan(inp, Run(gap, seconds, cancelled=cancelled), also=also)
    except DecisionError as error:
        if error.faults[0].code == _NO_TIME:
            raise
        return UsingHer(dam, None, math.nan, f"{her} can be used only if a limit gives way. {error.faults[0].hint}")
    return UsingHer(dam, other, other.worth - plan.worth, _sentence(inp, plan, other, dam))


def _sentence(inp: PlanInput, plan: SeasonPlan, other: SeasonPlan, dam: str) -> str:
    before, after = ({one.dam for one in each.pairings} for each in (plan, other))
    sire = next(one.sire for one in other.pairings if one.dam == dam)
    gone = tuple(one for one in inp.females if one in before - after)
    instead = f"; {names(inp, gone)} would be left out instead" if gone else ""
    loss = max(plan.worth - other.worth, 0.0)
    return f"With {inp.name(sire)}, for {loss:.1f} less in worth{instead}."
