"""`holdback prove`: how the look of an odd animal is passed on."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.answers.proof import odd_proof
from holdback.cli.output import chance_in_percent, print_json, print_wrapped
from holdback.cli.sources import answers_from

if TYPE_CHECKING:
    from holdback.answers.proof import OddProof


def run(arguments: argparse.Namespace) -> int:
    """Print what the young tell, and the most telling pairings."""
    answers = answers_from(arguments.folder)
    found = odd_proof(answers, arguments.animal, arguments.shown, arguments.stronger, eggs=arguments.eggs)
    if arguments.json:
        print_json(found.as_json())
    else:
        _print(found)
    return 0


def _print(found: OddProof) -> None:
    """Print the verdict for a person."""
    verdict = found.verdict
    print_wrapped(verdict.sentence)
    print(f"\n  {'before':>12}{'now':>14}  passed on as")
    for mode, chance in verdict.ranked:
        print(f"  {chance_in_percent(verdict.prior[mode]):>12}{chance_in_percent(chance):>14}  {mode}")
    for caution in verdict.cautions:
        print()
        print_wrapped(caution)
    print("\nWhat to pair next, the most telling first:")
    for one in found.pairings.pairings:
        print_wrapped(f"- {one.sentence}", indent="  ")
    print()
    for sentence in (*verdict.basis, found.pairings.basis):
        print_wrapped(sentence, indent="  ")
