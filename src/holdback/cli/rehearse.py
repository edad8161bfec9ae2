"""`holdback rehearse`: a plan played forward many times."""

from __future__ import annotations

import argparse
import sys

from holdback.cli.goal_asked import goal_asked
from holdback.cli.output import print_json, print_wrapped
from holdback.cli.route import print_chances


def run(arguments: argparse.Namespace) -> int:
    """Print the chances by year."""
    decisions, key = goal_asked(arguments)
    shows = sys.stderr.isatty() and not arguments.json

    def tell(share: float) -> None:
        if shows:
            print(f"\r{100 * share:3.0f} %", end="", file=sys.stderr, flush=True)

    found = decisions.rehearsal(
        key,
        runs=arguments.runs,
        seed=arguments.seed,
        workers=arguments.workers,
        cluster=arguments.cluster,
        progress=tell,
    )
    if shows:
        print("\r     \r", end="", file=sys.stderr)
    if arguments.json:
        print_json(found.as_json())
        return 0
    print(decisions.goals[key].name)
    print_chances(found)
    for note in found.notes:
        print_wrapped(note)
    return 0
