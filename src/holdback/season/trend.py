"""What an animal weighs now, and what it lost since its last high."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Trait
from holdback.season.day_words import day_words, days_words
from holdback.size.condition import MASS_SD, NEAR_95
from holdback.size.readings import Question, Reading
from holdback.size.state import AFTER_LAYING

WINDOW_DAYS = 183
"""A high lies at most half a year back."""

FAST_DAYS = 30
"""Loss within so many days is told by itself."""

NEAR_DAYS = 45
"""A high is the middle one of three weights where its neighbours lie this near: one slip makes no high."""

DRIFT_SD = 0.005
"""How far a grown animal's mass strays in a day since it was weighed, on the logarithm, growing with the square root of
the days: a tenth in a year (an assumption)."""


@dataclass(frozen=True, slots=True)
class Trend:
    """Mass of an animal and where it goes.

    Parameters
    ----------
    mass_g : Estimate
        Mass now, in gram.
    last : date
        Day of the last weight that counts.
    change_percent : Estimate or None
        Change from the highest earlier weight of the last half year to the last one, in percent, negative for a loss;
        None where there is none to compare with.
    high_g : float
        That highest weight; NaN where there is none.
    high_on : date or None
        Its day.
    fast_percent : float or None
        The same from the highest weight of the `FAST_DAYS` before the last one.
    is_single : bool
        Whether a loss rests on the last weight alone.
    question : str
        What has to be asked about a weight that was left out, in a sentence; empty where nothing has.
    """

    mass_g: Estimate
    last: dt.date
    change_percent: Estimate | None
    high_g: float
    high_on: dt.date | None
    fast_percent: float | None
    is_single: bool
    question: str = ""

    @property
    def loss_percent(self) -> float | None:
        """Loss since the high in percent, 0 where it gained; None where it cannot be told."""
        return None if self.change_percent is None else max(-self.change_percent.mean, 0.0)

    @property
    def fast_loss_percent(self) -> float:
        """Loss within `FAST_DAYS` in percent, 0 where it gained or cannot be told."""
        return max(-(self.fast_percent or 0.0), 0.0)


def trend(
    readings: Sequence[Reading],
    *,
    today: dt.date,
    since: dt.date | None = None,
    after_laying: bool = False,
    growth: float = 0.0,
    questions: Sequence[Question] = (),
) -> Trend | None:
    """Mass now and its change, from the weights of one animal that count.

    Parameters
    ----------
    readings : sequence of Reading
        All of the animal, oldest first; weights after a meal, with eggs, in shed or asked about are left out.
    today : date
        Later readings are not used.
    since : date, optional
        Day of the last laying; no high is looked for before it.
    after_laying : bool
        Whether weights of a dam thin from laying count.
    growth : float
        Usual growth since the last weight on the logarithm, by which the mass now may be higher.
    questions : sequence of Question
        Of this animal.

    Returns
    -------
    Trend or None
        None without a weight that counts.

    Notes
    -----
    The last weight is the mass now, so that a loss shows at once. One that looks like a slip of the pen (`size.slips`:
    a unit, a figure too few) is left out and asked about, and raises no alarm. Two weights differ by chance by the
    square root of 2 times the error of one (`size.condition.MASS_SD`, an assumption); drawn from the highest of many, a
    loss comes out a little large, which the middle of three takes off where weights lie near.
    """
    weights = [one for one in readings if _is_used(one, today, after_laying)]
    if not weights:
        return None
    floor = today.toordinal() - WINDOW_DAYS
    if since is not None:
        floor = max(floor, since.toordinal())
    recent = [one for one in weights if one.day >= floor]
    last = weights[-1]
    change, high_g, high_on = _change(recent, today)
    return Trend(
        _mass_now(last, today, growth),
        _date(last),
        change,
        high_g,
        high_on,
        _fast(recent),
        _is_single(recent, high_g),
        _asked(questions, today),
    )


def _is_used(one: Reading, today: dt.date, after_laying: bool) -> bool:
    return (
        one.measurement.trait is Trait.MASS
        and one.day <= today.toordinal()
        and (one.counts or (after_laying and one.left_out == AFTER_LAYING))
    )


def _asked(questions: Sequence[Question], today: dt.date) -> str:
    """The last question on a weight of the last half year."""
    first = today.toordinal() - WINDOW_DAYS
    for one in sorted(questions, key=lambda one: one.date, reverse=True):
        if one.trait is Trait.MASS and first <= one.date.earliest.toordinal() <= today.toordinal():
            perhaps = f" Meant to be {one.perhaps}?" if one.perhaps else ""
            return f"{one.message}{perhaps}"
    return ""


def _mass_now(last: Reading, today: dt.date, growth: float) -> Estimate:
    days = max(today.toordinal() - int(last.day), 0)
    reach = NEAR_95 * math.hypot(MASS_SD, DRIFT_SD * math.sqrt(days))
    ago = "today" if days == 0 else f"{days_words(days)} ago"
    ground = f"{last.value:,.0f} g on {day_words(_date(last), today)}, {ago}"
    high = last.value * math.exp(reach + max(growth, 0.0))
    return Estimate(last.value, last.value * math.exp(-reach), high, "g", Basis.MEASURED, f"{ground}.")


def _change(recent: Sequence[Reading], today: dt.date) -> tuple[Estimate | None, float, dt.date | None]:
    """Change since the highest earlier weight in percent, that weight, and its day."""
    if len(recent) < 2:
        return None, math.nan, None
    smooth = _smoothed(recent)
    at = max(range(len(recent) - 1), key=lambda place: (smooth[place], place))
    last, high, high_on = recent[-1], smooth[at], _date(recent[at])
    log_ratio, reach = math.log(last.value / high), NEAR_95 * math.sqrt(2) * MASS_SD
    mean, low, high_end = (100 * math.expm1(log_ratio + shift) for shift in (0.0, -reach, reach))
    ground = (
        f"{last.value:,.0f} g on {day_words(_date(last), today)} against {high:,.0f} g on {day_words(high_on, today)}."
    )
    return Estimate(mean, low, high_end, "%", Basis.MEASURED, ground), high, high_on


def _smoothed(weights: Sequence[Reading]) -> list[float]:
    """Each weight, or the middle one of it and its neighbours where both lie near."""
    found = [one.value for one in weights]
    for at in range(1, len(weights) - 1):
        before, one, after = weights[at - 1 : at + 2]
        if one.day - before.day <= NEAR_DAYS and after.day - one.day <= NEAR_DAYS:
            found[at] = median((before.value, one.value, after.value))
    return found


def _fast(recent: Sequence[Reading]) -> float | None:
    """Change in percent from the highest weight of the `FAST_DAYS` before the last one."""
    if len(recent) < 2:
        return None
    last, smooth = recent[-1], _smoothed(recent)
    near = [smooth[at] for at, one in enumerate(recent[:-1]) if last.day - one.day <= FAST_DAYS]
    return 100 * (last.value / max(near) - 1) if near else None


def _is_single(recent: Sequence[Reading], high_g: float) -> bool:
    """Whether the weight before the last one knew nothing of a loss: less than half of what the last one shows."""
    if len(recent) < 2 or recent[-1].value >= high_g:
        return False
    return high_g - recent[-2].value < (high_g - recent[-1].value) / 2


def _date(one: Reading) -> dt.date:
    return dt.date.fromordinal(int(one.day))
