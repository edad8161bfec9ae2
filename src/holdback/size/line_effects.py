"""How much larger a line is, with what can and cannot be told of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Trait
from holdback.descent.pedigree import Pedigree
from holdback.size.confounding import Design, design
from holdback.size.evaluation import LineEffect
from holdback.size.growth.data import GrowthData
from holdback.size.growth.fitted_curves import Z90, FittedCurves, in_percent, percent
from holdback.size.growth.weighed import Point
from holdback.size.lines import LineShares

FloatArray = npt.NDArray[np.float64]

ENOUGH_FOUNDERS = 4
"""Founders of a line under which its effect cannot be told from these animals (by simulation)."""
ENOUGH_INFORMATION = 0.3
"""Part of the information on a line's effect that must be left once rooms may differ."""
OWNED = "These founders against the other founders here, by their descendants."
OF_THE_LINE, IS_CARRIER = 0.5, 0.125
"""Expected share from which a founder, and an animal, counts to a line."""


@dataclass(frozen=True, slots=True)
class LineData:
    """A line, by place among the lines of the fit.

    Parameters
    ----------
    number : int
        Place.
    shares : LineShares
        Shares.
    """

    number: int
    shares: LineShares


def line_effects(
    curves: FittedCurves,
    points: Sequence[Point],
    pedigree: Pedigree,
    lines: Sequence[LineShares],
    rearing: Sequence[str],
) -> dict[str, LineEffect]:
    """Effect of each line, by name.

    Parameters
    ----------
    curves : FittedCurves
        Fitted collection.
    points : sequence of Point
        Posterior over the standard deviations.
    pedigree : Pedigree
        Who descends from whom.
    lines : sequence of LineShares
        Shares, in the order of the data.
    rearing : sequence of str
        How each animal on record grew up, "" where not known; in the order of the data.
    """
    data = curves.fit.curves.data
    n_readings = _mass_readings(data)
    founders = _founders_weighed(pedigree, data, n_readings)
    return {
        one.line: _effect(curves, points, pedigree, LineData(number, one), founders, n_readings, rearing)
        for number, one in enumerate(lines)
    }


def _mass_readings(data: GrowthData) -> npt.NDArray[np.int64]:
    """Weights that count, of each row of the data."""
    found = np.zeros(data.n_rows, dtype=np.int64)
    for bucket in data.buckets:
        found[bucket.animals] = np.sum((bucket.there > 0) & (bucket.traits == 0), axis=1)
    return found


def _founders_weighed(pedigree: Pedigree, data: GrowthData, n_readings: npt.NDArray[np.int64]) -> list[int]:
    """Founders with a weight of their own or of a descendant."""
    own = data.nodes.own_node
    weighed = [int(node) for node, count in zip(own, n_readings, strict=True) if node >= 0 and count > 0]
    return [node for node in pedigree.ancestors(weighed) if pedigree.is_founder[node]]


def _effect(
    curves: FittedCurves,
    points: Sequence[Point],
    pedigree: Pedigree,
    line: LineData,
    founders: Sequence[int],
    n_readings: npt.NDArray[np.int64],
    rearing: Sequence[str],
) -> LineEffect:
    data = curves.fit.curves.data
    shares = line.shares.means
    of_line = [node for node in founders if shares[node] >= OF_THE_LINE]
    carriers = int(np.sum((data.shares[:, line.number] >= IS_CARRIER) & (n_readings > 0)))
    mean, sd = _mixed(points, [_row_of_effect(curves, line)] * len(points))
    ground = f"{carriers} animals of the line weighed, from {len(of_line)} {_founders(len(of_line))}."
    owned_row = _row_of_owned(curves, line, of_line, [node for node in founders if shares[node] < OF_THE_LINE])
    owned_mean, owned_sd = _mixed(points, [owned_row] * len(points))
    found = _design(data, line, n_readings, rearing)
    why_not = _why_not(len(of_line), carriers, found)
    return LineEffect(
        line=line.shares.line,
        effect=in_percent(mean, sd, Basis.BY_DESCENT, ground),
        owned=in_percent(
            owned_mean, owned_sd, Basis.BY_DESCENT, "These founders against the others here, by their descendants."
        ),
        chance_larger=_above_nought(mean, sd),
        head=_head(curves, line),
        n_founders=len(of_line),
        n_weighed=carriers,
        can_tell=not why_not,
        why_not=tuple(why_not),
        design=found,
    )


def _founders(n: int) -> str:
    return "founder" if n == 1 else "founders"


def _row_of_effect(curves: FittedCurves, line: LineData) -> FloatArray:
    row = np.zeros(len(curves.fit.solution.x))
    row[curves.fit.curves.columns.lines.start + line.number] = 1.0
    return row


def _row_of_owned(curves: FittedCurves, line: LineData, of_line: Sequence[int], others: Sequence[int]) -> FloatArray:
    """Mean genetic value of the founders of the line less that of the others, for a whole line."""
    nodes, columns = curves.fit.curves.data.nodes, curves.fit.curves.columns
    place = {node: columns.n_common + number for number, node in enumerate(nodes.equations)}
    row = _row_of_effect(curves, line)
    means = line.shares.means
    sides = [[node for node in side if node in place] for side in (of_line, others)]
    if not all(sides):
        return row
    apart = float(np.mean(means[sides[0]]) - np.mean(means[sides[1]]))
    for side, sign in zip(sides, (1.0, -1.0), strict=True):
        for node in side:
            row[place[node]] += sign / len(side) / apart
    return row


def _mixed(points: Sequence[Point], rows: Sequence[FloatArray]) -> tuple[float, float]:
    """Mean and standard deviation of a sum over x, over all points."""
    weights = np.array([point.weight for point in points])
    weights = weights / weights.sum()
    means = np.array([row @ point.solution.x for point, row in zip(points, rows, strict=True)])
    variances = np.array([row @ point.solution.variance @ row for point, row in zip(points, rows, strict=True)])
    mean = float(weights @ means)
    return mean, float(weights @ (variances + (means - mean) ** 2)) ** 0.5


def _above_nought(mean: float, sd: float) -> float:
    from math import erf

    return 0.5 * (1 + erf(mean / sd / 2**0.5))


def _head(curves: FittedCurves, line: LineData) -> Estimate | None:
    """Width of the head beyond what size explains, for a whole line."""
    fit, columns = curves.fit, curves.fit.curves.columns
    name = f"{Trait.HEAD_WIDTH} line {line.shares.line}"
    if name not in columns.place:
        return None
    place = columns.place[name]
    mean, sd = float(fit.state.common[place]), float(fit.solution.variance[place, place]) ** 0.5
    low, middle, high = (percent(mean + side * Z90 * sd) for side in (-1, 0, 1))
    ground = "Width of the head at the same mass, by all heads measured."
    return Estimate(middle, low, high, "%", Basis.BY_DESCENT, ground)


def _design(
    data: GrowthData, line: LineData, n_readings: npt.NDArray[np.int64], rearing: Sequence[str]
) -> Design | None:
    """How share and rearing hang together among the animals weighed; None where none was."""
    weighed = np.flatnonzero(n_readings[: len(data.ids)] > 0)
    if not len(weighed):
        return None
    return design(data.shares[weighed, line.number], [rearing[one] for one in weighed.tolist()], "rearing")


def _why_not(n_founders: int, carriers: int, found: Design | None) -> list[str]:
    """Why the effect cannot be told; empty where it can."""
    said = []
    if not carriers:
        return ["No animal of the line was weighed, so this is what is assumed before any weight."]
    if n_founders < ENOUGH_FOUNDERS:
        of, stand = ("founder", "stands") if n_founders == 1 else ("founders", "stand")
        said.append(
            f"Only {n_founders} {of} of the line {stand} behind it: what is theirs alone cannot be told from what is "
            "the line's."
        )
    if found is not None and found.information_left < ENOUGH_INFORMATION:
        said.append(found.said)
    return said
