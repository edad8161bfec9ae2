"""Which single wish, given up, brings a goal how much nearer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from holdback.collection.model import Sex
from holdback.decisions.goal import Target
from holdback.decisions.route.dead_ends import dead_end
from holdback.decisions.route.looking import Watch, Wishes, found_route
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock

LIMITS = (0.0625, 0.125, 0.25, 1.0)
"""Limits of inbreeding that are tried: cousins', half sibs', full sibs' young, and none."""
SHARE_STEP = 0.125
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A goal with one wish less.

    Parameters
    ----------
    without : str
        The wish given up, as in "without ...": "Pied", "the half line".
    sentence : str
        What it gains.
    target : Target
        What is left.
    inbreeding_at_most : float
        Limit of inbreeding.
    plan : Plan
        The way there.
    """

    without: str
    sentence: str
    target: Target
    inbreeding_at_most: float
    plan: Plan


def relaxed(stock: Stock, target: Target, wishes: Wishes, *, watch: Watch | None = None) -> tuple[Relaxed, ...]:
    """Ways to the goal with one wish given up, the soonest first.

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
    tuple of Relaxed
        Only those that can be reached within the horizon.

    Notes
    -----
    Tried are: each gene left out, two copies of a gene as one, either sex, no share of the line or an eighth less, and
    the next larger limits of inbreeding.
    """
    watch = watch or Watch()
    tries = list(_given_up(target, wishes))
    found = []
    for number, (without, less, limit) in enumerate(tries):
        if watch.stop():
            break
        part = watch.part(number, len(tries))
        part.tell(0.0)
        if dead_end(stock, less, inbreeding_at_most=limit):
            continue
        plan, _ = found_route(stock, less, replace(wishes, inbreeding_at_most=limit), watch=part)
        if plan is not None:
            found.append(Relaxed(without, _sentence(without, plan, wishes), less, limit, plan))
    watch.tell(1.0)
    return tuple(sorted(found, key=lambda one: one.plan.seasons))


def _given_up(target: Target, wishes: Wishes) -> Iterator[tuple[str, Target, float]]:
    """Each wish in words, the target without it, and the limit of inbreeding."""
    limit = wishes.inbreeding_at_most
    for gene in target.genes:
        rest = tuple(one for one in target.genes if one is not gene)
        if rest or target.share > 0:
            words = gene.name if gene.copies else f"the wish to be free of {gene.name}"
            yield words, replace(target, genes=rest), limit
        if gene.copies == 2:
            fewer = tuple(replace(one, copies=1) if one is gene else one for one in target.genes)
            yield f"the second copy of {gene.name}", replace(target, genes=fewer), limit
    if target.sex is not Sex.UNKNOWN:
        yield "the wish for a sex", replace(target, sex=Sex.UNKNOWN), limit
    if target.share > SHARE_STEP:
        share = target.share - SHARE_STEP
        yield f"an eighth of the line ({share:.1%} is enough)", replace(target, share=share), limit
    if target.share > 0 and target.genes:
        yield f"the share of {target.line}", replace(target, share=0.0, line=""), limit
    for more in LIMITS:
        if more > limit + _ROUNDING:
            words = "a limit of inbreeding" if more >= 1 else f"so strict a limit of inbreeding ({more:g} allowed)"
            yield words, target, more


def _sentence(without: str, plan: Plan, wishes: Wishes) -> str:
    if wishes.by is not None and wishes.by < len(plan.by_season):
        chance = f"{100 * plan.by_season[wishes.by]:.0f} in 100 by the wished season"
        return f"Without {without} it is {plan.seasons:.1f} seasons, {chance}."
    return f"Without {without} it is {plan.seasons:.1f} seasons."
