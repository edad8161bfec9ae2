"""Where a project stands: who carries what the goal asks for, and what each animal is in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.answers.descent.names import listed
from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.kinds import kind_of
from holdback.decisions.steps import Plan

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions
    from holdback.collection.estimate import Estimate
    from holdback.decisions.stock import Stock

MOST_ROWS = 12
"""Animals told of."""
_SURE, _FEW = 0.995, 0.2
_LITTLE = 0.05
"""Share of a line below which an animal counts as none of it."""


@dataclass(frozen=True, slots=True)
class Carrier:
    """One animal in a project.

    Parameters
    ----------
    animal : str
        Id.
    copies : tuple of (float, float, float)
        For each gene of the target the chances of no, one and two copies.
    share : float or None
        Expected share of the target's line; None where no line is asked.
    adult_mass_g : Estimate
        Grown mass.
    part : str
        What it is in the project, in a sentence without its name.
    steps : tuple of int
        Steps of the route that it stands in.
    ready_from : int
        Year from which it can have young.
    """

    animal: str
    copies: tuple[tuple[float, float, float], ...]
    share: float | None
    adult_mass_g: Estimate
    part: str
    steps: tuple[int, ...]
    ready_from: int


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a project stands.

    Parameters
    ----------
    target : Target
        What is asked for.
    generations : int or None
        Crosses one after the other that the route takes; None without a route.
    carriers : tuple of Carrier
        Those of the route first, then those that carry most.
    left_out : int
        Further animals that carry something of it.
    have : tuple of str
        Animals at hand that are the goal, as far as the records tell.
    """

    target: Target
    generations: int | None
    carriers: tuple[Carrier, ...]
    left_out: int
    have: tuple[str, ...]


def standing_of(decisions: Decisions, key: str) -> Standing:
    """Where a project stands.

    Parameters
    ----------
    decisions : Decisions
        Stock, goals and routes.
    key : str
        Key of the project.

    Raises
    ------
    DecisionError
        As the goal raises.
    """
    plan = decisions.route_or_none(key)
    target = plan.target if plan is not None else decisions.targets(decisions.goals[key])[0]
    stock = decisions.stock_for(key)
    copies = {one: _copies(stock, one, target.genes) for one in stock.animals}
    steps = {one: _steps(plan, one) for one in stock.animals}
    useful = [one for one in stock.animals if steps[one] or _merit(stock, one, copies[one], target) > _FEW]
    useful.sort(key=lambda one: (not steps[one], -_merit(stock, one, copies[one], target), one))
    words = _Words(stock, target, copies)
    return Standing(
        target=target,
        generations=None if plan is None else _generations(plan),
        carriers=tuple(
            Carrier(
                animal=one,
                copies=copies[one],
                share=_share(stock, one, target),
                adult_mass_g=decisions.answers.sizes.of(one).adult_mass_g,
                part=words.part(one),
                steps=steps[one],
                ready_from=stock.year + int(stock.ready[stock.index(one)]),
            )
            for one in useful[:MOST_ROWS]
        ),
        left_out=max(len(useful) - MOST_ROWS, 0),
        have=tuple(one for one in stock.animals if _is_goal(stock, one, target)),
    )


def _copies(stock: Stock, animal: str, genes: Sequence[GoalGene]) -> tuple[tuple[float, float, float], ...]:
    found = []
    for gene in genes:
        odds = [0.0, 0.0, 0.0]
        for alleles, chance in stock.genes.at(animal, gene.locus).items():
            odds[sum(one in gene.alleles for one in alleles)] += chance
        found.append((odds[0], odds[1], odds[2]))
    return tuple(found)


def _merit(stock: Stock, animal: str, copies: Sequence[tuple[float, float, float]], target: Target) -> float:
    """Copies of what is wanted that it carries in the mean, its share of the line beside them."""
    found = sum(
        min(some + two, 1) + (two if gene.copies == 2 else 0.0)
        for gene, (_, some, two) in zip(target.genes, copies, strict=True)
        if gene.copies
    )
    share = _share(stock, animal, target)
    return found + (share or 0.0)


def _share(stock: Stock, animal: str, target: Target) -> float | None:
    if not target.line:
        return None
    return float(stock.shares[target.line][stock.index(animal)]) if target.line in stock.shares else 0.0


def _steps(plan: Plan | None, animal: str) -> tuple[int, ...]:
    steps = plan.steps if plan is not None else ()
    return tuple(one.number for one in steps if animal in one.sire.animals or animal in one.dam.animals)


def _generations(plan: Plan) -> int:
    """Length of the longest chain of steps."""
    depth: dict[int, int] = {}
    for step in plan.steps:
        before = [depth[side.step] for side in (step.sire, step.dam) if side.step is not None]
        depth[step.number] = 1 + max(before, default=0)
    return max(depth.values(), default=0)


def _is_goal(stock: Stock, animal: str, target: Target) -> bool:
    if target.sex not in (Sex.UNKNOWN, stock.sexes[stock.index(animal)]):
        return False
    share = _share(stock, animal, target)
    if share is not None and share < target.share - 1e-9:
        return False
    wanted = {0: (1.0, 0.0), 1: (1.0, 0.0), 2: (1.0, 1.0)}
    return all(
        some >= wanted[gene.copies][0] - 0.005 and two >= wanted[gene.copies][1] - 0.005
        for gene, (some, two) in zip(target.genes, kind_of(stock, animal, target.genes), strict=True)
    )


class _Words:
    """What an animal is in the project."""

    def __init__(
        self, stock: Stock, target: Target, copies: Mapping[str, tuple[tuple[float, float, float], ...]]
    ) -> None:
        self._stock, self._target, self._copies = stock, target, copies

    def part(self, animal: str) -> str:
        """A sentence."""
        said = list(self._only(animal))
        shows, sure, open_ = self._genes(animal)
        told = " ".join(said)
        for verb, names in (("shows", shows), ("carries", sure)):
            names = [name for name in names if name not in told]
            if names:
                said.append(f"{verb} {listed(names)}")
        if open_:
            said.append(f"{listed(open_)} to be proven")
        share = _share(self._stock, animal, self._target)
        if share is not None and share >= self._target.share > 0:
            said.append(f"brings {self._target.line}")
        elif share is not None and share < _LITTLE and said:
            said.append(f"none of {self._target.line}")
        text = "; ".join(said) or "carries none of it for sure"
        return f"{text[0].upper()}{text[1:]}."

    def _genes(self, animal: str) -> tuple[list[str], list[str], list[str]]:
        """Genes that it shows, that it carries unseen for sure, and that it may carry."""
        shows: list[str] = []
        sure: list[str] = []
        open_: list[str] = []
        for gene, (none, _, two) in zip(self._target.genes, self._copies[animal], strict=True):
            if gene.copies and none <= 1 - _SURE:
                is_seen = not gene.is_hidden or two >= _SURE
                (shows if is_seen else sure).append(gene.name)
            elif gene.copies and none < 1 - _FEW:
                open_.append(gene.name)
        return shows, sure, open_

    def _only(self, animal: str) -> Iterator[str]:
        """Genes of which it is the only one of its sex that shows two copies, or carries any for sure."""
        sex = self._stock.sexes[self._stock.index(animal)]
        mates = [one for one, other in zip(self._stock.animals, self._stock.sexes, strict=True) if other is sex]
        for at, gene in enumerate(self._target.genes):
            if gene.copies == 0:
                continue
            part = 2 if gene.is_hidden and gene.copies == 2 else None
            holds = [one for one in mates if _holds(self._copies[one][at], part)]
            if holds == [animal]:
                yield f"The only {sex} that {'shows' if part or not gene.is_hidden else 'carries'} {gene.name}"


def _holds(odds: tuple[float, float, float], part: int | None) -> bool:
    return odds[2] >= _SURE if part == 2 else odds[0] <= 1 - _SURE
