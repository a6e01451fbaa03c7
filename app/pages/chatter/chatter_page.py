"""The Chatter page: how deep this cut may go, at which speed, in which direction."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypeVar

from PySide6.QtCore import QObject, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.kit.bare_layouts import bare_row
from app.kit.jobs import Jobs
from app.kit.look import Look
from app.kit.readable_ranges import AxisRange
from app.pages.chatter.chatter_scene import ChatterScene, depth_range, speed_range
from app.pages.chatter.measured_panel import MeasuredPanel
from app.pages.chatter.measured_view import paint_measured
from app.pages.chatter.offer_list import OfferList
from app.pages.chatter.speed_depth_chart import paint_chart
from app.pages.chatter.speed_depth_view import SpeedDepthView, with_place
from app.pages.chatter.time_panel import TimePanel
from app.pages.chatter.time_view import TimeScene, paint_time
from app.pages.chatter.why_view import WhyView, paint_why
from app.pages.chatter.width_view import WidthScene, WidthView, paint_widths
from app.pages.page import Action, Page
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import Units
from core.base.words import say
from core.chatter.cut_history import cut_history
from core.chatter.speed_depth import Offer, SpeedDepth, speed_depth
from core.chatter.why_direction import why_direction
from core.chatter.width_grid import width_grid
from core.report.chatter_sentence import chatter_sentence
from core.setup.setup import Setup

SIDES = {"why": "chatter_why", "widths": "chatter_width", "time": "chatter_time", "measured": "measured"}
"""Side panels, and the words of each."""


Piece = TypeVar("Piece")


class ChatterPage(Page):
    """Chart of speed against depth, frequencies below it, the speeds that hold more, and one side panel of four."""

    id, key = "chatter", "Ctrl+2"

    def __init__(self, workbench: Workbench, view: ViewState, parent: QObject | None = None) -> None:
        super().__init__(workbench, view, parent)
        self.jobs = Jobs(self)
        self.chart: SpeedDepth | None = None
        self.setup = workbench.resolved
        self.view_widget = SpeedDepthView(workbench, view)
        self.offers = OfferList()
        self.time = TimePanel(view)
        self.widths = WidthView(workbench, view)
        self.measured = MeasuredPanel(workbench, view)
        self.why = WhyView(view)
        self.panels: dict[str, QWidget] = {
            "why": self.why,
            "widths": self.widths,
            "time": self.time,
            "measured": self.measured,
        }
        self._kept: SpeedDepth | None = None
        self.side = ""
        self.point: tuple[float, float] | None = None
        self.ground = QFrame()
        self.ground.setObjectName("panel")
        rows = QVBoxLayout()
        rows.setSpacing(0)
        rows.addWidget(self.view_widget, 1)
        rows.addWidget(self.offers)
        layout = bare_row(self.ground, 0)
        layout.addLayout(rows, 3)
        for panel in self.panels.values():
            panel.hide()
            layout.addWidget(panel, 2)
        self.ground.setFocusProxy(self.view_widget)
        self.jobs.came.connect(self._came)
        self.jobs.failed.connect(self._failed)
        self.offers.taken.connect(self.take)
        self.view_widget.pointed.connect(self.look_at_point)
        self.view_widget.settled.connect(self._show_side)
        self.time.said.connect(self.done)
        self.measured.said.connect(self.done)
        self.time.refused.connect(workbench.refused)
        self.measured.refused.connect(workbench.refused)
        view.changed.connect(self._view_changed)

    def widget(self) -> QWidget:
        """Chart above, speeds below."""
        return self.ground

    def actions(self) -> tuple[Action, ...]:
        """A switch for each side panel."""

        def switch(id: str) -> Callable[[], None]:
            return lambda: self.open_side("" if self.side == id else id)

        def is_on(id: str) -> Callable[[], bool]:
            return lambda: self.side == id

        made = []
        for key, (id, group) in enumerate(SIDES.items(), 1):
            word, hint = say(group, "switch"), say(group, "switch_hint")
            beside = say("chatter", "beside")
            made.append(Action(f"side_{id}", "View", word, switch(id), (str(key),), is_on(id), hint, beside))
        return tuple(made)

    def group_hint(self, group: str) -> str:
        """What the header tells of the side panels."""
        return say("chatter", "beside_hint")

    def open_side(self, id: str) -> None:
        """Show one side panel, or none."""
        if id == self.side or (id and id not in self.panels):
            return
        self.side = id
        self._rest()
        for name, panel in self.panels.items():
            panel.setVisible(name == id)
        if id != "time":
            self.look_at_point(None)
        self._show_side()
        self.switched.emit()

    @property
    def _in_a_window(self) -> bool:
        """Whether anybody can see it; a page that only paints a file works everything out itself."""
        return self.ground.parentWidget() is not None

    def _rest(self) -> None:
        for panel in (self.why, self.time, self.widths, self.measured):
            panel.rest()

    def look_at_point(self, point: object) -> None:
        """Look at another point of the chart in time, speed (/min) and depth (mm); None: at the cut itself."""
        assert point is None or isinstance(point, tuple)
        self.point = point if self.side == "time" else None
        self.view_widget.mark(self.point)
        self._show_side()

    def _show_side(self) -> None:
        """What the open panel shows, once the hand rests."""
        if not self.side or self.view_widget.held or not self._in_a_window:
            return
        if self.side == "widths":
            self.widths.show_setup(self.setup, self.view_widget.across)
        elif self.side == "why":
            self.why.show_setup(self.setup)
        elif self.side == "time":
            setup = self.setup if self.point is None else with_place(self.setup, *self.point)
            self.time.show_setup(setup)

    def show(self, setup: Setup) -> None:
        """The handle moves now, borders follow from beside the window."""
        before, self.setup = self.setup, setup
        if before != setup:
            self.point = None
            self.view_widget.mark(None)
        self._show_side()
        self.view_widget.show_setup(setup)
        if self._in_a_window and (before is not setup or self.chart is None or not self.chart.done):
            self.offers.show_chart(None, self.view.units)
            across = self.view_widget.across
            self.jobs.ask(lambda: speed_depth(setup, across.low, across.high))

    def _came(self, chart: object) -> None:
        assert isinstance(chart, SpeedDepth)
        told = self._told_by(self.chart, self.setup)
        self.chart = chart
        self.view_widget.show_chart(chart)
        self.offers.show_chart(chart if chart.done else None, self.view.units)
        # Where nobody sees it a sentence would be worked out whole, again with each piece.
        if told != self._told_by(chart, self.setup) and self.ground.isVisible():
            self.said.emit()

    def _failed(self, error: object) -> None:
        """What could not be worked out is said where the sentence stands."""
        self.workbench.refused.emit(str(error))

    def left(self) -> None:
        """Nothing is worked out that nobody sees."""
        self.jobs.stop()
        self._rest()
        if self.chart is not None and not self.chart.done:
            self.chart = None

    def take(self, offer: Offer) -> None:
        """An offered speed and depth, as one step."""
        after = with_place(self.workbench.setup, offer.speed_rpm, offer.depth_mm)
        self.workbench.propose(after, StepName("chatter", "gesture"))

    def _view_changed(self, name: str) -> None:
        if name == "units":
            self.view_widget.forget()
            self.offers.show_chart(self.chart if self.chart and self.chart.done else None, self.view.units)
        self.view_widget.update()
        self.time.view_changed()
        for panel in (self.why, self.widths, self.measured):
            panel.update()

    def opened(self) -> None:
        """Another document has other axes."""
        self.chart = None
        self.view_widget.forget()
        self.show(self.workbench.resolved)

    def state(self) -> dict[str, Any]:
        """The open side panel."""
        return {"side": self.side}

    def restore_state(self, state: dict[str, Any]) -> None:
        """The same panel again."""
        side = state.get("side")
        if isinstance(side, str):
            self.open_side(side)

    # In words and on paper

    @staticmethod
    def _told_by(chart: SpeedDepth | None, setup: Setup) -> tuple[object, ...] | None:
        """What of a chart the sentence tells."""
        if chart is None or chart.setup != setup:
            return None
        return (chart.missing, chart.holdings, chart.offers)

    def _whole(self, setup: Setup) -> SpeedDepth:
        """The whole chart of a setup, worked out now: for files, which wait for nothing."""
        for known in (self.chart, self._kept):
            if known is not None and known.done and known.setup == setup:
                return known
        across = speed_range(None, setup.cut.spindle_speed_rpm, settled=True)
        self._kept = last_of(speed_depth(setup, across.low, across.high))
        return self._kept

    def sentence(self, setup: Setup, units: Units) -> str:
        """How deep it holds, as far as that has been worked out; in no window all of it."""
        chart = self.chart
        if chart is not None and chart.setup == setup and (chart.holdings is not None or chart.missing):
            return chatter_sentence(chart, units)
        if self._in_a_window:
            return say("chatter", "working")
        return chatter_sentence(self._whole(setup), units)

    def other_sentence(self, setup: Setup, units: Units) -> str:
        """Nothing: one sentence and one chart tell both directions."""
        return ""

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        """The chart, whole, beside the side panel that is open."""
        chart = self._whole(self.setup)
        across = speed_range(None, self.setup.cut.spindle_speed_rpm, settled=True)
        up = depth_range(None, chart, self.setup, units, settled=True)
        painter.fillRect(rect, theme.color("panel"))
        line = 1.6 * theme.text
        words = QRectF(rect.left() + 16.0, rect.bottom() - 2.4 * line, rect.width() - 32.0, 2.2 * line)
        scene = ChatterScene(self.setup, chart, across, up, units)
        body = rect.adjusted(8.0, 4.0, -8.0, -2.8 * line)
        if self.side:
            side = QRectF(body.left() + 0.6 * body.width(), body.top(), 0.4 * body.width(), body.height())
            body = body.adjusted(0.0, 0.0, -0.4 * body.width(), 0.0)
            self._paint_side(painter, side, theme, units, across)
        paint_chart(painter, body, scene, theme)
        painter.setFont(theme.font("text"))
        painter.setPen(theme.color("ink"))
        flags = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
        painter.drawText(words, flags, chatter_sentence(chart, units))

    def _paint_side(self, painter: QPainter, rect: QRectF, theme: Look, units: Units, across: AxisRange) -> None:
        """The open side panel, worked out to its end."""
        if self.side == "time":
            setup = self.setup if self.point is None else with_place(self.setup, *self.point)
            history = self.time.history
            if history is None or not history.done or history.setup != setup:
                history = last_of(cut_history(setup))
            paint_time(painter, rect, TimeScene(history, units), theme)
        elif self.side == "why":
            paint_why(painter, rect, why_direction(self.setup), units, theme)
        elif self.side == "widths":
            grid = self.widths.grid
            if grid is None or not grid.done or grid.setup != self.setup:
                grid = last_of(width_grid(self.setup, across.low, across.high))
            paint_widths(painter, rect, WidthScene(self.setup, grid, across, units), theme)
        elif self.measured.charts.measured is not None:
            paint_measured(painter, rect, self.measured.charts.measured, theme)


def last_of(pieces: Iterator[Piece]) -> Piece:
    """The last of some values, at least one."""
    found = next(pieces)
    for piece in pieces:
        found = piece
    return found
