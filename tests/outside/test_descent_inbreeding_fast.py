"""Compiled inbreeding against the dense tabular method (Emik & Terrill 1949) and against closed forms."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

pytest.importorskip("numba")

from holdback.descent import inbreeding_columns_fast
from holdback.descent import inbreeding_fast as module
from holdback.descent.inbreeding_fast import inbreeding_fast

pytestmark = pytest.mark.outside

IntArray = npt.NDArray[np.int32]
FloatArray = npt.NDArray[np.float64]

SAME = 1e-14
"""Values are sums of powers of 1/2, exact in floating point but for very deep pedigrees."""

WAYS = {"chosen": {}, "columns": {"_VISIT": 0.0, "_SAMPLE": 1}, "paths": {"_VISIT": 1e300, "_SAMPLE": 1}}
"""Settings under which sires are handled by the quicker way, by columns, or by ways up."""


def reference_inbreeding(parents: IntArray) -> FloatArray:
    """Diagonal of the whole table, less 1."""
    table = np.zeros((len(parents), len(parents)))
    for i, (sire, dam) in enumerate(parents.tolist()):
        for parent in (sire, dam):
            if parent >= 0:
                table[i, :i] += 0.5 * table[parent, :i]
        table[:i, i] = table[i, :i]
        table[i, i] = 1.0 + (0.5 * table[sire, dam] if sire >= 0 and dam >= 0 else 0.0)
    found: FloatArray = np.diag(table) - 1.0
    return found


def bred(
    animals: int, seed: int, *, sires: float = 1.0, brood: int = 1, unknown: float = 0.0, cohorts: int = 8
) -> IntArray:
    """Overlapping cohorts: parents are drawn from the two before; whole broods share both."""
    rng = np.random.default_rng(np.random.SeedSequence([seed, animals]))
    size = animals // cohorts
    parents = np.full((animals, 2), -1, dtype=np.int32)
    for start in range(size, animals, size):
        pool = np.arange(max(0, start - 2 * size), start)
        males, females = pool[pool % 2 == 0], pool[pool % 2 == 1]
        males = rng.choice(males, max(1, int(sires * len(males))), replace=False)
        end = min(animals, start + size)
        broods = -(-(end - start) // brood)
        for side, kin in enumerate((males, females)):
            parents[start:end, side] = np.repeat(rng.choice(kin, broods), brood)[: end - start]
    parents[rng.random(parents.shape) < unknown] = -1
    return parents


def sib_mating(generations: int) -> IntArray:
    """A brother and a sister of each generation, parents of the next."""
    pairs = [(-1, -1), (-1, -1)]
    for generation in range(generations):
        pairs += [(2 * generation, 2 * generation + 1)] * 2
    return np.array(pairs, dtype=np.int32)


def backcross(generations: int) -> IntArray:
    """Daughters of one male, each put to him again."""
    return np.array([(-1, -1), (-1, -1), *((0, dam) for dam in range(1, generations + 1))], dtype=np.int32)


SHAPES: dict[str, IntArray] = {
    "few sires": bred(640, 1, sires=0.03),
    "few dams": bred(640, 2, sires=0.03)[:, ::-1],
    "random": bred(640, 3),
    "full sibs": bred(640, 4, brood=6),
    "unknown parents": bred(640, 5, sires=0.2, unknown=0.2),
    "small and closed": bred(320, 6, cohorts=40),
    "one pair": sib_mating(120),
    "backcross": backcross(150),
}


@st.composite
def pedigrees(draw: st.DrawFn) -> IntArray:
    """Any pedigree in which an animal may be sire of some and dam of others."""
    rows: list[tuple[int, int]] = []
    for animal in range(draw(st.integers(0, 30))):
        sire, dam = draw(st.integers(-1, animal - 1)), draw(st.integers(-1, animal - 1))
        rows.append((sire, -1 if sire == dam else dam))
    return np.array(rows, dtype=np.int32).reshape(-1, 2)


def shuffled(parents: IntArray, rng: np.random.Generator) -> tuple[IntArray, npt.NDArray[np.int64]]:
    """The same animals in another order with parents first, and where each animal went."""
    generation = np.zeros(len(parents) + 1, dtype=np.int64)
    generation[-1] = -1
    for animal, pair in enumerate(parents):
        generation[animal] = generation[pair].max() + 1
    # a key that grows from parent to offspring by at least one, blurred by less
    key = generation[:-1] + rng.random(len(parents))
    key += rng.random() * 3.0 * generation[:-1]
    order = np.argsort(key)
    place = np.empty(len(parents) + 1, dtype=np.int64)
    place[order] = np.arange(len(parents))
    place[-1] = -1
    return place[parents[order]].astype(np.int32), place[:-1]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("shape", SHAPES)
def test_inbreeding_fast__equals_the_table(shape: str, way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in WAYS[way].items():
        monkeypatch.setattr(module, name, value)
    found = inbreeding_fast(SHAPES[shape])
    assert found.max() > 0.01
    np.testing.assert_allclose(found, reference_inbreeding(SHAPES[shape]), rtol=0.0, atol=SAME)


@settings(max_examples=300, deadline=None)
@given(pedigrees())
def test_inbreeding_fast__equals_the_table_for_any(parents: IntArray) -> None:
    np.testing.assert_allclose(inbreeding_fast(parents), reference_inbreeding(parents), rtol=0.0, atol=SAME)


@pytest.mark.parametrize("shape", SHAPES)
def test_inbreeding_fast__order_changes_nothing(shape: str) -> None:
    rng = np.random.default_rng(11)
    found = inbreeding_fast(SHAPES[shape])
    for _ in range(5):
        other, place = shuffled(SHAPES[shape], rng)
        assert (other < np.arange(len(other))[:, None]).all()
        np.testing.assert_allclose(inbreeding_fast(other)[place], found, rtol=0.0, atol=SAME)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("shape", SHAPES)
def test_inbreeding_fast__two_threads_give_the_same_bits(shape: str, way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in {"_SHARED": 0, **WAYS[way]}.items():
        monkeypatch.setattr(module, name, value)
    assert inbreeding_fast(SHAPES[shape], threads=2).tobytes() == inbreeding_fast(SHAPES[shape], threads=1).tobytes()


def test_inbreeding_fast__second_thread_takes_part(monkeypatch: pytest.MonkeyPatch) -> None:
    works: list[int] = []
    made: Callable[..., Any] = inbreeding_columns_fast.workplace

    def counted(*given: Any) -> Any:
        works.append(1)
        return made(*given)

    monkeypatch.setattr(module, "workplace", counted)
    monkeypatch.setattr(module, "_SHARED", 50_000)
    parents = bred(40_000, 7)
    alone = inbreeding_fast(parents, threads=1)
    assert len(works) == 1
    both = inbreeding_fast(parents, threads=2)
    assert len(works) == 3
    assert alone.tobytes() == both.tobytes()
    assert (both > 0.0).sum() > 300


def test_inbreeding_fast__too_many_ways_up() -> None:
    """Ways up double with each generation of a closed pair; the column visits each ancestor once."""
    found = inbreeding_fast(sib_mating(400))
    assert np.isfinite(found).all()
    assert found[-1] == pytest.approx(1.0, abs=1e-12)


def test_inbreeding_fast__sib_mating_follows_the_series() -> None:
    """F(t) = (1 + 2 F(t-1) + F(t-2)) / 4 (Wright 1921); 0, 1/4, 3/8, 1/2, 19/32."""
    series = [0.0, 0.0]
    for _ in range(31):
        series.append((1.0 + 2.0 * series[-1] + series[-2]) / 4.0)
    np.testing.assert_allclose(inbreeding_fast(sib_mating(32))[::2], series, rtol=0.0, atol=SAME)
    assert series[2:5] == [0.25, 0.375, 0.5]


def test_inbreeding_fast__backcross_to_one_male() -> None:
    """Repeated backcross to a male that is not inbred: F = (1 - (1/2)^k) / 2 after k backcrosses."""
    expected = 0.5 * (1.0 - 0.5 ** np.arange(20))
    np.testing.assert_allclose(inbreeding_fast(backcross(20))[2:], expected, rtol=0.0, atol=SAME)


@pytest.mark.parametrize("rows", [[], [[-1, -1]], [[-1, -1], [0, -1], [-1, 1]]])
def test_inbreeding_fast__nothing_to_find(rows: list[list[int]]) -> None:
    found = inbreeding_fast(np.array(rows, dtype=np.int32).reshape(-1, 2))
    assert found.tolist() == [0.0] * len(rows)
    assert found.dtype == np.float64


def test_inbreeding_fast__input_is_left_alone() -> None:
    parents = SHAPES["few dams"].copy()
    inbreeding_fast(parents)
    assert (parents == SHAPES["few dams"]).all()


def test_descent__does_not_load_numba() -> None:
    code = "import sys, holdback.descent, holdback.descent.pedigree; sys.exit('numba' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
