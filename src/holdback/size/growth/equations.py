"""The mixed model equations of the growth model at a state, with every animal's own coefficients absorbed.

The linearised readings are y = B (b, g, c) + L o + e for each animal, with b the common coefficients, g the genetic
part by its equations, c its clutch, o its own coefficients. Absorbing o gives a small matrix for each animal; absorbing
the clutches, and adding the Mendelian rows of the equations, leaves (b, u): common coefficients and the additive values
of animals with young. Posterior moments come back the same way.

References
----------
Henderson (1984), Applications of linear models in animal breeding. Laird & Ware (1982), Biometrics 38:963.
Lindstrom & Bates (1990), Nonlinear mixed effects models for repeated measures data. Biometrics 46:673.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.size.growth.columns import OWN
from holdback.size.growth.linearised import Curves, Slopes, State
from holdback.size.growth.nodes import SparseRows, summed
from holdback.size.growth.spread import START_SD, Spread

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Absorbed:
    """What is left of each animal once its own coefficients are absorbed; n rows, s shared and o own coefficients.

    Parameters
    ----------
    matrix : float array, shape (n, s, s)
        Information on the shared coefficients.
    right : float array, shape (n, s)
        Right-hand sides.
    own_variance : float array, shape (n, o, o)
        Variance of the own coefficients given the shared ones.
    own_by_shared : float array, shape (n, o, s)
        How much the own coefficients fall as shared ones rise.
    own_at_zero : float array, shape (n, o)
        Own coefficients where the shared ones are 0.
    square : float
        Sum of squares less what the own coefficients explain.
    log_determinant : float
        Of the readings' variances given the shared coefficients.
    own_prior : float array, shape (n, o)
        Prior variances of the own coefficients; 0 where there is none.
    """

    matrix: FloatArray
    right: FloatArray
    own_variance: FloatArray
    own_by_shared: FloatArray
    own_at_zero: FloatArray
    square: float
    log_determinant: float
    own_prior: FloatArray


def mendelian_variances(curves: Curves, spread: Spread, effects: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Variances of the Mendelian parts of the equations and of the animals without one.

    Parameters
    ----------
    curves : Curves
        Model.
    spread : Spread
        Standard deviations.
    effects : float array, shape (n_lines,)
        Line effects: doubt about a share, and chance in meiosis, scatter an animal by them.
    """
    nodes, data = curves.data.nodes, curves.data
    additive = spread.additive_variance
    squares = effects**2
    equations = additive * nodes.variances + data.equation_share_variances @ squares
    own = np.where(nodes.has_own, additive * nodes.own_variance + data.share_variances @ squares, 0.0)
    return equations, own


def own_prior_variances(curves: Curves, spread: Spread, state: State) -> FloatArray:
    """Prior variance of what each animal has of its own, shape (n_rows, n_own); 0 where there is none."""
    data, columns = curves.data, curves.columns
    found = np.zeros((data.n_rows, columns.n_own))
    _, mendelian = mendelian_variances(curves, spread, state.common[columns.lines])
    contrast = (state.common[0] - state.common[1]) / 2
    found[:, 0] = spread.lasting_variance + mendelian
    found[:, 1] = np.where(data.has_age, spread.hatching**2, START_SD**2)
    found[:, 2] = spread.rate**2
    found[:, 3] = data.born_sd**2
    found[:, 4] = np.where(data.female == 0.5, contrast**2, 0.0)
    found[:, len(OWN) :] = spread.traits_own**2
    found[data.is_usual] = 0.0
    return found


def absorbed(curves: Curves, spread: Spread, state: State, slopes: list[Slopes]) -> Absorbed:
    """Every animal with its own coefficients absorbed."""
    data, columns = curves.data, curves.columns
    n, s, o = data.n_rows, columns.n_shared, columns.n_own
    prior = own_prior_variances(curves, spread, state)
    is_there = prior > 0
    matrix, right = np.zeros((n, s, s)), np.zeros((n, s))
    own_variance, own_by_shared, own_at_zero = np.zeros((n, o, o)), np.zeros((n, o, s)), np.zeros((n, o))
    square = log_determinant = 0.0
    shared_now = shared_values(curves, state)
    for bucket, slope in zip(data.buckets, slopes, strict=True):
        who = bucket.animals
        sd = np.where(bucket.sd > 0, bucket.sd, spread.scale[bucket.traits])
        weight = bucket.there / sd**2
        own = slope.own * is_there[who][:, None, :]
        response = slope.residual + bucket.there * (
            np.matmul(slope.shared, shared_now[who][:, :, None])[..., 0]
            + np.matmul(own, state.own[who][:, :, None])[..., 0]
        )
        weighed_shared, weighed_own = slope.shared * weight[..., None], own * weight[..., None]
        own_matrix = np.matmul(weighed_own.transpose(0, 2, 1), own)
        precision = np.where(is_there[who], 1.0 / np.where(is_there[who], prior[who], 1.0), 1.0)
        own_matrix[:, np.arange(o), np.arange(o)] += precision
        inverse = np.linalg.inv(own_matrix) * is_there[who][:, :, None]
        cross = np.matmul(weighed_own.transpose(0, 2, 1), slope.shared)
        own_right = np.matmul(weighed_own.transpose(0, 2, 1), response[..., None])[..., 0]
        by_shared = np.matmul(inverse, cross)
        at_zero = np.matmul(inverse, own_right[..., None])[..., 0]
        matrix[who] = np.matmul(weighed_shared.transpose(0, 2, 1), slope.shared) - np.matmul(
            cross.transpose(0, 2, 1), by_shared
        )
        right[who] = (
            np.matmul(weighed_shared.transpose(0, 2, 1), response[..., None])[..., 0]
            - np.matmul(cross.transpose(0, 2, 1), at_zero[..., None])[..., 0]
        )
        own_variance[who], own_by_shared[who], own_at_zero[who] = inverse, by_shared, at_zero
        square += float(np.sum(weight * response**2) - np.sum(own_right * at_zero))
        log_determinant += float(
            np.sum(np.linalg.slogdet(own_matrix)[1]) - np.sum(np.log(precision)) + 2 * np.sum(bucket.there * np.log(sd))
        )
    return Absorbed(matrix, right, own_variance, own_by_shared, own_at_zero, square, log_determinant, prior)


def shared_values(curves: Curves, state: State) -> FloatArray:
    """Values of the shared coefficients of each animal, shape (n_rows, n_shared)."""
    n = curves.data.n_rows
    common = np.broadcast_to(state.common, (n, len(state.common)))
    return np.concatenate([common, state.genetic[:, None], curves.clutch_of(state)[:, None]], axis=1)


@dataclass(frozen=True, eq=False)
class Solved:
    """Solution of the equations with its variance; x = (common coefficients, additive values of the equations).

    Parameters
    ----------
    x : float array, shape (n_x,)
        Posterior means.
    variance : float array, shape (n_x, n_x)
        Posterior variance.
    clutch : float array, shape (n_clutches,)
        Posterior means of the clutches.
    clutch_by_common : float array, shape (n_clutches, n_common)
        How much the mean of a clutch falls as the common coefficients rise.
    clutch_by_value : SparseRows, shape (n_clutches, n_equations)
        The same for the additive values.
    clutch_variance : float array, shape (n_clutches,)
        Variance of a clutch given x.
    log_evidence : float
        Logarithm of the density of the linearised readings.
    absorbed : Absorbed
        The animals.
    mendelian : float array, shape (n_equations,)
        Variances of the Mendelian parts of the equations.
    """

    x: FloatArray
    variance: FloatArray
    clutch: FloatArray
    clutch_by_common: FloatArray
    clutch_by_value: SparseRows
    clutch_variance: FloatArray
    log_evidence: float
    absorbed: Absorbed
    mendelian: FloatArray

    def clutch_moments(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Minus the covariances of clutches with what they are made of, and their variances.

        Returns
        -------
        with_common : float array, shape (n_clutches, n_common)
            With the common coefficients.
        with_values : float array, shape (n_entries,)
            With the additive value of each entry of `clutch_by_value`.
        variances : float array, shape (n_clutches,)
            Posterior variances.
        """
        p, values = self.clutch_by_common.shape[1], self.clutch_by_value
        common, between = self.variance[:p, :p], self.variance[p:, :p]
        with_common = self.clutch_by_common @ common + values.from_right(between)
        among = (
            values.values[values.pair_other]
            * self.variance[p + values.cols[values.pair_one], p + values.cols[values.pair_other]]
        )
        with_values = np.sum(self.clutch_by_common[values.rows] * between[values.cols], axis=1)
        with_values += summed(values.pair_one, among, len(values.values))
        moved = np.sum(with_common * self.clutch_by_common, axis=1)
        moved += summed(values.rows, values.values * with_values, values.n_rows)
        return with_common, with_values, self.clutch_variance + moved

    def clutch_row(self, clutch: int) -> FloatArray:
        """How much the mean of one clutch falls as x rises, shape (n_x,)."""
        return np.concatenate([self.clutch_by_common[clutch], self.clutch_by_value.of_row(clutch)])


def solved(
    curves: Curves, spread: Spread, state: State, slopes: list[Slopes], *, with_evidence: bool = False
) -> Solved:
    """Solve the equations linearised at a state; the evidence is NaN unless it is asked for."""
    columns, nodes = curves.columns, curves.data.nodes
    animals = absorbed(curves, spread, state, slopes)
    p, n_equations = columns.n_common, len(nodes.equations)
    size = p + n_equations
    mendelian, _ = mendelian_variances(curves, spread, state.common[columns.lines])
    lhs, rhs = np.zeros((size, size)), np.zeros(size)
    lhs[:p, :p] = animals.matrix[:, :p, :p].sum(axis=0) + np.diag(1.0 / columns.sds**2)
    rhs[:p] = animals.right[:, :p].sum(axis=0) + columns.means / columns.sds**2
    lhs[p:, :p] = nodes.made_of.transposed_times(animals.matrix[:, p, :p])
    lhs[:p, p:] = lhs[p:, :p].T
    lhs[p:, p:] = nodes.made_of.outer_sum(animals.matrix[:, p, p]) + nodes.mendelian.outer_sum(1.0 / mendelian)
    rhs[p:] = nodes.made_of.transposed_times(animals.right[:, p, None])[:, 0]
    square = animals.square + float(np.sum((columns.means / columns.sds) ** 2))
    log_determinant = (
        animals.log_determinant + 2 * float(np.sum(np.log(columns.sds))) + float(np.sum(np.log(mendelian)))
    )
    by_common, by_value, precision, clutch_right = _clutches(curves, spread, animals)
    lhs[:p, :p] -= (by_common / precision[:, None]).T @ by_common
    crossed = by_value.transposed_times(by_common / precision[:, None])
    lhs[p:, :p] -= crossed
    lhs[:p, p:] -= crossed.T
    lhs[p:, p:] -= by_value.outer_sum(1.0 / precision)
    rhs[:p] -= by_common.T @ (clutch_right / precision)
    rhs[p:] -= by_value.transposed_times((clutch_right / precision)[:, None])[:, 0]
    square -= float(np.sum(clutch_right**2 / precision))
    log_determinant += float(np.sum(np.log(precision * spread.clutch**2)))
    inverse = np.linalg.inv(lhs)
    variance: FloatArray = (inverse + inverse.T) / 2
    x = variance @ rhs
    x += variance @ (rhs - lhs @ x)
    if with_evidence:
        log_determinant += 2 * float(np.sum(np.log(np.diagonal(np.linalg.cholesky(lhs)))))
    by_common, by_value = by_common / precision[:, None], by_value.weighed(by_value.values / precision[by_value.rows])
    return Solved(
        x,
        variance,
        clutch_right / precision - by_common @ x[:p] - by_value.times(x[p:]),
        by_common,
        by_value,
        1.0 / precision,
        -0.5 * (log_determinant + square - float(x @ rhs)) if with_evidence else float("nan"),
        animals,
        mendelian,
    )


def _clutches(
    curves: Curves, spread: Spread, animals: Absorbed
) -> tuple[FloatArray, SparseRows, FloatArray, FloatArray]:
    """Information of each clutch with common coefficients, with additive values and on itself, and its right side."""
    data, p = curves.data, curves.columns.n_common
    members = data.members
    which = data.clutch[members]
    n = data.n_clutches
    precision = 1.0 / spread.clutch**2 + summed(which, animals.matrix[members, p + 1, p + 1], n)
    right = summed(which, animals.right[members, p + 1], n)
    by_common = np.zeros((n, p))
    np.add.at(by_common, which, animals.matrix[members, p + 1, :p])
    entries, place = data.clutch_entries
    made = data.nodes.made_of
    terms = made.values[entries] * animals.matrix[made.rows[entries], p + 1, p]
    values = summed(place, terms, len(data.clutch_pattern.values))
    return by_common, data.clutch_pattern.weighed(values), precision, right


@dataclass(frozen=True, eq=False)
class Moments:
    """Posterior means and variances of each animal's coefficients, shared ones first.

    Parameters
    ----------
    variance : float array, shape (n_rows, n_shared + n_own, n_shared + n_own)
        Of all its coefficients.
    """

    variance: FloatArray


def moments(curves: Curves, found: Solved) -> Moments:
    """Posterior variance of all coefficients of each animal."""
    data, p = curves.data, curves.columns.n_common
    made, n = data.nodes.made_of, curves.data.n_rows
    shared = np.zeros((n, p + 2, p + 2))
    shared[:, :p, :p] = found.variance[:p, :p]
    with_common = made.from_right(found.variance[p:, :p])
    shared[:, p, :p], shared[:, :p, p] = with_common, with_common
    shared[:, p, p] = made.quadratic(found.variance[p:, p:])
    members = data.members
    if len(members):
        which = data.clutch[members]
        with_common, with_values, variances = found.clutch_moments()
        shared[members, p + 1, :p] = shared[members, :p, p + 1] = -with_common[which]
        entries, place = data.clutch_entries
        with_g = summed(made.rows[entries], made.values[entries] * with_values[place], n)
        shared[members, p + 1, p] = shared[members, p, p + 1] = -with_g[members]
        shared[members, p + 1, p + 1] = variances[which]
    animals = found.absorbed
    fall = np.matmul(animals.own_by_shared, shared)
    own_variance = animals.own_variance + np.matmul(fall, animals.own_by_shared.transpose(0, 2, 1))
    whole = np.empty((n, p + 2 + fall.shape[1], p + 2 + fall.shape[1]))
    whole[:, : p + 2, : p + 2], whole[:, p + 2 :, p + 2 :] = shared, own_variance
    whole[:, p + 2 :, : p + 2], whole[:, : p + 2, p + 2 :] = -fall, -fall.transpose(0, 2, 1)
    return Moments(whole)


def state_of(curves: Curves, found: Solved) -> State:
    """State at the solution."""
    data, p = curves.data, curves.columns.n_common
    genetic = data.nodes.made_of.times(found.x[p:])
    state = State(found.x[:p], genetic, found.clutch, np.zeros((data.n_rows, curves.columns.n_own)))
    shared = shared_values(curves, state)
    fall = np.matmul(found.absorbed.own_by_shared, shared[:, :, None])[..., 0]
    own = (found.absorbed.own_at_zero - fall) * (found.absorbed.own_prior > 0)
    return State(state.common, state.genetic, state.clutch, own)
