"""Several traits against one trait at a time, and against the covariance of records."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.size.mixed_model.mixed_strategies import recorded

from holdback.descent.kinship import relationship
from holdback.descent.pedigree import Pedigree
from holdback.errors import SizeError
from holdback.size.mixed_model import (
    Records,
    TraitRecords,
    Variances,
    animal_model,
    incidence,
    several_traits,
)

FloatArray = npt.NDArray[np.float64]

EXACT = 1e-8


@st.composite
def measured(draw: st.DrawFn) -> tuple[Pedigree, TraitRecords]:
    """Two traits, each measured at least once and not on every animal."""
    pedigree, records = draw(recorded())
    n = len(records.values)
    value = st.one_of(st.integers(-20, 20).map(float), st.just(np.nan))
    values = np.array(draw(st.lists(st.tuples(value, value), min_size=n, max_size=n)))
    assume(bool((~np.isnan(values)).any(axis=0).all()))
    return pedigree, TraitRecords(values, records.animals, [records.fixed, np.ones((n, 1))])


def close(found: FloatArray, told: FloatArray) -> None:
    np.testing.assert_allclose(found, told, rtol=0, atol=EXACT)


@given(measured())
def test_several_traits__uncorrelated_are_traits_alone(drawn: tuple[Pedigree, TraitRecords]) -> None:
    pedigree, records = drawn
    genetic, residual = np.diag([2.0, 3.0]), np.diag([1.0, 4.0])
    found = several_traits(records, pedigree, genetic=genetic, residual=residual)
    for trait in range(2):
        seen = ~np.isnan(records.values[:, trait])
        alone = Records(records.values[seen, trait], records.animals[seen], records.fixed[trait][seen])
        told = animal_model(alone, pedigree, Variances(genetic[trait, trait], residual[trait, trait]))
        close(found.breeding_values[:, trait], told.breeding_values)
        close(found.pev[:, trait], told.pev)
        close(found.reliability[:, trait], told.reliability)


@given(measured(), st.sampled_from([-0.8, 0.3, 0.8]), st.sampled_from([-0.5, 0.5]))
def test_several_traits__equal_generalised_least_squares(
    drawn: tuple[Pedigree, TraitRecords], genetic_correlation: float, residual_correlation: float
) -> None:
    pedigree, records = drawn
    genetic = np.array([[2.0, genetic_correlation * 6**0.5], [genetic_correlation * 6**0.5, 3.0]])
    residual = np.array([[1.0, residual_correlation * 2.0], [residual_correlation * 2.0, 4.0]])
    found = several_traits(records, pedigree, genetic=genetic, residual=residual)

    n = len(records.values)
    seen = ~np.isnan(records.values.T.ravel())
    reading = np.kron(np.eye(2), incidence(records.animals, len(pedigree)))[seen]
    fixed = np.zeros((2 * n, 3))
    fixed[:n, :2], fixed[n:, 2:] = records.fixed
    fixed = fixed[seen]
    prior = np.kron(genetic, relationship(pedigree))
    inverse = np.linalg.inv(reading @ prior @ reading.T + np.kron(residual, np.eye(n))[np.ix_(seen, seen)])
    projection = inverse - inverse @ fixed @ np.linalg.pinv(fixed.T @ inverse @ fixed) @ fixed.T @ inverse
    towards = prior @ reading.T
    close(found.breeding_values.T.ravel(), towards @ projection @ records.values.T.ravel()[seen])
    close(found.pev.T.ravel(), (prior - towards @ projection @ towards.T).diagonal())


@pytest.mark.parametrize("genetic, residual", [(2.0, 0.5), (0.5, 2.0)])
def test_several_traits__correlation_beyond_one(genetic: float, residual: float) -> None:
    pedigree = Pedigree.from_parents({"K": ("S", "D")})
    records = TraitRecords(np.array([[1.0, 2.0]]), np.array([0]), [np.ones((1, 1))] * 2)
    with pytest.raises(SizeError, match=r"SIZ-204 field variances: The covariance of .* is not positive definite"):
        several_traits(
            records,
            pedigree,
            genetic=np.array([[1.0, genetic], [genetic, 1.0]]),
            residual=np.array([[1.0, residual], [residual, 1.0]]),
        )
