"""`holdback kin`: how related two animals are, or how inbred everybody is."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from holdback.cli.output import print_json, print_wrapped
from holdback.cli.sources import answers_from

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.descent import YoungDescent

CAUTION = (
    "Animals of which nothing is recorded count as unrelated, so these are the least that the pedigree allows: an "
    "animal may be more inbred than its papers. Ask a reptile vet where young are weak or deformed."
)


def run(arguments: argparse.Namespace) -> int:
    """Print relatedness."""
    from holdback.answers.descent.as_json import everybody_as_json, pair_asked

    answers = answers_from(arguments.folder)
    asked = pair_asked(answers, arguments.animals)
    if asked:
        found = answers.descent.young(*asked)
        if arguments.json:
            print_json(found.as_json())
        else:
            _print_pair(answers, found)
        return 0
    answer = everybody_as_json(answers)
    if arguments.json:
        print_json(answer)
    else:
        _print_all(answers, answer)
    return 0


def _print_pair(answers: Answers, found: YoungDescent) -> None:
    """Print two animals for a person."""
    from holdback.answers.descent.names import named, percent

    collection = answers.collection
    print(f"{named(collection, found.sire)} and {named(collection, found.dam)}")
    print(f"  kinship                  {found.kinship:.4f}")
    print(f"  inbreeding of the young  {percent(found.inbreeding)}")
    for ancestor, cost in found.common_ancestors():
        print(f"    through {named(collection, ancestor)}: {percent(cost)}")
    if found.paths.note:
        print_wrapped(found.paths.note, indent="    ")
    elif found.paths.rest > 1e-9:
        print(f"    over ways not listed: {percent(found.paths.rest)}")
    for case in found.cases:
        print_wrapped(
            f"if {named(collection, case.sire)} sired {case.brood} (chance {percent(case.chance)}): "
            f"{percent(case.inbreeding)}",
            indent="    ",
        )
    for share in found.shares:
        print_wrapped(
            f"{share.line} in the young: {percent(share.mean)}, 90 % of them between {percent(share.low)} and "
            f"{percent(share.high)}; {share.basis}. {share.ground}",
            indent="  ",
        )
    print_wrapped(CAUTION)


def _print_all(answers: Answers, answer: dict[str, Any]) -> None:
    """Print everybody for a person: the inbred, and the founders by their part in the animals that are here."""
    from holdback.answers.descent.names import named, percent

    inbred = [(one["inbreeding"], animal) for animal, one in answer["animals"].items() if one["inbreeding"] > 0]
    print(f"{len(answer['animals'])} animals, {len(inbred)} of them inbred by the pedigree")
    for value, animal in sorted(inbred, key=lambda one: (-one[0], one[1])):
        print(f"  {percent(value):>8}  {named(answers.collection, animal)}")
    print("\nFounders of the animals that are here, by their part in all ancestry")
    for animal, part in answer["founders"].items():
        print(f"  {percent(part):>8}  {named(answers.collection, animal)}")
    print()
    print_wrapped(CAUTION)
