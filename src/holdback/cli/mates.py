"""`holdback mates`: every possible mate of an animal, the best first, with the reasons."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.goal_asked import goal_asked
from holdback.cli.output import print_json, print_wrapped
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions import Decisions
    from holdback.decisions.mates import Mate


def run(arguments: argparse.Namespace) -> int:
    """Print the mates."""
    from holdback.answers.decisions.as_json import mates_as_json

    decisions, key = goal_asked(arguments)
    animal = decisions.answers.find(arguments.animal)
    if animal is None:
        what = f"There is no animal {arguments.animal.strip()!r}."
        raise DecisionError(Fault("DEC-020", what, "Give an id, or a name on record.", value=arguments.animal))
    found = decisions.mates(animal.id, key=key, year=arguments.year)
    if arguments.json:
        answer = mates_as_json(animal.id, found)
        answer["missing"] = [one.text for one in decisions.missing_mates(animal.id, key=key, year=arguments.year)]
        print_json(answer)
        return 0
    _print(decisions, key, animal.id, found, arguments)
    return 0


def _print(decisions: Decisions, key: str, animal: str, found: tuple[Mate, ...], arguments: argparse.Namespace) -> None:
    names, goal = decisions.stock.names, decisions.goals[key]
    print(f"Mates for {names[animal]}: {goal.name}, season {arguments.year or decisions.open_year}")
    print()
    free = [one for one in found if not one.blocked]
    for one in free[: arguments.top]:
        chance = one.at_least_one.mean
        print(f"{names[one.mate]}: {chance:.0f} in 100 this season, {100 * one.score:.0f} in 100 in all")
        for reason in (*one.reasons, *one.hidden, *(caution.message for caution in one.cautions)):
            print_wrapped(f"- {reason}", indent="  ")
        print()
    if len(free) > arguments.top:
        print(f"{len(free) - arguments.top} more can be paired.")
    barred = [one for one in found if one.blocked]
    if barred:
        print(f"{len(barred)} cannot be paired{':' if arguments.all else '; --all says why.'}")
    for one in barred if arguments.all else []:
        print_wrapped(f"{names[one.mate]}: {one.blocked}", indent="  ")
    missing = decisions.missing_mates(animal, key=key, year=arguments.year)
    if missing:
        print()
        print("Better than these, and not here:")
    for each in missing:
        print_wrapped(f"- {each.text}", indent="  ")
