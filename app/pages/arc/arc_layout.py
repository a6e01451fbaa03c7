"""The places of the Arc page: plan on the left, strips with charts or the panel "Which way" on the right."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSplitter, QVBoxLayout, QWidget

from app.kit.look import look
from app.kit.quiet_buttons import quiet_buttons
from app.kit.tab_order import tab_through
from app.pages.arc.arc_state import ArcState
from app.pages.arc.plan import PlanView
from app.pages.arc.side_charts import CHARTS_SHARE, SideCharts, charts_height
from app.pages.arc.strip_places import least_height, type_share
from app.pages.arc.strips import StripsView
from app.pages.arc.which_way import WhichWay
from app.pages.arc.which_way_scene import shown_strips

ROOM_FOR_CHARTS = 674
"""Least height of the window, in logical pixels, at which charts are shown under the strips.  Not of the page: a
group of the hand-rail that opens makes the page lower for a while."""

ROOM_ALONE = 470
"""The same of the page, where nothing but the pictures is in the window."""

LEAST_STRIPS = 190
"""Least height, in logical pixels, that the strips together are shown in."""

LEAST_PLAN, LEAST_PAIR = 440, 620
"""Least width, in logical pixels, at which the words of one plan, or of two, have places of their own."""

LEAST_BESIDE_REASONS = 320
"""The same beside the panel "Which way", which cannot do with less than its words need."""

LEAST_PAIR_BESIDE_REASONS = 460
"""The same for two plans; where there is less their words would lie over one another, and the reasons stand alone."""

LEAST_HIGH_BESIDE_REASONS = 230
"""Least height, in logical pixels, of plans beside the panel "Which way"."""

FRAME = 5
"""Pixels that a panel takes above and below what it holds, with half of what parts two."""

WHY_SHARE = 150
"""Height of the panel "Which way" where the strips have 100 less the charts' share."""


class _Scrolled(QScrollArea):
    """The strips where they are too many for the height: as high as there is room, or as they need, and scrolled.

    The strips themselves take the focus; the keys that they do not use, such as page up and down, scroll.
    """

    def __init__(self, strips: StripsView) -> None:
        super().__init__()
        self.setWidget(strips)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setMinimumSize(strips.minimumWidth(), LEAST_STRIPS)


class _Panel(QFrame):
    """A panel that tells of its height: it follows the window's, the sentence's and the hand-rail's."""

    resized = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another height."""
        super().resizeEvent(event)
        self.resized.emit()


def _panel(*inside: tuple[QWidget, int]) -> _Panel:
    """A panel of widgets under one another, each with its share of the height."""
    panel = _Panel()
    panel.setObjectName("panel")
    layout = QVBoxLayout(panel)
    layout.setContentsMargins(2, 2, 2, 2)
    for widget, share in inside:
        layout.addWidget(widget, share)
    return panel


class ArcLayout(QWidget):
    """Plan and strips beside one another; what stands under the strips follows the room and what is asked."""

    def __init__(
        self,
        view: ArcState,
        plan: PlanView,
        strips: StripsView,
        charts: SideCharts,
        make_reasons: Callable[[], WhichWay],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._view, self.plan, self.strips, self.charts = view, plan, strips, charts
        self._make_reasons = make_reasons
        self._reasons: WhichWay | None = None
        self.pictures = QSplitter(Qt.Orientation.Horizontal)
        self.pictures.setChildrenCollapsible(False)
        self.pictures.setHandleWidth(8)
        self._plan_panel = _panel((self.plan, 1))
        self.pictures.addWidget(self._plan_panel)
        self.strips_area = _Scrolled(self.strips)
        self._beside = _panel((self.strips_area, 100 - CHARTS_SHARE), (self.charts, CHARTS_SHARE))
        self.pictures.addWidget(self._beside)
        self.setMinimumWidth(LEAST_PAIR + 308)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.pictures)
        self._beside.resized.connect(self._fit_charts)
        view.changed.connect(self._share)
        self._share("pair")
        self._share("charts")

    @property
    def which_way(self) -> WhichWay:
        """The panel "Which way", made when it is first asked for: its ladder is as much as the rest of the page."""
        if self._reasons is None:
            self._reasons = made = self._make_reasons()
            made.hide()
            column = self._beside.layout()
            assert isinstance(column, QVBoxLayout)
            column.addWidget(made, WHY_SHARE)
            tab_through(made, self.charts)
            quiet_buttons(made)
            # Its room goes by its words: it follows the view before its place does.
            self._view.changed.disconnect(self._share)
            self._view.changed.connect(self._share)
        return self._reasons

    def _share(self, name: str) -> None:
        """Two plans want more of the width than one; without charts the strips have the height."""
        if name in ("pair", "why"):
            # Words that are cut off in the reasons are worse than a plan whose cards give way.
            least = LEAST_BESIDE_REASONS if self._view.why else LEAST_PAIR if self._view.pair else LEAST_PLAN
            self.plan.setMinimumWidth(least)
            left = 64 if self._view.pair else 48 if self._view.why else 56
            self.pictures.setSizes([10 * left, 1000 - 10 * left])
        if name in ("charts", "why", "strips", "theme", "reason", "shown", "pair"):
            self._fit_charts()

    def _fit_charts(self) -> None:
        """On a low screen the strips keep the height; the reasons take the charts' place, and there the strips'."""
        theme = look(self._view.theme)
        share = type_share(theme)
        room = self.window().height() >= ROOM_FOR_CHARTS * share or self.height() >= ROOM_ALONE * share
        needed = math.ceil(least_height(len(shown_strips(self._view)), theme))
        self.strips.setMinimumHeight(needed)
        # The panel's own frame takes a little.
        charts = charts_height(self._beside.height() - 10.0, needed, theme)
        self.charts.setMaximumHeight(charts)
        charted = bool(self._view.charts) and self._view.shown.strips
        self.charts.setVisible(charted and room and charts > 0 and not self._view.why)
        strips = self._view.shown.strips
        if self._view.why or self._reasons is not None:
            self.which_way.setVisible(self._view.why)
        self.strips_area.setVisible(strips and (not self._view.why or (room and self._fits_above())))
        self._beside.setVisible(strips or self._view.why)
        self._plan_panel.setVisible(not self._view.why or self._fits_beside())

    def minimumSizeHint(self) -> QSize:
        """Without the strips over the panel "Which way": they give way before the window has to grow."""
        least = super().minimumSizeHint()
        if self._view.why and not self.strips_area.isHidden():
            least.setHeight(max(least.height() - LEAST_STRIPS, 0))
        return least

    def _fits_above(self) -> bool:
        """Whether the strips have room above the panel "Which way"."""
        return self.height() >= LEAST_STRIPS + self.which_way.minimumSizeHint().height() + 2 * FRAME

    def _fits_beside(self) -> bool:
        """Whether the panel "Which way" has room for its words beside the plan: in large type it may need it all."""
        least = LEAST_PAIR_BESIDE_REASONS if self._view.pair else LEAST_BESIDE_REASONS
        share = type_share(look(self._view.theme))
        if self.height() < LEAST_HIGH_BESIDE_REASONS * share:
            return False
        return self.which_way.minimumSizeHint().width() + least * share <= self.width()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another height may or may not have room for the charts."""
        super().resizeEvent(event)
        self._fit_charts()
