"""The chart of the feed marks: chosen, drawn to its stated scale, its teeth numbered, in a window and on paper."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from app.kit.label_layout import text_size
from app.kit.look import look
from app.pages.arc.chart_title import chart_title, round_factor
from app.pages.arc.marks_chart import MarksFrame, marks_magnified, tooth_places
from app.pages.arc.side_charts import chart_rects, paint_charts
from app.pages.arc.side_charts_scene import ChartRanges, ChartsScene, marks_trace
from app.state.view_state import THEMES
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.effects.feed_marks import feed_marks
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import boss, keep, save_arc, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

RECT = QRectF(0.0, 0.0, 320.0, 200.0)


def cut(id: str) -> Setup:
    """An example with its coefficients."""
    return resolved(example(id).setup())


def scene_of(*setups: Setup, units: str = "metric") -> ChartsScene:
    traces = [(arc_results(setup), 135.0) for setup in setups]
    return ChartRanges().scene(traces, units, settled=True, ids=("marks",))  # type: ignore[arg-type]


def test_it_is_offered_but_not_shown_until_it_is_chosen() -> None:
    with window_on(boss()) as window:
        assert "marks" not in window.arc.shown.charts and list(window.arc.charts.scene_shown.marks) == []
        assert window.menus.by_id["chart_marks"].text() == "Feed marks"
        window.menus.by_id["chart_marks"].trigger()
        settle()
        assert window.arc.shown.charts == ("loop", "wall", "marks")
        (trace,) = window.arc.charts.scene_shown.marks
        assert trace.marking == trace.teeth == 4
        assert "Feed marks of this cut: 0.076 µm peak to valley." in window.arc.charts.accessibleDescription()


def test_height_and_factor_are_those_of_the_pixels() -> None:
    setup, scene = boss(), scene_of(boss())
    frame = MarksFrame.of(RECT, scene, look("light"))
    (trace,) = scene.marks
    found = feed_marks(setup)
    assert trace.wall is not None and found is not None
    at = frame.points(trace.wall.y / trace.turn, 1000.0 * trace.wall.height)
    up, along = np.ptp(at[:, 1]) / found.height, np.ptp(at[:, 0]) / trace.turn
    assert marks_magnified(frame, trace.turn, scene) == pytest.approx(up / along, rel=1e-6)
    assert frame.plot.top() <= at[:, 1].min() and at[:, 1].max() == pytest.approx(frame.base)
    assert (at[0, 0], at[-1, 0]) == pytest.approx((frame.plot.left(), frame.plot.right()))
    assert round_factor(740.0) == 500 or round_factor(740.0) == 1000
    assert trace.turn == pytest.approx(4 * setup.cut.feed_per_tooth_mm)


def test_every_tooth_stands_under_its_mark_and_with_runout_only_those_that_mark() -> None:
    even = marks_trace(arc_results(boss()))
    assert [tooth for _, tooth in even.valleys] == [0, 1, 2, 3, 0]
    assert [place for place, _ in even.valleys] == pytest.approx([0.0, 0.06, 0.12, 0.18, 0.24])
    worn = marks_trace(arc_results(cut("runout-two-teeth")))
    assert worn.marking == 1 and worn.teeth == 2
    assert [tooth for _, tooth in worn.valleys] == [0, 0]
    # The longest tooth is not the first: the whole wall is its, and its mark lies within the turn.
    other = marks_trace(arc_results(cut("runout-two-teeth").with_keys({"cutter.runout_angle_deg": 180.0})))
    assert [tooth for _, tooth in other.valleys] == [1]
    assert other.valleys[0][0] == pytest.approx(0.04)


@pytest.mark.parametrize("teeth", [1, 2, 4, 12, 40])
@pytest.mark.parametrize("runout", [0.0, 0.001, 0.01])
def test_numbers_never_run_into_one_another(teeth: int, runout: float) -> None:
    setup = boss().with_keys({"cutter.teeth": teeth, "cutter.runout_mm": runout, "cutter.runout_angle_deg": 75.0})
    for theme, width in itertools.product(("light", "projector"), (150.0, 320.0)):
        scene = scene_of(setup)
        frame = MarksFrame.of(QRectF(0.0, 0.0, width, 190.0), scene, look(theme))
        places = tooth_places(scene.marks[0], frame, look(theme))
        assert places and all(frame.plot.contains(box) for _, box in places)
        assert all(box.top() >= frame.base for _, box in places)
        assert not any(a.intersects(b) for (_, a), (_, b) in itertools.pairwise(places))


def test_a_pair_has_one_scale_and_solid_climbs() -> None:
    scene, theme = scene_of(boss().opposite, boss()), look("light")
    assert [t.conventional for t in scene.marks] == [True, False]
    heights = [1000.0 * t.height for t in scene.marks]
    # Conventional's marks are the finer.
    assert heights[0] < heights[1] <= scene.marks_range.high
    image = QImage(640, 300, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(theme.color("panel"))
    painter = QPainter(image)
    rect = QRectF(0.0, 0.0, 640.0, 300.0)
    paint_charts(painter, rect, ("marks",), scene, theme)
    painter.end()
    colors = {image.pixelColor(x, y).name() for x in range(640) for y in range(300)}
    # A colour means the same in Pair as alone: the dash tells the direction.
    assert theme.third not in colors and theme.main in colors


@pytest.mark.parametrize(
    ("setup", "words"),
    [(cut("slot-steel"), "straddles"), (cut("facing-cast-iron"), "straddles")],
)
def test_what_is_missing_is_said(setup: Setup, words: str) -> None:
    with window_on(setup, charts=("marks",)) as window:
        (trace,) = window.arc.charts.scene_shown.marks
        assert trace.wall is None and words in trace.missing
        assert words in window.arc.charts.accessibleDescription()


def test_the_words_stand_in_files_and_all_kinds_can_be_written(tmp_path: Path) -> None:
    for ending in ("svg", "png", "pdf"):
        file = tmp_path / f"cut.{ending}"
        save_arc(cut("runout-two-teeth"), file, charts=["wall", "marks"])
        assert file.stat().st_size > 1000
    text = (tmp_path / "cut.svg").read_text("utf-8")
    for words in ("Feed marks, µm", "0.201 µm peak to valley", "marked by 1 of 2 teeth", "height about"):
        assert words in text


def test_axes_stand_still_while_the_feed_is_dragged_and_come_in_after_it() -> None:
    with window_on(boss(), charts=("marks",)) as window:
        charts, bench = window.arc.charts, window.workbench
        before, gesture = charts.scene_shown.marks_range, object()
        for feed in (0.055, 0.045, 0.03):
            bench.propose(bench.setup.with_keys({"cut.feed_per_tooth_mm": feed}), steps.FEED, gesture)
            settle()
        assert charts.scene_shown.marks_range == before
        charts.settle()
        assert charts.scene_shown.marks_range.high < before.high


@pytest.mark.parametrize("pair", [False, True])
def test_three_charts_side_by_side_keep_to_their_own_places(pair: bool, output: Path) -> None:
    with window_on(boss(), (1280, 800), pair=pair, charts=("loop", "wall", "marks")) as window:
        for theme, units in itertools.product(THEMES, ("metric", "inch")):
            window.view.set("theme", theme)
            window.view.set("units", units)
            settle()
            charts = window.arc.charts
            assert charts.isVisible()
            keep(window.grab(), output / f"marks-{theme}-{units}-{'pair' if pair else 'one'}.png")
            for id, box in chart_rects(QRectF(charts.rect()), window.arc.shown.charts):
                unit = {"loop": "lbf", "wall": "µin", "marks": "µin"}[id]
                title = chart_title(id, unit, box.width() - 22.0, look(theme))
                assert text_size(look(theme).font("text", bold=True), title).width() <= box.width() - 22.0
            # Nothing of the marks reaches into its neighbour: the columns between them are bare.
            image = charts.grab().toImage()
            ratio = image.devicePixelRatio()
            panel = look(theme).color("panel").name()
            left = dict(chart_rects(QRectF(charts.rect()), window.arc.shown.charts))["marks"].left()
            column = round((left + 1.0) * ratio)
            assert {image.pixelColor(column, y).name() for y in range(image.height())} == {panel}
