"""`holdback check`: everything in the records that cannot be."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from holdback.answers.checking import checked
from holdback.cli.output import print_json, print_wrapped
from holdback.cli.sources import collection_from, start_django
from holdback.species.catalogue import load

if TYPE_CHECKING:
    from holdback.collection.collection import Collection


def run(arguments: argparse.Namespace) -> int:
    """Print every fault and every gene text that is not fully read; status 1 if a fault was found."""
    answer = checked(lambda: _collection(arguments.folder), load())
    if arguments.json:
        print_json(answer)
    else:
        _print(answer)
    return 1 if answer["problems"] else 0


def _collection(folder: str | None) -> Collection:
    """Collection from a folder, or from the database."""
    if folder:
        return collection_from(folder)
    start_django()
    from holdback.bridge import collection_of_records

    return collection_of_records()


def _print(answer: dict[str, Any]) -> None:
    """Print the outcome of a check for a person."""
    if answer["counts"]:
        print(", ".join(f"{count} {kind}" for kind, count in answer["counts"].items()))
    for fault in answer["problems"]:
        where = ", ".join(part for part in (fault["file"], f"line {fault['line']}" if fault["line"] else "") if part)
        print_wrapped(f"{fault['code']} {where}: {fault['message']} {fault['hint']}")
    for doubt in answer["doubts"]:
        print_wrapped(f"{doubt['animal']}: {doubt['message']} ({doubt['code']})")
    if answer["problems"]:
        print(f"\n{len(answer['problems'])} faults; mend them and check again.")
    elif answer["doubts"]:
        print(f"\nNo fault. {len(answer['doubts'])} gene texts want a look.")
    else:
        print("No fault.")
