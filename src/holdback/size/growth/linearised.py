"""The curves of all animals at the present values, and how each reading moves with each coefficient."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.size.curves import free_shape
from holdback.size.growth.columns import CENTRE, OWN, Columns
from holdback.size.growth.data import HEADS, Bucket, GrowthData

FloatArray = npt.NDArray[np.float64]

RATE_AT_MOST = 3.0
"""Largest size of the logarithm of a growth rate that is followed; beyond, a curve is flat or a step."""


@dataclass(frozen=True, eq=False)
class State:
    """Values of all coefficients.

    Parameters
    ----------
    common : float array, shape (n_common,)
        Common ones.
    genetic : float array, shape (n_rows,)
        Genetic part of each animal by its equations.
    clutch : float array, shape (n_clutches,)
        Clutches.
    own : float array, shape (n_rows, n_own)
        What each animal has of its own.
    """

    common: FloatArray
    genetic: FloatArray
    clutch: FloatArray
    own: FloatArray


@dataclass(frozen=True, eq=False)
class Slopes:
    """Readings of a bucket at a state, and their derivatives.

    Parameters
    ----------
    shared : float array, shape (n, r, n_shared)
        By the common coefficients, g and c.
    own : float array, shape (n, r, n_own)
        By what each animal has of its own.
    residual : float array, shape (n, r)
        Reading less curve.
    """

    shared: FloatArray
    own: FloatArray
    residual: FloatArray


class Curves:
    """The model: common coefficients, columns and animals put together.

    Parameters
    ----------
    data : GrowthData
        Animals.
    columns : Columns
        Places of the coefficients.
    """

    def __init__(self, data: GrowthData, columns: Columns) -> None:
        self.data = data
        self.columns = columns

    def beginning(self) -> State:
        """State at the prior means."""
        data = self.data
        return State(
            self.columns.means.copy(),
            np.zeros(data.n_rows),
            np.zeros(data.n_clutches),
            np.zeros((data.n_rows, self.columns.n_own)),
        )

    def clutch_of(self, state: State) -> FloatArray:
        """Effect of its clutch on each animal, shape (n_rows,)."""
        if not self.data.n_clutches:
            return np.zeros(self.data.n_rows)
        return np.where(self.data.clutch >= 0, state.clutch[self.data.clutch], 0.0)

    def deviation(self, state: State) -> FloatArray:
        """Adult deviation of each animal, lines included, shape (n_rows,)."""
        lines: FloatArray = self.data.shares @ state.common[self.columns.lines]
        return lines + state.genetic + state.own[:, 0]

    def parameters(self, state: State) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Adult log mass, hatching log mass and log growth rate of each animal, each of shape (n_rows,)."""
        data, columns, common = self.data, self.columns, state.common
        female = data.female
        deviation = self.deviation(state)
        rooms = np.append(common[columns.rooms], 0.0)
        adult = female * common[0] + (1 - female) * common[1] + rooms[data.room] + deviation + state.own[:, 4]
        bred = common[2] + common[5] * deviation + common[7] * data.egg + self.clutch_of(state)
        hatching = np.where(data.has_age, bred, data.start) + state.own[:, 1]
        rate = female * common[3] + (1 - female) * common[4] + state.own[:, 2]
        return adult, hatching, np.clip(rate, -RATE_AT_MOST, RATE_AT_MOST)

    def slopes(self, state: State, bucket: Bucket) -> Slopes:
        """Residuals and derivatives of a bucket."""
        data, columns = self.data, self.columns
        who = bucket.animals
        adult, hatching, rate = (one[who, None] for one in self.parameters(state))
        years = bucket.years + state.own[who, 3, None] * (data.born_sd[who, None] > 0)
        since = np.maximum(years, 0.0)
        by = free_shape(since, adult, hatching, rate, float(state.common[6]))
        value = by.value + by.t * (years - since)  # before hatching along the tangent, so that a doubtful day can move
        shared = np.zeros((*bucket.years.shape, columns.n_shared))
        own = np.zeros((*bucket.years.shape, columns.n_own))
        female, has_age = data.female[who, None], data.has_age[who, None].astype(np.float64)
        shown = by.alpha + has_age * state.common[5] * by.eta
        at_hatching = has_age * by.eta
        shared[..., 0], shared[..., 1] = female * by.alpha, (1 - female) * by.alpha
        shared[..., 2] = at_hatching
        shared[..., 3], shared[..., 4] = female * by.log_rate, (1 - female) * by.log_rate
        shared[..., 5] = at_hatching * self.deviation(state)[who, None]
        shared[..., 6] = by.shape
        shared[..., 7] = at_hatching * data.egg[who, None]
        shared[..., columns.lines] = shown[..., None] * data.shares[who][:, None, :]
        for number in range(columns.n_rooms):
            shared[..., columns.rooms.start + number] = by.alpha * (data.room[who, None] == number)
        shared[..., -2] = shown
        shared[..., -1] = at_hatching * (data.clutch[who, None] >= 0)
        own[..., 0], own[..., 1], own[..., 2] = shown, by.eta, by.log_rate
        own[..., 3] = by.t * (data.born_sd[who, None] > 0)
        own[..., 4] = by.alpha * (female == 0.5)
        value = self._other_traits(state, bucket, value, shared, own)
        return Slopes(shared, own, (bucket.values - value) * bucket.there)

    def _other_traits(
        self, state: State, bucket: Bucket, value: FloatArray, shared: FloatArray, own: FloatArray
    ) -> FloatArray:
        """Lengths and heads by allometry on the curve of mass; changes the derivatives in place."""
        data, columns, common = self.data, self.columns, state.common
        who, found = bucket.animals, value
        female = data.female[who, None]
        for number, trait in enumerate(data.traits[1:], start=1):
            here = bucket.traits == number
            if not here.any():
                continue
            first, slope = columns.place[f"{trait} female"], columns.place[f"{trait} slope"]
            intercept = female * common[first] + (1 - female) * common[first + 1]
            deviation = state.own[who, len(OWN) + number - 1, None]
            scaled = intercept + common[slope] * (value - CENTRE) + deviation
            shared[here] *= common[slope]
            own[here] *= common[slope]
            shared[..., first] += here * female
            shared[..., first + 1] += here * (1 - female)
            shared[..., slope] += here * (value - CENTRE)
            own[..., len(OWN) + number - 1] += here
            if trait in HEADS:
                for line, name in enumerate(data.lines):
                    place = columns.place[f"{trait} line {name}"]
                    shares = data.shares[who, line, None]
                    scaled = scaled + common[place] * shares
                    shared[..., place] += here * shares
            found = np.where(here, scaled, found)
        return found
