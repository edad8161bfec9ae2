"""Allometry of trees as R prints it, and standard errors as scipy has them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from holdback.size.allometry import log_line, major_axis

pytestmark = pytest.mark.outside

TREES: dict[str, Any] = json.loads(Path(__file__).with_name("size_allometry.json").read_text("utf-8"))
GIRTH, HEIGHT, VOLUME = (np.array(TREES[one], dtype=float) for one in ("girth", "height", "volume"))
PRINTED = 5.1e-7


def test_trees__volume_on_girth() -> None:
    axis = major_axis(GIRTH, VOLUME)
    np.testing.assert_allclose(log_line(GIRTH, VOLUME).slopes, TREES["slope"], rtol=0, atol=PRINTED)
    np.testing.assert_allclose(axis.slope, TREES["major_axis"], rtol=0, atol=PRINTED)
    np.testing.assert_allclose(axis.correlation, TREES["correlation"], rtol=0, atol=PRINTED)


def test_trees__volume_on_girth_and_height() -> None:
    line = log_line(np.column_stack([GIRTH, HEIGHT]), VOLUME)
    np.testing.assert_allclose(line.intercept, TREES["with_height"]["intercept"], rtol=0, atol=PRINTED)
    np.testing.assert_allclose(line.slopes, TREES["with_height"]["slopes"], rtol=0, atol=PRINTED)


def test_trees__standard_errors_of_scipy() -> None:
    line, peer = log_line(GIRTH, VOLUME), stats.linregress(np.log(GIRTH), np.log(VOLUME))
    np.testing.assert_allclose(line.standard_errors, [peer.intercept_stderr, peer.stderr], rtol=1e-10)
    np.testing.assert_allclose([line.intercept, *line.slopes], [peer.intercept, peer.slope], rtol=1e-10)
