"""The edge unrolled as it is painted: colours are those of the chip, and in the window it is one of the charts."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest

from app.kit.look import look
from app.kit.thickness_colours import colour_of
from app.pages.arc.edge_chart import FIELD, edge_frames, foot_words, line_of, paint_edge_axes, paint_edges, row_name
from app.pages.arc.side_charts_scene import ChartRanges, ChartsScene
from core.base.quantities import figure
from core.cut.chip import thickness
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.setup.setup import Setup
from tests.app.windows import at_rest, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")
RECT = QRectF(0.0, 0.0, 700.0, 320.0)


def scene_of(setup: Setup, angle: float, *, pair: bool = False) -> ChartsScene:
    traces = [(arc_results(setup), angle)]
    if pair:
        traces.append((arc_results(setup.opposite), 180.0 - angle))
    return ChartRanges().scene(traces, "metric", settled=True, ids=("edge",))


def painted(scene: ChartsScene, name: str) -> QImage:
    image, theme = QImage(700, 320, QImage.Format.Format_RGB32), look(name)
    image.fill(theme.color("panel"))
    painter = QPainter(image)
    paint_edge_axes(painter, RECT, scene, theme)
    paint_edges(painter, RECT, scene, theme)
    painter.end()
    return image


def apart(one: QColor, other: QColor) -> int:
    return max(abs(a - b) for a, b in zip(rgb(one), rgb(other), strict=True))


@pytest.mark.parametrize(("id", "name"), [("boss", "light"), ("runout-two-teeth", "light"), ("boss", "print")])
def test_each_point_of_the_field_and_of_an_edge_has_the_colour_of_its_chip(id: str, name: str) -> None:
    setup = resolved(example(id).setup()).with_values(cutter__helix_deg=0.0)
    angle = 150.0
    scene = scene_of(setup, angle)
    theme, image = look(name), painted(scene, name)
    panel, dark = theme.color("panel"), theme.thick_is_dark
    for frame in edge_frames(RECT, scene, theme):
        tooth = frame.row.tooth
        for phi in (130.0, 142.0, 163.0, 172.0):
            h = float(thickness(math.radians(phi), setup, "trochoid", tooth or 0, runout=tooth is not None))
            full = colour_of(h / scene.top, dark)
            want = QColor(*[round(FIELD * c + (1.0 - FIELD) * p) for c, p in zip(rgb(full), rgb(panel), strict=True)])
            found = image.pixelColor(round(frame.across.pixel(phi)) + 3, round(frame.plot.center().y()))
            assert apart(found, want) <= 14, (phi, found.name(), want.name())
        if tooth in (None, 0):
            found = image.pixelColor(round(frame.across.pixel(angle)), round(frame.plot.center().y()))
            h = float(thickness(math.radians(angle), setup, "trochoid", 0, runout=tooth is not None))
            assert apart(found, colour_of(h / scene.top, dark)) <= 16


def rgb(color: QColor) -> tuple[int, int, int]:
    return color.red(), color.green(), color.blue()


def test_the_foot_tells_who_cuts_and_where_the_wall_is_made() -> None:
    setup = resolved(boss())
    scene = scene_of(setup, 190.0)
    (trace,) = scene.edges
    (made,) = trace.now.at_wall
    told = foot_words(trace, scene)[0]
    assert f"{trace.now.teeth_in_cut} of 4 teeth in cut" in told
    assert f"the wall is made at {figure(made.height, 'depth', 'metric')}" in told
    # 4 teeth, and edges that trail by 55 of the 90 degrees between them: for 35 degrees nobody makes the wall.
    assert "none makes the wall" in foot_words(scene_of(setup, 170.0).edges[0], scene)[0]


def test_a_pair_has_a_row_for_each_direction_climb_first() -> None:
    scene = scene_of(resolved(boss()).opposite, 60.0, pair=True)
    frames = edge_frames(RECT, scene, look("light"))
    assert [row_name(frame, scene) for frame in frames] == ["climb", "conv."]
    assert frames[0].plot.bottom() <= frames[1].plot.top() and frames[1].trace.wall_deg == 0.0


def test_it_moves_with_the_tooth_is_chosen_by_its_key_and_costs_nothing_unless_it_is_shown() -> None:
    with window_on(boss(), (1280, 800), charts=("loop",)) as window:
        arc = window.arc
        assert arc.charts.scene_shown.edges == ()
        QTest.keyClick(window, Qt.Key.Key_X)
        at_rest(window)
        assert arc.shown.charts == ("loop", "edge")
        frame = edge_frames(RECT, arc.charts.scene_shown, look("light"))[0]
        before = line_of(frame.trace.now.cutting[0], frame)
        arc.shown.set("angle_deg", arc.shown.angle_deg + 4.0)
        settle()
        frame = edge_frames(RECT, arc.charts.scene_shown, look("light"))[0]
        after = line_of(frame.trace.now.cutting[0], frame)
        assert after.x1() - before.x1() == pytest.approx(4.0 * frame.across.per_unit)
        assert "teeth in cut" in arc.charts.accessibleDescription()
