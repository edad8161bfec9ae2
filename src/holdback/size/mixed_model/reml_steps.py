"""Steps towards the largest restricted likelihood: by EM, by average information, and along the boundary.

Undamped, average information can leave the space of variances, and log|V| of an indefinite V is still finite: a step
counts only where V is positive definite and the likelihood rises, and is halved until it does. Variances that would be
negative are held at 0 as long as the likelihood falls from there. Where the G0 = U U' of an effect of several parts
becomes singular, a step in the entries of U keeps it so and moves along.

References
----------
Gilmour, Thompson and Cullis (1995), Average information REML. Biometrics 51:1440.
Johnson and Thompson (1995), Restricted maximum likelihood estimation of variance components for univariate animal
models using sparse matrix techniques and average information. J. Dairy Sci. 78:449.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from holdback.size.mixed_model.restricted_likelihood import Point

FloatArray = npt.NDArray[np.float64]

HALVINGS = 12
"""Times that a step is halved before another kind is tried."""

SETTLED = 1e-14
"""Gain of log-likelihood that the next step promises at which there is nothing left to gain."""

SEEN = 1e-8
"""Gain of log-likelihood that stands out of rounding; a step that promises less is not asked whether it brings it."""

BLIND = 1e-8
"""Smallest eigenvalue of the information, scaled to a unit diagonal, that counts as 0."""

DAMPED = 1e-2
"""What is then added, as a part of the diagonal; any small part serves, for steps are halved."""

RANK = 1e-10
"""Eigenvalue of a G0, as a part of its largest, that counts as 0."""


def following_point(point: Point, *, by_em: bool) -> tuple[Point | None, bool]:
    """The next point on the way to the largest likelihood.

    Parameters
    ----------
    point : Point
        Where the way has come to.
    by_em : bool
        Take a step of EM, else of average information.

    Returns
    -------
    (Point or None, bool)
        None if no better point was found, and whether there is nothing left to gain.
    """
    if by_em:
        return em_step(point), False
    direction, promised = _direction(point)
    if promised < SETTLED:
        return None, True
    layout = point.likelihood.layout
    gain = SEEN if promised > SEEN else -SEEN
    found = [_halved(point, gain, lambda part: layout.nearest_within(point.parameters + part * direction))]
    ranks = [_rank(one) for one in layout.matrices(point.parameters)]
    if any(0 < rank < size for rank, size in zip(ranks, layout.sizes, strict=True)):
        found.append(_halved(point, SEEN, _along_boundary(point, ranks)))
    better = [one for one in found if one is not None]
    if better:
        return max(better, key=lambda one: one.value), False
    following = em_step(point)
    if following is None or following.value <= point.value + SEEN:
        return None, True
    return following, False


def em_step(point: Point) -> Point | None:
    """G0 + 2 G0 S G0 / q with S the symmetric matrix of scores of an effect with q levels."""
    likelihood = point.likelihood
    layout = likelihood.layout
    parts = zip(likelihood.effects, layout.matrices(point.parameters), _slopes(point), strict=True)
    following = [between + 2.0 / effect.n_levels * between @ slope @ between for effect, between, slope in parts]
    residual = point.parameters[-1]
    residual += 2.0 / len(likelihood.y) * residual**2 * point.score[-1]
    return likelihood.at(layout.vector(following, float(residual)))


def _direction(point: Point) -> tuple[FloatArray, float]:
    """Step of average information with pinned variances left alone, and the gain that it promises."""
    free = ~point.likelihood.layout.pinned(point.parameters, point.score)
    direction = np.zeros(len(free))
    information, score = point.information[np.ix_(free, free)], point.score[free]
    direction[free] = np.linalg.lstsq(_regular(information), score, rcond=None)[0]
    return direction, 0.5 * float(direction[free] @ score)


def _regular(information: FloatArray) -> FloatArray:
    """The information, with some added where it does not see a direction that the score may point in.

    It is made of what records show, and is singular for records that by chance show nothing of a direction.
    """
    unit = np.sqrt(np.maximum(information.diagonal(), np.finfo(np.float64).tiny))
    if len(unit) == 0 or np.linalg.eigvalsh(information / np.outer(unit, unit)).min() > BLIND:
        return information
    return information + DAMPED * np.diag(unit**2)


def _halved(point: Point, gain: float, parameters: Callable[[float], FloatArray]) -> Point | None:
    """The first point of a whole step, half of it, a quarter, ... that gains."""
    for halving in range(HALVINGS):
        following = point.likelihood.at(parameters(0.5**halving))
        if following is not None and following.value > point.value + gain:
            return following
    return None


def _along_boundary(point: Point, ranks: list[int]) -> Callable[[float], FloatArray]:
    """Parameters after a part of a step in the entries of U, each G0 = U U' of the rank that it has.

    The curvature is J' I J - 2 S in the rows of U, of S the part that falls away from the boundary only.
    """
    layout = point.likelihood.layout
    factors = [_factor(one, rank) for one, rank in zip(layout.matrices(point.parameters), ranks, strict=True)]
    columns, owners = [], []
    for effect, factor in enumerate(factors):
        for row, column in np.ndindex(factor.shape):
            moved = [np.zeros((size, size)) for size in layout.sizes]
            moved[effect][row] = factor[:, column]
            columns.append(layout.vector([one + one.T for one in moved], 0.0))
            owners.append((effect, row, column))
    columns.append(layout.vector([np.zeros((size, size)) for size in layout.sizes], 1.0))
    turned = np.column_stack(columns)
    curvature = turned.T @ point.information @ turned
    falls = [_non_positive(one) for one in _slopes(point)]
    for one, (effect, row, column) in enumerate(owners):
        for other, (second, second_row, second_column) in enumerate(owners):
            if effect == second and column == second_column:
                curvature[one, other] -= 2.0 * falls[effect][row, second_row]
    step = np.linalg.lstsq(curvature, turned.T @ point.score, rcond=None)[0]

    def parameters(part: float) -> FloatArray:
        start, matrices = 0, []
        for factor in factors:
            moved = factor + part * step[start : start + factor.size].reshape(factor.shape)
            matrices.append(moved @ moved.T)
            start += factor.size
        return layout.vector(matrices, max(float(point.parameters[-1] + part * step[-1]), 0.0))

    return parameters


def _slopes(point: Point) -> list[FloatArray]:
    """S of each effect, with dl = tr S dG0: a covariance stands twice in G0."""
    return [(one + np.diag(one.diagonal())) / 2.0 for one in point.likelihood.layout.matrices(point.score)]


def _rank(matrix: FloatArray) -> int:
    values = np.linalg.eigvalsh(matrix)
    return int((values > RANK * max(float(values.max()), 0.0)).sum()) if values.max() > 0.0 else 0


def _factor(matrix: FloatArray, rank: int) -> FloatArray:
    """U with U U' the matrix, shape (n_parts, rank)."""
    values, vectors = np.linalg.eigh(matrix)
    found: FloatArray = vectors[:, len(values) - rank :] * np.sqrt(values[len(values) - rank :])
    return found


def _non_positive(matrix: FloatArray) -> FloatArray:
    values, vectors = np.linalg.eigh(matrix)
    found: FloatArray = (vectors * np.minimum(values, 0.0)) @ vectors.T
    return found
