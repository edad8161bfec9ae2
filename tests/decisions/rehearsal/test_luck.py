"""The hashed random numbers: even, independent from word to word, and the same for the same thing."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from holdback.decisions.rehearsal.luck import WordArray, further, normals, number_of, run_words, units

N = 20_000


def _by_run() -> WordArray:
    return further(run_words(1, 0, N), number_of("goal"))


def _by_attempt() -> WordArray:
    return further(further(run_words(1, 3, 1), number_of("goal")), np.arange(N, dtype=np.uint64))


@pytest.mark.parametrize("words", [_by_run(), _by_attempt()], ids=["from run to run", "from try to try"])
def test_units__even_and_independent(words: WordArray) -> None:
    found = units(words)
    assert stats.kstest(found, "uniform").pvalue > 1e-3
    assert abs(stats.spearmanr(found[1:], found[:-1]).statistic) < 4 / np.sqrt(N)
    cells = np.histogram2d(found[1:], found[:-1], bins=16, range=[[0, 1], [0, 1]])[0]
    assert stats.chisquare(cells.ravel()).pvalue > 1e-3


def test_further__every_bit_is_a_fair_coin() -> None:
    words = _by_attempt()
    bits = (words[:, None] >> np.arange(64, dtype=np.uint64)) & np.uint64(1)
    assert np.abs(bits.mean(axis=0) - 0.5).max() < 4.5 * 0.5 / np.sqrt(N)
    correlations = np.corrcoef(bits.T.astype(float)) - np.eye(64)
    assert np.abs(correlations).max() < 5.5 / np.sqrt(N)


def test_further__a_neighbour_shares_nothing() -> None:
    """Half of all bits change where the number of the try changes by one."""
    words = _by_attempt()
    changed = np.bitwise_count(words[1:] ^ words[:-1])
    assert changed.mean() == pytest.approx(32.0, abs=0.15)


def test_run_words__do_not_depend_on_where_a_part_begins() -> None:
    assert np.array_equal(run_words(5, 0, 1000)[250:500], run_words(5, 250, 250))
    assert not np.array_equal(run_words(5, 0, 10), run_words(6, 0, 10))


def test_normals__are_normal() -> None:
    assert stats.kstest(normals(_by_run()), "norm").pvalue > 1e-3
