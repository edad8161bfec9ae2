"""What of the sizes told is further from the truth than is allowed, in the world as assumed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from verification.size_scores import Held, held, lines_of, of, rate
from verification.size_told import (
    BREEDING,
    DEVIATION,
    EFFECT,
    FORECAST,
    GROWN,
    HERITABILITY,
    MIDDLE,
    YOUNG,
    Scored,
)

NOMINAL = 0.9
ALLOWED = {DEVIATION: 0.04, FORECAST: 0.04, BREEDING: 0.04, EFFECT: 0.05, HERITABILITY: 0.07}
"""By how much the part of ranges that hold the truth may miss nine tenths, chance apart."""
BOUND = 4.0
"""Standard errors."""
LEAST_CORRELATION = 0.5
"""Of breeding values said with the true ones; about 0.7 is expected."""
MOST_BIAS = 0.03
"""Of the line effect, on the log scale, chance apart."""
MOST_FALSE = 0.12
"""Part of lines without an effect of which one is stated, chance apart."""
UNSETTLED = 0.05
"""Part of the fits that may fail to converge, chance apart."""


def faults(found: Sequence[Scored]) -> list[str]:
    """What is further from the truth than is allowed and more than chance explains, in the world as assumed."""
    rows = held(found)
    lines = [_cover_fault(row) for row in rows if row.kind in ALLOWED and row.group in ("all", YOUNG, MIDDLE, GROWN)]
    effect = of(rows, EFFECT)
    if effect and abs(effect.bias) > MOST_BIAS + BOUND * effect.bias_error:
        lines.append(f"line effect: off by {effect.bias:+.3f} on average, error {effect.bias_error:.3f}")
    false = rate(lines_of(found, 0.0), lambda one: one.is_found)
    if false.count and false.part > MOST_FALSE + BOUND * false.error:
        lines.append(f"line effect: stated where there is none in {false} of collections")
    correlation = float(np.mean([one.correlation for one in found]))
    if correlation < LEAST_CORRELATION:
        lines.append(f"breeding values: correlation with the truth {correlation:.2f}")
    unsettled = sum(not one.settled for one in found)
    if unsettled > UNSETTLED * len(found) + BOUND * np.sqrt(UNSETTLED * len(found)):
        lines.append(f"{unsettled} of {len(found)} fits did not settle")
    return [line for line in lines if line]


def _cover_fault(row: Held) -> str:
    """One line where too few or too many ranges hold the truth; else empty."""
    # with few collections the spread between them may be small by luck
    single = float(np.sqrt(NOMINAL * (1.0 - NOMINAL) / row.count))
    if abs(row.cover - NOMINAL) <= ALLOWED[row.kind] + BOUND * max(row.error, single):
        return ""
    return f"{row.kind}, {row.group}: {row.cover:.3f} of 90 % ranges hold the truth, error {row.error:.3f}"
