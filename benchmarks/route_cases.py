"""R1 and R2: routes over several generations, with and without a share of a line and a limit of inbreeding."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Mapping, Sequence

import measuring
import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.route import Wishes, best_route
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Breeding, IntArray, Stock
from holdback.heredity.genotype import ParentsJoint
from holdback.season.outlook import CountLaw
from holdback.species.model import Pair

Row = tuple[str, str, int, float]
"""Levels of two recessives, copies of a gene that shows, and share of the line."""

LAYS, HATCH, LINE = 0.7, 0.81, "Ember"
LOCI = ("first", "second", "third")
MALES: tuple[Row, ...] = (
    ("vis", "-", 1, 0), ("-", "vis", 0, 0), ("-", "-", 0, 1), ("-", "-", 1, 0.5), ("het", "66", 0, 0.25),
)  # fmt: skip
FEMALES: tuple[tuple[int, Row], ...] = (
    (8, ("-", "-", 0, 1)), (4, ("66", "-", 1, 0.5)), (1, ("-", "het", 0, 0.5)), (2, ("-", "het", 0, 0)),
    (2, ("-", "vis", 0, 0)), (2, ("het", "-", 0, 0)), (1, ("-", "-", 1, 0)),
)  # fmt: skip
COPIES: Mapping[str | int, tuple[float, float, float]] = {
    "-": (1, 0, 0), "66": (1 / 3, 2 / 3, 0), "het": (0, 1, 0), "vis": (0, 0, 1), 0: (1, 0, 0), 1: (0, 1, 0),
}  # fmt: skip
PAIRS: tuple[Pair, ...] = (("+", "+"), ("+", "wanted"), ("wanted", "wanted"))
PLAIN, SHARE = 6.566, 12.45
"""Mean seasons by a program written apart; of the second the best known, not proven."""


class Genes:
    """Independent beliefs."""

    def __init__(self, rows: Mapping[str, Row]) -> None:
        self.rows = rows

    def at(self, animal: str, locus: str) -> Mapping[Pair, float]:
        chances = COPIES[self.rows[animal][LOCI.index(locus)]]
        return {pair: chance for pair, chance in zip(PAIRS, chances, strict=True) if chance > 0}

    def couple(self, sire: str, dam: str, loci: Sequence[str]) -> tuple[ParentsJoint, ...]:
        raise NotImplementedError("a route asks for one animal at a time")

    def phase(self, animal: str, locus: str) -> float:
        return 0.5

    def draw(self, animals: Sequence[str], locus: str, n: int, rng: np.random.Generator) -> tuple[list[Pair], IntArray]:
        raise NotImplementedError("a route draws nothing")


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """Both cases."""
    stock, runs = collection(), 2 if short else 5
    wanted = Target(tuple(gene(place) for place in range(3)))
    seconds, plan = _timed(stock, wanted, Wishes(horizon=30), runs)
    if not math.isclose(plan.seasons, PLAIN, abs_tol=1e-3):
        raise measuring.WrongError(f"R1: {plan.seasons} seasons, not {PLAIN}")
    yield measuring.alone("R1", "route to two recessives and one that shows, 25 animals", seconds, limit=0.1)
    with_share = Target(wanted.genes, line=LINE, share=0.25)
    wishes = Wishes(horizon=30, inbreeding_at_most=0.125, labels=4)
    seconds, plan = _timed(stock, with_share, wishes, 1 if short else 3)
    if plan.seasons > SHARE + 5e-3 or plan.largest_inbreeding > 0.125 + 1e-12 or plan.share < 0.25:
        raise measuring.WrongError(f"R2: {plan.seasons} seasons at inbreeding {plan.largest_inbreeding}")
    what = "the same with a quarter line, inbreeding at most 1/8"
    yield measuring.alone("R2", what, seconds, limit=10.0, seasons=plan.seasons)


def _timed(stock: Stock, target: Target, wishes: Wishes, runs: int) -> tuple[list[float], Plan]:
    seconds, plans = [], []
    for _ in range(runs):
        start = time.perf_counter()
        plans.append(best_route(stock, target, wishes))
        seconds.append(time.perf_counter() - start)
    return seconds, plans[-1]


def gene(place: int) -> GoalGene:
    """Gene of the goal: two recessives, and one that shows."""
    hidden = place < 2
    return GoalGene(LOCI[place], frozenset(["wanted"]), 2 if hidden else 1, LOCI[place], hidden, tells_two=True)


def collection() -> Stock:
    """Five males and twenty females."""
    rows = [(f"m{n}", row) for n, row in enumerate(MALES)]
    dams = [row for count, row in FEMALES for _ in range(count)]
    rows += [(f"f{n}", row) for n, row in enumerate(dams)]
    n = len(rows)
    is_male = np.arange(n) < len(MALES)
    eggs, young = laws()
    none = CountLaw(np.ones(1))
    return Stock(
        year=2027,
        animals=tuple(name for name, _ in rows),
        sexes=tuple(Sex.MALE if male else Sex.FEMALE for male in is_male),
        ready=np.zeros(n, np.int64),
        clutches=np.where(is_male, 20, 1).astype(np.int64),
        lays=np.where(is_male, np.nan, LAYS),
        eggs=tuple(none if male else eggs for male in is_male),
        young=tuple(none if male else young for male in is_male),
        kinship=np.eye(n) / 2,
        shares={LINE: np.array([row[3] for _, row in rows])},
        size_mean=np.full(n, np.nan),
        size_sd=np.full(n, np.nan),
        genes=Genes(dict(rows)),
        breeding=Breeding(eggs=eggs, young=young, lays_first=LAYS, lays=LAYS, male_clutches=20),
    )


def laws() -> tuple[CountLaw, CountLaw]:
    """Eggs and young of a clutch: normal, 1 to 15 eggs, each hatching by itself."""
    eggs = np.exp(-0.5 * ((np.arange(16) - 6.83) / 2.0) ** 2)
    eggs[0] = 0.0
    eggs /= eggs.sum()
    young = np.zeros(16)
    for n, chance in enumerate(eggs):
        for k in range(n + 1):
            young[k] += chance * math.comb(n, k) * HATCH**k * (1 - HATCH) ** (n - k)
    return CountLaw(eggs), CountLaw(young)
