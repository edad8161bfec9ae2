"""`holdback route`: the crosses that lead to a goal, season by season, and how likely they are."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.goal_asked import goal_asked
from holdback.cli.output import print_json, print_wrapped

if TYPE_CHECKING:
    from holdback.decisions.rehearsal import Rehearsal
    from holdback.decisions.steps import Plan, Side
    from holdback.decisions.stock import Stock


def run(arguments: argparse.Namespace) -> int:
    """Print the route with its rehearsal."""
    from holdback.answers.decisions.as_json import route_as_json

    decisions, key = goal_asked(arguments)
    plan = decisions.route(key)
    stock = decisions.stock_for(key)
    rehearsal = decisions.rehearsal(key, runs=arguments.runs, seed=arguments.seed)
    if arguments.json:
        print_json(route_as_json(stock, plan, rehearsal))
        return 0
    print(f"The way to {decisions.goals[key].name}")
    print()
    _print_steps(stock, plan)
    print()
    print_chances(rehearsal)
    for note in plan.notes:
        print_wrapped(note)
    return 0


def _print_steps(stock: Stock, plan: Plan) -> None:
    from holdback.decisions.kind_words import in_hundred, kind_words

    for step in plan.steps:
        year = stock.year + step.first_season
        print(f"{step.number + 1}. {year}  {_side(stock, step.sire)} with {_side(stock, step.dam)}")
        keep = "the goal" if step.is_goal else kind_words(step.keep, plan.target, is_bred=True)
        count = f", {step.count} of each" if step.count > 1 else ""
        print_wrapped(f"keep {keep}{count}: {in_hundred(step.per_season)} in the first season of trying", indent="   ")


def _side(stock: Stock, side: Side) -> str:
    from holdback.answers.descent.names import listed

    if side.step is not None:
        return f"the young of {side.step + 1}"
    return listed([stock.names.get(one, one) for one in side.animals])


def print_chances(found: Rehearsal) -> None:
    """Chance by year, years and eggs as rehearsed, and how the plan fails."""
    print(f"Rehearsed {found.runs:,} times (seed {found.seed}); give or take {200 * found.by_wished.se:.1f} points:")
    for year, chance in found.by_year.items():
        mark = "  <- your year" if year == found.year + found.wished else ""
        print(f"  by {year}  {100 * chance.mean:5.1f} in 100{mark}")
    last = found.year + len(found.reached_by_season) - 1
    middle = found.seasons.middle
    if middle >= len(found.reached_by_season):
        print(f"  fewer than half of the rehearsals are there by {last}")
    else:
        print(f"  half of the rehearsals are there in {found.year + middle:.0f}")
    for name, spread in (("eggs", found.eggs), ("young kept", found.kept)):
        print(f"  {name:<11} {spread.mean:.0f} ({spread.low:.0f} to {spread.high:.0f} in nine of ten)")
    reasons = list(found.failures.items())[:3]
    for reason, part in reasons:
        if part >= 0.005:
            print(f"  not there by {found.year + found.wished}: {reason}, {100 * part:.0f} in 100")
