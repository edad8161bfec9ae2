"""The way to a goal, step by step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.decisions.kind_words import in_hundred
from holdback.decisions.steps import Plan, Step
from holdback.decisions.stock import Stock
from holdback.web.pages.projects.drawing import way_drawing
from holdback.web.pages.projects.words import by_year, keep_said, side_said, spaced, young_said
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import percent


@dataclass(frozen=True, slots=True)
class StepShown:
    """One step: its year, the couple, what it is to bring and how likely that is."""

    year: int
    couple: SafeString
    said: str


@dataclass(frozen=True, slots=True)
class WayShown:
    """The way to a goal.

    Parameters
    ----------
    steps : tuple of StepShown
        In the order in which they are made.
    facts : tuple of str
        What the young of it will be: inbreeding, share.
    notes : tuple of str
        What to know of it.
    drawing : safe mark-up
        Crosses by year.
    """

    steps: tuple[StepShown, ...]
    facts: tuple[str, ...]
    notes: tuple[str, ...]
    drawing: SafeString


def way_shown(plan: Plan, names: Names, stock: Stock, parts: Mapping[str, str]) -> WayShown:
    """The way by its steps.

    Parameters
    ----------
    plan : Plan
        As searched.
    names : Names
        Of the animals.
    stock : Stock
        Animals at hand.
    parts : mapping of str to str
        What each animal of it brings, in a few words.
    """
    year, sexes = stock.year, dict(zip(stock.animals, stock.sexes, strict=True))
    return WayShown(
        tuple(_step(one, plan, names, year) for one in by_year(plan)),
        tuple(_facts(plan)),
        tuple(spaced(one) for one in plan.notes),
        way_drawing(plan, names, parts, sexes, year),
    )


def _step(step: Step, plan: Plan, names: Names, year: int) -> StepShown:
    sire = side_said(step.sire, plan, names)
    if step.sire.step is not None:
        sire = format_html("{}{}", sire[:1].upper(), sire[1:])
    couple = format_html("{} with {}", sire, side_said(step.dam, plan, names))
    what = keep_said(step, plan.target)
    said = (
        f"{young_said(step.per_hatchling)} {what}; {in_hundred(step.per_season)} for one or more in the first season."
    )
    said = f"{said[:1].upper()}{said[1:]}"
    if not step.is_goal:
        number = "one" if step.count == 1 else f"up to {step.count}"
        said += f" Hold back {number}."
    return StepShown(year + step.first_season, couple, spaced(said))


def _facts(plan: Plan) -> list[str]:
    target = plan.target
    line = f"{percent(plan.share)} {target.line} by pedigree, " if target.line else ""
    if plan.inbreeding < 0.0005:
        inbred = "not inbred"
    else:
        inbred = f"inbred {percent(plan.inbreeding)}"
    found = [f"Young of the goal are {line}{inbred}."]
    if plan.largest_inbreeding > plan.inbreeding + 0.0005:
        found.append(f"On the way young are inbred up to {percent(plan.largest_inbreeding)}.")
    return found
