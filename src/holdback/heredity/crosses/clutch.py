"""How many eggs, how many of them hatch, and the chance that a clutch holds what is wanted.

Notation: q is the chance that one egg which develops gives the target, h the chance that an egg develops and hatches
(deaths that the genotype causes are inside q), N the number of eggs, G(s) = E[s^N].
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from holdback.errors import CrossError, Fault
from holdback.heredity.crosses.tables import beta_points, until_negligible

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

LEVELS = (50, 90, 95, 99)
"""Certainties, in percent, at which needed eggs and clutches are told."""

GUARD = 1e-12
"""Slack against rounding where a chance meets a level exactly (one half after one egg)."""

_MOST = 1 << 40
"""Numbers of eggs beyond this are told as "none will do"."""


@dataclass(frozen=True, slots=True)
class EggCount:
    """Distribution of the eggs of one clutch and of their hatch rate.

    Parameters
    ----------
    sizes : tuple of (int, float)
        Number of eggs and its probability; probabilities sum to 1.
    hatch : tuple of (float, float)
        Hatch rate of a clutch and its probability; one entry where the rate is taken as known.
    failure : float
        Probability that the whole clutch fails.
    unit : str
        "eggs": deaths in the egg that the genotype causes take their toll; "hatchlings": the number already lives.
    ground : str
        Where the numbers come from.
    """

    sizes: tuple[tuple[int, float], ...]
    hatch: tuple[tuple[float, float], ...] = ((1.0, 1.0),)
    failure: float = 0.0
    unit: str = "eggs"
    ground: str = ""

    @classmethod
    def fixed(cls, n: int, hatch_rate: float = 1.0) -> EggCount:
        """A known number of fertile eggs; at a hatch rate of 1 all hatch that their genes let live.

        Raises
        ------
        CrossError
            If the number is negative or the rate no probability.

        Examples
        --------
        >>> round(EggCount.fixed(8).at_least_one(0.25), 6)
        0.899887
        """
        _check(n, hatch_rate)
        return cls(((n, 1.0),), ((hatch_rate, 1.0),), ground=f"{n} eggs, as asked")

    @classmethod
    def hatchlings(cls, n: int) -> EggCount:
        """A known number of young that hatch and live."""
        _check(n, 1.0)
        return cls(((n, 1.0),), unit="hatchlings", ground=f"{n} hatchlings, as asked")

    @classmethod
    def poisson(cls, mean: float, *, hatch_rate: float = 1.0, failure: float = 0.0) -> EggCount:
        """Poisson clutch size, cut where less than 1e-16 is left."""
        sizes = until_negligible(lambda n: n * math.log(mean) - mean - math.lgamma(n + 1))
        return cls(sizes, ((hatch_rate, 1.0),), failure)

    @classmethod
    def negative_binomial(cls, mean: float, size: float, *, hatch_rate: float = 1.0, failure: float = 0.0) -> EggCount:
        """Negative binomial clutch size with variance ``mean + mean^2 / size``, cut where less than 1e-16 is left."""
        p = size / (size + mean)

        def log_chance(n: int) -> float:
            ways = math.lgamma(n + size) - math.lgamma(size) - math.lgamma(n + 1)
            return ways + size * math.log(p) + n * math.log1p(-p)

        return cls(until_negligible(log_chance), ((hatch_rate, 1.0),), failure)

    @classmethod
    def normal(cls, mean: float, sd: float, *, least: int, most: int, hatch_rate: float = 1.0) -> EggCount:
        """Normal clutch size rounded to whole eggs and cut to a range.

        Notes
        -----
        The cut moves the mean by a little where an end lies within about two standard deviations of it.
        """
        _check(least, hatch_rate)
        if sd <= 0.0 or most <= least:
            return cls.fixed(min(max(round(mean), least), most), hatch_rate)
        bell = NormalDist(mean, sd)
        raw = {n: bell.cdf(n + 0.5) - bell.cdf(n - 0.5) for n in range(least, most + 1)}
        total = sum(raw.values())
        sizes = tuple((n, chance / total) for n, chance in raw.items() if chance > 0.0)
        return cls(sizes, ((hatch_rate, 1.0),))

    @classmethod
    def from_species(cls, catalogue: Catalogue) -> EggCount:
        """Clutch size and hatch rate of the species file.

        Notes
        -----
        The size is a rounded normal cut to the file's range. The hatch rate differs between clutches: a Beta
        distribution with the file's value as mean and its range as the 90 % range, held at nine points of equal weight.
        """
        values = catalogue.reproduction
        mean, rate = values["clutch_size_mean"], values["hatch_rate"]
        number = cls.normal(
            mean.value,
            values["clutch_size_sd"].value,
            least=round(values["clutch_size_min"].value),
            most=round(values["clutch_size_max"].value),
        )
        source = f", {mean.mark}" + (f" ({mean.source})" if mean.source else "")
        failure = values["clutch_failure"].value if "clutch_failure" in values else 0.0
        ground = f"species file: mean {mean.value:g} eggs{source}; {rate.value:.0%} hatch, {rate.mark}"
        return cls(number.sizes, beta_points(rate.value, rate.low, rate.high), failure, ground=ground)

    @property
    def mean(self) -> float:
        """Expected number of eggs."""
        return math.fsum(n * chance for n, chance in self.sizes)

    @property
    def hatch_rate(self) -> float:
        """Expected hatch rate, whole-clutch failures apart."""
        return math.fsum(rate * chance for rate, chance in self.hatch)

    @property
    def expected_hatchlings(self) -> float:
        """Expected number of young that hatch, deaths that the genotype causes apart."""
        return (1.0 - self.failure) * self.mean * self.hatch_rate

    def none_of(self, q: float) -> float:
        """Chance that a clutch holds no target: ``f + (1 - f) E[G(1 - qh)]``."""
        whole = math.fsum(
            weight * chance * _power(q * rate, n) for rate, weight in self.hatch for n, chance in self.sizes
        )
        return self.failure + (1.0 - self.failure) * whole

    def at_least_one(self, q: float) -> float:
        """Chance of at least one target in a clutch.

        Parameters
        ----------
        q : float
            Chance that one egg that develops gives the target.

        Notes
        -----
        For a known q. Where q depends on what a parent carries, mix over the parent's states.
        """
        missing = math.fsum(
            weight * chance * -math.expm1(_log_power(q * rate, n))
            for rate, weight in self.hatch
            for n, chance in self.sizes
        )
        return (1.0 - self.failure) * missing

    def at_least(self, m: int, q: float) -> float:
        """Chance of at least m targets in a clutch, for a known q."""
        if m <= 0:
            return 1.0
        return (1.0 - self.failure) * math.fsum(
            weight * chance * binomial_at_least(m, n, q * rate)
            for rate, weight in self.hatch
            for n, chance in self.sizes
        )

    def at_least_each(self, most: int, q: float) -> tuple[float, ...]:
        """Chances of at least 1, 2, ... `most` targets in a clutch, for a known q; as `at_least`, in one pass.

        Notes
        -----
        Counted from the bottom, so chances far below 1e-12 lose their last figures to rounding.
        """
        exactly = [0.0] * most
        for rate, weight in self.hatch:
            p = q * rate
            if p >= 1.0:
                for n, chance in self.sizes:
                    if n < most:
                        exactly[n] += weight * chance
                continue
            ratio, log_miss = p / (1.0 - p), math.log1p(-p)
            for n, chance in self.sizes:
                term = weight * chance * math.exp(n * log_miss)
                for k in range(min(most, n + 1)):
                    exactly[k] += term
                    term *= ratio * (n - k) / (k + 1)
        chances, below = [], 0.0
        for share in exactly:
            below += share
            chances.append(max(0.0, (1.0 - self.failure) * (1.0 - below)))
        return tuple(chances)

    def one_of_each_sex(self, q: float, *, males: float = 0.5) -> float:
        """Chance of at least one male and one female target in a clutch, for a known q.

        Parameters
        ----------
        q : float
            Chance that one egg that develops gives the target, of either sex.
        males : float
            Share of males among the targets.
        """
        return (1.0 - self.failure) * math.fsum(
            weight * chance * each_sex(n, q * rate * males, q * rate * (1.0 - males))
            for rate, weight in self.hatch
            for n, chance in self.sizes
        )


def binomial_at_least(m: int, n: int, q: float) -> float:
    """Chance of at least m successes in n trials, summed exactly from the shorter side.

    Examples
    --------
    >>> binomial_at_least(2, 3, 0.5)
    0.5
    """
    if m <= 0:
        return 1.0
    if m > n:
        return 0.0
    if m == 1:
        return -math.expm1(_log_power(q, n))
    if q >= 1.0:
        return 1.0
    if m <= n - m:
        return 1.0 - math.fsum(_binomial(k, n, q) for k in range(m))
    return math.fsum(_binomial(k, n, q) for k in range(m, n + 1))


def each_sex(n: int, male: float, female: float) -> float:
    """Chance of at least one male and one female target among n eggs: ``1 - (1-a)^n - (1-b)^n + (1-a-b)^n``.

    Parameters
    ----------
    n : int
        Eggs.
    male, female : float
        Chance that an egg gives a male target, and a female one.
    """
    return max(0.0, 1.0 - _power(male, n) - _power(female, n) + _power(male + female, n))


def eggs_needed(q: float, level: float, *, at_least: int = 1, both_sexes: bool = False) -> int | None:
    """Least number of eggs that gives the target with a wanted certainty, for a known q.

    Parameters
    ----------
    q : float
        Chance that one egg gives the target.
    level : float
        Certainty wanted, in (0, 1).
    at_least : int
        How many targets.
    both_sexes : bool
        Whether one male and one female target are wanted (sexes equally likely); `at_least` is not used then.

    Returns
    -------
    int or None
        Number of eggs, None where no number will do.

    Examples
    --------
    >>> eggs_needed(1 / 16, 0.95), eggs_needed(1 / 4, 0.95, at_least=2), eggs_needed(1 / 4, 0.95, both_sexes=True)
    (47, 18, 28)
    """
    if q <= 0.0:
        return None
    if both_sexes:
        return first_reaching(level, lambda n: each_sex(n, q / 2.0, q / 2.0))
    return first_reaching(level, lambda n: binomial_at_least(at_least, n, q))


def first_reaching(level: float, chance: Callable[[int], float]) -> int | None:
    """Least n of at least 1 at which a rising chance meets a level, None where it stays below.

    Notes
    -----
    Doubling, then bisection; the caller makes sure that the level lies below the limit of the chance.
    """
    high = 1
    while chance(high) < level - GUARD:
        high *= 2
        if high > _MOST:
            return None
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        if chance(middle) < level - GUARD:
            low = middle
        else:
            high = middle
    return high


def summary(eggs: EggCount) -> Mapping[str, float | int | str]:
    """Egg count in plain values, for output."""
    least, most = eggs.sizes[0][0], eggs.sizes[-1][0]
    return {
        "unit": eggs.unit,
        "mean": eggs.mean,
        "least": least,
        "most": most,
        "hatch_rate": eggs.hatch_rate,
        "clutch_failure": eggs.failure,
        "expected_hatchlings": eggs.expected_hatchlings,
        "ground": eggs.ground,
    }


def _check(n: int, rate: float) -> None:
    """Refuse what is no number of eggs or no rate."""
    faults = []
    if n < 0:
        what = f"{n} is no number of eggs."
        faults.append(Fault("CRS-006", what, "Give 0 or more.", field="eggs", value=str(n)))
    if not 0.0 <= rate <= 1.0:
        hint = "Give a share between 0 and 1."
        faults.append(Fault("CRS-007", f"{rate} is no hatch rate.", hint, field="hatch rate", value=str(rate)))
    if faults:
        raise CrossError(faults)


def _log_power(q: float, n: int) -> float:
    """Logarithm of ``(1 - q)^n``, exact for tiny q; minus infinity where it is 0."""
    if n == 0 or q <= 0.0:
        return 0.0
    return n * math.log1p(-q) if q < 1.0 else -math.inf


def _power(q: float, n: int) -> float:
    """``(1 - q)^n``."""
    return math.exp(_log_power(q, n))


def _binomial(k: int, n: int, q: float) -> float:
    """Chance of exactly k successes in n trials."""
    if q <= 0.0:
        return 1.0 if k == 0 else 0.0
    if n <= 1000:
        return float(math.comb(n, k)) * q**k * (1.0 - q) ** (n - k)
    ways = math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)
    return math.exp(ways + k * math.log(q) + (n - k) * math.log1p(-q))
