"""`holdback keep`: which hatchlings to hold back."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped

if TYPE_CHECKING:
    from holdback.decisions.holdbacks import HoldBacks, Ranked

_NAMED = 4
"""Equals of a hatchling that are named."""


def run(arguments: argparse.Namespace) -> int:
    """Print hatchlings in order, those to hold back first."""
    from holdback.answers.decisions.hold_backs import Asked, hold_backs_of
    from holdback.cli.goal_asked import TYPED, decisions_asked, goal_asked
    from holdback.decisions.holdbacks import Keeping, as_json

    is_typed = bool(arguments.want.strip() or arguments.share.strip() or arguments.project)
    decisions, key = goal_asked(arguments) if is_typed else (decisions_asked(arguments), "")
    shows = sys.stderr.isatty() and not arguments.json

    def tell(share: float) -> None:
        if shows:
            print(f"\r{100 * share:3.0f} %", end="", file=sys.stderr, flush=True)

    keeping = Keeping(arguments.tubs, year_eggs=arguments.tub_eggs, year_money=arguments.tub_money)
    projects = (key,) if key and key != TYPED else ()
    found = hold_backs_of(
        decisions,
        Asked(tuple(arguments.clutches), keeping, projects, arguments.runs, arguments.seed),
        progress=tell,
    )
    if shows:
        print("\r     \r", end="", file=sys.stderr)
    if arguments.json:
        print_json(as_json(found))
    else:
        _print(found, arguments.sell)
    return 0


def _print(found: HoldBacks, sell: bool) -> None:
    for text in found.lede:
        print_wrapped(text)
    print()
    for row in found.hatchlings:
        if row.rank == len(found.kept) + 1:
            print("  " + "-" * 40)
        _print_row(row)
    for wait in found.waiting:
        print_wrapped(wait.text)
    for mind in found.mind:
        print_wrapped(f"{mind.head}. {mind.text}")
    if sell:
        print("\nWhat may be said of the others")
        for one in found.for_sale:
            print_wrapped(f"{one.animal}: {one.statement}. {' '.join(one.notes)}", indent="  ")
    print()
    for text in (found.proof, *found.assumptions):
        print_wrapped(text)


def _print_row(row: Ranked) -> None:
    sex = "sex not known" if row.sex == "unknown" else row.sex
    carries = f", may carry {row.carries}" if row.carries else ""
    print_wrapped(f"{row.rank}. {row.animal}, {sex}: {row.shows}{carries}")
    for text in row.reasons:
        print_wrapped(text, indent="   ")
    if row.equal_to and not row.is_kept and row.alone.low > 0:
        more = len(row.equal_to) - _NAMED
        names = [*row.equal_to[:_NAMED], *([f"{more} more"] if more > 0 else [])]
        print_wrapped(f"No better or worse beside those kept: {', '.join(names)}.", indent="   ")
