"""What would tell more of an animal's size: each thing to measure, with what it would leave open."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Trait
from holdback.size.evaluation import Sharpening
from holdback.size.growth.columns import CENTRE, OWN
from holdback.size.growth.data import HEADS, MONTHS
from holdback.size.growth.fitted_curves import Z90, FittedCurves, percent

FloatArray = npt.NDArray[np.float64]

MILESTONES = (6.0, 12.0, 18.0, 24.0, 36.0, 48.0)
"""Ages in months at which a weight is suggested."""
LATER = 2.0
"""Months from the last weight to the next one that is suggested."""
WORTH = 0.1
"""Part of the range, or of the reliability, that a measurement must change to be told."""
LEAST = 0.012
"""Least change of half the range on the log scale that is told."""
YOUNG = 10
"""Young to weigh in the suggestion to weigh young."""
YEAR_FORECAST_SD = 0.1
"""What a weight at a year leaves open of adult log mass beside genes and environment (by simulation)."""


def sharpenings(
    curves: FittedCurves, animal: int, *, her: str, last_month: float, known: float, adult_sd: float
) -> tuple[Sharpening, ...]:
    """What to measure of an animal, the most telling first; empty where nothing would tell much.

    Parameters
    ----------
    curves : FittedCurves
        Fitted collection.
    animal : int
        Place of the animal in the data.
    her : str
        "her", "him" or "it".
    last_month : float
        Age in months at its last weight; 0 where it was never weighed.
    known, adult_sd : float
        Reliability now, and standard deviation of its adult log mass; what a measurement changes is reckoned at the
        mode of the standard deviations and set against these.
    """
    fit = curves.fit
    _, rests = curves.genetic
    adult, within = curves.rows["adult"][animal], curves.rows["within"][animal]
    variance = fit.moments.variance[animal]
    rest, prior = float(rests[animal]), curves.genetic_prior(animal)
    range_now = Z90 * float(max(adult @ variance @ adult, 0.0)) ** 0.5
    known_now = 1 - (float(within @ variance @ within) + rest) / prior
    found = []
    for what, row, noise in _readings(curves, animal, her=her, last_month=last_month):
        seen = variance @ row
        scale = float(row @ seen) + noise
        left = variance - np.outer(seen, seen) / scale
        range_then = Z90 * float(max(adult @ left @ adult, 0.0)) ** 0.5
        known_then = 1 - (float(within @ left @ within) + rest) / prior
        found.append((what, range_then, known_then))
    found.append(_by_young(curves, her, range_now, known_now, prior))
    wider = Z90 * adult_sd / max(range_now, 1e-9)
    told = []
    for what, range_then, known_then in found:
        gained = known_then - known_now
        if range_now - range_then > max(WORTH * range_now, LEAST) or gained > WORTH:
            now, then = percent(range_now * wider), percent(range_then * wider)
            told.append(Sharpening(what, now, then, known, min(known + max(gained, 0.0), 1.0)))
    return tuple(sorted(told, key=lambda one: (one.adult_range_then, -one.reliability_then)))


def _readings(
    curves: FittedCurves, animal: int, *, her: str, last_month: float
) -> Iterator[tuple[str, FloatArray, float]]:
    """Each reading that could be taken: in words, its row over the coefficients, its own variance."""
    fit = curves.fit
    spread, data, columns = fit.spread, fit.curves.data, fit.curves.columns
    if data.has_age[animal]:
        coming = [month for month in MILESTONES if month >= last_month + LATER][:2]
        for month in coming:
            row = curves.log_of(animal, np.array([month / MONTHS])).rows[0]
            yield f"weigh {her} empty at {month:.0f} months", row, float(spread.scale[0] ** 2)
    now = curves.log_of(animal, np.array([(last_month + 1.0) / MONTHS]))
    for number, trait in enumerate(data.traits[1:], start=1):
        if trait not in (Trait.SNOUT_VENT_LENGTH, *HEADS):
            continue
        first, slope = columns.place[f"{trait} female"], columns.place[f"{trait} slope"]
        female = data.female[animal]
        row = now.rows[0] * fit.state.common[slope]
        row[first] += female
        row[first + 1] += 1 - female
        row[slope] += now.mean[0] - CENTRE
        row[columns.n_shared + len(OWN) + number - 1] += 1.0
        if trait in HEADS:
            for line, name in enumerate(data.lines):
                row[columns.place[f"{trait} line {name}"]] += data.shares[animal, line]
        words = {Trait.SNOUT_VENT_LENGTH: f"measure {her} to the vent"}.get(trait, f"measure the {trait} of {her}")
        yield words, row, float(spread.scale[number] ** 2)


def _by_young(curves: FittedCurves, her: str, range_now: float, known: float, prior: float) -> tuple[str, float, float]:
    """What young of one clutch, weighed at a year, would tell of what it passes on."""
    spread = curves.fit.spread
    open_now = max((1 - known) * prior, 0.0)
    of_young = 0.75 * spread.additive_variance + spread.lasting_variance + YEAR_FORECAST_SD**2
    gained = (open_now / 2) ** 2 / (open_now / 4 + of_young / YOUNG)
    their = {"her": "her", "him": "his"}.get(her, "its")
    return f"weigh {YOUNG} of {their} young at a year", range_now, 1 - (open_now - gained) / prior
