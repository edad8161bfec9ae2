"""What the size of an animal of unknown origin says of a line: odds, never a yes or a no.

Posterior odds are prior odds times the likelihood ratio of what was measured under two laws: that of one more animal of
the line and that of one more other animal, of the same sex and age and fed alike. Doubt about either law belongs into
its spread (see `predictive`). An unknown share of the line is one law for each share that it may have.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.errors import Fault, SizeError
from holdback.size.predictive import Predictive
from holdback.size.telling_apart import Accuracy, best_accuracy

FloatArray = npt.NDArray[np.float64]

PRIOR = 0.2
"""Chance of membership before anything was measured where nobody says otherwise (assumed)."""

SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
SHARES_PRIOR = (0.7, 0.1, 0.1, 0.05, 0.05)
"""Shares that an animal of unknown origin may have, and chances of them (assumed)."""

FAR_OUT = 0.001
"""An animal further out than this part of both groups is like neither (assumed)."""


@dataclass(frozen=True, slots=True)
class OfLine:
    """How the odds of membership stand once an animal was measured.

    Parameters
    ----------
    prior, posterior : float
        Chance that it is of the line before and after, in [0, 1].
    log_likelihood_ratio : float
        Natural log of how much likelier the measurements are in the line than outside it.
    accuracy : Accuracy
        The best that these traits could do for any animal.
    is_like_neither : bool
        Whether it lies far outside both groups, where the ratio means little.
    n_traits : int
        Traits that were measured.
    said : str
        What it means, in sentences.
    """

    prior: float
    posterior: float
    log_likelihood_ratio: float
    accuracy: Accuracy
    is_like_neither: bool
    n_traits: int
    said: str

    @property
    def likelihood_ratio(self) -> float:
        """How many times likelier the measurements are in the line than outside it."""
        return math.exp(min(self.log_likelihood_ratio, 700.0))

    @property
    def odds(self) -> float:
        """Posterior odds; infinite where the chance is 1 to the last digit."""
        return self.posterior / (1 - self.posterior) if self.posterior < 1 else math.inf

    def posterior_at(self, prior: float) -> float:
        """Posterior chance had the chance before been another one, in (0, 1).

        Raises
        ------
        SizeError
            SIZ-403 if it does not lie between 0 and 1.
        """
        return _posterior(prior, self.log_likelihood_ratio)


@dataclass(frozen=True, slots=True)
class OfShare:
    """Chances of the shares of a line that an animal may have.

    Parameters
    ----------
    shares, prior, posterior : tuple of float
        Shares in [0, 1] and their chances before and after.
    expected, sd : float
        Expected share and its standard deviation, after.
    """

    shares: tuple[float, ...]
    prior: tuple[float, ...]
    posterior: tuple[float, ...]
    expected: float
    sd: float


def of_the_line(
    observed: Sequence[float] | FloatArray, line: Predictive, other: Predictive, prior: float = PRIOR
) -> OfLine:
    """Odds that an animal is of a line, from what was measured of it.

    Parameters
    ----------
    observed : float array, shape (n_traits,)
        Deviations of the animal on the log scale; NaN for a trait that was not measured.
    line, other : Predictive
        Laws of one more animal of the line, and of one more other animal, of the same sex and age and fed alike. The
        animal itself must not be part of what they rest on: leave it out when you make them.
    prior : float
        Chance of membership before, in (0, 1).

    Raises
    ------
    SizeError
        SIZ-403 if the prior does not lie between 0 and 1, SIZ-404 if no trait was measured.

    References
    ----------
    Bayes' theorem; for unequal or few animals Geisser (1964), from memory.

    Examples
    --------
    >>> at_the_mean = of_the_line([1.5], Predictive.of(1.5, 1.0), Predictive.of(0.0, 1.0))
    >>> round(at_the_mean.likelihood_ratio, 4), round(at_the_mean.posterior, 4)
    (3.0802, 0.435)
    """
    values, (line, other) = _measured(observed, (line, other))
    log_ratio = float(line.log_density(values) - other.log_density(values))
    posterior = _posterior(prior, log_ratio)
    accuracy = best_accuracy(line, other)
    is_like_neither = max(line.beyond(values), other.beyond(values)) < FAR_OUT
    said = _said(prior, posterior, accuracy, is_like_neither)
    return OfLine(prior, posterior, log_ratio, accuracy, is_like_neither, len(values), said)


def share_of_the_line(
    observed: Sequence[float] | FloatArray,
    laws: Sequence[Predictive],
    *,
    shares: Sequence[float] = SHARES,
    prior: Sequence[float] = SHARES_PRIOR,
) -> OfShare:
    """Chances of the shares that an animal may have of a line, from what was measured of it.

    Parameters
    ----------
    observed : float array, shape (n_traits,)
        Deviations of the animal on the log scale; NaN for a trait that was not measured.
    laws : sequence of Predictive
        Law of one more animal of each share, as `laws_of_shares` gives them.
    shares, prior : sequence of float
        Shares in [0, 1] and their chances before, which sum to 1.

    Raises
    ------
    SizeError
        SIZ-403 if the chances do not sum to 1 or one is negative, SIZ-404 if no trait was measured.
    """
    before = np.asarray(prior, dtype=np.float64)
    if not (len(before) == len(shares) == len(laws) and before.min() >= 0 and abs(before.sum() - 1) < 1e-9):
        raise SizeError(
            Fault("SIZ-403", "The chances of the shares do not sum to 1.", "Give one chance for each share, 1 in all.")
        )
    values, parts = _measured(observed, laws)
    logs = np.array([float(one.log_density(values)) for one in parts])
    weights = before * np.exp(logs - logs.max())
    after = weights / weights.sum()
    at = np.asarray(shares, dtype=np.float64)
    expected = float(after @ at)
    sd = math.sqrt(max(0.0, float(after @ (at - expected) ** 2)))
    return OfShare(tuple(map(float, at)), tuple(before.tolist()), tuple(after.tolist()), expected, sd)


def _posterior(prior: float, log_ratio: float) -> float:
    """Posterior chance from the chance before and the log likelihood ratio."""
    if not 0 < prior < 1:
        raise SizeError(
            Fault(
                "SIZ-403",
                f"A chance of {prior:g} before measuring cannot be moved.",
                "Give one between 0 and 1.",
                value=f"{prior:g}",
            )
        )
    log_odds = math.log(prior) - math.log1p(-prior) + log_ratio
    return 1 / (1 + math.exp(-log_odds)) if log_odds > -700 else 0.0


def _measured(
    observed: Sequence[float] | FloatArray, laws: Sequence[Predictive]
) -> tuple[FloatArray, list[Predictive]]:
    """The traits that were measured, and the laws of those alone."""
    values = np.asarray(observed, dtype=np.float64)
    kept = np.flatnonzero(np.isfinite(values))
    if not len(kept):
        raise SizeError(Fault("SIZ-404", "Nothing was measured of the animal.", "Weigh it, or measure its head."))
    return values[kept], [one.part(kept) for one in laws]


def _said(prior: float, posterior: float, accuracy: Accuracy, is_like_neither: bool) -> str:
    """What the odds mean, in sentences that neither affirm nor deny."""
    limit = (
        f"Size puts {_in_100(accuracy.correct)} of 100 animals on the right side at best (50 by guessing), so it can "
        "raise or lower the odds and prove nothing: rich feeding and other lines make big animals too, and papers "
        "weigh more."
    )
    if is_like_neither:
        return (
            "It lies far outside the animals of the line and outside the others too, where the odds mean little: look "
            f"at the measurement first. {limit}"
        )
    return (
        f"Of 100 animals of this size, {_in_100(posterior)} would be of the line if {_in_100(prior)} of 100 are before "
        f"anything is measured. {limit}"
    )


def _in_100(chance: float) -> str:
    """A chance as a number of 100, never quite none and never quite all."""
    if chance < 0.01:
        return "fewer than 1"
    return "more than 99" if chance > 0.99 else f"{100 * chance:.0f}"
