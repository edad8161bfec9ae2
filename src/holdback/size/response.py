"""What choosing parents by size changes in their young, and what it has changed.

Expected: R = (i_m r_m + i_f r_f) / 2 * sigma_a a generation, in R / L a year, with i the selection intensity, r the
correlation of estimated and true breeding value (the root of the reliability), sigma_a the standard deviation of
breeding values and L = (L_m + L_f) / 2 the age of parents when their young hatch.

Realised: the slope of mean breeding values of hatch years on the year. Estimated values err together, so its standard
error comes from the covariance matrix of their errors.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from holdback.collection.estimate import Basis, Estimate
from holdback.errors import Fault, SizeError
from holdback.size.intensity import intensity, intensity_variance

FloatArray = npt.NDArray[np.float64]

_NORMAL = NormalDist()
_Z90 = _NORMAL.inv_cdf(0.95)


@dataclass(frozen=True, slots=True)
class Chosen:
    """Parents of one sex, chosen by estimated breeding value.

    Parameters
    ----------
    n_candidates, n_kept : int
        How many there are to choose from, and how many become parents.
    reliability : float
        Of their breeding values, in [0, 1].
    age_years : float
        Their mean age when their young hatch, above 0.
    """

    n_candidates: int
    n_kept: int
    reliability: float
    age_years: float


@dataclass(frozen=True, slots=True)
class Expected:
    """What choosing parents is expected to change.

    Parameters
    ----------
    per_generation, per_year : Estimate
        Change of the mean of the young against no choice, in percent of mass. The range holds the doubt about sigma_a
        and the chance in a few parents and a few young.
    intensity_males, intensity_females : float
        In standard deviations.
    interval_years : float
        Generation interval.
    by_chance : float
        Standard deviation of the change that is chance alone, log scale.
    chance_larger : float
        Probability that the mean of the young rises at all, in [0, 1].
    """

    per_generation: Estimate
    per_year: Estimate
    intensity_males: float
    intensity_females: float
    interval_years: float
    by_chance: float
    chance_larger: float


@dataclass(frozen=True, slots=True)
class Realised:
    """What changed from hatch year to hatch year.

    Parameters
    ----------
    per_year : Estimate
        Slope of the mean breeding value, in percent of mass a year.
    slope, slope_sd : float
        The same on the log scale, and its standard error.
    chance_larger : float
        Probability that it is above 0, in [0, 1].
    said : str
        What that means, in a sentence.
    """

    per_year: Estimate
    slope: float
    slope_sd: float
    chance_larger: float
    said: str


def expected_change(
    males: Chosen,
    females: Chosen,
    *,
    genetic_sd: Sequence[float] | FloatArray,
    weights: Sequence[float] | FloatArray | None = None,
    n_young: int,
) -> Expected:
    """Change that a choice of parents is expected to bring.

    Parameters
    ----------
    males, females : Chosen
        Parents of each sex.
    genetic_sd : float array, shape (n_values,)
        What the standard deviation of breeding values (log mass, within lines) may be: one value, or the root of each
        heritability of a grid times the adult standard deviation.
    weights : float array, shape (n_values,), optional
        Chances of these values, in any unit; alike where left out. They are mixed, not averaged.
    n_young : int
        Young of which the mean is meant, at least 1.

    Raises
    ------
    SizeError
        SIZ-411 if more are kept than there are, SIZ-413 if a number cannot be.

    Notes
    -----
    Chance, in units of sigma_a^2: which candidates there are, r^2 Var i / 4 of each sex; parents' true breeding values
    about the estimated ones, (1 - r^2) / 4n of each sex; and meiosis, 1 / 2 over the young (parents not inbred). How
    the young grow is not in it: their breeding values are meant. Candidates count as unrelated and equally well
    known; a close family gains less.

    References
    ----------
    Lush (1945); Rendel & Robertson (1950) for the change a year (both from memory).
    """
    values = np.asarray(genetic_sd, dtype=np.float64)
    chances = np.full(len(values), 1.0) if weights is None else np.asarray(weights, dtype=np.float64)
    chances = chances / chances.sum()
    _check(males, females, values, n_young)
    i_males, i_females = (intensity(one.n_candidates, one.n_kept) for one in (males, females))
    superiority = (i_males * math.sqrt(males.reliability) + i_females * math.sqrt(females.reliability)) / 2
    by_sex = sum(_chance_variance(one) for one in (males, females))
    scatter = math.sqrt(by_sex / 4 + 0.5 / n_young)
    interval = (males.age_years + females.age_years) / 2
    mean = superiority * float(chances @ values)
    low, high = (_quantile(part, superiority * values, scatter * values, chances) for part in (0.05, 0.95))
    larger = _NORMAL.cdf(superiority / scatter)
    ground = (
        f"Best {males.n_kept} of {males.n_candidates} males and {females.n_kept} of {females.n_candidates} females by "
        "breeding value, which are estimates themselves."
    )
    return Expected(
        _percent(mean, low, high, Basis.ASSUMED, ground),
        _percent(mean / interval, low / interval, high / interval, Basis.ASSUMED, ground),
        i_males,
        i_females,
        interval,
        scatter * math.sqrt(float(chances @ values**2)),
        larger,
    )


def cohort_means(
    values: Sequence[float] | FloatArray, error_covariance: FloatArray, cohorts: Sequence[int]
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Mean breeding value of each cohort, and how these means err together.

    Parameters
    ----------
    values : float array, shape (n_animals,)
        Estimated breeding values, log scale.
    error_covariance : float array, shape (n_animals, n_animals)
        Covariance matrix of their prediction errors.
    cohorts : sequence of int, length n_animals
        Year of hatching of each.

    Returns
    -------
    float array, shape (n_cohorts,)
        Years, oldest first.
    float array, shape (n_cohorts,)
        Means.
    float array, shape (n_cohorts, n_cohorts)
        Covariance matrix of their errors.
    """
    years = np.unique(np.asarray(cohorts))
    member = (years[:, None] == np.asarray(cohorts)[None, :]).astype(np.float64)
    member /= member.sum(axis=1, keepdims=True)
    means: FloatArray = member @ np.asarray(values, dtype=np.float64)
    return years.astype(np.float64), means, member @ error_covariance @ member.T


def realised_change(
    years: Sequence[float] | FloatArray,
    means: Sequence[float] | FloatArray,
    covariance: FloatArray,
    *,
    n_animals: Sequence[int] | None = None,
) -> Realised:
    """Change of the mean breeding value from hatch year to hatch year.

    Parameters
    ----------
    years, means : float array, shape (n_cohorts,)
        Years of hatching and mean breeding values, log scale.
    covariance : float array, shape (n_cohorts, n_cohorts)
        Of the errors of the means, as `cohort_means` gives it.
    n_animals : sequence of int, length n_cohorts, optional
        Weight of each cohort; alike where left out.

    Returns
    -------
    Realised
        The slope of the true means of these very cohorts, with the error of its estimate.

    Raises
    ------
    SizeError
        SIZ-412 if there are not two different years.

    Notes
    -----
    The slope is a weighted sum c'm of the means, so its error variance is c'Vc. Breeding values are drawn towards what
    is assumed of heritability and of animals without records: where little was weighed the trend is understated, where
    keeping got better by the year and nothing allows for it, feeding is taken for breeding.

    References
    ----------
    Sorensen & Kennedy (1984), Estimation of response to selection using least-squares and mixed model methodology
    (from memory).
    """
    at = np.asarray(years, dtype=np.float64)
    if len(set(at.tolist())) < 2:
        raise SizeError(
            Fault(
                "SIZ-412",
                "A change over years needs animals of two years of hatching at least.",
                "Weigh young of another year.",
            )
        )
    weight = np.ones_like(at) if n_animals is None else np.asarray(n_animals, dtype=np.float64)
    away = weight * (at - np.average(at, weights=weight))
    contrast = away / (away @ at)
    slope = float(contrast @ np.asarray(means, dtype=np.float64))
    sd = math.sqrt(float(contrast @ covariance @ contrast))
    larger = _NORMAL.cdf(slope / sd) if sd > 0 else float(slope > 0)
    estimate = _percent(slope, slope - _Z90 * sd, slope + _Z90 * sd, Basis.BY_DESCENT, _span(at))
    return Realised(estimate, slope, sd, larger, _said(estimate, larger))


def _chance_variance(parents: Chosen) -> float:
    """Variance of the mean breeding value of the parents of one sex, in units of sigma_a^2."""
    r2 = parents.reliability
    return r2 * intensity_variance(parents.n_candidates, parents.n_kept) + (1 - r2) / parents.n_kept


def _check(males: Chosen, females: Chosen, values: FloatArray, n_young: int) -> None:
    """Refuse numbers that cannot be."""
    is_fine = all(0 <= one.reliability <= 1 and one.age_years > 0 for one in (males, females))
    if not (is_fine and n_young >= 1 and len(values) and float(values.min()) > 0):
        raise SizeError(
            Fault(
                "SIZ-413",
                "A change cannot be worked out from these numbers.",
                "Give reliabilities from 0 to 1, ages and a spread above 0, and at least one young.",
            )
        )


def _quantile(part: float, means: FloatArray, sds: FloatArray, chances: FloatArray) -> float:
    """Quantile of a mixture of normal laws, by halving."""
    low, high = float((means - 8 * sds).min()), float((means + 8 * sds).max())
    for _ in range(60):
        middle = (low + high) / 2
        below = sum(
            chance * _NORMAL.cdf((middle - mean) / sd) for mean, sd, chance in zip(means, sds, chances, strict=True)
        )
        low, high = (middle, high) if below < part else (low, middle)
    return (low + high) / 2


def _percent(mean: float, low: float, high: float, basis: Basis, ground: str) -> Estimate:
    """An estimate in percent from one on the log scale."""
    mean, low, high = (100 * math.expm1(one) for one in (mean, low, high))
    return Estimate(mean, min(low, mean), max(high, mean), "%", basis, ground)


def _span(years: FloatArray) -> str:
    """Which cohorts a change rests on."""
    return f"Mean breeding values of {len(years)} years of hatching, {years.min():.0f} to {years.max():.0f}."


def _said(estimate: Estimate, larger: float) -> str:
    """What a realised change means, in a sentence."""
    span = f"between {estimate.low:+.1f} and {estimate.high:+.1f} % a year"
    if estimate.low > 0:
        return f"Breeding values rose from year to year, {span}."
    if estimate.high < 0:
        return f"Breeding values fell from year to year, {span}."
    return f"No change can be told from chance: {span}, and {100 * larger:.0f} in 100 for a rise."
