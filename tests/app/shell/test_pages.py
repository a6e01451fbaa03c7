"""Pages: what fails in one changes nothing, a hidden one costs nothing, and one is added with one line."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from PySide6.QtCore import QEventLoop, QRectF, Qt, QTimer
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QWidget

from app.commands.picture import PAGE_IDS
from app.kit.look import Look
from app.pages.arc import side_charts
from app.pages.arc.arc_page import ArcPage
from app.pages.arc.plan import PlanView
from app.pages.page import Action, Page
from app.pages.page_list import PAGES
from app.shell.slot_errors import install_hook
from app.state.settings import Settings
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import Units
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import ArcWindow, at_rest, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")
WIDTH = "cut.radial_engagement_mm"


class Second(Page):
    """A page of a test: the width in words."""

    id, key = "second", "Ctrl+9"

    @classmethod
    def title(cls) -> str:
        """Its name."""
        return "Second"

    def __init__(self, workbench: Workbench, view: ViewState, parent: Any = None) -> None:
        super().__init__(workbench, view, parent)
        self.label = QLabel()
        self.shown: list[float] = []
        self.fails: Callable[[Setup], bool] = lambda setup: False
        self.far = 0

    def widget(self) -> QWidget:
        return self.label

    def actions(self) -> tuple[Action, ...]:
        return (
            Action("far", "View", "Far", self.go_far, ("Z",), lambda: self.far > 0, "Goes far", button="Far"),
            Action("near", "Motion", "Near", self.go_near, ("Ctrl+Shift+Z,N",)),
        )

    def go_far(self) -> None:
        self.far += 1
        self.switched.emit()

    def go_near(self) -> None:
        self.far = 0

    def show(self, setup: Setup) -> None:
        if self.fails(setup):
            raise ZeroDivisionError("page")
        self.shown.append(setup.cut.radial_engagement_mm)
        self.label.setText(str(setup.cut.radial_engagement_mm))

    def sentence(self, setup: Setup, units: Units) -> str:
        return f"Width {setup.cut.radial_engagement_mm}."

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        painter.fillRect(rect, theme.color("accent"))

    def state(self) -> dict[str, Any]:
        return {"far": self.far}

    def restore_state(self, state: dict[str, Any]) -> None:
        self.far = state.get("far", 0)


def two_pages() -> ArcWindow:
    window = ArcWindow(Workbench(boss()), ViewState(), Settings(), pages=(ArcPage, Second))
    window.resize(1280, 800)
    window.show()
    settle()
    return window


@pytest.fixture
def window() -> Any:
    made = two_pages()
    yield made
    made.files.ask = lambda words, answers: answers[-2]
    made.close()
    made.deleteLater()
    settle()


def second(window: ArcWindow) -> Second:
    page = window.pages.page("second")
    assert isinstance(page, Second)
    return page


def widened(window: ArcWindow, to: float) -> None:
    window.workbench.propose(window.workbench.setup.with_keys({WIDTH: to}), steps.WIDTH)
    settle()


def picture(window: ArcWindow) -> QImage:
    return window.grab().toImage()


def test_a_page_brings_its_button_menu_keys_sentence_and_picture(window: ArcWindow, tmp_path: Path) -> None:
    assert window.header.page_buttons["arc"].isChecked()
    window.header.page_buttons["second"].click()
    settle()
    assert window.page.id == "second" and second(window).label.isVisible()
    assert window.sentence.label.text() == "Width 4.0." and not window.arc.motion_bar.isVisible()
    assert "why" not in window.menus.by_id and "why" not in window.header.toggles
    assert not window.header.toggles["far"].isChecked()
    QTest.keyClick(window, Qt.Key.Key_Z)
    assert second(window).far == 1 and window.header.toggles["far"].isChecked()
    assert window.menus.by_id["far"].isChecked()
    QTest.keyClick(window, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    settle()
    assert window.page.id == "arc" and window.arc.motion_bar.isVisible() and "far" not in window.menus.by_id
    assert window.header.page_buttons["arc"].isChecked() and window.sentence.label.text().startswith("Climb")
    # A key of the other page does nothing here.
    QTest.keyClick(window, Qt.Key.Key_Z)
    assert second(window).far == 1
    QTest.keyClick(window, Qt.Key.Key_W)
    assert window.arc.shown.why


def test_a_hidden_page_costs_nothing_and_shows_what_is_new_when_it_comes_back(window: ArcWindow) -> None:
    # What the Arc page has put off until the hand rests is done before it is hidden.
    at_rest(window)
    window.turn_to("second")
    settle()
    called: set[str] = set()

    def profile(frame: FrameType, event: str, argument: object) -> None:
        called.add(frame.f_code.co_filename.replace("\\", "/"))

    sys.setprofile(profile)
    try:
        widened(window, 3.0)
        window.view.set("units", "inch")
        settle()
    finally:
        sys.setprofile(None)
    hidden = {name for name in called if "/pages/arc/" in name and not name.endswith("arc_state.py")}
    # The motion bar alone listens to the speed, for its factor.
    assert {Path(name).name for name in hidden} <= {"motion_bar.py", "motion.py"}
    assert window.arc.shown.results.setup == boss()
    window.turn_to("arc")
    settle()
    assert window.arc.shown.results.setup.cut.radial_engagement_mm == 3.0
    assert second(window).shown == [4.0, 3.0]
    at_rest(window)
    with window_on(boss().with_keys({WIDTH: 3.0}), units="inch", angle_deg=window.arc.shown.angle_deg) as other:
        at_rest(other)
        for here, there in ((window.arc.plan, other.arc.plan), (window.arc.strips, other.arc.strips)):
            there.resize(here.size())
            settle()
            assert here.grab().toImage() == there.grab().toImage()


def test_a_page_that_fails_to_come_leaves_the_one_before(window: ArcWindow) -> None:
    second(window).fails = lambda setup: True
    at_rest(window)
    before = picture(window)
    window.header.page_buttons["second"].click()
    settle()
    assert window.page.id == "arc" and window.header.page_buttons["arc"].isChecked()
    assert "ZeroDivisionError" in window.sentence.label.text()
    window.workbench.refusal_over.emit()
    at_rest(window)
    assert picture(window) == before


@pytest.mark.parametrize("part", ["plan", "strips", "charts", "which_way"])
def test_an_exception_in_any_part_of_a_page_leaves_setup_undo_and_picture(
    part: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with window_on(boss(), angle_deg=130.0) as window:
        # The panel is shown results while it is open.
        window.arc.shown.set("why", part == "which_way")
        widened(window, 3.0)
        at_rest(window)
        before, undo = picture(window), window.workbench.undo_name
        view = getattr(window.arc, part)
        show = view.show_results

        def broken(results: Any) -> None:
            if results.setup.cut.radial_engagement_mm == 1.0:
                raise RuntimeError(part)
            show(results)

        monkeypatch.setattr(view, "show_results", broken)
        widened(window, 1.0)
        assert window.workbench.setup.cut.radial_engagement_mm == 3.0 and window.workbench.undo_name == undo
        assert window.hand_rail.control(WIDTH).field.text() == "3 mm"
        assert "RuntimeError" in window.sentence.label.text() and "put back" in window.sentence.label.text()
        window.workbench.refusal_over.emit()
        at_rest(window)
        assert picture(window) == before


def test_an_exception_in_a_paint_puts_the_step_back(monkeypatch: pytest.MonkeyPatch) -> None:
    paint = PlanView.paintEvent

    def broken(self: Any, event: Any) -> None:
        if self._view.results.setup.cut.radial_engagement_mm == 1.0:
            raise RuntimeError("paint")
        paint(self, event)

    monkeypatch.setattr(PlanView, "paintEvent", broken)
    # Put back by the fixture: the run of the tests has a hook of its own, which takes any error for a failure.
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    with window_on(boss(), angle_deg=130.0) as window:
        widened(window, 3.0)
        at_rest(window)
        before = picture(window)
        install_hook(window.workbench)
        widened(window, 1.0)
        for _ in range(3000):
            if window.workbench.setup.cut.radial_engagement_mm == 3.0:
                break
            QTest.qWait(20)
        assert window.workbench.setup.cut.radial_engagement_mm == 3.0
        window.workbench.refusal_over.emit()
        at_rest(window)
        assert picture(window) == before


@pytest.mark.qt_log_ignore("QBackingStore::endPaint")
def test_a_picture_that_fails_late_puts_the_step_back_and_leaves_no_painter(monkeypatch: pytest.MonkeyPatch) -> None:
    """The charts are painted anew when the hand has rested; the error is held beyond their kept picture."""
    paint, held = side_charts.STILL["wall"], []

    def broken(painter: QPainter, box: QRectF, scene: Any, theme: Look) -> None:
        if its.workbench.setup.value(WIDTH) == 1.0:
            raise RuntimeError("half painted")
        paint(painter, box, scene, theme)

    with window_on(boss(), angle_deg=130.0) as its:
        at_rest(its)
        monkeypatch.setitem(side_charts.STILL, "wall", broken)
        put_back = its.workbench.put_back

        def holding(error: BaseException) -> None:
            held.append(error)
            put_back(error)

        monkeypatch.setattr(its.workbench, "put_back", holding)
        monkeypatch.setattr(sys, "excepthook", sys.excepthook)
        install_hook(its.workbench)
        said: list[str] = []
        its.workbench.refused.connect(said.append)
        # An event loop as the program's own: what fails in it comes to the hook.
        loop = QEventLoop()
        its.workbench.refused.connect(loop.quit)
        QTimer.singleShot(60_000, loop.quit)
        widened(its, 1.0)
        loop.exec()
        assert its.workbench.setup.value(WIDTH) == 4.0
        assert "put back" in said[0]
    trace, painters = held[0].__traceback__, []
    while trace is not None:
        painters += [v for v in trace.tb_frame.f_locals.values() if isinstance(v, QPainter)]
        trace = trace.tb_next
    assert painters and not any(painter.isActive() for painter in painters)


def test_what_a_page_shows_is_remembered(window: ArcWindow, own_settings: Path) -> None:
    second(window).go_far()
    window.arc.shown.set("strips", ("chip", "torque"))
    window.close()
    settings = window.settings
    again = ArcWindow(Workbench(boss()), ViewState(), settings, pages=(ArcPage, Second))
    assert second(again).far == 1 and again.arc.shown.strips == ("chip", "torque")
    again.deleteLater()
    damaged = Settings(pages={"arc": {"strips": 3, "charts": ["loop", "none"], "why": "yes"}})
    third = ArcWindow(Workbench(boss()), ViewState(), damaged)
    assert third.arc.shown.strips == ("chip", "force") and third.arc.shown.charts == ("loop",)
    assert third.arc.shown.why is False
    third.deleteLater()


def test_the_command_line_knows_the_pages() -> None:
    assert tuple(page.id for page in PAGES) == PAGE_IDS
    assert len({page.key for page in PAGES}) == len(PAGES)
