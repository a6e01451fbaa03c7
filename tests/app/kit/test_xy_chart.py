"""The kit's chart: places and values, figures that keep apart, what is left out, where a readout stands."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtWidgets import QApplication

from app.kit.label_layout import text_size
from app.kit.look import CAPITALS, look, themed
from app.kit.readable_ranges import AxisRange, readable_range
from app.kit.xy_chart import (
    Axis,
    Figures,
    XYChart,
    narrow,
    paint_across,
    paint_square_grid,
    paint_up,
    plain,
    readout_place,
)
from tests.app.painted import Painted, value

pytestmark = pytest.mark.usefixtures("window_app")

PLOT = QRectF(100.0, 20.0, 300.0, 200.0)
figures = st.floats(-1e6, 1e6).filter(lambda v: v == 0.0 or abs(v) > 1e-6)


def test_the_ends_of_a_range_lie_on_the_sides_of_the_plot_and_up_is_up() -> None:
    chart = XYChart.filling(PLOT, AxisRange(-1.0, 2.0, 1.0), AxisRange(0.0, 50.0, 10.0))
    corners = chart.points(np.array([-1.0, 2.0]), np.array([0.0, 50.0]))
    assert corners == pytest.approx(np.array([[100.0, 220.0], [400.0, 20.0]]))
    assert chart.x(0.0) == pytest.approx(200.0) and chart.y(10.0) == pytest.approx(180.0)


@given(figures, figures, st.floats(0.0, 1.0))
def test_a_pixel_and_its_value_belong_together(low: float, high: float, share: float) -> None:
    axis = Axis.over(readable_range(low, high), 400.0, 100.0)
    shown = axis.range.low + share * (axis.range.high - axis.range.low)
    assert axis.value(axis.pixel(shown)) == pytest.approx(shown, abs=1e-9 * (axis.range.high - axis.range.low))
    assert 100.0 - 1e-6 <= axis.pixel(shown) <= 400.0 + 1e-6


@given(figures, figures, st.floats(20.0, 400.0), st.sampled_from(("light", "projector")))
def test_figures_keep_apart_on_every_axis(low: float, high: float, height: float, theme: str) -> None:
    here, plot = look(theme), QRectF(100.0, 20.0, 300.0, height)
    chart = XYChart.filling(plot, AxisRange(0.0, 1.0, 0.5), readable_range(low, high))
    need, painter = here.small + 4.0, Painted()
    paint_up(painter, chart, here, Figures(plain(chart.up.range), 6.0, every=chart.up.every(need)))
    painter.end()
    middles = sorted(box.center().y() for _, box in painter.written)
    assert all(b - a >= need - 1e-6 for a, b in pairwise(middles))
    # Each tick keeps its line; zero is always among the figures.
    assert len(painter.lines) == len(chart.up.range.ticks())
    zero = [box.center().y() for text, box in painter.written if value(text) == 0.0]
    assert zero == [pytest.approx(chart.y(0.0))]
    coarse = chart.up.coarser(need)
    assert abs(coarse.per_unit) * coarse.range.step >= need and coarse.pixel(0.0) == chart.up.pixel(0.0)


def test_an_axis_turned_round_runs_the_other_way_with_its_own_signs() -> None:
    up = Axis.over(AxisRange(0.0, 1.0, 1.0), PLOT.bottom(), PLOT.top())
    turned = XYChart(PLOT, Axis(AxisRange(-1.0, 2.0, 1.0), 300.0, -100.0), up)
    painter = Painted()
    paint_across(painter, turned, look("light"), Figures(plain(turned.across.range), 2.0))
    painter.end()
    assert {text: box.center().x() for text, box in painter.written} == {
        "\N{MINUS SIGN}1": 400.0,
        "0": 300.0,
        "1": 200.0,
        "2": 100.0,
    }
    assert plain(turned.across.range, -1.0)(2.0) == "\N{MINUS SIGN}2"


def test_a_figure_that_would_reach_out_of_its_plot_is_left_out_but_not_its_line() -> None:
    chart, painter = XYChart.filling(PLOT, AxisRange(0.0, 3.0, 1.0), AxisRange(0.0, 1.0, 1.0)), Painted()
    paint_across(painter, chart, look("light"), Figures(plain(chart.across.range), 2.0, inside=2.0))
    painter.end()
    assert [text for text, _ in painter.written] == ["1", "2"] and len(painter.lines) == 4
    assert all(box.top() >= PLOT.bottom() for _, box in painter.written)


def test_figures_on_the_left_stay_in_their_margin_in_one_way_of_writing() -> None:
    font, chart = look("light").font("small"), XYChart.filling(PLOT, AxisRange(0, 1, 1), AxisRange(0.0, 4e7, 1e7))
    painter = Painted()
    paint_up(painter, chart, look("light"), Figures(narrow(chart.up.range, font, 40.0), 6.0, 40.0))
    painter.end()
    assert [text for text, _ in painter.written] == ["0", "1e7", "2e7", "3e7", "4e7"]
    assert all(box.right() <= PLOT.left() - 6.0 for _, box in painter.written)
    assert all(text_size(font, text).width() <= 40.0 for text, _ in painter.written)


def test_one_step_both_ways_draws_every_line_once() -> None:
    chart, painter = XYChart.filling(PLOT, AxisRange(-1.0, 2.0, 1.0), AxisRange(0.0, 2.0, 1.0)), Painted()
    up, across = Figures(plain(chart.up.range), 6.0), Figures(plain(chart.across.range), 3.0)
    paint_square_grid(painter, chart, look("light"), across, up, zero="soft")
    painter.end()
    assert sorted(x for x, _, end, _ in painter.lines if x == end) == [100.5, 200.5, 300.5, 400.5]
    assert sorted(y for _, y, _, end in painter.lines if y == end) == [20.5, 120.5, 220.5]


def test_a_readout_stands_beside_its_mark_on_nothing_that_is_taken() -> None:
    font, taken = look("light").font("text", bold=True), list[QRectF]()
    at = PLOT.center()
    for _ in range(4):
        box = readout_place(at, "123.4", font, PLOT, taken)
        assert box is not None and PLOT.contains(box) and not box.contains(at)
        assert not any(box.intersects(other) for other in taken)
        taken.append(box)
    assert readout_place(at, "123.4", font, PLOT, [PLOT]) is None
    right = readout_place(QPointF(PLOT.right(), at.y()), "123.4", font, PLOT, [])
    assert right is not None and right.right() < PLOT.right()


@pytest.mark.parametrize("theme", ["light", *(themed("projector", high) for high in (720, 768, 800, 1080, 1440))])
def test_the_figures_of_both_axes_stand_apart_where_the_axes_meet(qapp: QApplication, theme: str) -> None:
    dressed, painted = look(theme), Painted()
    up, across = AxisRange(0.0, 15.0, 5.0), AxisRange(600.0, 1200.0, 200.0)
    chart = XYChart.filling(QRectF(100.0, 20.0, 600.0, 400.0), across, up)
    paint_up(painted, chart, dressed, Figures(plain(up), 6.0, on_line=True))
    paint_across(painted, chart, dressed, Figures(plain(across), 1.0, on_line=True))
    painted.end()
    boxes = dict(painted.written)
    apart = boxes["600"].center().y() - boxes["0"].center().y()
    assert apart >= CAPITALS * dressed.small + 2.0
