"""Information and connectedness against textbook formulas solved by SciPy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import linalg, sparse  # type: ignore[import-untyped]

from holdback.size.connectedness import connected_parts
from holdback.size.share_information import information_left

pytestmark = pytest.mark.outside


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("level_sd", [0.05, 0.15, 0.6])
def test_information_left__generalised_least_squares(seed: int, level_sd: float) -> None:
    """Information on a slope beside a mean, x'V^-1 x - (1'V^-1 x)^2 / 1'V^-1 1, with V built out in full (Aitken 1936).

    Against levels that are known: weighted least squares without them.
    """
    random = np.random.default_rng([seed, 515])
    n = 30
    share = random.choice([0, 0.25, 0.5, 1], n)
    rooms, years = random.choice(["A", "B", "C", ""], n), random.choice(["2020", "2021", ""], n)
    weight = random.uniform(0.3, 3, n)
    errors = 0.16**2 / weight
    v = np.diag(errors)
    for levels in (rooms, years):
        v += level_sd**2 * ((levels[:, None] == levels[None, :]) & (levels != "") | np.eye(n, dtype=bool))
    found = information_left(share, [list(rooms), list(years)], weights=weight, level_sd=level_sd, residual_sd=0.16)
    assert found == pytest.approx(slope(share, v) / slope(share, np.diag(errors)), rel=1e-8)


def slope(share: np.ndarray, v: np.ndarray) -> float:
    ones = np.ones_like(share)
    inverse_share, inverse_ones = linalg.solve(v, share, assume_a="pos"), linalg.solve(v, ones, assume_a="pos")
    return float(share @ inverse_share - (share @ inverse_ones) ** 2 / (ones @ inverse_ones))


@pytest.mark.parametrize("seed", range(6))
def test_information_left__one_less_r_squared(seed: int) -> None:
    """Free levels: 1 - R^2 of the share on dummies, by SciPy's least squares."""
    random = np.random.default_rng([seed, 616])
    share, levels = random.choice([0, 0.5, 1], 25), random.choice(list("ABCD"), 25)
    dummies = (levels[:, None] == np.unique(levels)[None, :]).astype(float)
    residual = share - dummies @ linalg.lstsq(dummies, share)[0]
    r2 = 1 - residual @ residual / ((share - share.mean()) ** 2).sum()
    assert information_left(share, [list(levels)]) == pytest.approx(1 - r2, abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_connected_parts__components_of_the_graph_of_levels(seed: int) -> None:
    """Two factors: parts are the components of the bipartite graph of levels, by scipy.sparse.csgraph."""
    random = np.random.default_rng([seed, 717])
    rows, columns = random.integers(0, 7, 9), random.integers(0, 7, 9)
    graph = sparse.coo_matrix((np.ones(9), (rows, columns + 7)), shape=(14, 14))
    _, component = sparse.csgraph.connected_components(graph, directed=False)
    expected = sorted(np.unique(component[rows], return_counts=True)[1].tolist(), reverse=True)
    parts = connected_parts([str(one) for one in rows], [str(one) for one in columns])
    assert [one.n_animals for one in parts] == expected
    assert {len({component[int(cell[0])] for cell in one.cells}) for one in parts} == {1}
