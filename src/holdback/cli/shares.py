"""`holdback shares`: how much of a line runs in animals."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.output import chance_in_percent, print_json, print_wrapped
from holdback.cli.sources import answers_from

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from holdback.answers import Answers
    from holdback.answers.descent import LineReport, LineShare


def run(arguments: argparse.Namespace) -> int:
    """Print the shares of animals in the lines of the collection."""
    from holdback.answers.descent.as_json import shares_as_json, shares_asked

    above: float | None = arguments.above
    answers = answers_from(arguments.folder)
    found = shares_asked(answers, arguments.animals, line=arguments.line, above=above)
    if arguments.json:
        report = {"line": _report(answers, arguments).as_json()} if _is_of_line(arguments) else {}
        print_json(shares_as_json(found, above) | report)
    else:
        lines = dict.fromkeys(one.line for shares in found.values() for one in shares)
        _print(answers, found, list(lines), above, is_all=not arguments.animals)
        if _is_of_line(arguments):
            _print_report(answers, _report(answers, arguments))
    return 0


def _is_of_line(arguments: argparse.Namespace) -> bool:
    """Whether a line is asked about, and no animal."""
    return bool(arguments.line) and not arguments.animals


def _report(answers: Answers, arguments: argparse.Namespace) -> LineReport:
    """What there is to say of the line asked about."""
    return answers.descent.line(answers.descent.line_named(arguments.line))


def _print_report(answers: Answers, report: LineReport) -> None:
    """Print what is left of each founder, and which pairs would help."""
    from holdback.answers.descent.names import listed, named, percent

    def name(animal: str) -> str:
        return named(answers.collection, animal)

    print("\nFounders")
    for one in report.founders:
        through = listed([name(young) for young in one.through]) or "nobody here"
        print_wrapped(
            f"{name(one.animal)}: {percent(one.standing.contribution)} of the carriers; without it "
            f"{percent(one.standing.retained)} of its genes are left here, through {through}.",
            indent="  ",
        )
    if report.top and report.missing:
        best = listed([name(one) for one in report.top[:3]])
        print_wrapped(
            f"{best}, with the most of the line, carry nothing of {listed([name(one) for one in report.missing])}."
        )
    print("\nPairs that give the most, young at most as inbred as those of half sibs; looks, health and age are yours")
    for pair in report.pairs:
        print(
            f"  {percent(pair.share):>7}  inbred {percent(pair.inbreeding):>6}  {name(pair.sire)} with {name(pair.dam)}"
        )
    if not report.pairs:
        print("  none")


def _print(
    answers: Answers,
    found: Mapping[str, Sequence[LineShare]],
    lines: Sequence[str],
    above: float | None,
    *,
    is_all: bool,
) -> None:
    """Print shares for a person: in full where animals are named, else one line for each carrier."""
    from holdback.answers.descent.names import named, percent

    if not lines:
        print_wrapped("No claim names a line. Say of a founder how much of a line it is (lines.csv, or on its page).")
        return
    for line in lines:
        shares = sorted((one for each in found.values() for one in each if one.line == line), key=lambda one: -one.mean)
        print(f"{line}: {sum(one.mean > 0 for one in shares)} of {len(shares)} animals carry some by descent or claim")
        for one in shares:
            if is_all and one.mean == 0:
                continue
            chance = (
                "" if above is None else f"  over {percent(above)}: {chance_in_percent(one.distribution.above(above))}"
            )
            print(
                f"  {percent(one.mean):>7}  {percent(one.low):>7} to {percent(one.high):<7}  {one.basis:<10}  "
                f"{named(answers.collection, one.animal)}{chance}"
            )
            if not is_all:
                print_wrapped(one.ground, indent="           ")
                if one.unknown > 0:
                    print_wrapped(
                        f"Of {percent(one.unknown)} of the ancestry no claim speaks: by records alone it is at least "
                        f"{percent(one.bound_low)} and at most {percent(one.bound_high)}.",
                        indent="           ",
                    )
        print()
    print_wrapped(
        "The range holds the true share of nine animals in ten: which half of a parent's genome passed on is chance. "
        "No record measures it; one wrong parent moves it by up to half."
    )
