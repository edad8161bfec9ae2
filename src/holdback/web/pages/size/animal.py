"""How big an animal is, will be, and what of it it passes on, as its page says it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.size.condition import build
from holdback.web.pages.components import LedgerRow
from holdback.web.pages.size.growth_figure import SizeFigure, size_figure
from holdback.web.pages.size.words import (
    deviation_row,
    known_in_words,
    mass_row,
    ordinary_whom,
    place_in_hundred,
    sharpening,
)
from holdback.web.pages.wording import GAP, counted, day, listed, number, span

if TYPE_CHECKING:
    from holdback.answers.size import Sizes
    from holdback.size.evaluation import AnimalSize, SizeEvaluation

HER = {"female": "her", "male": "his"}


@dataclass(frozen=True)
class HowBig:
    """Size of an animal as its page shows it.

    Parameters
    ----------
    figure : SizeFigure
        Growth against ordinary animals.
    rows : list of LedgerRow
        The numbers.
    sharpen : list of str
        What would tell more, the most telling first.
    misfit : str
        Where its weights do not follow the curve; else empty.
    asked : list of str
        Readings that look like slips of the pen.
    left_out : str
        Which weights do not count, and why; may be empty.
    rests : list of str
        What all of it takes for granted.
    is_settled : bool
        Whether the fit of the collection came to its end.
    """

    figure: SizeFigure
    rows: list[LedgerRow]
    sharpen: list[str]
    misfit: str
    asked: list[str]
    left_out: str
    rests: list[str]
    is_settled: bool


def how_big(sizes: Sizes, animal: str) -> HowBig:
    """Size of an animal.

    Parameters
    ----------
    sizes : Sizes
        Of the whole collection.
    animal : str
        Id.
    """
    evaluation, size = sizes.evaluation, sizes.of(animal)
    record = sizes.collection.animals[animal]
    return HowBig(
        size_figure(evaluation, size, name=record.name or record.id, her=HER.get(record.sex, "its")),
        [*ledger(size), *_build(sizes, animal)],
        [sharpening(one) for one in size.sharpen],
        "" if size.fits else size.fit_note,
        asked_of(evaluation, animal),
        left_out(evaluation, animal),
        list(evaluation.assumptions),
        evaluation.settled,
    )


def ledger(size: AnimalSize) -> list[LedgerRow]:
    """Numbers of an animal: place, grown weight, deviation, hatching, weight passed on, head for its weight."""
    rows = [_place(size)] if size.compared is not None else []
    rows.append(mass_row("Weighs, grown" if size.is_grown else "Will weigh, grown", size.adult_mass_g))
    rows.append(deviation_row("Against ordinary", size.deviation))
    rows.append(deviation_row("At hatching", size.hatching))
    rows.append(_passed_on(size))
    if size.head is not None:
        rows.append(deviation_row("Width of the head", size.head))
    return rows


def _place(size: AnimalSize) -> LedgerRow:
    """Place among a hundred ordinary animals."""
    found = size.compared
    assert found is not None, "asked only of animals that are compared"
    low, high = place_in_hundred(found.percentile.low), place_in_hundred(found.percentile.high)
    ground = (
        f"So many of 100 {ordinary_whom(found, size.sex)} are lighter. "
        f"{number(round(found.mass_g))}{GAP}g on {day(found.date)}; nine in ten of them weigh "
        f"{span(round(found.ordinary_low_g, -1), round(found.ordinary_high_g, -1))}{GAP}g. Compared with {found.whom}."
    )
    value, between = f"{place_in_hundred(found.percentile.mean)} of 100", "" if low == high else f"{low} to {high}"
    return LedgerRow("Among ordinary ones", value, between, found.percentile.basis, ground)


def _build(sizes: Sizes, animal: str) -> list[LedgerRow]:
    """Mass for length, where both were measured near each other."""
    found = build(animal, sizes.evaluation.readings, sizes.catalogue)
    if found is None:
        return []
    ground = f"{found.ground} Heavy for its length is not big; ask a vet about an animal far from 1."
    return [LedgerRow("Build", f"{found.mean:.2f}", f"{found.low:.2f}–{found.high:.2f}", found.basis, ground)]


def _passed_on(size: AnimalSize) -> LedgerRow:
    """Breeding value with how well it is known."""
    known = known_in_words(size.reliability)
    ground = (
        f"Beyond what the lines give: {known}, reliability {size.reliability:.2f}. "
        f"Expected in the young of two such animals; an ordinary mate halves it. {size.breeding_value.ground}"
    )
    return deviation_row("Weight passed on", size.breeding_value, ground=ground.strip())


def asked_of(evaluation: SizeEvaluation, animal: str) -> list[str]:
    """Readings of an animal that look like slips of the pen, as sentences."""
    found = [one for one in evaluation.readings.questions if one.animal == animal]
    return [
        f"{one.typed} on {day(one.date)}: {one.message}" + (f" Perhaps {one.perhaps}?" if one.perhaps else "")
        for one in found
    ]


def left_out(evaluation: SizeEvaluation, animal: str) -> str:
    """How many readings do not count, and why."""
    reasons: dict[str, int] = {}
    for one in evaluation.readings.by_animal.get(animal, ()):
        if one.left_out:
            reasons[one.left_out] = reasons.get(one.left_out, 0) + 1
    if not reasons:
        return ""
    words = [f"{counted(count, 'reading')} {reason}" for reason, count in reasons.items()]
    return f"Left out: {listed(words)}."
