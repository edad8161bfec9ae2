"""`holdback sires`: which candidate sired a clutch."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.output import chance_in_percent, print_json, print_wrapped
from holdback.cli.sources import answers_from
from holdback.collection.model import NO_SIRE
from holdback.descent.family import UNKNOWN_SIRE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from holdback.answers import Answers
    from holdback.answers.sires import ClutchSires
    from holdback.heredity.beliefs import SireOdds

_SETTLED = 0.99
_NO_NEWS = 0.005
_WORDS = {UNKNOWN_SIRE: "a male that is not on record", NO_SIRE: "no sire"}


def run(arguments: argparse.Namespace) -> int:
    """Print the candidates before and after the genes of the young speak."""
    answers = answers_from(arguments.folder)
    found = answers.sires(arguments.clutch, each_egg=arguments.each_egg)
    if arguments.json:
        print_json(found.as_json())
    else:
        _print(answers, found)
    return 0


def _print(answers: Answers, found: ClutchSires) -> None:
    """Print the candidates for a person."""
    clutch = answers.collection.clutches.get(found.clutch)
    number = len(found.by_young)
    dam = f", dam {_label(answers, clutch.dam)}" if clutch and clutch.dam else ""
    print(f"Clutch {found.clutch}{dam}, {number} young on record")
    if not found.candidates:
        print("No sire is recorded, and no mating that could stand for one.")
        return
    print(f"\n  {'before':>12}{'after':>14}  sire")
    for one in found.candidates:
        print(
            f"  {chance_in_percent(one.prior):>12}{chance_in_percent(one.posterior):>14}  {_label(answers, one.sire)}"
        )
    if found.each_egg:
        print("\nThat is the mean over the young. Each young by itself:")
        for young, candidates in found.by_young.items():
            best = max(candidates, key=lambda one: one.posterior)
            print_wrapped(f"{young}: {_label(answers, best.sire)}, {chance_in_percent(best.posterior)}", indent="  ")
    print()
    print_wrapped(_by_egg(answers, found) if found.each_egg and number else _verdict(answers, found.candidates, number))
    print_wrapped(
        "Before: the weights as recorded, or by the pairings of the dam, which is assumed. After: by the genes of the "
        "young and of all their kin, over every locus at once."
        + (" Every egg was let have a sire of its own." if found.each_egg else " The clutch is taken to have one sire.")
    )


def _verdict(answers: Answers, candidates: Sequence[SireOdds], number: int) -> str:
    """What it comes to, in one sentence."""
    best = max(candidates, key=lambda one: one.posterior)
    if len(candidates) == 1:
        return (
            f"Only {_label(answers, best.sire)} is on record as the sire, and no other was weighed here; "
            "'holdback check' says whether the young fit."
        )
    if not number:
        return "No young is on record, so nothing has spoken yet."
    if all(abs(one.posterior - one.prior) < _NO_NEWS for one in candidates):
        return "The genes of the young tell nothing between them."
    if best.sire == UNKNOWN_SIRE and best.posterior >= _SETTLED:
        return (
            "The young fit none of the candidates; 'holdback check' says whether another male on record fits, put to "
            "the dam or not."
        )
    if best.posterior >= _SETTLED:
        return f"The young point to {_label(answers, best.sire)}."
    likeliest = _label(answers, best.sire)
    return f"Not settled: {likeliest} is the likeliest. More young, or a shed test of them and the males, would tell."


def _by_egg(answers: Answers, found: ClutchSires) -> str:
    """How many young point to whom, in one sentence."""
    counts: dict[str, int] = {}
    for candidates in found.by_young.values():
        for one in candidates:
            if one.posterior >= _SETTLED:
                counts[one.sire] = counts.get(one.sire, 0) + 1
    parts = [f"{count} point to {_label(answers, sire)}" for sire, count in counts.items()]
    left = len(found.by_young) - sum(counts.values())
    parts += [f"{left} are not settled"] if left else []
    return f"Of {len(found.by_young)} young {', '.join(parts)}."


def _label(answers: Answers, sire: str) -> str:
    """Name and id of a sire."""
    record = answers.collection.animals.get(sire)
    return f"{record.name} {record.id}".strip() if record else _WORDS.get(sire, sire)
