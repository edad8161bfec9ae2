"""The fit: curves of all animals at the mode, standard deviations at the mode of what the readings leave of them.

Each round linearises the curves at the present values, solves the equations, and moves the standard deviations by one
step of Fisher scoring on the linearised likelihood with its prior, and with them how much shows at hatching; rounds go
on until nothing moves.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.size.growth.columns import OWN, Columns
from holdback.size.growth.data import GrowthData
from holdback.size.growth.equations import Moments, Solved, moments, solved, state_of
from holdback.size.growth.linearised import Curves, Slopes, State
from holdback.size.growth.shown import shown_step
from holdback.size.growth.spread import Spread

FloatArray = npt.NDArray[np.float64]

ROUNDS = 60
FIRST = 3
"""Rounds before the standard deviations move."""
CLOSE = 2e-3
"""Largest move of a log standard deviation, and of the log mass, that ends the rounds."""
LONG, SHORTER = 20, 0.5
"""After so many rounds only part of each move is made: some, as of unknown days of hatching, swing back and forth."""
STEP, SHAPE_STEP, SPREAD_STEP = 0.7, 0.25, 0.6
"""Largest moves in one round: of a log mass or log rate, of the shape, of a log standard deviation."""


@dataclass(frozen=True, eq=False)
class Fitted:
    """A fitted collection.

    Parameters
    ----------
    curves : Curves
        The model.
    state : State
        Values at the mode.
    spread : Spread
        Standard deviations at the mode.
    slopes : list of Slopes
        Readings at the mode, by bucket.
    solution : Solved
        Equations at the mode.
    moments : Moments
        Posterior variances at the mode.
    rounds : int
        Rounds taken.
    settled : bool
        Whether nothing moved any more.
    """

    curves: Curves
    state: State
    spread: Spread
    slopes: list[Slopes]
    solution: Solved
    moments: Moments
    rounds: int
    settled: bool


def fitted(data: GrowthData) -> Fitted:
    """Fit the model to all readings.

    Parameters
    ----------
    data : GrowthData
        Animals and readings.

    Notes
    -----
    Cost of a round: the cube of the number of animals with young, plus the readings.
    """
    curves = Curves(data, Columns.of(data))
    spread, state = Spread.assumed(data.traits), curves.beginning()
    slopes = _all_slopes(curves, state)
    pace = Pace(len(spread.logs))
    settled = False
    number = 0
    for number in range(1, ROUNDS + 1):
        found = solved(curves, spread, state, slopes)
        most = 1.0 if number <= LONG else SHORTER
        state, moved = _stepped(curves, state, state_of(curves, found), most)
        slopes = _all_slopes(curves, state)
        if number <= FIRST:
            continue
        spreads = moments(curves, found)
        step = _spread_step(curves, spread, found, spreads, state, slopes)
        more = shown_step(curves, spread, found, spreads, state)
        spread = spread.moved(spread.logs + pace.slowed(step))
        curves = Curves(data, curves.columns.with_shown(curves.columns.shown + more))
        shift = max(float(np.max(np.abs(step))), abs(more))
        if moved < CLOSE and shift < CLOSE:
            settled = True
            break
    found = solved(curves, spread, state, slopes)
    state = state_of(curves, found)
    slopes = _all_slopes(curves, state)
    return Fitted(curves, state, spread, slopes, found, moments(curves, found), number, settled)


def _all_slopes(curves: Curves, state: State) -> list[Slopes]:
    return [curves.slopes(state, bucket) for bucket in curves.data.buckets]


def _stepped(curves: Curves, old: State, new: State, most: float) -> tuple[State, float]:
    """The new state, or part of the way to it, at most `most`; the largest move of a log mass all the way."""
    moves = [float(np.max(np.abs(b - a))) for a, b in zip(curves.parameters(old), curves.parameters(new), strict=True)]
    shape = abs(float(new.common[6] - old.common[6]))
    part = min(most, STEP / max(*moves, 1e-12), SHAPE_STEP / max(shape, 1e-12))
    if part == 1.0:
        return new, max(moves[:2])
    between = State(
        *(a + part * (b - a) for a, b in zip(vars_of(old), vars_of(new), strict=True)),
    )
    return between, max(moves[:2])


def vars_of(state: State) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """The arrays of a state."""
    return state.common, state.genetic, state.clutch, state.own


class Pace:
    """How much of each step is taken: less where it turned back, more where it went on."""

    def __init__(self, n: int) -> None:
        self._part = np.ones(n)
        self._last = np.zeros(n)

    def slowed(self, step: FloatArray) -> FloatArray:
        """The part of a step to take."""
        turned = step * self._last < 0
        went_on = step * self._last > 0
        self._part = np.clip(self._part * np.where(turned, 0.6, np.where(went_on, 1.6, 1.0)), 0.02, 1.0)
        self._last = step
        return np.clip(self._part * step, -SPREAD_STEP, SPREAD_STEP)


def _spread_step(
    curves: Curves, spread: Spread, found: Solved, spreads: Moments, state: State, slopes: list[Slopes]
) -> FloatArray:
    """One step of Fisher scoring."""
    gradient, information = _score(curves, spread, found, spreads, state, slopes)
    _, slope, curvature = spread.log_prior()
    information = information + np.diag(curvature)
    return np.asarray(np.linalg.solve(information, gradient + slope), dtype=np.float64)


def _score(
    curves: Curves, spread: Spread, found: Solved, spreads: Moments, state: State, slopes: list[Slopes]
) -> tuple[FloatArray, FloatArray]:
    """Slopes of the log-likelihood in the logs of `spread`, and about the expected information on them.

    With b any normal effect of variance v, the slope in log v is half of E[b^2 | y] / v - 1 (Fisher's identity); the
    information is half of the squared reliability, 1 - Var(b | y) / v.
    """
    data, columns = curves.data, curves.columns
    size = len(spread.logs)
    gradient, information = np.zeros(size), np.zeros((size, size))
    s, n_traits = columns.n_shared, len(data.traits)
    scale_places = [0, *range(5, 5 + n_traits - 1)]

    def add(places: list[int], ratio: FloatArray, reliability: FloatArray, slopes_of: FloatArray) -> None:
        """One group of effects; `slopes_of` holds the slopes of log v in each place, shape (n, len(places))."""
        gradient[places] += 0.5 * (ratio - 1.0) @ slopes_of
        information[np.ix_(places, places)] += 0.5 * (slopes_of * reliability[:, None] ** 2).T @ slopes_of

    for bucket, slope in zip(data.buckets, slopes, strict=True):
        both = np.concatenate(
            [slope.shared, slope.own * (found.absorbed.own_prior[bucket.animals] > 0)[:, None]], axis=2
        )
        variance = np.sum(np.matmul(both, spreads.variance[bucket.animals]) * both, axis=2)
        square = slope.residual**2 + variance
        for trait, place in enumerate(scale_places):
            here = (bucket.there > 0) & (bucket.traits == trait) & (bucket.sd == 0)
            v = spread.scale[trait] ** 2
            add([place], square[here] / v, np.clip(1 - variance[here] / v, 0, 1), np.full((int(here.sum()), 1), 2.0))
    own_variance = np.diagonal(spreads.variance, axis1=1, axis2=2)[:, s:]
    prior = found.absorbed.own_prior
    square = state.own**2 + own_variance

    def own(column: int, place: int, among: npt.NDArray[np.bool_]) -> None:
        v = prior[among, column]
        reliability = np.clip(1 - own_variance[among, column] / v, 0, 1)
        add([place], square[among, column] / v, reliability, np.full((len(v), 1), 2.0))

    is_animal = ~data.is_usual
    own(1, 1, is_animal & data.has_age)
    own(2, 3, is_animal)
    for number in range(n_traits - 1):
        own(len(OWN) + number, 5 + n_traits - 1 + number, is_animal)
    if data.n_clutches:
        _, _, variance = found.clutch_moments()
        v = spread.clutch**2
        reliability = np.clip(1 - variance / v, 0, 1)
        add([2], (state.clutch**2 + variance) / v, reliability, np.full((len(variance), 1), 2.0))
    _add_adult(curves, spread, found, square, own_variance, add)
    return gradient, information


def _add_adult(
    curves: Curves, spread: Spread, found: Solved, square: FloatArray, own_variance: FloatArray, add: object
) -> None:
    """Adult deviations: the animals' own parts and the Mendelian parts of the equations, by sd and heritability."""
    data, p = curves.data, curves.columns.n_common
    assert callable(add)
    h2, total = spread.heritability, spread.adult**2
    turned = total * h2 * (1 - h2)
    is_animal = ~data.is_usual
    v = found.absorbed.own_prior[is_animal, 0]
    genetic = data.nodes.own_variance[is_animal]
    of_size = 2 * (spread.lasting_variance + spread.additive_variance * genetic) / v
    of_share = turned * (genetic - 1.0) / v
    reliability = np.clip(1 - own_variance[is_animal, 0] / v, 0, 1)
    places = [4, len(spread.logs) - 1]
    add(places, square[is_animal, 0] / v, reliability, np.stack([of_size, of_share], axis=1))
    rows, v = data.nodes.mendelian, found.mendelian
    variance = rows.quadratic(found.variance[p:, p:])
    value = rows.times(found.x[p:])
    genetic = data.nodes.variances
    of_size = 2 * spread.additive_variance * genetic / v
    of_share = turned * genetic / v
    reliability = np.clip(1 - variance / v, 0, 1)
    add(places, (value**2 + variance) / v, reliability, np.stack([of_size, of_share], axis=1))
