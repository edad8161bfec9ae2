"""Time the fixed cases and print them; see README.md.

Exit status is 1 only where a result is wrong: a slow machine is no fault.
"""

from __future__ import annotations

import argparse
import json
import platform
import sys
from collections.abc import Iterator
from dataclasses import asdict

import beliefs_cases
import blup_cases
import collection_cases
import decision_cases
import descent_cases
import gene_drop_cases
import generator
import listing_cases
import measuring
import page_cases
import plan_cases
import rehearsal_cases
import route_cases
import season_cases
import size_cases
import start_case


def cases(*, short: bool) -> Iterator[measuring.Measured]:
    """All cases, one after the other."""
    yield from start_case.run(runs=5 if short else 15)
    yield from listing_cases.run()
    yield from beliefs_cases.run(short=short)
    yield from collection_cases.run(short=short)
    yield from gene_drop_cases.run(short=short)
    yield from page_cases.run(short=short)
    yield from descent_cases.run(short=short)
    yield from size_cases.run(short=short)
    yield from season_cases.run(short=short)
    yield from blup_cases.run(short=short)
    yield from decision_cases.run(short=short)
    yield from route_cases.run(short=short)
    yield from rehearsal_cases.run(short=short)
    yield from plan_cases.run(short=short)


def line(found: measuring.Measured) -> str:
    """One case for a person."""
    text = f"{found.case:<4} {found.what:<58} {_ms(found.seconds)} ({_ms(found.spread[0])} to {_ms(found.spread[1])})"
    if found.ratio is not None and found.ratio_spread is not None:
        text += f"  peer / own {found.ratio:.3g} ({found.ratio_spread[0]:.3g} to {found.ratio_spread[1]:.3g})"
    if found.limit is not None:
        text += f"  limit {_ms(found.limit)}: {'kept' if found.seconds <= found.limit else 'not kept here'}"
    return text + "".join(f"  {name} {value:.3g}" for name, value in found.notes.items())


def _ms(seconds: float) -> str:
    return f"{1000 * seconds:.3g} ms"


def main() -> int:
    """Exit status."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--short", action="store_true", help="fewer runs, and without the large herds")
    parser.add_argument("--json", action="store_true", help="one JSON object")
    arguments = parser.parse_args()
    found = []
    try:
        for case in cases(short=arguments.short):
            found.append(case)
            if not arguments.json:
                print(line(case), flush=True)
    except measuring.WrongError as wrong:
        print(f"Wrong result. {wrong}", file=sys.stderr)
        return 1
    if arguments.json:
        about = {"generator": generator.VERSION, "python": platform.python_version(), "machine": platform.machine()}
        print(json.dumps(about | {"cases": [asdict(case) for case in found]}, indent=2))
    return 0


if __name__ == "__main__":
    sys.exit(main())
