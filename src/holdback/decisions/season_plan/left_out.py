"""Why a female is left out, and what it would take to use her."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np

from holdback.decisions.season_plan.columns import Columns, bet_weight
from holdback.decisions.season_plan.limit_words import is_week, one_more, span, used_up
from holdback.decisions.season_plan.limits import Limit, stand
from holdback.decisions.season_plan.plan_input import FloatArray, IntArray, PlanInput
from holdback.decisions.season_plan.result import LeftOut

_NEXT_TO_NOTHING = 1e-4


def left_out(inp: PlanInput, columns: Columns, limits: Sequence[Limit], chosen: IntArray) -> tuple[LeftOut, ...]:
    """Females without a pairing, in the order of the input."""
    paired = set(columns.dam[chosen].tolist())
    out = [place for place in range(len(inp.females)) if place not in paired]
    gain = gains(columns, chosen)
    blocks = [(limit, _blocked(limit, columns, chosen)) for limit in limits]
    return tuple(_told(inp, columns, chosen, place, gain, blocks) for place in out)


def gains(columns: Columns, chosen: IntArray) -> FloatArray:
    """Worth that each column would add to a choice, costs taken off, shape (n,); nan for those that serve nothing."""
    sums, bets = columns.totals(chosen)
    weight, bet, part = columns.log_weight, columns.bet, columns.part
    if len(bets):
        chance = columns.bet_chance[bet]
        weight = np.where(bet < 0, weight, bet_weight(bets[bet] + weight, chance) - bet_weight(bets[bet], chance))
    now = -columns.part_worth * np.expm1(-sums)
    then = -columns.part_worth[part] * np.expm1(-(sums[part] + weight))
    gain = then - now[part]
    for project in np.flatnonzero(columns.together):
        parts = np.flatnonzero(columns.part_project == project)
        for one in parts:
            others = now[parts[parts != one]].min(initial=np.inf)
            its = part == one
            gain[its] = np.minimum(then[its], others) - now[parts].min()
    used = np.isin(columns.sire, columns.sire[chosen])
    gain -= columns.dam_cost[columns.dam] + np.where(used, 0.0, columns.sire_cost[columns.sire])
    return np.where(part < 0, np.nan, gain)


def _blocked(limit: Limit, columns: Columns, chosen: IntArray) -> np.ndarray:
    """Columns that a limit leaves no room for, beside a choice, shape (n,)."""
    adds = np.zeros(columns.n)
    adds[limit.columns] = limit.weights
    new = np.isin(columns.sire, limit.males) & ~np.isin(columns.sire, columns.sire[chosen])
    adds += np.where(new, limit.male_weight, 0.0)
    return np.asarray((adds > 0) & (stand(limit, columns, chosen) + adds > limit.high + 1e-9), dtype=bool)


def _told(
    inp: PlanInput,
    columns: Columns,
    chosen: IntArray,
    place: int,
    gain: FloatArray,
    blocks: Sequence[tuple[Limit, np.ndarray]],
) -> LeftOut:
    dam = inp.females[place]
    if dam in inp.not_ready:
        return LeftOut(dam, inp.not_ready[dam])
    hers = np.flatnonzero((columns.dam == place) & ~np.isnan(gain))
    if not len(hers):
        return LeftOut(dam, _no_pair(inp, dam))
    best = _easiest(hers, gain, blocks)
    if gain[best] <= _NEXT_TO_NOTHING:
        return LeftOut(dam, "Another clutch would add no more than it costs.")
    sire = inp.males[int(columns.sire[best])]
    against = [limit for limit, mask in blocks if mask[best]]
    if not against:
        return LeftOut(dam, "She would add very little; the search was ended before it came to her.")
    takes = f"{_first_up(_takes(inp, columns, chosen, best, against))}, or the place of one who is used."
    return LeftOut(dam, f"Best with {inp.name(sire)}: {used_up(inp, against[0], sire)}", takes)


def _easiest(hers: IntArray, gain: FloatArray, blocks: Sequence[tuple[Limit, np.ndarray]]) -> int:
    """The cross with the fewest kinds of limits against it, of those that add at least half of what her best adds."""
    worth = hers[gain[hers] >= gain[hers].max() - abs(gain[hers].max()) / 2]
    kinds = [len({limit.kind for limit, mask in blocks if mask[one]}) for one in worth.tolist()]
    return int(worth[np.lexsort((-gain[worth], kinds))[0]])


def _takes(inp: PlanInput, columns: Columns, chosen: IntArray, column: int, against: Sequence[Limit]) -> str:
    """What would have to be relaxed for a cross, weeks of one kind of place taken together."""
    told = [one_more(inp, one) for one in against if not is_week(one)]
    for kind in dict.fromkeys(one.kind for one in against if is_week(one)):
        weeks = [one for one in against if one.kind == kind]
        lacking = max(stand(one, columns, np.append(chosen, column)) - one.high for one in weeks)
        told.append(f"{math.ceil(lacking - 1e-9)} more {kind} {span(weeks)}")
    return " and ".join(told)


def _no_pair(inp: PlanInput, dam: str) -> str:
    reasons = Counter(one.reason for one in inp.bans if one.dam == dam).most_common(1)
    if reasons:
        return f"No male is left for her that a project gains from. Most often: {reasons[0][0]}"
    return "No project gains from her this season."


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
