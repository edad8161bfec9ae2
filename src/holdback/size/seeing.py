"""How many animals it takes to see a change of size over years of hatching."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Needed:
    """How many grown animals of each year have to be weighed.

    Parameters
    ----------
    n_animals : int or None
        Of each year; None where no number is enough.
    power : float
        Chance to see the change with them, or with any number where none is enough, in [0, 1].
    said : str
        What that means, in a sentence.
    """

    n_animals: int | None
    power: float
    said: str


def power_to_see(
    change: float, n_animals: float, *, years: Sequence[float], sd: float, year_sd: float = 0.0, alpha: float = 0.05
) -> float:
    """Chance that a steady change over years is told from none.

    Parameters
    ----------
    change : float
        Change a year on the log scale, not 0.
    n_animals : float
        Animals weighed of each year, as many as if they were unrelated; may be infinite.
    years : sequence of float
        Years of hatching; two neighbouring ones compare two cohorts.
    sd : float
        Standard deviation of adult log mass, taken as known.
    year_sd : float
        Standard deviation of what animals of one year share by feeding and weather.
    alpha : float
        Chance to see a change where there is none, both ways together, in (0, 0.5).

    Returns
    -------
    float
        In [0, 1]: Phi(change / error - z), seen in the true direction, error^2 = (sd^2 / n + year_sd^2) / sum of
        squares of the years.

    Raises
    ------
    SizeError
        SIZ-412 if there are not two different years, SIZ-413 if a number cannot be.
    """
    squares = _squares(years)
    _check(change, sd, year_sd, alpha)
    variance = (sd**2 / n_animals + year_sd**2) / squares
    if variance == 0:
        return 1.0
    return _NORMAL.cdf(abs(change) / math.sqrt(variance) - _z(alpha))


def animals_needed(
    change: float,
    *,
    years: Sequence[float] = (0.0, 1.0),
    sd: float,
    year_sd: float = 0.0,
    clutch_size: float = 1.0,
    likeness: float = 0.0,
    power: float = 0.8,
    alpha: float = 0.05,
) -> Needed:
    """Grown animals of each year of hatching that show a change of size.

    Parameters
    ----------
    change : float
        Change a year on the log scale, not 0.
    years, sd, year_sd, alpha
        As in `power_to_see`.
    clutch_size : float
        Animals weighed of each clutch, at least 1.
    likeness : float
        Correlation of clutch mates beyond what all share, in [0, 1): they tell less than strangers, by 1 + (size - 1)
        times it.
    power : float
        Chance to see it that is asked for, above alpha and below 1.

    Raises
    ------
    SizeError
        SIZ-412 if there are not two different years, SIZ-413 if a number cannot be.

    References
    ----------
    The normal two-sample plan, n = 2 (z_(1 - alpha / 2) + z_power)^2 sd^2 / change^2 for two neighbouring years; design
    effect after Kish (1965), from memory.

    Examples
    --------
    >>> animals_needed(0.1, sd=0.16).n_animals
    41
    """
    squares = _squares(years)
    _check(change, sd, year_sd, alpha, power)
    if not (clutch_size >= 1 and 0 <= likeness < 1):
        raise _unfit()
    wanted = change**2 * squares / (_z(alpha) + _NORMAL.inv_cdf(power)) ** 2 - year_sd**2
    percent = 100 * math.expm1(abs(change))
    if wanted <= 0:
        most = power_to_see(change, math.inf, years=years, sd=sd, year_sd=year_sd, alpha=alpha)
        said = f"No number of animals shows {percent:.0f} % a year: years differ by as much. Follow it over more years."
        return Needed(None, most, said)
    clumping = 1 + (clutch_size - 1) * likeness
    n_animals = max(1, math.ceil(sd**2 * clumping / wanted - 1e-9))
    reached = power_to_see(change, n_animals / clumping, years=years, sd=sd, year_sd=year_sd, alpha=alpha)
    cases = f"{100 * reached:.0f} of 100 cases"
    said = f"{n_animals} grown animals weighed of each year show {percent:.0f} % a year in {cases}."
    return Needed(n_animals, reached, said)


def _squares(years: Sequence[float]) -> float:
    """Sum of squares of years about their mean."""
    at = np.asarray(years, dtype=np.float64)
    squares = float(((at - at.mean()) ** 2).sum()) if len(at) else 0.0
    if squares == 0:
        raise SizeError(
            Fault("SIZ-412", "A change over years needs two years of hatching at least.", "Give another year.")
        )
    return squares


def _check(change: float, sd: float, year_sd: float, alpha: float, power: float = 0.5) -> None:
    """Refuse numbers that cannot be."""
    if not (change != 0 and sd > 0 and year_sd >= 0 and 0 < alpha < power < 1):
        raise _unfit()


def _unfit() -> SizeError:
    """Error for numbers that no plan can rest on."""
    return SizeError(
        Fault(
            "SIZ-413",
            "No plan can rest on these numbers.",
            "Give a change that is not 0, spreads above 0, chances between 0 and 1, and a clutch of at least one.",
        )
    )


def _z(alpha: float) -> float:
    """Bound of a two-sided test."""
    return _NORMAL.inv_cdf(1 - alpha / 2)
