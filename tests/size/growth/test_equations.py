"""The absorbed equations against the same model written out: every effect by name, one dense variance matrix."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from tests.size.growth.invented import answers_over, data_of, records

from holdback.descent.kinship import relationship
from holdback.size.growth.columns import Columns
from holdback.size.growth.equations import moments, shared_values, solved, state_of
from holdback.size.growth.linearised import Curves, State
from holdback.size.growth.spread import Spread
from holdback.size.growth.weighed import genetic_part, quantities

FloatArray = npt.NDArray[np.float64]


def _strewn(curves: Curves) -> State:
    """A state off the prior means, so that nothing is nought by chance."""
    random = np.random.default_rng(np.random.SeedSequence(7))
    data, columns = curves.data, curves.columns
    common = columns.means + 0.05 * random.normal(size=columns.n_common)
    own = 0.05 * random.normal(size=(data.n_rows, columns.n_own))
    own[:, 3:] = 0.0
    own[data.is_usual] = 0.0
    genetic = 0.05 * random.normal(size=data.n_rows) * ~data.is_usual
    return State(common, genetic, 0.05 * random.normal(size=data.n_clutches), own)


class Written:
    """All readings stacked, with the design of each effect and their prior variance."""

    def __init__(self, curves: Curves, spread: Spread, state: State, pedigree_matrix: FloatArray) -> None:
        data, columns = curves.data, curves.columns
        s, p = columns.n_shared, columns.n_common
        shared, own, y, noise, who = [], [], [], [], []
        values = shared_values(curves, state)
        for bucket in data.buckets:
            slope = curves.slopes(state, bucket)
            for line, animal in enumerate(bucket.animals):
                for place in np.flatnonzero(bucket.there[line]):
                    shared.append(slope.shared[line, place])
                    own.append(slope.own[line, place] * (0.0 if data.is_usual[animal] else 1.0))
                    y.append(slope.residual[line, place] + shared[-1] @ values[animal] + own[-1] @ state.own[animal])
                    sd = bucket.sd[line, place] or spread.scale[bucket.traits[line, place]]
                    noise.append(sd**2)
                    who.append(int(animal))
        self.common = np.array(shared)[:, :p]
        self.y = np.array(y)
        n, animals = len(y), data.n_rows
        by_animal = np.zeros((n, animals))
        by_animal[np.arange(n), who] = np.array(shared)[:, s - 2]
        clutches = np.zeros((n, data.n_clutches))
        for row, animal in enumerate(who):
            if data.clutch[animal] >= 0:
                clutches[row, data.clutch[animal]] = shared[row][s - 1]
        additive = np.zeros((animals, animals))
        additive[:-2, :-2] = spread.additive_variance * pedigree_matrix
        lasting = np.diag(np.where(data.is_usual, 0.0, spread.lasting_variance))
        self.adult = by_animal
        self.additive = additive
        variance = by_animal @ (additive + lasting) @ by_animal.T + spread.clutch**2 * clutches @ clutches.T
        for column, sd in ((1, spread.hatching), (2, spread.rate)):
            effect = np.zeros((n, animals))
            effect[np.arange(n), who] = np.array(own)[:, column]
            variance += sd**2 * effect @ effect.T
        self.variance = variance + np.diag(noise)


@pytest.mark.parametrize("doubtful", [False, True])
def test_solved__equals_the_model_written_out(doubtful: bool) -> None:
    answers = answers_over(records(doubtful=doubtful))
    data = data_of(answers)
    curves, spread = Curves(data, Columns.of(data)), Spread.assumed(data.traits)
    state = _strewn(curves)
    pedigree = answers.descent.pedigree
    nodes = [pedigree.index[one] for one in data.ids]
    written = Written(curves, spread, state, relationship(pedigree)[np.ix_(nodes, nodes)])
    columns, p = curves.columns, curves.columns.n_common
    slopes = [curves.slopes(state, bucket) for bucket in data.buckets]
    found = solved(curves, spread, state, slopes, with_evidence=True)
    whole = written.variance + written.common @ np.diag(columns.sds**2) @ written.common.T
    away = written.y - written.common @ columns.means
    # generalised least squares with priors, and the additive values by selection index
    gain = np.linalg.solve(whole, away)
    common = columns.means + columns.sds**2 * (written.common.T @ gain)
    assert found.x[:p] == pytest.approx(common, abs=1e-8)
    prior = np.diag(columns.sds**2)
    left = prior @ written.common.T @ np.linalg.solve(whole, written.common) @ prior
    assert found.variance[:p, :p] == pytest.approx(prior - left, abs=1e-7)
    additive = written.additive @ written.adult.T @ gain
    after, spreads = state_of(curves, found), moments(curves, found)
    part, _ = genetic_part(curves, spread, after)
    mine = after.genetic + part * after.own[:, 0]
    assert mine[:-2] == pytest.approx(additive[:-2], abs=1e-8)
    cross = written.adult @ written.additive
    spread_left = np.diag(written.additive) - np.sum(cross * np.linalg.solve(whole, cross), axis=0)
    told = quantities(curves, spread, after, spreads).within_line
    assert told.variance[:-2] == pytest.approx(spread_left[:-2], abs=1e-8)
    sign, log_det = np.linalg.slogdet(whole)
    assert sign > 0
    assert found.log_evidence == pytest.approx(-0.5 * (log_det + away @ gain), abs=1e-6)


def test_slopes__are_the_derivatives() -> None:
    data = data_of(answers_over(records()))
    curves = Curves(data, Columns.of(data))
    state = _strewn(curves)
    bucket = max(data.buckets, key=lambda one: one.years.size)
    slope = curves.slopes(state, bucket)
    step = 1e-6
    for number in range(curves.columns.n_common):
        moved = state.common.copy()
        moved[number] += step
        other = curves.slopes(State(moved, state.genetic, state.clutch, state.own), bucket)
        by_hand = -(other.residual - slope.residual) / step
        assert by_hand == pytest.approx(slope.shared[..., number] * bucket.there, abs=1e-4), number
    for number in range(3):
        own = state.own.copy()
        own[:, number] += step
        other = curves.slopes(State(state.common, state.genetic, state.clutch, own), bucket)
        assert -(other.residual - slope.residual) / step == pytest.approx(
            slope.own[..., number] * bucket.there, abs=1e-4
        )
