"""Variances of large pedigrees by restricted maximum likelihood with drawn traces, where factors would be too large.

Everything but one trace of the average-information equations is solutions of the mixed model equations. The trace is
that of lambda L K^uu L', with L'L = A^-1 and K^uu the animals' part of the inverse; w' (lambda L K^uu L') w of a vector
w of signs drawn at random has it for its mean (Hutchinson). The signs stay the same from step to step, so that
the steps settle; what other signs would have given is told as an error.

References
----------
Garcia-Cortes, Moreno, Varona and Altarriba (1992), Variance component estimation by resampling. J. Anim. Breed. Genet.
109:358. Hutchinson (1989), A stochastic estimator of the trace of the influence matrix. Communications in Statistics,
Simulation and Computation 18:1059. Johnson and Thompson (1995), J. Dairy Sci. 78:449. (titles from memory)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.size.sparse.conjugate_gradient import Equations, EquationsAt, Solved
from holdback.size.sparse.model import AnimalModel
from holdback.size.sparse.reml import variance_within

FloatArray = npt.NDArray[np.float64]

CLOSE = 1e-4
"""Relative step of both variances that ends the search."""
FACTOR = 3.0
"""Largest change of a variance in one step, as a factor."""
TOLERANCE = 1e-6
"""Residual of the solutions for the drawn vectors."""
EM_STEPS, MOST_STEPS = 2, 60


@dataclass(frozen=True, eq=False)
class DrawnVariances:
    """Both variances, with the error of the records and that of the drawing.

    Parameters
    ----------
    additive, residual : float
        sigma2_a and sigma2_e, in the square of the unit of the values.
    covariance : float array, shape (2, 2)
        Of their sampling errors, from the average information.
    drawing_error : float array, shape (2,)
        Standard error of each that other signs would make; it falls with the square root of their number.
    steps : int
        Steps taken.
    is_converged : bool
        Whether the last step was small.
    """

    additive: float
    residual: float
    covariance: FloatArray
    drawing_error: FloatArray
    steps: int
    is_converged: bool

    @property
    def heritability(self) -> float:
        """Additive part of the variance."""
        return self.additive / (self.additive + self.residual)


def drawn_reml(
    model: AnimalModel, random: np.random.Generator, *, n_drawn: int = 32, compiled: bool | None = None
) -> DrawnVariances:
    """Additive and residual variance of a model by restricted maximum likelihood with drawn traces.

    Parameters
    ----------
    model : AnimalModel
        Records and pedigree.
    random : numpy Generator
        Of a seed of its own: signs drawn from the seed that drew the records would hang together with them.
    n_drawn : int
        Vectors of signs, two or more.
    compiled : bool, optional
        As in `solve_by_conjugate_gradient`.

    Returns
    -------
    DrawnVariances
        At the last step; look at `is_converged`.

    Raises
    ------
    SizeError
        SIZ-225 if the records leave no variance; SIZ-223 if the equations cannot be solved.

    Notes
    -----
    A step costs `n_drawn` + 3 solutions by conjugate gradients, begun at those of the step before.
    """
    signs = np.where(random.random((n_drawn, model.n)) < 0.5, -1.0, 1.0)
    roots = np.sqrt(model.mendelian)
    right = [model.handed_back(one / roots) for one in signs]
    drawing = _Drawing(model, Equations(model, compiled=compiled), signs, right, roots)
    variances = np.array([0.5, 0.5]) * variance_within(model)
    is_converged, steps = False, 0
    while not is_converged and steps < MOST_STEPS:
        point = drawing.at(variances)
        step = point.em_step() if steps < EM_STEPS else point.step()
        following = np.clip(variances + step, variances / FACTOR, variances * FACTOR)
        is_converged = steps >= EM_STEPS and bool(np.all(np.abs(following - variances) < CLOSE * variances))
        variances, steps = following, steps + 1
    point = drawing.at(variances)
    covariance = np.asarray(np.linalg.inv(point.information), dtype=np.float64)
    drawing_error = np.asarray(np.abs(covariance @ point.score_by_trace) * point.trace_error, dtype=np.float64)
    additive, residual = (float(one) for one in variances)
    return DrawnVariances(additive, residual, covariance, drawing_error, steps, is_converged)


class _Drawing:
    """The drawn vectors, and the last solutions for them to begin the next with."""

    def __init__(
        self, model: AnimalModel, equations: Equations, signs: FloatArray, right: list[FloatArray], roots: FloatArray
    ) -> None:
        self.model, self.equations = model, equations
        self.signs, self.right, self.roots = signs, right, roots
        self.last: list[Solved | None] = [None] * len(right)
        self.none = np.zeros(model.n_groups)

    def at(self, variances: FloatArray) -> _Point:
        """Score and information at one pair of variances."""
        ratio = float(variances[1] / variances[0])
        here = self.equations.at(ratio)
        traces = []
        for number, right in enumerate(self.right):
            found = here.solution(self.none, right, tolerance=TOLERANCE, start=self.last[number])
            self.last[number] = found
            traces.append(ratio * float(self.signs[number] @ (self.model.mendelian_parts(found.animals) / self.roots)))
        return _Point(self.model, here, variances, np.array(traces))


class _Point:
    """Score and average information at one pair of variances, additive and residual."""

    def __init__(self, model: AnimalModel, here: EquationsAt, variances: FloatArray, traces: FloatArray) -> None:
        self.model, self.variances = model, variances
        additive, residual = variances
        solved = here.solution(*model.right_side(model.values))
        rest = self._left(model.values, solved)
        shown = float(traces.mean())
        of_additive = model.inverse_form(solved.animals, solved.animals) / additive - (model.n - shown)
        n_free = len(model.values) - model.n_groups
        of_residual = rest @ (model.weights * rest) / residual - (n_free - model.n + shown)
        self.score = 0.5 * np.array([of_additive / additive, of_residual / residual])
        self.score_by_trace = 0.5 * np.array([1.0 / additive, -1.0 / residual])
        self.trace_error = float(traces.std(ddof=1) / np.sqrt(len(traces)))
        working = np.stack([solved.animals[model.animals] / additive, rest / residual])
        left = np.stack([self._left(one, here.solution(*model.right_side(one))) for one in working])
        found = 0.5 * working @ (model.weights * left).T / residual
        self.information: FloatArray = 0.5 * (found + found.T)

    def _left(self, values: FloatArray, solved: Solved) -> FloatArray:
        """What a solution leaves of the values it was made for."""
        return np.asarray(values - solved.groups[self.model.groups] - solved.animals[self.model.animals])

    def em_step(self) -> FloatArray:
        """Step of EM."""
        counts = np.array([self.model.n, len(self.model.values)])
        return np.asarray(2.0 / counts * self.variances**2 * self.score)

    def step(self) -> FloatArray:
        """Step of average information."""
        return np.asarray(np.linalg.solve(self.information, self.score))
