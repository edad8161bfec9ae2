"""`holdback odds`: what a pair gives."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from holdback.cli.output import print_json, print_wrapped
from holdback.cli.sources import answers_for
from holdback.heredity.frequency import in_words

if TYPE_CHECKING:
    from holdback.answers import PairOdds
    from holdback.species.catalogue import Catalogue


def run(arguments: argparse.Namespace) -> int:
    """Print the odds of a pair."""
    answers = answers_for(arguments.folder, [arguments.sire, arguments.dam])
    pair_odds = answers.odds(
        arguments.sire,
        arguments.dam,
        want=arguments.want,
        eggs=arguments.eggs,
        hatch_rate=arguments.hatch_rate,
        top=arguments.top,
    )
    if arguments.json:
        print_json(pair_odds.as_json(answers.catalogue))
    else:
        print_pair(pair_odds, answers.catalogue)
    return 0


def print_pair(pair_odds: PairOdds, catalogue: Catalogue) -> None:
    """Print the odds of a pair for a person: looks, wish, cautions, what was assumed."""
    answer = pair_odds.as_json(catalogue)
    print(f"{pair_odds.sire.label} with {pair_odds.dam.label}, per egg\n")
    for outcome in answer["outcomes"]:
        _print_outcome(outcome)
    left = 1.0 - answer["listed"] - answer["lost"]
    if answer["lost"] > 1e-12:
        print(f"  {_percent(answer['lost'])}  {'lost in the egg':<40}  {in_words(answer['lost'])}")
    if left > 1e-9:
        print(f"  {_percent(left)}  {'other looks, not listed':<40}  {in_words(left)}")
    if answer["want"]:
        _print_wish(answer["want"], pair_odds)
    for caution in answer["cautions"]:
        print()
        print_wrapped(f"[{caution['level']}] {caution['message']}")
    print()
    for assumption in answer["assumptions"]:
        print_wrapped(assumption, indent="  ")
    print("  " + ("Exact under these assumptions." if answer["exact"] else "Not exact; the error is stated."))


def _print_outcome(outcome: dict[str, Any]) -> None:
    """Print one look with its odds and what it hides."""
    label = outcome["label"] + (f", {outcome['sex']}" if outcome.get("sex") in {"male", "female"} else "")
    print(f"  {_percent(outcome['probability'])}  {label:<40}  {in_words(outcome['probability'])}")
    for hidden in outcome["hidden"]:
        print(f"{'':12}{_hidden(hidden['gene'], hidden['chance'])}")


def _hidden(gene: str, chance: float) -> str:
    """What a look hides: every young of it carries the gene, or some may."""
    return f"carries {gene} unseen" if chance >= 0.995 else f"may carry {gene} unseen: {in_words(chance, of='')}"


def _print_wish(want: dict[str, Any], pair_odds: PairOdds) -> None:
    """Print the odds of the wish."""
    text = pair_odds.wish.text if pair_odds.wish else ""
    print(f"\nWanted: {text}")
    print(f"  {_percent(want['per_egg'])}  per egg, {in_words(want['per_egg'])}")
    print(f"  {_percent(want['at_least_one'])}  at least one in this clutch")
    for level, count in want["eggs_for"].items():
        print(f"  {count if count is not None else 'none will do':>8}  eggs for a {level} % chance of one")
    if want.get("either_or"):
        print_wrapped(str(want["either_or"]), indent="  ")


def _percent(share: float) -> str:
    """Percent to one decimal, right-aligned."""
    return f"{100 * share:6.1f} %"
