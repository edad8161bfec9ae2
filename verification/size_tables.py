"""Calibration of sizes in Markdown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from verification.size_scores import Held, effect_row, held, lines_of, of, rate, reliability
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
    Scored,
)


def ranges(found: Sequence[Scored]) -> str:
    """Every kind of range of one world."""
    rows = [
        "| what | of | count | in its 90 % range | off by | root mean square | half width | wider by |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for one in held(found):
        numbers = f"{one.count:,} | {one.cover:.3f} ± {one.error:.3f} | {one.bias:+.3f} ± {one.bias_error:.3f}"
        widths = f"{one.rmse:.3f} | {one.half:.3f} | {one.widening:.2f} ± {one.widening_error:.2f}"
        rows.append(f"| {one.kind} | {one.group} | {numbers} | {widths} |")
    return "\n".join(rows)


def effects(found: Sequence[Scored]) -> str:
    """What is said of lines, by their true effect."""
    rows = [
        "| true effect | lines | off by | root mean square | half width | in its range | stated | chance above 95 % "
        "| cannot be told |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for effect in sorted({line.effect for one in found for line in one.lines}):
        lines = lines_of(found, effect)
        row = effect_row(lines)
        stated = rate(lines, lambda one: one.is_found)
        sure = rate(lines, lambda one: one.chance_larger > 0.95)
        untold = rate(lines, lambda one: not one.can_tell)
        numbers = f"{len(lines)} | {row.bias:+.3f} ± {row.bias_error:.3f} | {row.rmse:.3f} | {row.half:.3f}"
        rows.append(f"| {effect:g} | {numbers} | {row.cover:.2f} ± {row.error:.2f} | {stated} | {sure} | {untold} |")
    return "\n".join(rows)


def whole(found: Sequence[Scored]) -> tuple[str, str, str]:
    """All that there is to say of one world."""
    return summary(found), effects(found), ranges(found)


def summary(found: Sequence[Scored]) -> str:
    """One sentence on values of breeding, clutches, misfits and time."""
    correlation, misfits, asked, seconds = (
        float(np.mean([getattr(one, name) for one in found])) for name in ("correlation", "misfits", "asked", "seconds")
    )
    said, realised = reliability(found)
    best = [one for one in found if not np.isnan(one.best_said)]
    clutches = f"{np.mean([one.best_said for one in best]):.2f} said, {np.mean([one.best_true for one in best]):.2f} so"
    return (
        f"{len(found)} collections. Breeding values: correlation with the truth {correlation:.2f}; reliability within "
        f"lines {said:.2f} said, {realised:.2f} so. Likeliest biggest of its clutch: {clutches if best else '-'}. Said "
        f"not to fit their curve: {misfits:.1%} of animals; asked about: {asked:.2%} of weights; not settled: "
        f"{sum(not one.settled for one in found)}. {seconds:.1f} s a collection."
    )


def worlds(found: Mapping[str, Sequence[Scored]]) -> str:
    """One row for each world."""
    rows = [
        "| world | n | adult deviation y / m / a | adult mass off by y / m / a | breeding value, r | reliability "
        "said : so | line effect off by, root mean square, in its range | owned | stated at 0 / .2 / .4 | h2 |",
        "|---|---|---|---|---|---|---|---|---|---|",
    ]
    rows += [_world(name, each) for name, each in found.items()]
    return "\n".join(rows)


def _world(name: str, found: Sequence[Scored]) -> str:
    rows, ages = held(found), (YOUNG, MIDDLE, GROWN)
    effect = of(rows, EFFECT)
    assert effect is not None
    stated = [rate(lines_of(found, one), lambda line: line.is_found) for one in (0.0, 0.2, 0.4)]
    cells = [
        name,
        str(len(found)),
        " / ".join(_cover(of(rows, DEVIATION, age)) for age in ages),
        " / ".join(_bias(of(rows, FORECAST, age)) for age in ages),
        f"{_cover(of(rows, BREEDING))}, {np.mean([one.correlation for one in found]):.2f}",
        " : ".join(f"{one:.2f}" for one in reliability(found)),
        f"{effect.bias:+.3f} ± {effect.bias_error:.3f}, {effect.rmse:.3f}, {effect.cover:.2f} ± {effect.error:.2f}",
        _cover(of(rows, OWNED)),
        " / ".join(f"{one.part:.2f}" if one.count else "-" for one in stated),
        _cover(of(rows, HERITABILITY)),
    ]
    return f"| {' | '.join(cells)} |"


def _cover(row: Held | None) -> str:
    return f"{row.cover:.2f}" if row else "-"


def _bias(row: Held | None) -> str:
    return f"{row.bias:+.2f}" if row else "-"
