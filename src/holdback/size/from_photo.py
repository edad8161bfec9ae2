"""Lengths from marks on a photograph, with their error.

A photograph shows an object of known length, the scale, and the animal. Both are marked by hand, in pixels. A length is
``L = T * t / s``: T the true length of the scale, t the traced length and s the length of the scale, in pixels.

Three things make it uncertain, and their relative variances add (first-order propagation, JCGM 100:2008 "GUM", 5.1.2):

* pointing: every mark strays by `POINTING_SD_PX` along each axis, or by as much as repeated marks show;
* the scale, which is marked the same way;
* perspective: what lies nearer to the camera than the scale looks larger, by h / d for a height h and a distance d of
  the camera. Neither is known, so `PERSPECTIVE_SD` is assumed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.photo_marks import TRAITS, Part, Point, Trace
from holdback.errors import Fault, SizeError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

PERSPECTIVE_SD = 0.015
"""Assumed relative error from lying nearer to or farther from the camera than the scale. From memory, no source."""

PRIOR_REPEATS = 2
"""Repeats that the assumed pointing error is worth beside the scatter of real ones. A judgement, no source."""

NORMAL_90 = 1.6448536269514722
"""95th percentile of the standard normal distribution: half the width of a 90 % range in standard deviations."""

MOST_POINTS = 100
MOST_REPEATS = 12
SAMPLES_A_SPAN = 32


@dataclass(frozen=True, slots=True)
class Scale:
    """The object of known length.

    Parameters
    ----------
    traces : tuple of Trace
        Its two ends, marked once or several times.
    length_mm : float
        Its true length, in millimetre.
    """

    traces: tuple[Trace, ...]
    length_mm: float


@dataclass(frozen=True, slots=True)
class PhotoLength:
    """A length read from a photograph.

    Parameters
    ----------
    part : Part
        What was marked.
    estimate : Estimate
        The length with its 90 % range: mm for a head, cm for a body.
    pointing_sd, scale_sd, perspective_sd : float
        Relative standard deviations that the three sources of error give, in [0, 1].
    n_traces : int
        How often it was marked.
    """

    part: Part
    estimate: Estimate
    pointing_sd: float
    scale_sd: float
    perspective_sd: float
    n_traces: int

    @property
    def half_width(self) -> float:
        """Half the width of the 90 % range, as a share of the length."""
        return NORMAL_90 * math.hypot(self.pointing_sd, self.scale_sd, self.perspective_sd)


def spline(points: Sequence[Point]) -> FloatArray:
    """Smooth curve through points: the centripetal Catmull-Rom spline.

    Parameters
    ----------
    points : sequence of (float, float)
        At least two, no two in a row alike.

    Returns
    -------
    float array, shape (n_samples, 2)
        Points along the curve, in the unit given; two points give a straight line.

    Notes
    -----
    Knots are spaced by the square root of the distance of the points, which leaves no loop or cusp within a span.
    Before the first and after the last point the curve is carried on by their mirror images.

    References
    ----------
    Yuksel, Schaefer, Keyser (2011), Parameterization and applications of Catmull-Rom curves. Barry, Goldman (1988), A
    recursive evaluation algorithm for a class of Catmull-Rom splines.
    """
    through = np.asarray(points, dtype=float)
    if len(through) == 2:
        return through
    held = np.vstack([2 * through[0] - through[1], through, 2 * through[-1] - through[-2]])
    steps = np.sqrt(np.hypot(*np.diff(held, axis=0).T))
    knots = np.concatenate([[0.0], np.cumsum(steps)])
    spans = np.arange(len(held) - 3)[:, None] + np.arange(4)
    curve = _spans(held[spans], knots[spans])
    return np.vstack([curve.reshape(-1, 2), through[-1:]])


def _spans(four: FloatArray, knots: FloatArray) -> FloatArray:
    """Curve from the second of each four points up to the third, without it: shape (n_spans, `SAMPLES_A_SPAN`, 2)."""
    share = np.linspace(0, 1, SAMPLES_A_SPAN, endpoint=False)
    at = (knots[:, 1:2] + (knots[:, 2:3] - knots[:, 1:2]) * share)[:, :, None]

    def between(left: FloatArray, right: FloatArray, low: int, high: int) -> FloatArray:
        start, end = knots[:, low, None, None], knots[:, high, None, None]
        return ((end - at) * left + (at - start) * right) / (end - start)

    first = [between(four[:, i, None], four[:, i + 1, None], i, i + 1) for i in range(3)]
    second = [between(first[i], first[i + 1], i, i + 2) for i in range(2)]
    return between(second[0], second[1], 1, 2)


def traced_length(points: Sequence[Point]) -> float:
    """Length of the smooth curve through points, in the unit of the points.

    Examples
    --------
    >>> traced_length([(0, 0), (3, 4)])
    5.0
    """
    return float(np.hypot(*np.diff(spline(points), axis=0).T).sum())


def lengths_of(traces: Sequence[tuple[Part, Trace]], length_mm: float) -> tuple[PhotoLength, ...]:
    """Every part of the animal that was marked, as a length.

    Parameters
    ----------
    traces : sequence of (Part, Trace)
        All marks of one photo; repeats of a part one after the other.
    length_mm : float
        True length of the scale, in millimetre; above 0.

    Returns
    -------
    tuple of PhotoLength
        In the order of `Part`; parts without marks are left out.

    Raises
    ------
    SizeError
        PHO-020 where no scale is marked, PHO-021 where its length is none, PHO-022 where marks make no length, PHO-023
        where there are too many; all faults together.
    """
    by_part = {part: tuple(trace for one, trace in traces if one is part) for part in Part}
    faults = [fault for part, found in by_part.items() for fault in _faults(part, found)]
    if not by_part[Part.SCALE]:
        hint = "Mark both ends of a ruler, a card or a coin that lies beside the animal."
        faults.append(Fault("PHO-020", "No scale is marked.", hint, field="scale"))
    if not (math.isfinite(length_mm) and 0 < length_mm <= 5000):
        hint = "Type how long the marked piece is, up to 5 m."
        faults.append(Fault("PHO-021", "The scale has no length.", hint, field="length", value=str(length_mm)))
    if faults:
        raise SizeError(faults)
    scale = Scale(by_part[Part.SCALE], length_mm)
    return tuple(length_of(part, by_part[part], scale) for part in TRAITS if by_part[part])


def _faults(part: Part, traces: Sequence[Trace]) -> list[Fault]:
    """What is wrong with the marks of one part."""
    if len(traces) > MOST_REPEATS or any(len(trace.points) > MOST_POINTS for trace in traces):
        hint = f"Use at most {MOST_POINTS} marks, and mark a part at most {MOST_REPEATS} times."
        return [Fault("PHO-023", f"There are too many marks of the {part}.", hint, field=part)]
    for trace in traces:
        gaps = [math.dist(*pair) for pair in zip(trace.points, trace.points[1:], strict=False)]
        is_finite = all(math.isfinite(value) for point in trace.points for value in (*point, trace.step))
        is_short = len(trace.points) != 2 and part is not Part.BODY
        if not gaps or is_short or not is_finite or min(gaps) < 1:
            needed = "at least two marks" if part is Part.BODY else "two marks"
            hint = f"Set {needed} apart from each other, or take it back."
            return [Fault("PHO-022", f"The marks make no {part}.", hint, field=part)]
    return []


def mm_per_pixel(scale: Scale) -> float:
    """Millimetres in one pixel of the photo, by the mean of the scale's markings."""
    marked, _ = _mean_and_sd(scale.traces, _distance)
    return scale.length_mm / marked


def length_of(part: Part, traces: Sequence[Trace], scale: Scale) -> PhotoLength:
    """One part of the animal as a length.

    Parameters
    ----------
    part : Part
        What was marked; not the scale.
    traces : sequence of Trace
        Its marks, once or several times.
    scale : Scale
        The object of known length.

    Returns
    -------
    PhotoLength
        The mean of the repeats, over the mean of the scale's.
    """
    measure = traced_length if part is Part.BODY else _distance
    traced, traced_sd = _mean_and_sd(traces, measure)
    marked, marked_sd = _mean_and_sd(scale.traces, _distance)
    pointing, ruler = traced_sd / traced, marked_sd / marked
    unit, per_mm = ("cm", 0.1) if part is Part.BODY else ("mm", 1.0)
    value = scale.length_mm * traced / marked * per_mm
    half = NORMAL_90 * math.hypot(pointing, ruler, PERSPECTIVE_SD)
    estimate = Estimate(
        value, value * math.exp(-half), value * math.exp(half), unit, Basis.MEASURED, _ground(traces, scale)
    )
    return PhotoLength(part, estimate, pointing, ruler, PERSPECTIVE_SD, len(traces))


def _distance(points: Sequence[Point]) -> float:
    return math.dist(points[0], points[-1])


def _mean_and_sd(traces: Sequence[Trace], measure: Callable[[Sequence[Point]], float]) -> tuple[float, float]:
    """Mean length of repeats in pixels and its standard deviation.

    The scatter of the repeats is pooled with the assumed pointing error, which counts as `PRIOR_REPEATS` of them: two
    marks that agree by chance do not make the length certain.
    """
    lengths = np.array([measure(trace.points) for trace in traces])
    assumed = float(np.mean([_pointing_variance(trace, measure) for trace in traces]))
    n = len(lengths)
    scatter = float(((lengths - lengths.mean()) ** 2).sum())
    variance = (PRIOR_REPEATS * assumed + scatter) / (PRIOR_REPEATS + n - 1)
    return float(lengths.mean()), math.sqrt(variance / n)


def _pointing_variance(trace: Trace, measure: Callable[[Sequence[Point]], float]) -> float:
    """Variance of a length when each mark strays: the squared gradient times the variance of a mark."""
    points = np.asarray(trace.points, dtype=float)
    total, step = 0.0, 0.01
    for index in np.ndindex(points.shape):
        ahead, behind = points.copy(), points.copy()
        ahead[index] += step
        behind[index] -= step
        total += ((measure(_as_points(ahead)) - measure(_as_points(behind))) / (2 * step)) ** 2
    return total * trace.pointing_sd**2


def _as_points(array: FloatArray) -> list[Point]:
    return [(float(x), float(y)) for x, y in array]


def _ground(traces: Sequence[Trace], scale: Scale) -> str:
    """What the length rests on, in one sentence."""
    times = "once" if len(traces) == 1 else "twice" if len(traces) == 2 else f"{len(traces)} times"
    repeats = "assumed pointing error" if len(traces) == 1 else "pointing error by the repeats"
    return (
        f"Marked {times} on a photo beside a scale of {scale.length_mm:g}\u00a0mm; {repeats}, "
        f"and {100 * PERSPECTIVE_SD:g}\u00a0% assumed for perspective."
    )
