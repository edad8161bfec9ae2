"""`holdback line`: who of a line should breed in the next season, and how much."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped

if TYPE_CHECKING:
    from collections.abc import Mapping

    from holdback.answers.decisions.line_breeding import Breeder, LineBreeding


def run(arguments: argparse.Namespace) -> int:
    """Print the clutches, what inbreeding buys, and what it rests on."""
    from holdback.answers.decisions.contributing import LineWish
    from holdback.cli.goal_asked import decisions_asked

    decisions = decisions_asked(arguments)
    wish = LineWish(
        share=arguments.share,
        rate=arguments.rate,
        clutches=arguments.clutches,
        inbreeding_at_most=arguments.inbreeding,
    )
    found = decisions.contributions(arguments.line, wish)
    if arguments.json:
        print_json(found.as_json())
    else:
        _print(found, decisions.stock.names)
    return 0


def _print(found: LineBreeding, names: Mapping[str, str]) -> None:
    """Print for a person."""
    from holdback.answers.decisions.line_breeding_words import what_comes, what_it_costs, who_breeds, why_these

    print(f"{found.line}, season {found.year}: {found.clutches} clutches, {found.n_taking_part} animals take part")
    print_wrapped(who_breeds(found, names))
    print_wrapped(what_comes(found))
    for said in why_these(found, names):
        print_wrapped(said)
    print()
    for pair in found.pairs:
        size = "" if pair.size is None else f"  size {pair.size.mean:+.0f} %"
        print(
            f"  {names[pair.sire]} with {names[pair.dam]}: line {100 * pair.share:.1f} %{size}  "
            f"inbred {100 * pair.inbreeding:.1f} %  lays {100 * pair.lays:.0f} in 100"
        )
        for caution in pair.cautions:
            print_wrapped(caution, indent="    ")
    print("\nAll that can breed")
    for one in found.breeders:
        print(f"  {_breeder(one, names)}")
    if found.waiting:
        print("\nNot this season")
    for animal, why in found.waiting:
        print_wrapped(f"{names[animal]}: {why}", indent="  ")
    costs = what_it_costs(found)
    if costs:
        print("\nSize against inbreeding, as if clutches could be split")
    for said in costs:
        print_wrapped(said, indent="  ")
    print()
    for note in found.notes:
        print_wrapped(note)


def _breeder(one: Breeder, names: Mapping[str, str]) -> str:
    size = "" if one.size is None else f"size {one.size.mean:+4.0f} %  "
    clutches = f"{one.clutches} of {one.clutches_at_most}"
    return f"{clutches:>7}  line {100 * one.share:3.0f} %  {size}akin {100 * one.kinship:4.1f} %  {names[one.animal]}"
