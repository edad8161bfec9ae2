"""Lengths from a photograph: curves of known length, and strewn marks against the error that is told."""

from __future__ import annotations

import io
import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest

from holdback.collection.photo_marks import POINTING_SD_PX, Part, Point, Trace
from holdback.errors import SizeError
from holdback.size import from_photo
from holdback.size.from_photo import Scale, length_of, lengths_of, spline, traced_length

Curve = Callable[[float], Point]


def arc(radius: float, angle: float) -> Curve:
    """Arc of a circle; its length is radius times angle."""
    return lambda share: (radius * math.cos(angle * share), radius * math.sin(angle * share))


def wave(length: float, height: float) -> Curve:
    """One period of a sine."""
    return lambda share: (length * share, height * math.sin(2 * math.pi * share))


def wave_length(length: float, height: float) -> float:
    """Arc length of one period: the integral of the root of 1 + y'^2.

    The rule of rectangles is exact to rounding for a smooth periodic function (Trefethen, Weideman 2014).
    """
    slope = 2 * math.pi * height / length
    return length * float(np.sqrt(1 + (slope * np.cos(np.linspace(0, 2 * math.pi, 2000, endpoint=False))) ** 2).mean())


def points_on(curve: Curve, n: int) -> tuple[Point, ...]:
    return tuple(curve(index / (n - 1)) for index in range(n))


@pytest.mark.parametrize("angle, n, tolerance", [(1.0, 4, 0.002), (math.pi, 7, 0.005), (2 * math.pi, 12, 0.005)])
def test_traced_length__arc_of_a_circle(angle: float, n: int, tolerance: float) -> None:
    """A few taps give the arc to half a percent: radius times angle, a closed form."""
    assert traced_length(points_on(arc(700, angle), n)) == pytest.approx(700 * angle, rel=tolerance)


def test_traced_length__sine() -> None:
    found = traced_length(points_on(wave(3000, 400), 13))
    assert found == pytest.approx(wave_length(3000, 400), rel=0.003)


def test_traced_length__is_nearer_than_straight_pieces() -> None:
    points = points_on(arc(500, 4.0), 9)
    straight = sum(math.dist(*pair) for pair in itertools.pairwise(points))
    true = 500 * 4.0
    assert abs(traced_length(points) - true) < abs(straight - true) / 3


def test_traced_length__more_marks_come_nearer() -> None:
    errors = [abs(traced_length(points_on(wave(3000, 500), n)) / wave_length(3000, 500) - 1) for n in (9, 17, 33)]
    assert errors[0] > errors[1] > errors[2]
    assert errors[2] < 2e-4


def test_spline__goes_through_its_points_and_turns_with_the_photo() -> None:
    points = [(0.0, 0.0), (40.0, 90.0), (50.0, 95.0), (300.0, 20.0), (310.0, -200.0)]
    curve = spline(points)
    for point in points:
        assert np.hypot(*(curve - point).T).min() < 1e-9
    turned = [(-y, x) for x, y in points]
    assert traced_length(turned) == pytest.approx(traced_length(points), rel=1e-12)
    assert traced_length(points[::-1]) == pytest.approx(traced_length(points), rel=1e-3)


@pytest.mark.parametrize("part", [Part.HEAD_WIDTH, Part.BODY])
def test_length_of__error_is_that_of_strewn_marks(part: Part) -> None:
    """Marks strewn by 1.5 px: the spread of 4,000 lengths is the error told without perspective, within 5 %."""
    random = np.random.default_rng(7)
    true = points_on(arc(900, 2.5), 8) if part is Part.BODY else ((200.0, 200.0), (330.0, 260.0))
    ruler = ((100.0, 900.0), (500.0, 900.0))

    def strewn(points: tuple[Point, ...]) -> Trace:
        moved = np.asarray(points) + random.normal(0, POINTING_SD_PX, (len(points), 2))
        return Trace(tuple((float(x), float(y)) for x, y in moved))

    told = length_of(part, [Trace(true)], Scale((Trace(ruler),), 100.0))
    measure = traced_length if part is Part.BODY else lambda points: math.dist(points[0], points[-1])
    found = np.array([measure(strewn(true).points) / math.dist(*strewn(ruler).points) for _ in range(4000)])
    spread = float(np.log(found).std())
    assert math.hypot(told.pointing_sd, told.scale_sd) == pytest.approx(spread, rel=0.05)
    assert abs(float(found.mean()) / (measure(true) / 400) - 1) < 0.1 * spread


@pytest.mark.parametrize("n", [1, 3, 6])
def test_length_of__range_holds_the_truth_nine_times_in_ten(n: int) -> None:
    """With perspective drawn from its assumed law too, some 90 % of 1,500 ranges hold the true 25 mm."""
    random = np.random.default_rng(n)

    def strewn(left: float, right: float) -> Trace:
        (x0, y0), (x1, y1) = random.normal(0, POINTING_SD_PX, (2, 2))
        return Trace(((left + float(x0), float(y0)), (right + float(x1), float(y1))))

    held = 0
    for _ in range(1500):
        looks = 250 * math.exp(random.normal(0, from_photo.PERSPECTIVE_SD))
        scale = Scale((strewn(0, 856),), 85.6)
        estimate = length_of(Part.HEAD_WIDTH, [strewn(0, looks) for _ in range(n)], scale).estimate
        held += estimate.low <= 25 <= estimate.high
    assert held / 1500 == pytest.approx(0.9, abs=0.025)  # three standard errors are 0.023


def test_length_of__units_and_words() -> None:
    scale = Scale((Trace(((0, 0), (856, 0))),), 85.6)
    head = length_of(Part.HEAD_WIDTH, [Trace(((100, 100), (350, 100)))], scale)
    assert head.estimate.mean == pytest.approx(25.0)
    assert head.estimate.unit == "mm"
    assert "scale of 85.6 mm; assumed pointing error, and 1.5 % assumed" in head.estimate.ground.replace("\u00a0", " ")
    body = length_of(Part.BODY, [Trace(((0, 0), (9000, 0)))] * 3, scale)
    assert body.estimate.mean == pytest.approx(90.0)
    assert (body.estimate.unit, body.n_traces) == ("cm", 3)
    assert body.half_width > 0.0246  # perspective alone: 1.645 times 1.5 %
    assert "Marked 3 times" in body.estimate.ground


def test_length_of__repeats_that_agree_sharpen_and_those_that_differ_widen() -> None:
    scale = Scale((Trace(((0, 0), (400, 0))),), 40)
    once = length_of(Part.HEAD_WIDTH, [Trace(((0, 0), (250, 0)))], scale)
    agreeing = length_of(Part.HEAD_WIDTH, [Trace(((0, 0), (250, 0)))] * 3, scale)
    differing = length_of(Part.HEAD_WIDTH, [Trace(((0, 0), (x, 0))) for x in (230, 250, 270)], scale)
    assert 0 < agreeing.pointing_sd < once.pointing_sd < differing.pointing_sd
    assert differing.estimate.mean == pytest.approx(25)


def test_length_of__coarse_pointing_widens() -> None:
    scale = Scale((Trace(((0, 0), (400, 0))),), 40)
    sharp, coarse = (length_of(Part.HEAD_WIDTH, [Trace(((0, 0), (250, 0)), step)], scale) for step in (1, 9))
    assert coarse.pointing_sd == pytest.approx(sharp.pointing_sd * math.hypot(1.5, 8) / 1.5)


def test_lengths_of__order_and_repeats() -> None:
    width, body = Trace(((0, 0), (250, 0))), Trace(((0, 0), (500, 0), (1000, 0)))
    traces = [(Part.BODY, body), (Part.HEAD_WIDTH, width), (Part.SCALE, Trace(((0, 9), (100, 9)))), (Part.BODY, body)]
    found = lengths_of(traces, 10)
    assert [(one.part, one.n_traces) for one in found] == [(Part.HEAD_WIDTH, 1), (Part.BODY, 2)]
    assert [one.estimate.mean for one in found] == [pytest.approx(25), pytest.approx(10)]


SCALE = (Part.SCALE, Trace(((0, 0), (100, 0))))


@pytest.mark.parametrize(
    "traces, length, codes",
    [
        ([], 0.0, ["PHO-020", "PHO-021"]),
        ([SCALE], math.nan, ["PHO-021"]),
        ([SCALE, (Part.HEAD_WIDTH, Trace(((5, 5),)))], 10, ["PHO-022"]),
        ([SCALE, (Part.HEAD_WIDTH, Trace(((5, 5), (5, 5.5))))], 10, ["PHO-022"]),
        ([SCALE, (Part.HEAD_WIDTH, Trace(((5, 5), (9, 9), (50, 5))))], 10, ["PHO-022"]),
        ([SCALE, (Part.BODY, Trace(((5, 5), (math.inf, 9))))], 10, ["PHO-022"]),
        ([SCALE, (Part.BODY, Trace(tuple((float(x), 0.0) for x in range(101))))], 10, ["PHO-023"]),
        ([SCALE] * 13, 10, ["PHO-023"]),
    ],
)
def test_lengths_of__refused(traces: list[tuple[Part, Trace]], length: float, codes: list[str]) -> None:
    with pytest.raises(SizeError) as error:
        lengths_of(traces, length)
    assert [fault.code for fault in error.value.faults] == codes


def test_lengths_of__drawn_picture_of_known_geometry() -> None:
    """A card of 85.60 mm and an arc of 60 mm radius over 3 rad at 8 px/mm; marks are read off the drawn pixels."""
    image = pytest.importorskip("PIL.Image")
    draw = pytest.importorskip("PIL.ImageDraw")
    scale, radius, angle = 8.0, 60.0, 3.0
    picture = image.new("L", (1600, 1200), 255)
    pen = draw.Draw(picture)
    pen.rectangle((100, 1000, 100 + 85.60 * scale, 1100), fill=128)
    true = [(800 + scale * x, 300 + scale * y) for x, y in points_on(arc(radius, angle), 2000)]
    for x, y in true:
        pen.ellipse((x - 3, y - 3, x + 3, y + 3), fill=0)
    stored = io.BytesIO()
    picture.save(stored, "PNG")
    pixels = np.asarray(image.open(stored))
    card = np.flatnonzero(pixels[1050] == 128)
    rows, columns = np.nonzero(pixels == 0)

    def middle(point: Point) -> Point:
        near = np.hypot(columns - point[0], rows - point[1]) < 4
        return float(columns[near].mean()), float(rows[near].mean())

    ruler = Trace(((float(card[0]), 1050.0), (float(card[-1]), 1050.0)))
    body = Trace(tuple(middle(true[index]) for index in np.linspace(0, 1999, 9).astype(int)))
    (found,) = lengths_of([(Part.SCALE, ruler), (Part.BODY, body)], 85.60)
    assert found.estimate.mean == pytest.approx(radius * angle / 10, rel=0.005)
    assert found.estimate.low < radius * angle / 10 < found.estimate.high
