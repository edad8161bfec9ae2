"""Growth curves of a fitted collection at any age, of its animals, of ordinary ones, and of young not yet bred."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Sex
from holdback.size.curves import LogCurve, free_shape
from holdback.size.growth.curves_of import Range, YoungSize
from holdback.size.growth.data import MONTHS, YEAR_DAYS
from holdback.size.growth.fit import Fitted
from holdback.size.growth.weighed import genetic_part, rows_of

FloatArray = npt.NDArray[np.float64]

Z90 = 1.6448536269514722
"""Half the 90 % range of a normal law, in standard deviations."""
FEMALE = {Sex.FEMALE: 1.0, Sex.MALE: 0.0, Sex.UNKNOWN: 0.5}


def percent(log: float) -> float:
    """A difference of logarithms in percent."""
    return float(100 * np.expm1(log))


def in_percent(mean: float, sd: float, basis: Basis, ground: str) -> Estimate:
    """A normal law on the log scale as percent: its middle and 90 % range."""
    return Estimate(percent(mean), percent(mean - Z90 * sd), percent(mean + Z90 * sd), "%", basis, ground)


def in_gram(mean: float, sd: float, basis: Basis, ground: str) -> Estimate:
    """A normal law of log mass in gram: its middle and 90 % range."""
    low, middle, high = (float(np.exp(mean + side * Z90 * sd)) for side in (-1, 0, 1))
    return Estimate(middle, low, high, "g", basis, ground)


@dataclass(frozen=True, eq=False)
class LogRange:
    """Log mass over ages with its posterior, and its slopes.

    Parameters
    ----------
    mean : float array, shape (n,)
        Log mass.
    rows : float array, shape (n, n_shared + n_own)
        Slopes in the coefficients of the animal.
    by : LogCurve
        Slopes in the parameters of the curve.
    """

    mean: FloatArray
    rows: FloatArray
    by: LogCurve


class FittedCurves:
    """Growth curves of a fitted collection.

    Parameters
    ----------
    fit : Fitted
        The fit.
    """

    def __init__(self, fit: Fitted) -> None:
        self.fit = fit
        self.place = {animal: number for number, animal in enumerate(fit.curves.data.ids)}

    @cached_property
    def home(self) -> int:
        """Room of most animals weighed that hatched here, -1 where all grew up alike or none did."""
        data = self.fit.curves.data
        here = data.room[(data.clutch >= 0) & (data.room >= 0)]
        return int(np.bincount(here).argmax()) if len(here) else -1

    @cached_property
    def parameters(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Adult log mass, hatching log mass and log growth rate of each animal."""
        return self.fit.curves.parameters(self.fit.state)

    def log_of(self, animal: int, years: FloatArray) -> LogRange:
        """Log mass of an animal over years of age."""
        fit, data, columns = self.fit, self.fit.curves.data, self.fit.curves.columns
        state, s = fit.state, columns.n_shared
        adult, hatching, rate = (one[animal] for one in self.parameters)
        by = free_shape(np.maximum(years, 0.0), adult, hatching, rate, float(state.common[6]))
        rows = np.zeros((len(years), s + columns.n_own))
        female, has_age = data.female[animal], float(data.has_age[animal])
        shown = by.alpha + has_age * state.common[5] * by.eta
        rows[:, 0], rows[:, 1] = female * by.alpha, (1 - female) * by.alpha
        rows[:, 2] = has_age * by.eta
        rows[:, 3], rows[:, 4] = female * by.log_rate, (1 - female) * by.log_rate
        rows[:, 5] = has_age * by.eta * float(fit.curves.deviation(state)[animal])
        rows[:, 6] = by.shape
        rows[:, 7] = has_age * by.eta * data.egg[animal]
        rows[:, columns.lines] = shown[:, None] * data.shares[animal]
        if data.room[animal] >= 0:
            rows[:, columns.rooms.start + data.room[animal]] = by.alpha
        rows[:, s - 2] = shown
        rows[:, s - 1] = has_age * by.eta * float(data.clutch[animal] >= 0)
        rows[:, s], rows[:, s + 1], rows[:, s + 2] = shown, by.eta, by.log_rate
        rows[:, s + 3] = by.t * float(data.born_sd[animal] > 0)
        rows[:, s + 4] = by.alpha * float(female == 0.5)
        return LogRange(np.broadcast_to(by.value, years.shape), rows, by)

    def log_ordinary(self, female: float, years: FloatArray) -> LogRange:
        """Log mass of an ordinary animal, nothing of any line, kept as most here."""
        columns, common = self.fit.curves.columns, self.fit.state.common
        adult = female * common[0] + (1 - female) * common[1]
        rate = female * common[3] + (1 - female) * common[4]
        rows = np.zeros((len(years), columns.n_shared + columns.n_own))
        if self.home >= 0:
            adult = adult + common[columns.rooms.start + self.home]
        by = free_shape(np.maximum(years, 0.0), adult, common[2], rate, float(common[6]))
        rows[:, 0], rows[:, 1] = female * by.alpha, (1 - female) * by.alpha
        rows[:, 2] = by.eta
        rows[:, 3], rows[:, 4] = female * by.log_rate, (1 - female) * by.log_rate
        rows[:, 6] = by.shape
        if self.home >= 0:
            rows[:, columns.rooms.start + self.home] = by.alpha
        return LogRange(np.broadcast_to(by.value, years.shape), rows, by)

    def among_ordinary(self, by: LogCurve, *, is_weighed: bool) -> FloatArray:
        """Variance of log mass among ordinary animals; with that of one weighing where `is_weighed`."""
        spread, shown = self.fit.spread, self.fit.state.common[5]
        found = (by.alpha + shown * by.eta) ** 2 * spread.adult**2
        found = found + by.eta**2 * (spread.hatching**2 + spread.clutch**2) + by.log_rate**2 * spread.rate**2
        return np.asarray(found + (spread.scale[0] ** 2 if is_weighed else 0.0))

    def variance(self, animal: int, rows: FloatArray) -> FloatArray:
        """Posterior variance of rows over the coefficients of an animal, shape (n,)."""
        return np.asarray(np.maximum(np.sum((rows @ self.fit.moments.variance[animal]) * rows, axis=1), 0.0))

    def of(self, animal: str, age_months: Sequence[float] | FloatArray) -> Range:
        """Empty mass of an animal over ages, with the 90 % range of its true empty mass.

        Ages are its own; where the day of hatching is not known they count from its first weight.
        """
        ages = np.asarray(age_months, dtype=np.float64)
        number = self.place[animal]
        log = self.log_of(number, ages / MONTHS)
        return _range(ages, log.mean, self.variance(number, log.rows))

    def ordinary(self, sex: Sex, age_months: Sequence[float] | FloatArray) -> Range:
        """Nine in ten ordinary animals of a sex (nothing of any line), as they weigh empty on a scale."""
        ages = np.asarray(age_months, dtype=np.float64)
        log = self.log_ordinary(FEMALE[sex], ages / MONTHS)
        p = self.fit.curves.columns.n_common
        common = np.sum((log.rows[:, :p] @ self.fit.solution.variance[:p, :p]) * log.rows[:, :p], axis=1)
        return _range(ages, log.mean, common + self.among_ordinary(log.by, is_weighed=True))

    def age_at(self, animal: str, day: float) -> float:
        """Age in months on an ordinal day; since its first weight where it is not known when it hatched."""
        return float(MONTHS * (day - self.fit.curves.data.day_zero[self.place[animal]]) / YEAR_DAYS)

    def value_of(self, animal: int) -> tuple[float, FloatArray, float, int, float]:
        """Breeding value of an animal as a sum over x: its mean, row, variance beside, clutch and its coefficient."""
        fit, data, columns = self.fit, self.fit.curves.data, self.fit.curves.columns
        p, made = columns.n_common, data.nodes.made_of
        parts, rests = self.genetic
        part, rest = float(parts[animal]), float(rests[animal])
        lines = data.shares[animal] @ fit.state.common[columns.lines]
        mean = float(lines + fit.state.genetic[animal] + part * fit.state.own[animal, 0])
        fall = part * fit.solution.absorbed.own_by_shared[animal, 0]
        row = np.zeros(len(fit.solution.x))
        row[columns.lines] = data.shares[animal]
        row[:p] -= fall[:p]
        row[p:] += (1.0 - fall[p]) * made.of_row(animal)
        clutch, coefficient = int(data.clutch[animal]), 0.0
        if clutch >= 0:
            coefficient = -float(fall[p + 1])
            row -= coefficient * fit.solution.clutch_row(clutch)
        beside = part**2 * float(fit.solution.absorbed.own_variance[animal, 0, 0]) + rest
        return mean, row, beside, clutch, coefficient

    @cached_property
    def rows(self) -> dict[str, FloatArray]:
        """Row of each quantity over the coefficients of each animal."""
        return rows_of(self.fit.curves, self.genetic[0])

    @cached_property
    def genetic(self) -> tuple[FloatArray, FloatArray]:
        """Part of each animal's own deviation that is genes, and the variance of these given all of it."""
        return genetic_part(self.fit.curves, self.fit.spread, self.fit.state)

    def genetic_prior(self, animal: int) -> float:
        """Variance of its additive value before any weight: of genes, (1 + F) Var u, and of doubtful shares."""
        genes = (1 + self.fit.curves.data.nodes.inbreeding[animal]) * self.fit.spread.additive_variance
        return float(genes + self.share_doubt[animal])

    @cached_property
    def share_doubt(self) -> FloatArray:
        """Variance that doubtful claims of founders add to what each animal has beyond its lines, shape (n_rows,)."""
        data, effects = self.fit.curves.data, self.fit.state.common[self.fit.curves.columns.lines]
        nodes, squares = data.nodes, effects**2
        own = np.where(nodes.has_own, data.share_variances @ squares, 0.0)
        doubts = data.equation_share_variances @ squares
        doubtful = np.flatnonzero(doubts)
        passed = nodes.passed_from(doubtful)
        found: FloatArray = own + nodes.made_of.from_right(passed) ** 2 @ doubts[doubtful]
        return found

    def young(self, sire: str, dam: str) -> YoungSize:
        """What young of two animals would be."""
        fit, nodes = self.fit, self.fit.curves.data.nodes
        parents = [self.place[sire], self.place[dam]]
        values = [self.value_of(one) for one in parents]
        mean = sum(value[0] for value in values) / 2
        row = np.sum([value[1] for value in values], axis=0) / 2
        variance = float(row @ fit.solution.variance @ row) + sum(value[2] for value in values) / 4
        by_clutch: dict[int, float] = {}
        for _, _, _, clutch, coefficient in values:
            by_clutch[clutch] = by_clutch.get(clutch, 0.0) + coefficient / 2
        variance += sum(c**2 * float(fit.solution.clutch_variance[k]) for k, c in by_clutch.items() if k >= 0)
        inbreeding = float(nodes.inbreeding[parents].sum())
        mendelian = max(0.5 - inbreeding / 4, 0.0) * fit.spread.additive_variance
        single = variance + mendelian + fit.spread.lasting_variance
        ground = "Half of what each parent passes on, lines included, by all weights on record."
        daughter, son = (self._adult(female, mean, row, single - variance, values) for female in (1.0, 0.0))
        return YoungSize(
            in_percent(mean, variance**0.5, Basis.BY_DESCENT, ground),
            in_percent(mean, single**0.5, Basis.BY_DESCENT, ground),
            in_gram(*daughter, Basis.BY_DESCENT, ground),
            in_gram(*son, Basis.BY_DESCENT, ground),
        )

    def _adult(
        self,
        female: float,
        mean: float,
        row: FloatArray,
        beside: float,
        values: Sequence[tuple[float, FloatArray, float, int, float]],
    ) -> tuple[float, float]:
        """Adult log mass of one young of a sex: mean and standard deviation."""
        columns, fit = self.fit.curves.columns, self.fit
        full = row.copy()
        full[0] += female
        full[1] += 1 - female
        level = female * fit.state.common[0] + (1 - female) * fit.state.common[1]
        if self.home >= 0:
            full[columns.rooms.start + self.home] += 1
            level += fit.state.common[columns.rooms.start + self.home]
        variance = float(full @ fit.solution.variance @ full) + beside + sum(value[2] for value in values) / 4
        return float(level + mean), float(max(variance, 0.0) ** 0.5)


def _range(ages: FloatArray, mean: FloatArray, variance: FloatArray) -> Range:
    """Gram out of log mass."""
    sd = np.sqrt(np.maximum(variance, 0.0))
    return Range(ages, np.exp(mean - Z90 * sd), np.exp(mean), np.exp(mean + Z90 * sd))
