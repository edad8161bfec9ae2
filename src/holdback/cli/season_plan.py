"""`holdback season plan`: who goes with whom this season, for all projects at once."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.goal_asked import decisions_asked
from holdback.cli.output import print_json, print_wrapped
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions import Decisions
    from holdback.answers.decisions.season_input import Wish
    from holdback.decisions.season_plan import SeasonPlan


def run(arguments: argparse.Namespace) -> int:
    """Print the pairings, who is left out, and what the limits cost."""
    from holdback.answers.decisions.as_json import plan_as_json

    decisions = decisions_asked(arguments)
    if not decisions.goals:
        hint = "Start one on the page Projects, or give a folder with projects.csv."
        raise DecisionError(Fault("DEC-145", "No project is open, so there is nothing to plan for.", hint))
    year = arguments.year or decisions.open_year
    wish = _wish(decisions, arguments)
    plan = decisions.season_plan(year, wish)
    prices = decisions.prices(year, wish) if arguments.prices else ()
    if arguments.json:
        answer = plan_as_json(year, plan)
        answer["prices"] = [{"limit": one.limit, "gain": one.gain, "sentence": one.sentence} for one in prices]
        answer["without_plan"] = decisions.without_route
        print_json(answer)
        return 0
    _print(decisions, year, plan)
    for one in prices:
        print_wrapped(f"- {one.sentence}")
    return 0


def _wish(decisions: Decisions, arguments: argparse.Namespace) -> Wish:
    from holdback.answers.decisions.season_input import Wish
    from holdback.decisions.season_plan import Lock

    locks = []
    for text in arguments.lock:
        sire, sign, dam = text.partition(":")
        pair = [decisions.answers.find(one) for one in (sire, dam)]
        if not sign or pair[0] is None or pair[1] is None:
            hint = "Write the male and the female by id or name, as in 22-05:22-11."
            raise DecisionError(Fault("DEC-146", f"The pair {text!r} was not read.", hint, value=text))
        locks.append(Lock(pair[0].id, pair[1].id))
    return Wish(caution=0.0 if arguments.mean else None, reserve=arguments.reserve, locks=tuple(locks))


def _print(decisions: Decisions, year: int, plan: SeasonPlan) -> None:
    from holdback.answers.descent.names import listed

    names, goals = decisions.stock.names, decisions.goals
    proof = "proven best" if plan.optimal else f"within {100 * plan.gap:.2g} % of the best"
    print(f"Season {year}: {len(plan.pairings)} pairings, {proof}")
    print()
    for pair in plan.pairings:
        project = goals[pair.project].name if pair.project in goals else "no project"
        print(f"{names[pair.sire]} with {names[pair.dam]}, {project}")
        for reason in decisions.reasons(pair, year):
            print_wrapped(f"- {reason}", indent="  ")
    print()
    for key, why in decisions.without_route.items():
        print_wrapped(why if why.startswith(goals[key].name) else f"{goals[key].name}: {why}")
    by_reason: dict[str, list[str]] = {}
    for one in plan.left_out:
        by_reason.setdefault(f"{one.reason} {one.takes}".strip(), []).append(names[one.dam])
    for reason, dams in by_reason.items():
        print_wrapped(f"{listed(dams)}: {reason}")
    for note in plan.notes:
        print_wrapped(note)
