"""`holdback ideas`: what an animal should be bred to."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.ideas import IdeasFor
    from holdback.decisions.ideas import Holder, Idea

_GROUP_SHOWN = 6
"""Genes of one idea that are printed before the rest is only counted."""


def run(arguments: argparse.Namespace) -> int:
    """Print ideas for an animal."""
    from holdback.answers.ideas import ideas_for
    from holdback.decisions.ideas import Only

    only = Only.AT_HAND if arguments.at_hand else Only.OFFERED if arguments.on_offer else Only.ANYTHING
    found = ideas_for(
        _answers(arguments, needs_hand=only is Only.AT_HAND),
        arguments.animal,
        offers=_lines(arguments.offered) if arguments.offered else (),
        only=only,
        most=arguments.most,
        allow=frozenset(arguments.allow),
    )
    if arguments.json:
        print_json(found.as_json())
    else:
        _print(found)
    return 0


def _answers(arguments: argparse.Namespace, *, needs_hand: bool) -> Answers:
    """Answers over a collection; over none where genes are typed and nobody at hand is asked for."""
    from holdback.cli.sources import answers_for, answers_from

    return answers_from(arguments.folder) if needs_hand else answers_for(arguments.folder, [arguments.animal])


def _lines(file: str) -> Sequence[str]:
    """Listings of a text file.

    Raises
    ------
    DecisionError
        DEC-111 if it cannot be read as text.
    """
    try:
        return Path(file).read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        hint = "Name a text file in UTF-8 with one listing a line."
        raise DecisionError(Fault("DEC-111", "The offers cannot be read.", hint, file=file)) from error


def _print(answer: IdeasFor) -> None:
    """Print ideas for a person: cautions and nevers first."""
    found = answer.found
    print(f"Ideas for {answer.label}")
    for doubt in answer.doubts:
        print_wrapped(f"[think] {doubt} Only what is read counts.")
    for caution in found.cautions:
        print_wrapped(f"[{caution.level}] {caution.message}")
    for number, idea in enumerate(found.ideas, start=1):
        _print_idea(number, idea)
    if found.never:
        print("\nNot brought")
    for each in found.never:
        unless = f" Unless you allow {' and '.join(each.codes)}." if each.codes else " Never."
        print_wrapped(f"{each.name}: {each.reasons[0]}{unless}", indent="  ")
    for name, reason in found.left_out:
        print_wrapped(f"Not named as a mate: {name}. {reason}", indent="  ")
    for text, reason in answer.not_read:
        print_wrapped(f"Offer not read: {text!r}. {reason}", indent="  ")
    print()
    for note in found.notes:
        print_wrapped(note, indent="  ")


def _print_idea(number: int, idea: Idea) -> None:
    print(f"\n{number}. {idea.label}")
    if len(idea.genes) > 1:
        shown = ", ".join(each.name for each in idea.genes[:_GROUP_SHOWN])
        rest = len(idea.genes) - _GROUP_SHOWN
        print_wrapped(shown + (f" and {rest} more" if rest > 0 else ""), indent="   ")
    for line in idea.why:
        print_wrapped(line, indent="   ")
    for combo in idea.combos:
        print_wrapped(combo.sentence, indent="   ")
    print_wrapped(idea.chance_sentence, indent="   ")
    for line in (*idea.consequences, *idea.cautions):
        print_wrapped(line, indent="   ")
    for each in idea.genes[:_GROUP_SHOWN]:
        for note in each.notes:
            print_wrapped(note, indent="   ")
        for where, holders in (("at hand", each.at_hand), ("on offer", each.offered)):
            for one in holders:
                print_wrapped(f"{where}, {each.name}: {_holder(one)}", indent="     ")


def _holder(one: Holder) -> str:
    return f"{one.name}, {', '.join(one.facts)}; {one.first_clutch:.0%} for one in a laid clutch"
