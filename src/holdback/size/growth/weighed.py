"""What is asked of the fit as sums of coefficients: deviations, breeding values, adult mass; and their posterior.

Each quantity of an animal is a row over its shared and own coefficients. The additive value of an animal without young
is its parents' half each and a part of its own deviation, which is genes and lasting environment together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.size.growth.equations import (
    Moments,
    Solved,
    mendelian_variances,
    moments,
    shared_values,
    solved,
    state_of,
)
from holdback.size.growth.fit import Fitted
from holdback.size.growth.linearised import Curves, State
from holdback.size.growth.spread import Spread

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Told:
    """Posterior mean and variance of a quantity of each animal, each of shape (n_rows,)."""

    mean: FloatArray
    variance: FloatArray


@dataclass(frozen=True, eq=False)
class Quantities:
    """The quantities of all animals, on the log scale.

    Parameters
    ----------
    adult : Told
        Adult log mass, its room included.
    deviation : Told
        Adult deviation, lines included, its room not.
    breeding_value, within_line : Told
        Genetic part of the deviation, with and without what the lines explain.
    hatching : Told
        Hatching deviation beyond egg, clutch and what shows of the adult one.
    additive_variance : float
        Of animals that are not inbred.
    """

    adult: Told
    deviation: Told
    breeding_value: Told
    within_line: Told
    hatching: Told
    additive_variance: float


def genetic_part(curves: Curves, spread: Spread, state: State) -> tuple[FloatArray, FloatArray]:
    """Part of its own deviation that is genes, and the variance of these given all of it; each of shape (n_rows,)."""
    _, mendelian = mendelian_variances(curves, spread, state.common[curves.columns.lines])
    part = mendelian / (mendelian + spread.lasting_variance)
    return part, (1.0 - part) * mendelian


def rows_of(curves: Curves, part: FloatArray) -> dict[str, FloatArray]:
    """Row of each quantity over shared and own coefficients, each of shape (n_rows, n_shared + n_own).

    Parameters
    ----------
    curves : Curves
        Model.
    part : float array, shape (n_rows,)
        Part of the own deviation that is genes.
    """
    data, columns = curves.data, curves.columns
    s = columns.n_shared
    none = np.zeros((data.n_rows, s + columns.n_own))
    deviation = none.copy()
    deviation[:, columns.lines] = data.shares
    deviation[:, s - 2], deviation[:, s] = 1.0, 1.0
    value = deviation.copy()
    value[:, s] = part
    within = value.copy()
    within[:, columns.lines] = 0.0
    adult = deviation.copy()
    adult[:, 0], adult[:, 1], adult[:, s + 4] = data.female, 1 - data.female, 1.0
    for number in range(columns.n_rooms):
        adult[:, columns.rooms.start + number] = data.room == number
    hatching = none.copy()
    hatching[:, s + 1] = data.has_age
    return {"adult": adult, "deviation": deviation, "value": value, "within": within, "hatching": hatching}


def quantities(curves: Curves, spread: Spread, state: State, spreads: Moments) -> Quantities:
    """All quantities at one set of standard deviations."""
    part, rest = genetic_part(curves, spread, state)
    rows = rows_of(curves, part)
    values = np.concatenate([shared_values(curves, state), state.own], axis=1)

    def told(name: str, beside: FloatArray | float = 0.0) -> Told:
        row = rows[name]
        variance = np.sum(np.matmul(row[:, None, :], spreads.variance)[:, 0] * row, axis=1) + beside
        return Told(np.sum(row * values, axis=1), np.maximum(variance, 0.0))

    return Quantities(
        told("adult"),
        told("deviation"),
        told("value", rest),
        told("within", rest),
        told("hatching"),
        spread.additive_variance,
    )


@dataclass(frozen=True, eq=False)
class Point:
    """One set of standard deviations with its weight in the mixture.

    Parameters
    ----------
    weight : float
        Posterior probability.
    spread : Spread
        Standard deviations.
    state : State
        Values.
    solution : Solved
        Equations.
    quantities : Quantities
        Of all animals.
    """

    weight: float
    spread: Spread
    state: State
    solution: Solved
    quantities: Quantities


SIZES, SHARES = (-1.5, 0.0, 1.5), (-2.4, -1.6, -0.8, 0.0, 0.8, 1.6, 2.4)
"""Places of the grid in standard deviations, for the adult spread and for the heritability."""
MANY_EQUATIONS = 500
"""Beyond, the standard deviations are known so well that the mode stands for all."""


def mixture(fit: Fitted) -> tuple[Point, ...]:
    """The posterior over adult spread and heritability as points with weights; the rest stays at the mode.

    Notes
    -----
    Readings stay linearised at the mode.
    """
    if len(fit.curves.data.nodes.equations) > MANY_EQUATIONS:
        return (_point(fit, fit.spread, 1.0, fit.solution, fit.moments),)
    size_sd, share_sd = _widths(fit)
    found = []
    for size in SIZES:
        for share in SHARES:
            logs = fit.spread.logs.copy()
            logs[4] += size * size_sd
            logs[-1] += share * share_sd
            spread = fit.spread.moved(logs)
            solution = solved(fit.curves, spread, fit.state, fit.slopes, with_evidence=True)
            found.append((solution.log_evidence + spread.log_prior()[0], spread, solution))
    highest = max(height for height, _, _ in found)
    weights = np.exp([height - highest for height, _, _ in found])
    weights /= weights.sum()
    return tuple(
        _point(fit, spread, float(weight), solution, moments(fit.curves, solution))
        for weight, (_, spread, solution) in zip(weights, found, strict=True)
        if weight > 1e-4
    )


def _point(fit: Fitted, spread: Spread, weight: float, solution: Solved, spreads: Moments) -> Point:
    state = state_of(fit.curves, solution)
    return Point(weight, spread, state, solution, quantities(fit.curves, spread, state, spreads))


def _widths(fit: Fitted) -> tuple[float, float]:
    """Standard deviations of the logs of adult spread and heritability, by the curvature of their posterior."""

    def height(size: float, share: float) -> float:
        logs = fit.spread.logs.copy()
        logs[4] += size
        logs[-1] += share
        spread = fit.spread.moved(logs)
        return (
            solved(fit.curves, spread, fit.state, fit.slopes, with_evidence=True).log_evidence + spread.log_prior()[0]
        )

    top = height(0.0, 0.0)
    widths = []
    for size, share in ((0.15, 0.0), (0.0, 0.5)):
        curvature = -(height(size, share) + height(-size, -share) - 2 * top) / (size + share) ** 2
        widths.append(float(np.clip(1.0 / np.sqrt(max(curvature, 1e-2)), 0.03, 1.2)))
    return widths[0], widths[1]


def mixed(points: tuple[Point, ...], name: str) -> Told:
    """A quantity over the mixture: mean, and variance within and between points."""
    weights = np.array([point.weight for point in points])
    weights = weights / weights.sum()
    told: list[Told] = [getattr(point.quantities, name) for point in points]
    means, variances = np.array([one.mean for one in told]), np.array([one.variance for one in told])
    mean = weights @ means
    return Told(mean, weights @ (variances + (means - mean) ** 2))
