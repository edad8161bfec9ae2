"""A weight as typed, and whether it looks like a slip beside the last ones of its animal."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from holdback.collection.model import PartialDate, Trait
from holdback.collection.units import MASS_IN_G
from holdback.errors import Fault, RecordError
from holdback.web.records.models import Animal
from holdback.web.records.overlay import SPECIES

FALL = math.log(0.55)
"""A dam loses up to two fifths of her weight with her eggs; nothing else takes more within a year (common practice)."""
RISE = math.log(1.5)
"""Eggs add up to a third, a large meal more on a small snake (common practice, no source)."""
GROWTH = ((300.0, 0.012), (1000.0, 0.006), (math.inf, 0.003))
"""Below a mass in gram: growth a day, on the logarithm, which no young pass (common practice, no source)."""
LOOK_BACK_DAYS = 400
"""Older weights are not compared."""


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight: number in a unit, and whether the unit was typed with it."""

    value: float
    unit: str
    own_unit: bool = False

    @property
    def grams(self) -> float:
        """Mass in gram."""
        return self.value * MASS_IN_G[self.unit]

    def __str__(self) -> str:
        """Number and unit, as a person writes them."""
        return f"{self.value:,.6g} {self.unit}"


@dataclass(frozen=True, slots=True)
class Last:
    """The last weight before a day."""

    grams: float
    date: PartialDate
    n_days: int


def weight_typed(typed: str, *, unit: str, animal: str = "") -> Weight:
    """The weight that a keeper typed.

    Parameters
    ----------
    typed : str
        ``3,165``, ``3.1 lb``, ``81,5 oz``, ``1 lb 4 oz``.
    unit : str
        Unit where none was typed: g, kg, oz or lb.
    animal : str
        Its tag, for the fault.

    Raises
    ------
    RecordError
        SEA-049 where it is no weight.

    Notes
    -----
    ``1,652`` is read both ways, and the one that an animal can weigh is taken: the bounds of that lie less than a
    thousandfold apart, so never both.
    """
    from holdback.intake.numbers import Quantity, Unclear, quantity  # readers of sheets, which most requests do without
    from holdback.intake.sheets import Cell
    from holdback.intake.writing import HEAVIEST_G, LIGHTEST_G

    found: list[Quantity] = []
    why = ""
    for decimal in (".", ","):
        try:
            one = quantity(Cell(typed.strip()), decimal=decimal)
        except Unclear as fault:
            why = str(fault)
        else:
            found += [one] if one not in found else []
    weights = [Weight(one.value, one.unit or unit, bool(one.unit)) for one in found]
    weights = [one for one in weights if one.unit in MASS_IN_G and 0 < one.value < math.inf]
    if not weights:
        what = f"{typed!r} is no weight" + (f": {why}." if why else ".")
        hint = "Write a number, as in 1652, 3.1 lb or 1 lb 4 oz."
        raise RecordError(Fault("SEA-049", what, hint, field="typed", value=typed[:40], animal=animal))
    return next((one for one in weights if LIGHTEST_G <= one.grams <= HEAVIEST_G), weights[0])


def last_weight(animal: Animal, day: PartialDate) -> Last | None:
    """The last weight of an animal on or before a day, unless it is too old to be compared."""
    for row in animal.measurements.filter(trait=Trait.MASS.value).order_by("-date", "-id"):
        date = PartialDate.parse(row.date)
        n_days = (day.earliest - date.earliest).days
        if 0 <= n_days <= LOOK_BACK_DAYS and date.month:
            return Last(row.value * MASS_IN_G[row.unit], date, n_days)
    return None


def fits(grams: float, last: Last) -> bool:
    """Whether a weight can follow upon the last one by growth, a fast, eggs or a meal."""
    rate = next(rate for below, rate in GROWTH if last.grams < below)
    return FALL <= math.log(grams / last.grams) <= RISE + rate * last.n_days


def likely_weight(weight: Weight, last: Last) -> Weight | None:
    """What was likely meant by a weight that does not fit: another unit, or one figure more or less; None if nothing.

    Examples
    --------
    >>> april = Last(1652.0, PartialDate(2026, 4, 12), 30)
    >>> str(likely_weight(Weight(166, "g"), april)), str(likely_weight(Weight(58.4, "g"), april))
    ('1,660 g', '58.4 oz')
    """
    rest = [] if weight.own_unit else [Weight(weight.value, unit) for unit in MASS_IN_G if unit != weight.unit]
    factors = (10, 0.1) if weight.own_unit else (10, 0.1, 1000, 0.001)
    rest += [Weight(weight.value * factor, weight.unit) for factor in factors]
    able = [one for one in rest if fits(one.grams, last)]
    return min(able, key=lambda one: abs(math.log(one.grams / last.grams)), default=None)


def slip_faults(weight: Weight, last: Last | None, *, species: str, animal: str = "") -> Iterator[Fault]:
    """SEA-037, a question, where a weight does not fit the last one, with what was likely meant."""
    from holdback.intake.writing import HEAVIEST_G, LIGHTEST_G

    if last is None:
        if species == SPECIES and not LIGHTEST_G <= weight.grams <= HEAVIEST_G:
            what = f"{weight}: no such weight is known of a ball python."
            yield Fault(
                "SEA-037", what, "Correct it, or say that it is right.", field="value", value=str(weight), animal=animal
            )
        return
    if fits(weight.grams, last):
        return
    meant = likely_weight(weight, last)
    before = f"{weight}, after {last.grams:,.0f} g on {last.date}"
    what = f"{before}: {meant}, or is {weight} right?" if meant else f"{before}: is it right?"
    hint = "Write the right one, or say that it is right."
    yield Fault("SEA-037", what, hint, field="value", value=str(meant or weight), animal=animal)
