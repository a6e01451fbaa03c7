"""The side panels of the Chatter page in a real window: widths, one cut in time, a measured response."""

from __future__ import annotations

import io
import wave
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from app.kit import sound_player
from core.base.words import say
from core.chatter import cut_history, speed_depth, width_grid
from core.chatter.stability import axial_limit
from tests.app.pages.chatter.test_chatter_page import CUT, chatter_on
from tests.app.windows import PATIENCE_MS, drag, settle, until
from tests.core.chatter.measured_reference import MODES, response

pytestmark = pytest.mark.usefixtures("window_app")


@pytest.fixture(autouse=True)
def coarser(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fewer speeds of the chart, which is not what is tested here."""
    monkeypatch.setattr(speed_depth, "FINE", 35)
    monkeypatch.setattr(speed_depth, "BAND", 3)


@pytest.fixture
def few_turns(monkeypatch: pytest.MonkeyPatch) -> None:
    """Short histories: what they show is tested elsewhere."""
    monkeypatch.setattr(cut_history, "TURNS", 8)


@pytest.fixture
def few_widths(monkeypatch: pytest.MonkeyPatch) -> None:
    """A thin grid: what it holds is tested elsewhere."""
    monkeypatch.setattr(width_grid, "WIDTHS", 6)
    monkeypatch.setattr(width_grid, "SPEEDS", 5)


def measured(tmp_path: Path, unit: str = " [um/N]", *, times: float = 1e3) -> Path:
    """A file with the response of the known modes, in a unit of its own."""
    f = np.arange(100.0, 2500.0, 4.0)
    h = times * response(f)
    rows = "\n".join(f"{a:g},{b.real:.9g},{b.imag:.9g}" for a, b in zip(f, h, strict=True))
    file = tmp_path / "tip.csv"
    file.write_text(f"frequency [Hz],real{unit},imaginary{unit}\n{rows}\n")
    return file


def test_one_cut_is_simulated_beside_the_window_and_at_a_clicked_point(qtbot: Any, few_turns: None) -> None:
    with chatter_on(CUT) as (window, page):
        page.open_side("time")
        qtbot.waitUntil(lambda: page.time.history is not None and page.time.history.done, timeout=PATIENCE_MS)
        first = page.time.history
        assert first is not None and first.setup == CUT and page.time.save_button.isEnabled()
        view = page.view_widget
        other = QPointF(view.frame().plot.left() + 20.0, view.frame().plot.top() + 20.0)
        QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=other.toPoint())
        settle()
        assert page.point is not None and window.workbench.setup == CUT

        def there() -> bool:
            found = page.time.history
            return found is not None and found.done and found.setup != CUT

        qtbot.waitUntil(there, timeout=PATIENCE_MS)
        assert page.time.history is not None
        assert page.time.history.setup.cut.spindle_speed_rpm == pytest.approx(page.point[0], rel=6e-3)
        page.time.play()
        assert page.time.playing
        window.turn_to("arc")
        assert not page.time.playing and not page.time.jobs.busy


def test_its_sound_is_saved_and_played_only_where_something_plays(
    qtbot: Any, few_turns: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound_player.shutil, "which", lambda name: None)
    monkeypatch.setattr(sound_player.sys, "platform", "linux")
    with chatter_on(CUT) as (_, page):
        page.open_side("time")
        qtbot.waitUntil(lambda: page.time.history is not None and page.time.history.done, timeout=PATIENCE_MS)
        assert not page.time.hear_button.isEnabled()
        assert "no command" in page.time.hear_button.toolTip()
        file = tmp_path / "cut.wav"
        with qtbot.waitSignal(page.done, timeout=PATIENCE_MS) as told:
            page.time.save_to(file)
        assert "cut.wav" in told.args[0]
        with wave.open(io.BytesIO(file.read_bytes())) as sound:
            assert sound.getnframes() / sound.getframerate() == pytest.approx(2.0, abs=0.01)
        with qtbot.waitSignal(page.time.refused, timeout=PATIENCE_MS):
            page.time.save_to(tmp_path / "missing" / "cut.wav")


def test_the_modes_of_a_file_are_fitted_and_taken_as_one_step(qtbot: Any, tmp_path: Path) -> None:
    with chatter_on(CUT) as (window, page):
        page.open_side("measured")
        panel, bench = page.measured, window.workbench
        assert not panel.take_button.isEnabled()
        panel.open_path(measured(tmp_path))
        qtbot.waitUntil(lambda: panel.charts.measured is not None, timeout=PATIENCE_MS)
        panel.axis.setCurrentIndex(1)
        panel.take_button.click()
        settle()
        blocks = bench.setup.dynamics
        assert [b for b in blocks if b.axis == "x"] == [b for b in CUT.dynamics if b.axis == "x"]
        found = np.array([[b.frequency_hz, b.damping_ratio, b.stiffness_n_mm] for b in blocks if b.axis == "y"])
        np.testing.assert_allclose(found, MODES, rtol=2e-3)
        assert bench.undo_name == say("measured", "taken")
        bench.undo()
        assert bench.setup == CUT
        assert "480" in panel.modes.text()
        window.turn_to("arc")


@pytest.mark.parametrize(
    ("heading", "rows", "words"),
    [
        ("frequency [Hz],real [um/N],imaginary [um/N]", ["-4,1,-1", *(f"{i},1,-1" for i in range(20))], "below 0"),
        ("frequency [Hz],real [um/N],imaginary [um/N]", [f"{i},1," for i in range(20)], "a gap"),
        ("frequency [Hz]", [str(i) for i in range(20)], "one column"),
        ("frequency [Hz],real,imaginary", [f"{i},1,-1" for i in range(20)], "m/N, mm/N or um/N"),
        ("frequency [Hz],real [furlong],imaginary [furlong]", [f"{i},1,-1" for i in range(20)], "furlong"),
    ],
)
def test_wrong_files_are_refused_in_words(
    qtbot: Any, tmp_path: Path, heading: str, rows: list[str], words: str
) -> None:
    file = tmp_path / "tip.csv"
    file.write_text("\n".join([heading, *rows]) + "\n")
    with chatter_on(CUT) as (window, page):
        page.open_side("measured")
        with qtbot.waitSignal(page.measured.refused, timeout=PATIENCE_MS) as told:
            page.measured.open_path(file)
        assert words in told.args[0] and "tip.csv" in told.args[0]
        assert words in page.measured.charts.words and not page.measured.take_button.isEnabled()
        assert window.workbench.setup == CUT
        page.measured.open_path(tmp_path / "none.csv")
        until(lambda: "none.csv" in page.measured.charts.words and not page.measured.jobs.busy)


def test_a_unit_that_the_heading_lacks_is_chosen(qtbot: Any, tmp_path: Path) -> None:
    with chatter_on(CUT) as (_, page):
        page.open_side("measured")
        panel = page.measured
        panel.unit.setCurrentIndex(2)
        panel.open_path(measured(tmp_path, "", times=1.0))
        qtbot.waitUntil(lambda: panel.charts.measured is not None, timeout=PATIENCE_MS)
        panel.force.setText("none")
        with qtbot.waitSignal(panel.refused, timeout=PATIENCE_MS) as told:
            panel.force.editingFinished.emit()
        assert "a number over 0" in told.args[0]


def test_widths_have_the_same_limit_and_a_handle(qtbot: Any, few_widths: None) -> None:
    with chatter_on(CUT) as (window, page):
        page.open_side("widths")
        view = page.widths
        qtbot.waitUntil(lambda: view.grid is not None and view.grid.done, timeout=PATIENCE_MS)
        grid = view.grid
        assert grid is not None
        wide = CUT.with_keys({"cut.radial_engagement_mm": float(grid.width_mm[3])})
        assert grid.at_own_speed(True)[3] == pytest.approx(axial_limit(wide).depth_mm)
        charts = view.scene.charts(view.rect().toRectF(), page_look(view))
        start = view.scene.handles(charts)[0]
        drag(view, start, start + QPointF(40.0, 0.0))
        after = window.workbench.setup.cut
        assert after.radial_engagement_mm > 1.0 and after.spindle_speed_rpm == 9000.0
        assert window.workbench.undo_name == say("chatter_width", "gesture")
        window.workbench.undo()
        assert window.workbench.setup == CUT


def page_look(view: Any) -> Any:
    """The theme that a view paints with."""
    from app.kit.look import look

    return look(view._view.theme)


def test_a_panel_is_a_switch_and_stays_for_the_next_start(qtbot: Any) -> None:
    with chatter_on(CUT) as (_, page):
        actions = {action.id: action for action in page.actions()}
        actions["side_measured"].do()  # type: ignore[misc]
        assert actions["side_measured"].is_on() and page.measured.isVisible()  # type: ignore[misc]
        kept = page.state()
        actions["side_measured"].do()  # type: ignore[misc]
        assert not page.measured.isVisible()
        page.restore_state(kept)
        assert page.side == "measured"
        page.restore_state({"side": "nowhere"})
        assert page.side == "measured"
