"""The suite on sizes finds ranges that are too narrow, too wide, or beside the truth."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from verification.size_faults import faults
from verification.size_scores import held, lines_of, of, rate
from verification.size_tables import effects, ranges, summary, worlds
from verification.size_told import (
    BREEDING,
    DEVIATION,
    EFFECT,
    FORECAST,
    GROWN,
    HERITABILITY,
    MIDDLE,
    OWNED,
    YOUNG,
    LineTold,
    Scored,
    Told,
)

Z90 = 1.6448536
"""0.95 quantile of the standard normal."""


def _told(rng: np.random.Generator, kind: str, group: str, sd: float, width: float, shift: float, true: float) -> Told:
    mean = true + sd * rng.normal() + shift
    return Told(kind, group, mean, mean - width * Z90 * sd, mean + width * Z90 * sd, true)


def _scored(rng: np.random.Generator, effect: float, *, width: float = 1.0, shift: float = 0.0) -> Scored:
    told = [
        _told(rng, kind, group, 0.1, width, shift, float(rng.normal(0.0, 0.15)))
        for kind in (DEVIATION, FORECAST, BREEDING)
        for group, count in ((YOUNG, 30), (MIDDLE, 20), (GROWN, 20))
        for _ in range(count)
    ]
    told += [_told(rng, kind, "all", 0.06, width, shift, effect) for kind in (HERITABILITY, OWNED)]
    line = _told(rng, EFFECT, "4 to 8 founders", 0.06, width, shift, effect)
    chance = 0.97 if line.low > 0 else 0.5
    return Scored(
        effect, (*told, line), (LineTold(effect, 6, line, chance, True),),
        correlation=0.7, reliability=0.35, missed=1.3, genetic=2.0, best_said=0.4, best_true=0.4, misfits=0.05,
        asked=0.001, seconds=1.0, settled=True,
    )  # fmt: skip


def _many(number: int = 60, *, width: float = 1.0, shift: float = 0.0) -> list[Scored]:
    rng = np.random.default_rng(1)
    return [_scored(rng, (0.0, 0.2, 0.4)[each % 3], width=width, shift=shift) for each in range(number)]


def test_faults__none_where_all_is_right() -> None:
    assert faults(_many()) == []
    assert faults(_many(12)) == []


@pytest.mark.parametrize("width, number, n_faults", [(0.6, 12, 9), (0.6, 60, 9), (1.8, 12, 3), (1.8, 60, 9)])
def test_faults__ranges_too_narrow_or_too_wide(width: float, number: int, n_faults: int) -> None:
    found = faults(_many(number, width=width))
    assert sum(line.startswith((DEVIATION, FORECAST, BREEDING)) for line in found) >= n_faults


def test_faults__beside_the_truth() -> None:
    found = faults(_many(shift=0.15))
    assert any(line.startswith("line effect: off by +0.1") for line in found)
    assert any(line.startswith("line effect: stated where there is none") for line in found)


@pytest.mark.parametrize(
    "change, words", [({"correlation": 0.3}, "correlation with the truth 0.30"), ({"settled": False}, "did not settle")]
)
def test_faults__of_whole_collections(change: dict[str, float], words: str) -> None:
    assert [line for line in faults([replace(one, **change) for one in _many(12)]) if words in line]  # type: ignore[arg-type]


def test_held__counts_by_hand() -> None:
    """Two collections: of three ranges one holds the truth; the widening is that of nine tenths of the distances."""
    one = [Told("x", "a", 1.0, 0.0, 2.0, 1.5), Told("x", "b", 1.0, 0.0, 2.0, 3.0)]
    two = [Told("x", "b", 1.0, 0.5, 1.5, -1.0)]
    found = held([replace(_many(1)[0], told=tuple(one)), replace(_many(1)[0], told=tuple(two))])
    whole = of(found, "x")
    assert whole is not None
    assert whole.count == 3
    assert whole.cover == pytest.approx(1 / 3)
    assert whole.bias == pytest.approx((-0.5 - 2.0 + 2.0) / 3)
    assert whole.rmse == pytest.approx(np.sqrt((0.25 + 4.0 + 4.0) / 3))
    assert whole.half == pytest.approx(2.5 / 3)
    assert whole.widening == pytest.approx(np.quantile([0.5, 2.0, 4.0], 0.9))
    # deviations of the counts: (1 - 2/3) and (-1/3); their squares sum to 2/9, over two collections of n - 1 = 1
    assert whole.error == pytest.approx(np.sqrt(2 / 9 * 2) / 3)
    alone = of(found, "x", "a")
    assert alone is not None
    assert alone.cover == 1.0


def test_held__widening_of_narrow_ranges() -> None:
    row = of(held(_many(200, width=0.7)), DEVIATION)
    assert row is not None
    assert row.widening == pytest.approx(1 / 0.7, abs=4 * row.widening_error)
    assert row.widening_error < 0.02


def test_rate__of_none_and_of_some() -> None:
    assert str(rate([], lambda line: True)) == "-"
    lines = lines_of(_many(60), 0.0)
    found = rate(lines, lambda line: line.told.low < line.effect)
    assert found.count == 20
    assert 0.02 < found.error < 0.15


def test_is_found__needs_records_that_can_tell() -> None:
    line = LineTold(0.2, 2, Told(EFFECT, "x", 0.3, 0.1, 0.5, 0.2), 0.99, False)
    assert not line.is_found
    assert replace(line, can_tell=True).is_found


def test_tables__rows_for_everything_said() -> None:
    found = _many(30)
    assert len(ranges(found).splitlines()) == 2 + 3 * 4 + 2 * 1 + 2
    assert [line.split("|")[1].strip() for line in effects(found).splitlines()[2:]] == ["0", "0.2", "0.4"]
    assert re.search(r"correlation with the truth 0\.70; reliability within lines 0\.35 said, 0\.35 so", summary(found))
    rows = worlds({"one": found, "another": found}).splitlines()
    assert len(rows) == 4
    assert len({row.count("|") for row in rows}) == 1
