"""Rehearse a plan, or several plans on the same luck."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Unpack

import numpy as np

from holdback.decisions.rehearsal.fan_out import Begin, Waiting, hands
from holdback.decisions.rehearsal.laying_out import setting_of
from holdback.decisions.rehearsal.options import Manner, Options
from holdback.decisions.rehearsal.play import Played, joined
from holdback.decisions.rehearsal.result import Comparison, Difference, Rehearsal, mean_of, share_reached
from holdback.decisions.rehearsal.setting import Setting
from holdback.decisions.rehearsal.summing import rehearsal_of
from holdback.decisions.rehearsal.true_genes import BLOCK, true_genes
from holdback.decisions.steps import Plan
from holdback.decisions.stock import GenesAtHand, Stock
from holdback.heredity.network import Cancelled

LOOK_EVERY = 500
"""Runs between two looks at the standard error; a multiple of `BLOCK`."""
MOST_AT_ONCE = 2500
"""Runs played side by side; more takes memory and gains nothing."""


def rehearse(stock: Stock, plan: Plan, **options: Unpack[Options]) -> Rehearsal:
    """A plan played forward many times: real meiosis, deaths, females that do not lay, choosing by what can be known.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    plan : Plan
        Steps, by hand or from a search.
    options
        By name, see `Manner`: goal, catalogue, runs, seasons, seed, inbreeding_at_most, size, ordinary_g, tubs, budget,
        costs, stop_at_error, workers, cluster, genome, progress, cancelled.

    Returns
    -------
    Rehearsal
        Chances by season, use, failures.

    Raises
    ------
    DecisionError
        DEC-070, DEC-071 of the plan; DEC-072, DEC-073 of the cluster; DEC-074 if there is nothing to play.
    Cancelled
        If `cancelled` said so.

    Notes
    -----
    Every season, from the goal back, a step is open while young of a sex wanted are missing. Free females at least as
    good as its dam go to the male that is likeliest to pass on what is wanted, is ready, has clutches left and is no
    nearer kin than the limit. A young is held back if by its look and its parents it is at least as good as something
    missing. A visual young proves its parents, normal ones lower their chances. Runs end with the goal.

    The luck of a run depends on the seed, its number, what is tried for and how often it was tried for before, not on
    workers or order.
    """
    return compare([stock], [plan], **options).rehearsals[0]


def compare(stocks: Sequence[Stock], plans: Sequence[Plan], **options: Unpack[Options]) -> Comparison:
    """Several plans on the same luck, so that their difference shows with few runs.

    Parameters
    ----------
    stocks : sequence of Stock
        One a plan, or one for all; they may differ by some animals. What animals truly carry is drawn from the first
        that has them all, else for each stock by itself.
    plans : sequence of Plan
        The first is what the others are held against.
    options
        As of `rehearse`.

    Returns
    -------
    Comparison
        Rehearsals, and differences with standard errors run by run.

    Raises
    ------
    DecisionError
        As `rehearse`.
    Cancelled
        If `cancelled` said so.
    """
    manner = Manner(**options)
    each = [stocks[0]] * len(plans) if len(stocks) == 1 else list(stocks)
    settings = [
        setting_of(stock, plan, manner.rules(stock), catalogue=manner.catalogue, genome=manner.genome)
        for stock, plan in zip(each, plans, strict=True)
    ]
    played = _played(each, settings, manner)
    rehearsals = [
        rehearsal_of(setting, runs, seed=manner.seed, year=stock.year, notes=manner.notes(stock))
        for setting, runs, stock in zip(settings, played, each, strict=True)
    ]
    wished = settings[0].wished
    differences = [
        Difference(
            mean_of((one.reached <= wished).astype(np.float64) - (played[0].reached <= wished)),
            mean_of(one.reached - played[0].reached),
        )
        for one in played[1:]
    ]
    return Comparison(tuple(rehearsals), tuple(differences))


def _played(stocks: Sequence[Stock], settings: Sequence[Setting], manner: Manner) -> list[Played]:
    """Runs of each plan, until there are enough."""
    blocks = -(-manner.runs // BLOCK)
    size = _at_once(blocks, manner.workers)
    parts: list[list[Played]] = [[] for _ in settings]
    with hands(manner.workers if blocks > 1 else 1, manner.cluster) as (begin, ahead):
        done = 0
        for some in _parts(stocks, settings, manner, (begin, ahead, size, blocks)):
            for mine, one in zip(parts, some, strict=True):
                mine.append(one)
            done += len(some[0].reached)
            enough = 0 if manner.stop_at_error is None else _enough(parts, settings, manner.stop_at_error)
            if enough:
                return [first_runs(joined(mine), enough) for mine in parts]
            if manner.progress:
                manner.progress(done / (blocks * BLOCK))
    return [joined(mine) for mine in parts]


def _at_once(blocks: int, workers: int) -> int:
    """Blocks of a part: few enough that all workers have some."""
    return max(1, min(MOST_AT_ONCE // BLOCK, -(-blocks // (2 * workers if workers > 1 else 1))))


def _parts(
    stocks: Sequence[Stock], settings: Sequence[Setting], manner: Manner, work: tuple[Begin, int, int, int]
) -> Iterator[list[Played]]:
    """Parts of all plans, in the order of the runs."""
    begin, ahead, size, blocks = work
    sources = _sources(stocks, settings)
    waiting: deque[list[Waiting]] = deque()
    for block in range(0, blocks, size):
        first, count = block * BLOCK, min(size, blocks - block) * BLOCK
        if manner.cancelled and manner.cancelled():
            raise Cancelled("The rehearsal was asked to stop.")
        drawn = [
            true_genes(genes, setting, names, seed=manner.seed, first=first, count=count)
            for setting, (genes, names) in zip(settings, sources, strict=True)
        ]
        waiting.append(
            [begin(setting, true, manner.seed, first) for setting, true in zip(settings, drawn, strict=True)]
        )
        if len(waiting) >= ahead:
            yield [one.result() for one in waiting.popleft()]
    while waiting:
        yield [one.result() for one in waiting.popleft()]


def _sources(stocks: Sequence[Stock], settings: Sequence[Setting]) -> list[tuple[GenesAtHand, tuple[str, ...]]]:
    """Where the true genes of each plan are drawn from, and with whom: from one stock with all animals if there is one.

    Animals that two plans share then carry the same in both.
    """
    names = tuple(dict.fromkeys(name for setting in settings for name in setting.names))
    whole = next((stock for stock in stocks if set(names) <= set(stock.animals)), None)
    if whole is not None:
        return [(whole.genes, names)] * len(settings)
    return [(stock.genes, setting.names) for stock, setting in zip(stocks, settings, strict=True)]


def _enough(parts: Sequence[Sequence[Played]], settings: Sequence[Setting], error: float) -> int:
    """Fewest runs, a multiple of `LOOK_EVERY`, with a small enough standard error; 0 where there are none."""
    seasons = [np.concatenate([part.reached for part in mine]) for mine in parts]
    reached = [one <= setting.wished for one, setting in zip(seasons, settings, strict=True)]
    for runs in range(LOOK_EVERY, len(reached[0]) + 1, LOOK_EVERY):
        here = [one[:runs] for one in reached]
        errors = [mean_of(one.astype(float) - here[0]).se for one in here[1:]] or [share_reached(here[0]).se]
        if max(errors) <= error:
            return runs
    return 0


def first_runs(played: Played, runs: int) -> Played:
    """The first of some runs."""
    goals = {each.name for each in fields(Played) if each.name.startswith("goal_")}
    kept = played.goal_run < runs
    columns = {
        each.name: getattr(played, each.name)[kept if each.name in goals else slice(runs)] for each in fields(Played)
    }
    return Played(**columns)
