"""The growth figure of an animal of a fitted collection: its weights, its curve, ordinary animals, what is expected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.collection.model import Sex, Trait
from holdback.web.pages.charts import Band, Curve, Figure, Mark, axis_to
from holdback.web.pages.components import Column, Table
from holdback.web.pages.growth import age_axis
from holdback.web.pages.size.words import plural, stands
from holdback.web.pages.wording import day, number, quantity, span

if TYPE_CHECKING:
    from holdback.size.evaluation import AnimalSize, SizeEvaluation
    from holdback.size.growth.curves_of import Range
    from holdback.size.readings import Reading

HORIZON = 60.0
"""Age in months to which the expected part is drawn: five years."""

_APART = 12.0
"""Months between two points that both bear a word."""

_YEARS = (12.0, 24.0, 36.0, 48.0, 60.0)


@dataclass(frozen=True, slots=True)
class SizeFigure:
    """The figure with its words.

    Parameters
    ----------
    message, how : str
        Caption.
    figure : Figure
        The drawing.
    weights : Table or None
        All weights, newest first; None where there is none.
    ages : Table
        Its curve and ordinary animals by year.
    """

    message: str
    how: str
    figure: Figure
    weights: Table | None
    ages: Table


@dataclass(frozen=True, slots=True)
class _Weight:
    reading: Reading
    months: float


def size_figure(evaluation: SizeEvaluation, size: AnimalSize, *, name: str, her: str) -> SizeFigure:
    """Growth figure of an animal.

    Parameters
    ----------
    evaluation : SizeEvaluation
        The fitted collection.
    size : AnimalSize
        The animal.
    name : str
        What to call it.
    her : str
        "her", "his" or "its".
    """
    weights = _weights(evaluation, size.animal)
    counted = [one.months for one in weights if one.reading.counts]
    last = counted[-1] if counted else 0.0
    is_aged = not weights or size.animal in evaluation.readings.hatched
    message = _message(size, is_aged=is_aged, her=her)
    return SizeFigure(
        message,
        _how(size, is_aged=is_aged, her=her),
        _figure(evaluation, size, weights, last, message=message, name=name, is_aged=is_aged),
        _weights_table(evaluation, size, weights, is_aged=is_aged) if weights else None,
        _ages_table(evaluation, size, name, is_aged=is_aged),
    )


def _weights(evaluation: SizeEvaluation, animal: str) -> list[_Weight]:
    """Weights of an animal by age; those from before it hatched are asked about and not drawn."""
    found = [
        _Weight(one, evaluation.curves.age_at(animal, one.day))
        for one in evaluation.readings.by_animal.get(animal, ())
        if one.measurement.trait is Trait.MASS
    ]
    return [one for one in found if one.months >= 0]


def _message(size: AnimalSize, *, is_aged: bool, her: str) -> str:
    if size.compared is not None:
        return stands(size.compared, size.sex)
    if not size.n_weights:
        return f"No weight that counts is on record: {her} size is guessed by descent alone."
    return f"{her.capitalize()} age is not known, so there is nobody to compare with." if not is_aged else ""


def _how(size: AnimalSize, *, is_aged: bool, her: str) -> str:
    since = "age in months" if is_aged else "months since the first weight"
    parts = [f"Empty weight in grams by {since}."]
    if size.n_weights:
        parts.append("Filled dots count, open ones are left out.")
    if is_aged:
        parts.append(f"Grey: nine in ten ordinary {plural(size.sex)}.")
    parts.append(f"Violet: {her} own curve, nine cases in ten within the shade; dashed where expected.")
    return " ".join(parts)


def _grid(last: float, end: float) -> list[float]:
    """Ages at which curves are drawn: half months in the first year, months after, and the last weight."""
    early = [index / 2 for index in range(24)]
    return sorted({*early, *(float(month) for month in range(12, int(end) + 1)), round(last, 2), end})


def _figure(
    evaluation: SizeEvaluation,
    size: AnimalSize,
    weights: Sequence[_Weight],
    last: float,
    *,
    message: str,
    name: str,
    is_aged: bool,
) -> Figure:
    ages = age_axis(max([HORIZON, *(one.months for one in weights)]))
    own = evaluation.curves.of(size.animal, _grid(last, ages.end))
    bands = [_band(own, is_fan=True)]
    if is_aged:
        ordinary = evaluation.curves.ordinary(size.sex, _grid(last, ages.end))
        bands.insert(0, _band(ordinary, word=f"ordinary {plural(size.sex)}"))
    points = list(zip(own.age_months.tolist(), own.median.tolist(), strict=True))
    past = [point for point in points if point[0] <= last + 0.01]
    coming = [point for point in points if point[0] >= last - 0.01]
    tops = [high for band in bands for _, high in band.upper] + [one.reading.value for one in weights]
    curves = [Curve(past, "me")] if size.n_weights and len(past) > 1 else []
    if len(coming) > 1:
        curves.append(Curve(coming, "me descent", f"{name}, expected", at=-1))
    return Figure(
        x=ages,
        y=axis_to(max(tops), "g"),
        said=f"{message} {_expected(own, name)}",
        height=300,
        bands=bands,
        curves=curves,
        marks=_marks(weights),
    )


def _marks(weights: Sequence[_Weight]) -> list[Mark]:
    """Weights as points; the reason stands beside an open one unless another word is near."""
    marks: list[Mark] = []
    worded = 0.0
    for one in weights:
        word = ""
        if one.reading.left_out and one.months - worded >= _APART:
            word, worded = f"left out: {one.reading.left_out}", one.months
        marks.append(Mark(one.months, one.reading.value, word, is_open=not one.reading.counts))
    return marks


def _band(found: Range, *, word: str = "", is_fan: bool = False) -> Band:
    ages = found.age_months.tolist()
    return Band(
        list(zip(ages, found.high.tolist(), strict=True)),
        list(zip(ages, found.low.tolist(), strict=True)),
        word,
        is_fan=is_fan,
        is_word_low=True,
    )


def _expected(own: Range, name: str) -> str:
    low, middle, high = (round(float(part[-1]), -1) for part in (own.low, own.median, own.high))
    months = f"{own.age_months[-1]:.0f} months"
    return f"{name} at {months}: {number(middle)} g, in nine cases of ten {span(low, high)} g."


def _weights_table(evaluation: SizeEvaluation, size: AnimalSize, weights: Sequence[_Weight], *, is_aged: bool) -> Table:
    """Every weight, newest first, beside ordinary animals of its age."""
    heads = [
        Column("Day"),
        Column("Age, months" if is_aged else "Months on", is_number=True),
        Column("Weight", is_number=True),
        *([Column(f"Ordinary {plural(size.sex)}, g", is_number=True)] if is_aged else []),
        Column("Counts"),
    ]
    ages = [one.months for one in weights]
    ordinary = evaluation.curves.ordinary(size.sex, ages) if is_aged else None
    rows = []
    for index, one in reversed(list(enumerate(weights))):
        typed = one.reading.measurement
        band = [span(_tens(ordinary.low[index]), _tens(ordinary.high[index]))] if ordinary is not None else []
        counts = "yes" if one.reading.counts else f"no: {one.reading.left_out}"
        rows.append([day(typed.date), number(one.months), quantity(typed.value, typed.unit, 1), *band, counts])
    return Table(heads, rows)


def _tens(mass: float) -> float:
    """Mass as a table shows it: to ten gram from 200 g on."""
    return round(float(mass), -1) if mass >= 200 else round(float(mass))


def _ages_table(evaluation: SizeEvaluation, size: AnimalSize, name: str, *, is_aged: bool) -> Table:
    """The curve at each birthday, beside ordinary animals."""
    own = evaluation.curves.of(size.animal, _YEARS)
    heads = [Column("Age, months" if is_aged else "Months on"), Column(f"{name}, g", is_number=True)]
    heads.append(Column("Nine in ten between", is_number=True))
    ordinary = None
    if is_aged:
        heads.append(Column(f"Ordinary {plural(size.sex)}, g", is_number=True))
        ordinary = evaluation.curves.ordinary(Sex(size.sex), _YEARS)
    rows = []
    for index, months in enumerate(_YEARS):
        cells = [f"{months:.0f}", number(_tens(own.median[index]))]
        cells.append(span(_tens(own.low[index]), _tens(own.high[index])))
        cells += [span(_tens(ordinary.low[index]), _tens(ordinary.high[index]))] if ordinary is not None else []
        rows.append(cells)
    return Table(heads, rows)
