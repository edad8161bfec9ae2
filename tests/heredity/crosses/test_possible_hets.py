"""Possible hets against the engine."""

from __future__ import annotations

import pytest

from holdback.heredity.crosses.possible_hets import het_after_normals, het_in_population, normals_needed


@pytest.mark.parametrize("prior", [0.05, 1 / 3, 0.5, 2 / 3, 0.99])
@pytest.mark.parametrize("below", [0.001, 0.01, 0.3])
@pytest.mark.parametrize("shows", [True, False])
def test_normals_needed__is_the_first_that_falls_below(prior: float, below: float, *, shows: bool) -> None:
    needed = normals_needed(prior, below, mate_shows=shows)
    mate = None if shows else 1.0
    assert het_after_normals(prior, needed, mate_het=mate) < below
    assert needed == 0 or het_after_normals(prior, needed - 1, mate_het=mate) >= below * (1 - 1e-9)


def test_het_in_population__ends() -> None:
    assert het_in_population(0.0) == 0.0
    assert het_in_population(0.999) == pytest.approx(1.0, abs=1e-3)
