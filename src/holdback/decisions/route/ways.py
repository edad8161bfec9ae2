"""Routes: crosses over several generations from the animals at hand to a goal."""

from __future__ import annotations

from collections.abc import Callable

from holdback.decisions.goal import Target
from holdback.decisions.route.dead_ends import dead_end
from holdback.decisions.route.looking import HORIZON, Watch, Wishes, found_route
from holdback.decisions.route.relaxing import relaxed
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock
from holdback.errors import DecisionError, Fault


def route(
    stock: Stock,
    target: Target,
    *,
    horizon: int = HORIZON,
    inbreeding_at_most: float = 1.0,
    hold_back: int = 3,
    labels: int | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """Soonest way found from the animals at hand to a target; see `best_route`, which takes more wishes.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        What is wanted.
    horizon, inbreeding_at_most, hold_back, labels
        See `Wishes`.
    progress, cancelled
        See `Watch`.

    Returns
    -------
    Plan
        As of `best_route`.

    Raises
    ------
    DecisionError
        As of `best_route`.
    """
    return best_route(
        stock, target, Wishes(horizon, inbreeding_at_most, hold_back, labels), watch=Watch(progress, cancelled)
    )


def best_route(stock: Stock, target: Target, wishes: Wishes, *, watch: Watch | None = None) -> Plan:
    """Best way found from the animals at hand to a target.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        What is wanted.
    wishes : Wishes
        How it is looked for.
    watch : Watch, optional
        Progress, and what ends the search early.

    Returns
    -------
    Plan
        Steps that can be made in their order, the goal last. `Plan.is_best` is False where the search was ended early.

    Raises
    ------
    DecisionError
        DEC-050 where the animals at hand cannot lead there, DEC-051 where no way is found within the horizon and the
        limits (with the one wish whose giving up gains most), DEC-052 where the search was ended before it found one.

    Notes
    -----
    See `search`. Sex linkage and linkage between loci are taken as free; a rehearsal plays them as they are. Relatives'
    possible hets are taken as independent of each other.
    """
    watch = watch or Watch()
    reason = dead_end(stock, target, inbreeding_at_most=wishes.inbreeding_at_most)
    if reason:
        raise DecisionError(Fault("DEC-050", reason, field="goal"))
    plan, is_complete = found_route(stock, target, wishes, watch=watch)
    if plan is not None:
        return plan
    if not is_complete:
        what = "The search was ended before it found a way to the goal."
        raise DecisionError(Fault("DEC-052", what, "Give it more time.", field="goal"))
    what = f"No way to the goal within {wishes.horizon} seasons and the limits."
    gains = relaxed(stock, target, wishes, watch=watch)
    hint = gains[0].sentence if gains else "Ask for less of several things, or look further ahead."
    raise DecisionError(Fault("DEC-051", what, hint, field="goal"))
