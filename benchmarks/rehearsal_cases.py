"""H1: a plan over several generations played 10,000 times, with deaths, kinship, size and segments of the line."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

import measuring
import numpy as np
from route_cases import COPIES, LINE, LOCI, PAIRS, Genes, collection, gene

from holdback.decisions.goal import SizeAim, SizeWish, Target
from holdback.decisions.rehearsal import Costs, Rehearsal, rehearse
from holdback.decisions.route import Wishes, best_route
from holdback.decisions.steps import Plan
from holdback.decisions.stock import IntArray, Stock
from holdback.descent.genome import GenomeMap
from holdback.species import load
from holdback.species.model import Pair

RUNS = 10_000
CORES = 2
LIMIT = 0.125


class DrawnGenes(Genes):
    """Independent beliefs that can be drawn from."""

    def draw(self, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator) -> tuple[list[Pair], IntArray]:
        chances = [COPIES[self.rows[animal][LOCI.index(locus)]] for animal in animals]
        columns = [rng.choice(3, size=n, p=np.array(one) / sum(one)) for one in chances]
        return list(PAIRS), np.array(columns, np.int64).T.reshape(n, len(animals))


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """The one case."""
    stock = _stock()
    target = Target(tuple(gene(place) for place in range(len(LOCI))), line=LINE, share=0.25)
    plan = best_route(stock, target, Wishes(horizon=30, inbreeding_at_most=LIMIT))
    genome = GenomeMap.from_catalogue(load())
    seconds, alone, found = [], [], []
    for _ in range(2 if short else 5):
        for workers, into in ((CORES, seconds), (1, alone)):
            start = time.perf_counter()
            found.append(_played(stock, plan, genome, workers))
            into.append(time.perf_counter() - start)
    _check(found)
    what = f"{RUNS:,} rehearsals on {CORES} cores, {len(plan.steps)} steps: deaths, kin, size, segments"
    yield measuring.alone("H1", what, seconds, limit=3.0, one_core_seconds=min(alone), reached=found[0].by_wished.mean)


def _stock() -> Stock:
    stock = collection()
    n = len(stock.animals)
    breeding = replace(stock.breeding, young_lives=0.93, adult_lives=0.97, additive_sd=0.12, environment_sd=0.15)
    rows = stock.genes
    assert isinstance(rows, Genes)
    return replace(
        stock,
        breeding=breeding,
        size_mean=np.zeros(n),
        size_sd=np.full(n, breeding.additive_sd),
        genes=DrawnGenes(rows.rows),
    )


def _played(stock: Stock, plan: Plan, genome: GenomeMap, workers: int) -> Rehearsal:
    return rehearse(
        stock,
        plan,
        runs=RUNS,
        seasons=12,
        seed=1,
        inbreeding_at_most=LIMIT,
        size=SizeWish(SizeAim.BIGGER),
        tubs=12,
        costs=Costs(pairing=1.0, egg=2.0, tub_year=40.0),
        genome=genome,
        workers=workers,
    )


def _check(found: Sequence[Rehearsal]) -> None:
    """Refuse runs that depend on the cores, that break the limit, or whose shares by segments are off the mean."""
    first = found[0]
    if any(one.as_json() != first.as_json() for one in found):
        raise measuring.WrongError("H1: the runs are not the same on one core and on two")
    share, true, inbreeding = first.share, first.true_share, first.inbreeding
    if share is None or true is None or inbreeding is None:
        raise measuring.WrongError("H1: no run came to the goal")
    if inbreeding.high > LIMIT + 1e-6 or abs(share.mean - true.mean) > 5 * true.se:
        raise measuring.WrongError(f"H1: inbreeding {inbreeding.high}, share {share.mean} and by segments {true.mean}")
