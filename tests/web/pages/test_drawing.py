"""Bars, ovals and figures: what they say aloud and what they draw."""

from __future__ import annotations

import re

import pytest

from holdback.web.pages.charts import Axis, Band, Curve, Figure, Mark, axis_to
from holdback.web.pages.drawing import belief_bar, meter, ovals
from holdback.web.pages.wording import GAP


def test_belief_bar__says_its_parts_aloud() -> None:
    drawn = belief_bar((0.5, 0.5, 0.0), "Clown")
    assert f'aria-label="Clown: no copy 50{GAP}%, one copy 50{GAP}%"' in drawn
    assert "two" not in drawn


def test_belief_bar__fills_its_whole_width() -> None:
    drawn = belief_bar((1 / 3, 1 / 3, 1 / 3), "Clown")
    widths = [float(width) for width in re.findall(r'x="[\d.]+%" width="([\d.]+)%"', drawn)]
    assert sum(widths) == pytest.approx(100, abs=0.05)


def test_belief_bar__takes_names_as_text() -> None:
    assert "<b>" not in belief_bar((1.0, 0.0, 0.0), "<b>")


@pytest.mark.parametrize("chance, filled", [(3 / 16, 3), (1.0, 16), (0.0, 0), (0.26, 4)])
def test_ovals__fill_by_sixteenths(chance: float, filled: int) -> None:
    drawn = ovals(chance)
    assert drawn.count('class="e on"') == filled
    assert drawn.count("<ellipse") == 16


def test_ovals__hatch_one_where_less_than_one_is_due() -> None:
    drawn = ovals(1 / 64)
    assert drawn.count('class="e part"') == 1
    assert 'aria-label="1 in 64 eggs"' in drawn


def test_meter__says_how_far() -> None:
    assert 'aria-label="14 of 23"' in meter(14, 23)
    assert 'width="0%"' in meter(0, 0)


def test_figure__carries_its_message_and_labels() -> None:
    figure = Figure(
        x=Axis(36, [(0, "0"), (36, "36 mo")]),
        y=axis_to(2780, "g"),
        said="Heavier than the band.",
        bands=[Band([(0, 80), (36, 2000)], [(0, 50), (36, 1200)], "ordinary females")],
        curves=[Curve([(0, 60), (36, 2780)], "me", "Umber")],
        marks=[Mark(12, 900, "gravid, left out", is_open=True)],
    )
    drawn = figure.svg()
    assert 'aria-label="Heavier than the band."' in drawn
    for word in ("ordinary females", "Umber", "gravid, left out", f"3,000{GAP}g"):
        assert word in drawn
    assert "style=" not in drawn


@pytest.mark.parametrize("largest", [0.8, 95, 1420, 2780, 41_000])
def test_axis_to__holds_the_largest_value_in_few_steps(largest: float) -> None:
    axis = axis_to(largest, "g")
    assert axis.end >= largest
    assert 3 <= len(axis.ticks) <= 8
