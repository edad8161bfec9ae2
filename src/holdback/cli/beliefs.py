"""`holdback beliefs`: what animals carry by all records, and why."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from holdback.answers.carried import CarriedGene, beliefs_as_json, carried, grounds_of_genes
from holdback.cli.output import chance_in_percent, print_conflicts, print_json, print_wrapped
from holdback.cli.sources import answers_from

if TYPE_CHECKING:
    from holdback.answers import Answers

_ALL_BUT_SURE = 0.995


def run(arguments: argparse.Namespace) -> int:
    """Print what animals carry; all of them in short where none is named."""
    answers = answers_from(arguments.folder)
    answer = beliefs_as_json(answers, arguments.animals, why=arguments.why, conflicts=not arguments.no_conflicts)
    if arguments.json:
        print_json(answer)
        return 0
    is_long = bool(arguments.animals) or arguments.why
    for animal in answer["animals"]:
        if is_long:
            _print_animal(answers, animal)
        else:
            _print_short(answers, animal)
    _print_end(answer, n_asked=len(arguments.animals))
    return 0


def _print_animal(answers: Answers, animal: str) -> None:
    """Print a table of one animal, a reason below each gene."""
    record = answers.collection.animals[animal]
    print(f"{f'{record.name} {record.id}'.strip()}, {record.sex}")
    found = list(grounds_of_genes(answers, animal))
    if not found:
        print("  Nothing on record speaks for any gene.")
    else:
        print(f"  {'copies':<28}{'none':>12}{'one':>12}{'two':>12}  known")
    for gene, reason in found:
        chances = "".join(f"{chance_in_percent(chance):>12}" for chance in gene.copies)
        print(f"  {gene.name:<28}{chances}  {reason.basis}")
        print_wrapped(reason.sentence, indent="      ")
    print()


def _print_short(answers: Answers, animal: str) -> None:
    """Print one line on an animal."""
    record = answers.collection.animals[animal]
    genes = "; ".join(_in_short(gene) for gene in carried(answers, animal))
    print_wrapped(f"{f'{record.id} {record.name}'.strip()}: {genes or 'nothing on record'}")


def _in_short(gene: CarriedGene) -> str:
    """A gene with its copies where they are all but sure, else with the chance of carrying it."""
    if gene.copies[2] > _ALL_BUT_SURE:
        return f"{gene.name}, two copies"
    if gene.copies[1] > _ALL_BUT_SURE:
        return f"{gene.name}, one copy"
    if gene.chance > _ALL_BUT_SURE:
        likelier, number = max((gene.copies[1], "one copy"), (gene.copies[2], "two copies"))
        return f"{gene.name}, {number} {chance_in_percent(likelier)}"
    return f"{gene.name} {chance_in_percent(gene.chance)}"


def _print_end(answer: dict[str, Any], *, n_asked: int) -> None:
    """Print what does not fit, and what the numbers rest on."""
    if answer["conflicts"]:
        print_conflicts(answer["conflicts"])
        print()
    error = answer["standard_error"]
    certainty = (
        "Exact under the model." if answer["exact"] else f"Sampled; standard error of a chance up to {error:.2g}."
    )
    print_wrapped(
        "By all records together: looks, claims, parents, kin and young. Errors of records, trust in claims and how "
        f"common each gene is are assumed, as the species file says. {certainty}"
    )
    if not n_asked:
        print("'holdback beliefs ANIMAL' says why.")
