"""Draw herds, infer, and see whether what is said with a chance is true that often.

    python -m verification.run           the short form, which `dev.py verify` runs
    python -m verification.run --full    many herds, tables, and the page of the documentation written again

Exit status is 1 where a chance is further from the truth than chance allows.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from verification.calibration import Said, bias, bins, by_group, by_kind, statements, surprise
from verification.conflicts import found_in
from verification.herds import herd
from verification.size_faults import faults as size_faults
from verification.size_scenarios import BASE
from verification.size_told import Scored

from verification import decisions, seasons, shares, size_tables, sizes, tables

PAGE = Path(__file__).parent.parent / "docs" / "explanation" / "calibration.md"
SEED = 20260
ALL_RIGHT = "Everything judged is as right as chance allows."
ANIMALS = 120
SHORT, FULL = 60, 400
"""Herds."""
BOUND = 4.0
"""Standard errors: with about two hundred numbers judged, one is beyond it by chance in one run of eighty."""
WRONG_SIRES = 0.01
CONFLICT_HERDS = 24
"""Herds in which wrong sires are looked for."""
WORKERS = 2
"""Processes for sizes."""
SHORT_COLLECTIONS, FULL_COLLECTIONS, SHARE_ANIMALS = 3, 24, 140
"""Collections whose shares of a line are held against the truth, and the animals of each."""


def drawn(herds: int, *, wrong_sires: float = 0.0, seed: int = SEED) -> Iterator[Said]:
    """Everything that is said of some herds.

    Parameters
    ----------
    herds : int
        How many.
    wrong_sires : float
        Share of recorded sires that are wrong without a hint; inference is not told of it.
    seed : int
        Of all random numbers.
    """
    for number, one in enumerate(np.random.SeedSequence(seed).spawn(herds)):
        yield from statements(herd(one, ANIMALS, wrong_sires=wrong_sires), f"herd {number}")


def faults(said: Sequence[Said]) -> list[str]:
    """What is further from the truth than `BOUND` allows, one line each."""
    found = [
        f"{one.kind}, {one.low:.0%} to {one.high:.0%}: said {one.said:.4f}, true {one.true:.4f}, {one.z:+.1f} errors"
        for one in bins(said)
        if one.is_judged and abs(one.z) > BOUND
    ]
    groups = {(kind, "all"): each for kind, each in by_kind(said).items()} | by_group(said)
    for (kind, group), each in groups.items():
        if abs(bias(each)) > BOUND:
            found.append(f"{kind}, {group}: true {bias(each):+.1f} errors more often than said")
        if abs(surprise(each)) > BOUND:
            found.append(f"{kind}, {group}: what is so is {surprise(each):+.1f} errors likelier than expected")
    return found


def of_sizes(*, full: bool) -> Sequence[Scored]:
    """What is said of sizes in the world as assumed; the full form writes the tables of every world."""
    if not full:
        return sizes.drawn(BASE, sizes.SHORT, SEED + 4, workers=WORKERS)
    found = sizes.all_drawn(SEED + 4, workers=WORKERS)
    as_assumed = found[BASE.name]
    tables.put(PAGE, "sizes", "\n\n".join(size_tables.whole(as_assumed)))
    tables.put(PAGE, "worlds of sizes", size_tables.worlds(found))
    return as_assumed


def of_seasons(*, full: bool) -> list[str]:
    """What is wrong with what is foretold of seasons; the full form writes its tables."""
    said = seasons.drawn(seasons.FULL if full else seasons.SHORT, SEED + 7)
    found = {"windows of seasons": seasons.windows_table(said), "chances of laying": seasons.chances_table(said)}
    for name, table in found.items():
        print(table)
        if full:
            tables.put(PAGE, name, table)
    return seasons.faults(said)


def of_decisions(*, full: bool) -> list[str]:
    """What is wrong with the chances of routes; the full form writes its table."""
    if full:
        said = decisions.drawn(decisions.FULL, SEED + 9, runs=decisions.FULL_RUNS)
    else:
        said = decisions.drawn(decisions.SHORT, SEED + 9)
    table = f"{tables.summary(said)}\n\n{tables.table(said)}"
    print(table)
    if full:
        tables.put(PAGE, "routes followed", table)
    return decisions.faults(said)


def main() -> int:
    """Exit status."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--full", action="store_true", help=f"{FULL} herds, and write the tables of the documentation")
    parser.add_argument("--only-sizes", action="store_true", help="nothing but sizes")
    parser.add_argument("--only-seasons", action="store_true", help="nothing but the working year")
    parser.add_argument("--only-decisions", action="store_true", help="nothing but routes followed to their goals")
    asked = parser.parse_args()
    wrong = [] if asked.only_sizes or asked.only_decisions else of_seasons(full=asked.full)
    wrong += [] if asked.only_sizes or asked.only_seasons else of_decisions(full=asked.full)
    if asked.only_seasons or asked.only_decisions:
        print("\n".join(wrong) or ALL_RIGHT)
        return 1 if wrong else 0
    wrong += [] if asked.only_sizes else of_chances(full=asked.full)
    found = of_sizes(full=asked.full)
    print("\n\n".join(size_tables.whole(found)))
    wrong += size_faults(found)
    print("\n".join(wrong) or ALL_RIGHT)
    return 1 if wrong else 0


def of_chances(*, full: bool) -> list[str]:
    """What is wrong with what is said of genes, sires and shares; the full form writes its tables."""
    said = list(drawn(FULL if full else SHORT))
    print(tables.summary(said))
    if full:
        found = {"matching": said, "wrong sires": list(drawn(FULL, wrong_sires=WRONG_SIRES, seed=SEED + 1))}
        for each in found.values():
            print(tables.table(each))
        tables.write(PAGE, found)
        print(found_in(CONFLICT_HERDS, SEED + 2))
    of_shares = shares.drawn(FULL_COLLECTIONS if full else SHORT_COLLECTIONS, SHARE_ANIMALS, SEED + 3)
    print(shares.table(of_shares))
    if full:
        tables.put(PAGE, "shares", shares.table(of_shares))
    return [*faults(said), *shares.faults(of_shares)]


if __name__ == "__main__":
    sys.exit(main())
