"""The one way to say an uncertain number."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """How a number is known; drawn as a stroke on every page and on paper."""

    MEASURED = "measured"
    BY_DESCENT = "by descent"
    BY_OFFSPRING = "by offspring"
    CLAIMED = "claimed"
    ASSUMED = "assumed"
    REHEARSED = "rehearsed"


@dataclass(frozen=True, slots=True)
class Estimate:
    """An uncertain number with its range, unit and basis.

    Parameters
    ----------
    mean : float
        Expected value, in `unit`.
    low, high : float
        Ends of the 90 % range unless `coverage` says otherwise; ``low <= mean <= high``.
    unit : str
        Unit in symbols ("g", "cm", "eggs", "%"), empty for a bare ratio.
    basis : Basis
        How it is known: the nearest step of the chain.
    ground : str
        One sentence that names the records or the source it rests on.
    coverage : float
        Probability that the true value lies in the range, in (0, 1].

    Raises
    ------
    ValueError
        If the range does not hold the mean.
    """

    mean: float
    low: float
    high: float
    unit: str
    basis: Basis
    ground: str = ""
    coverage: float = 0.9

    def __post_init__(self) -> None:
        """Refuse a range that does not hold its mean."""
        if not self.low <= self.mean <= self.high:
            raise ValueError(f"estimate {self.mean} lies outside its range {self.low} to {self.high}")
