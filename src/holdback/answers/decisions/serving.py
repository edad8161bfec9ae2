"""Pairs at hand that serve a project this season, and the parts of it that they serve.

A project wants its goal by the year it names. A pair serves that by its clutch, or by the best young of it and that
young's best mate at hand (`holdback.decisions.pair_judgement`). What the steps of its route keep is a further part,
where the parents are at hand: it may lie more generations from the goal than that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.answers.decisions.goals import kept_for_others
from holdback.answers.decisions.worths import worth_of_goal, worth_of_step
from holdback.collection.model import Sex
from holdback.decisions.barring import Barring
from holdback.decisions.goal import Target
from holdback.decisions.kind_words import kind_words
from holdback.decisions.kinds import kind_law
from holdback.decisions.mates import last_season
from holdback.decisions.pair_judgement import Judge
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.steps import Kind, Plan
from holdback.decisions.stock import Stock

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions

WORTH_TELLING = 0.02
"""Chance that a clutch serves a part below which the pair is not considered for it."""
CERTAIN = 0.995


@dataclass(frozen=True, eq=False)
class Needed:
    """A part of a project: what its young must be (None is the goal), and what having one is worth."""

    words: str
    kind: Kind | None
    worth: float


@dataclass(frozen=True, slots=True)
class Served:
    """A pair that serves a part.

    Parameters
    ----------
    sire, dam : str
        Ids.
    part : int
        Number of the part.
    chance : float
        Chance that it does.
    blocked : str
        The reason against it, or empty.
    is_at_once : bool
        Whether it serves by this clutch alone, and by no young kept of it.
    """

    sire: str
    dam: str
    part: int
    chance: float
    blocked: str = ""
    is_at_once: bool = True


def parts_of(decisions: Decisions, key: str, plan: Plan, season: int) -> tuple[Needed, ...]:
    """The goal, and what the steps keep whose parents are at hand and whose time has come.

    Parameters
    ----------
    decisions : Decisions
        Goals and rehearsals.
    key : str
        Key of the project.
    plan : Plan
        Its route.
    season : int
        Season planned, from 0.
    """
    goal, year, by_season = decisions.goals[key], decisions.stock.year, decisions.chances(key)
    horizon = round(decisions.stock.breeding.horizon)
    steps = [
        step
        for step in plan.steps
        if not step.is_goal and step.sire.step is None and step.dam.step is None and step.first_season <= season
    ]
    words = f"the goal by {goal.by}" if goal.by else "the goal"
    return (
        Needed(words, None, worth_of_goal(goal, by_season, year, horizon)),
        *(
            Needed(
                kind_words(step.keep, plan.target, is_bred=True),
                step.keep,
                worth_of_step(goal, by_season, step, year, horizon),
            )
            for step in steps
        ),
    )


def served(
    decisions: Decisions, key: str, parts: Sequence[Needed], season: int, *, ready: frozenset[str]
) -> Iterator[Served]:
    """Every pair that could serve a part with a chance that is worth telling, barred ones among them.

    Parameters
    ----------
    decisions : Decisions
        Stock, goals, welfare.
    key : str
        Key of the project.
    parts : sequence of Needed
        Its parts, the goal first.
    season : int
        Season planned, from 0.
    ready : frozenset of str
        Animals that can have young in it.
    """
    stock, goal = decisions.stock, decisions.goals[key]
    free = ready - kept_for_others(decisions.goals, key)
    males, females = (
        [stock.animals[at] for at in stock.of_sex(sex) if stock.animals[at] in free] for sex in (Sex.MALE, Sex.FEMALE)
    )
    barring = Barring(stock, goal, decisions.welfare, season)
    by = last_season(stock, goal, season)
    target = decisions.route(key).target
    judge = Judge(stock, target, decisions.catalogue, season=season, by=by, barring=barring)
    tables = PairTables(target, decisions.catalogue)
    carried = {one: carries(stock, one, target) for one in (*males, *females)}
    for sire in males:
        for dam in females:
            judged = judge.of(sire, dam, 0)
            if judged.score >= WORTH_TELLING:
                yield Served(sire, dam, 0, judged.score, judged.blocked, is_at_once=judged.next is None)
            for number, part in enumerate(parts[1:], start=1):
                assert part.kind is not None, "only the first part is the goal"
                if _could(stock, sire, dam, part.kind, target, carried=carried):
                    at = stock.index(dam)
                    law = kind_law(stock, sire, dam, part.kind, tables)
                    chance = law.tries(1, stock.young[at], float(stock.lays[at]))
                    if chance >= WORTH_TELLING:
                        yield Served(sire, dam, number, chance, judged.blocked)


def sure_of(stock: Stock, sire: str, target: Target) -> float:
    """Chance that a male carries all that only both parents together can give: what all his clutches hang on."""
    chance = 1.0
    for gene, some in zip(target.genes, carries(stock, sire, target), strict=True):
        if gene.copies == 2 and some > WORTH_TELLING:
            chance *= some
    return chance


def carries(stock: Stock, animal: str, target: Target) -> tuple[float, ...]:
    """Chance that an animal carries each gene that is asked for; 1 for those that are refused."""
    found = []
    for gene in target.genes:
        chances = stock.genes.at(animal, gene.locus).items()
        some = sum(chance for alleles, chance in chances if any(one in gene.alleles for one in alleles))
        found.append(1.0 if gene.copies == 0 else some)
    return tuple(found)


def _could(
    stock: Stock, sire: str, dam: str, kind: Kind, target: Target, *, carried: Mapping[str, tuple[float, ...]]
) -> bool:
    """Whether a pair may serve a kind at all: a quick look before the exact chance."""
    if kind.share > 0.0:
        shares = stock.shares.get(target.line)
        if shares is None or (shares[stock.index(sire)] + shares[stock.index(dam)]) / 2 < kind.share - 1e-9:
            return False
    for least, his, hers in zip(kind.genes, carried[sire], carried[dam], strict=True):
        some, two = least
        if some > 0.0 and max(his, hers) < WORTH_TELLING:
            return False
        if two > 0.0 and min(his, hers) < WORTH_TELLING:
            return False
    return True
