"""`holdback check`: everything in the records that cannot be, or does not fit together."""

from __future__ import annotations

import argparse
from typing import Any

from holdback.answers.checking import checked
from holdback.cli.output import print_conflicts, print_json, print_wrapped
from holdback.cli.sources import answers_from


def run(arguments: argparse.Namespace) -> int:
    """Print faults, gene texts not fully read, and records that do not fit; status 1 if a fault was found."""
    answer = checked(lambda: answers_from(arguments.folder), conflicts=not arguments.no_conflicts)
    if arguments.json:
        print_json(answer)
    else:
        _print(answer)
    return 1 if answer["problems"] or (arguments.strict and answer["conflicts"]) else 0


def _print(answer: dict[str, Any]) -> None:
    """Print the outcome of a check for a person."""
    if answer["counts"]:
        print(", ".join(f"{count} {kind}" for kind, count in answer["counts"].items()))
    for fault in answer["problems"]:
        where = ", ".join(part for part in (fault["file"], f"line {fault['line']}" if fault["line"] else "") if part)
        print_wrapped(f"{fault['code']} {where}: {fault['message']} {fault['hint']}")
    for doubt in answer["doubts"]:
        print_wrapped(f"{doubt['animal']}: {doubt['message']} ({doubt['code']})")
    print_conflicts(answer["conflicts"] or [])
    print()
    for sentence in _summary(answer):
        print(sentence)


def _summary(answer: dict[str, Any]) -> list[str]:
    """What was found, in a sentence or two."""
    if answer["problems"]:
        return [f"{_count(len(answer['problems']), 'fault')}; mend them and check again."]
    found = ["No fault."]
    if answer["doubts"]:
        found.append(f"{_count(len(answer['doubts']), 'gene text')} to look at.")
    if answer["conflicts"] is None:
        found.append("Whether the records fit together was not asked.")
    elif answer["conflicts"]:
        found.append(
            f"{_count(len(answer['conflicts']), 'place')} where records do not fit together: questions to you, not "
            "faults; chances by all records."
        )
    else:
        found.append("All records fit together.")
    return found


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
