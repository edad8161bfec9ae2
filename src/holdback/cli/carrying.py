"""`holdback backcross --gene --line`: how to carry a gene into a line with the animals at hand."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped

if TYPE_CHECKING:
    from holdback.decisions.backcross_result import BackcrossPlan, BackcrossWay, Generation


def run(arguments: argparse.Namespace) -> int:
    """Print the plan."""
    from holdback.answers.decisions.line_plans import backcross_as_json, carried_into_line
    from holdback.cli.goal_asked import decisions_asked

    decisions = decisions_asked(arguments)
    plan = carried_into_line(
        decisions,
        arguments.gene,
        arguments.line,
        backcrosses=arguments.generations,
        inbreeding_at_most=0.125 if arguments.inbreeding is None else arguments.inbreeding,
        accepted=frozenset(arguments.accept),
    )
    if arguments.json:
        print_json(backcross_as_json(plan))
    else:
        _print(plan, decisions.stock.names.get(plan.donor, plan.donor), arguments.gene)
    return 0


def _print(plan: BackcrossPlan, donor: str, gene: str) -> None:
    """Print the way proposed in full, and the others in a line each."""
    first, *others = plan.ways
    print(f"{gene} into {plan.line}, brought by {donor}")
    print_wrapped(f"{_named(first)}.")
    for one in first.made:
        print()
        print(f"{one.year}  {_numbers(one)}")
        print_wrapped(one.said, indent="   ")
        print_wrapped(_eggs(one), indent="   ")
    print()
    for note in (*first.notes, *plan.notes):
        print_wrapped(note)
    if others:
        print("\nOther ways")
    for way in others:
        print_wrapped(f"{_named(way)}: {way.goal.year}, {_numbers(way.goal)}, {way.eggs_95:.0f} eggs.", indent="  ")


def _named(way: BackcrossWay) -> str:
    """Which way it is."""
    return f"Through {'sons' if way.through == 'male' else 'daughters'}; {way.handling}"


def _numbers(one: Generation) -> str:
    """Share, size and inbreeding of the young."""
    share = f"line {100 * one.share.mean:.1f} % ({100 * one.share.low:.0f} to {100 * one.share.high:.0f})"
    size = "size not known"
    if one.size is not None:
        size = f"size {one.size.mean:+.0f} % ({one.size.low:+.0f} to {one.size.high:+.0f}, {one.size.basis})"
    return f"{share}, {size}, inbred {100 * one.inbreeding:.1f} %"


def _eggs(one: Generation) -> str:
    """Chance of the first season, eggs, and the mean wait."""
    wait = "" if one.expected_year is None else f" With the mean wait it is {one.expected_year:.0f}."
    return f"{100 * one.chance:.0f} in 100 in the first season; about {one.eggs_95:.0f} eggs for 95 in 100.{wait}"
