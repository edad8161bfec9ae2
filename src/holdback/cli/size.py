"""`holdback size`: how big animals are for their age, how big they will be, and what they pass on."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.output import chance_in_percent, print_json, print_wrapped
from holdback.cli.sources import answers_from

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.size import LineOdds, LineResponse
    from holdback.collection.estimate import Estimate
    from holdback.size import AnimalSize, LineEffect, SizeEvaluation

LISTED = 12
"""Animals of each sex listed where none is named."""
LITTLE = 0.02
"""A gain in reliability that is not told."""


def run(arguments: argparse.Namespace) -> int:
    """Print the sizes of animals, or the biggest of each sex, and the effect of each line."""
    from holdback.answers.size.as_json import sizes_as_json, sizes_asked
    from holdback.errors import Fault, SizeError

    answers = answers_from(arguments.folder)
    found = sizes_asked(answers, arguments.animals)
    odds: dict[str, LineOdds] = {}
    if arguments.line:
        if not arguments.animals:
            raise SizeError(Fault("SIZ-103", "--line without an animal.", "Name the animal that may be of the line."))
        odds = {one: answers.sizes.of_line(one, arguments.line, arguments.prior) for one in found}
    if arguments.json:
        more = {"of_line": {animal: one.as_json() for animal, one in odds.items()}} if odds else {}
        print_json(sizes_as_json(found, answers.sizes) | more)
        return 0
    if arguments.animals:
        for size in found.values():
            _print_animal(answers, size)
            if size.animal in odds:
                _print_odds(odds[size.animal])
    else:
        _print_biggest(answers)
        for effect in answers.sizes.evaluation.lines.values():
            _print_line(effect, answers.sizes.response(effect.line))
    _print_rest(answers.sizes.evaluation)
    return 0


def percent(estimate: Estimate) -> str:
    """An estimate in percent with its sign and range."""
    return f"{estimate.mean:+.0f} % ({estimate.low:+.0f} to {estimate.high:+.0f})"


def gram(estimate: Estimate) -> str:
    """An estimate in gram with its range, three figures."""
    return f"{estimate.mean:,.0f} g ({estimate.low:,.0f} to {estimate.high:,.0f})"


def _print_animal(answers: Answers, size: AnimalSize) -> None:
    """All that is said of one animal."""
    from holdback.answers.descent.names import named

    print(named(answers.collection, size.animal))
    if size.compared is not None:
        compared = size.compared
        print_wrapped(
            f"{compared.mass_g:,.0f} g on {compared.date}: heavier than {_of_hundred(compared.percentile)} of 100 "
            f"ordinary {compared.whom}. Nine in ten of them weigh {compared.ordinary_low_g:,.0f} to "
            f"{compared.ordinary_high_g:,.0f} g.",
            indent="  ",
        )
    print(f"  {'adult mass' if size.is_grown else 'adult, forecast':<20}{gram(size.adult_mass_g)}")
    print(f"  {'adult, for its sex':<20}{percent(size.deviation)}  {size.deviation.basis}")
    print(f"  {'at hatching':<20}{percent(size.hatching)}")
    print(f"  {'passes on':<20}{percent(size.breeding_value)}, reliability {size.reliability:.2f}")
    print_wrapped(
        f"{size.deviation.ground} {size.n_left_out} weight{'' if size.n_left_out == 1 else 's'} left out.", indent="  "
    )
    if not size.fits:
        print_wrapped(size.fit_note, indent="  ")
    for one in size.sharpen[:3]:
        gains = []
        if one.adult_range_now - one.adult_range_then > 1:
            gains.append(f"adult mass to {one.adult_range_then:.0f} % either way, not {one.adult_range_now:.0f} %")
        if one.reliability_then - one.reliability_now > LITTLE:
            gains.append(f"reliability {one.reliability_then:.2f} instead of {one.reliability_now:.2f}")
        print_wrapped(f"To know more: {one.what}: {', '.join(gains)}.", indent="  ")
    print()


def _of_hundred(percentile: Estimate) -> str:
    """A percentile in words, with its range."""
    if percentile.low > 99:
        return "more than 99"
    if percentile.high < 1:
        return "fewer than 1"
    return f"{percentile.mean:.0f} ({percentile.low:.0f} to {percentile.high:.0f})"


def _print_biggest(answers: Answers) -> None:
    """The biggest of each sex for their age, among those here."""
    from holdback.answers.descent.names import named
    from holdback.collection.model import Sex

    for sex in (Sex.FEMALE, Sex.MALE):
        ranked = answers.sizes.biggest(sex)
        if not ranked:
            continue
        print(f"Biggest {sex}s for their age, adult mass against an ordinary one: {len(ranked)} weighed and here")
        for one in ranked[:LISTED]:
            print(
                f"  {one.rank:>3}  {percent(one.size.deviation):<24}{gram(one.size.adult_mass_g):<28}"
                f"{named(answers.collection, one.size.animal)}"
            )
        print()


def _print_line(effect: LineEffect, response: LineResponse) -> None:
    """What is said of one line."""
    print(f"{effect.line}: an adult all of it against one none of it, {percent(effect.effect)}")
    print(f"  chance that it is larger at all: {chance_in_percent(effect.chance_larger)}; {effect.effect.ground}")
    print(f"  these founders against the others here: {percent(effect.owned)}")
    for why in effect.why_not:
        print_wrapped(why, indent="  ")
    for advice in effect.design.advice if effect.design else ():
        print_wrapped(advice, indent="  ")
    print_wrapped(" ".join(response.said), indent="  ")
    print()


def _print_odds(odds: LineOdds) -> None:
    """Whether it could be of a line."""
    print_wrapped(
        f"Of {odds.line}: {chance_in_percent(odds.posterior)} if it was {chance_in_percent(odds.prior)} before, by "
        f"{' and '.join(odds.traits)}. {odds.said}"
    )
    for text in (*odds.cautions, *odds.advice):
        print_wrapped(text, indent="  ")
    print()


def _print_rest(evaluation: SizeEvaluation) -> None:
    """What was left out and asked about, and what all of it rests on."""
    inheritance = evaluation.variances.heritability
    print_wrapped(
        f"Heritability of adult mass within lines {inheritance.mean:.2f} ({inheritance.low:.2f} to "
        f"{inheritance.high:.2f}), {inheritance.basis}. {inheritance.ground}"
    )
    left_out = evaluation.readings.left_out()
    if left_out:
        listed = ", ".join(f"{count} {reason}" for reason, count in left_out.items())
        print_wrapped(f"Weights left out: {listed}.")
    for question in evaluation.readings.questions:
        perhaps = f" Perhaps {question.perhaps}?" if question.perhaps else ""
        print_wrapped(f"{question.code} {question.animal}: {question.message}{perhaps}")
    for text in evaluation.assumptions:
        print_wrapped(f"- {text}")
