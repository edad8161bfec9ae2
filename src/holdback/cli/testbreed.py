"""`holdback test-breed`: which mate would tell whether an animal carries a gene."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.answers.proof import carrier_advice
from holdback.cli.output import chance_in_percent, print_json, print_wrapped
from holdback.cli.sources import answers_from

if TYPE_CHECKING:
    from holdback.answers.proof import CarrierAdvice


def run(arguments: argparse.Namespace) -> int:
    """Print the most telling mates of the collection."""
    answers = answers_from(arguments.folder)
    found = carrier_advice(
        answers,
        arguments.animal,
        arguments.gene,
        eggs=arguments.eggs,
        below=arguments.below,
        top=arguments.top,
    )
    if arguments.json:
        print_json(found.as_json())
    else:
        _print(found)
    return 0


def _print(found: CarrierAdvice) -> None:
    """Print the advice for a person."""
    animal = f"{found.animal.name} {found.animal.id}".strip()
    carries = found.copies[1] + found.copies[2]
    print(f"{animal} carries {found.gene.name} with {chance_in_percent(carries)}, by all records.\n")
    if not found.tests.mates:
        print("No mate of the collection could tell.")
    for mate in found.tests.mates:
        print_wrapped(f"- {mate.sentence}", indent="  ")
    if found.n_mates > len(found.tests.mates):
        print(f"  {found.n_mates} mates could tell something; --top lists more.")
    print()
    for sentence in (found.tests.basis, *found.notes):
        print_wrapped(sentence, indent="  ")
