"""Plans written by hand, for rehearsals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from tests.decisions.herd import herd

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.decisions.stock import Stock
from holdback.species.catalogue import load

Levels = Sequence[tuple[float, float]]

ANY, HET, VIS = (0.0, 0.0), (1.0, 0.0), (1.0, 1.0)
TWO_THIRDS = (2 / 3, 0.0)


def gene(key: str, copies: int = 2, *, is_hidden: bool = True) -> GoalGene:
    """Gene of a target by its allele key."""
    return GoalGene(load().alleles[key].locus, frozenset({key}), copies, key.title(), is_hidden, tells_two=True)


def kind(*levels: tuple[float, float], sex: Sex = Sex.UNKNOWN, share: float = 0.0) -> Kind:
    """Kind of these levels."""
    return Kind(tuple(levels), sex, share)


def at_hand(levels: Levels, *animals: str) -> Side:
    """Side of animals at hand."""
    return Side(kind(*levels), animals)


def bred(levels: Levels, step: int, share: float = 0.0) -> Side:
    """Side that a step breeds."""
    return Side(kind(*levels, share=share), (), step)


def step(number: int, sire: Side, dam: Side, keep: Kind, **more: Any) -> Step:
    """Step of a plan; what the search would know of it is left at nothing."""
    made = Step(number, sire, dam, keep, 1, 0, 0.0, 0.0, is_goal=False)
    return replace(made, **more)


def plan(target: Target, *steps: Step) -> Plan:
    """Plan of which the last step is the goal."""
    return Plan(target, (*steps[:-1], replace(steps[-1], is_goal=True)), (), 0.0, 0.0, 0.0, 0.0)


def double_visual(*, count: int = 1, dams: int = 1) -> tuple[Stock, Plan]:
    """Visual of one gene to visual of another, double hets, double visual."""
    genes = ("clown", "piebald")
    stock = herd(males=[("vis", "-")], females=[("-", "vis")] * dams, genes=genes)
    first = step(
        0,
        at_hand((VIS, ANY), "m0"),
        at_hand((ANY, VIS), *(f"f{number}" for number in range(dams))),
        kind(HET, HET),
        count=count,
    )
    second = step(1, bred((HET, HET), 0), bred((HET, HET), 0), kind(VIS, VIS))
    return stock, plan(Target(tuple(gene(name) for name in genes)), first, second)


def one_cross(sire: str, dams: Sequence[str]) -> tuple[Stock, Plan]:
    """One cross for a visual, levels of the sire and of each dam."""
    levels = {"-": ANY, "66": TWO_THIRDS, "het": HET, "vis": VIS}
    stock = herd(males=[(sire,)], females=[(dam,) for dam in dams], genes=("clown",))
    names = tuple(f"f{number}" for number in range(len(dams)))
    only = step(0, at_hand((levels[sire],), "m0"), at_hand((levels[dams[0]],), *names), kind(VIS))
    return stock, plan(Target((gene("clown"),)), only)
