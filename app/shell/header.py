"""The header: whose cut this is, and the switches of the view."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QSizePolicy, QToolButton, QWidget

from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.glossary import explained
from core.documents.setup_examples import story
from core.report.cutter_line import cutter_line

THEME_WORDS = {"light": "Light", "dark": "Dark", "projector": "Projector"}


class Elided(QLabel):
    """A label that shortens its text with dots where there is no room; ``all_or_nothing`` leaves it out."""

    def __init__(self, *, all_or_nothing: bool = False) -> None:
        super().__init__()
        self._whole, self._more = "", ""
        self._all_or_nothing = all_or_nothing
        self.setMinimumWidth(0 if all_or_nothing else 40)

    def show_text(self, text: str, more: str = "") -> None:
        """The whole text; also what a hint and a screen reader get, with ``more`` under it."""
        if (text, more) == (self._whole, self._more):
            return
        self._whole, self._more = text, more
        self.setToolTip(f"{text}\n{more}" if more else text)
        self.setAccessibleName(text)
        self.setAccessibleDescription(more)
        self.updateGeometry()
        self._elide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width, another place for the dots."""
        super().resizeEvent(event)
        self._elide()

    def _elide(self) -> None:
        short = self.fontMetrics().elidedText(self._whole, Qt.TextElideMode.ElideRight, self.width())
        if self._all_or_nothing and short != self._whole:
            short = ""
        if short != self.text():
            self.setText(short)

    def sizeHint(self) -> QSize:
        """Room for the whole text, if there is."""
        return QSize(self.fontMetrics().horizontalAdvance(self._whole) + 6, super().sizeHint().height())


class Header(QWidget):
    """Title and cutter on the left, switches on the right."""

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.title, self.about = Elided(), Elided()
        self.title.setObjectName("title")
        self.about.setObjectName("soft")
        self.story = Elided(all_or_nothing=True)
        self.story.setObjectName("soft")
        # It takes what room is left and asks for none.
        self.story.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(4, 0, 4, 0)
        layout.setSpacing(6)
        layout.addWidget(self.title)
        layout.addWidget(self.about)
        layout.addSpacing(10)
        layout.addWidget(self.story, 1)
        self.gallery = self._button("Examples", "Examples to open (G)")
        self.strips = self._button("Strips ▾", "Which curves and charts are shown (2 to 9); chip thickness always is")
        self.strips_menu = QMenu(self)
        self.strips.setMenu(self.strips_menu)
        self.strips.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.pair = self._button("Pair", explained("pair") + " (P)", checkable=True)
        self.why = self._button("Which way", "Reasons for climb and for conventional (W)", checkable=True)
        self.metric_button = self._button("mm", "Metric units (U)", checkable=True)
        self.inch_button = self._button("in", "Inch units (U)", checkable=True)
        self.theme = self._button("Light", "Light, dark, projector (T)")
        self.help = self._button("?", "Keys and terms (F1)")
        self.pair.clicked.connect(self._set_pair)
        self.why.clicked.connect(self._set_why)
        self.metric_button.clicked.connect(self._set_metric)
        self.inch_button.clicked.connect(self._set_inch)
        self._shown_cut: tuple[object, ...] = ()
        workbench.setup_changed.connect(self._show_cut)
        workbench.file_changed.connect(self._show_cut)
        view.changed.connect(self._show)
        self._show()

    def _button(self, text: str, hint: str, *, checkable: bool = False) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(hint)
        button.setAccessibleName(hint)
        button.setCheckable(checkable)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        layout = self.layout()
        assert layout is not None
        layout.addWidget(button)
        return button

    def _set_pair(self, on: bool) -> None:
        self._view.set("pair", on)

    def _set_why(self, on: bool) -> None:
        self._view.set("why", on)

    def _set_metric(self) -> None:
        self._view.set("units", "metric")
        self._show()

    def _set_inch(self) -> None:
        self._view.set("units", "inch")
        self._show()

    def _show_cut(self, _: object = None) -> None:
        bench, units = self._workbench, self._view.units
        setup = bench.setup
        shown = (setup.title, setup.cutter, setup.work.material, bench.file, bench.modified, units)
        if shown == self._shown_cut:
            return
        self._shown_cut = shown
        name = setup.title or (bench.file.name if bench.file else "Untitled setup")
        told = "" if bench.file else story(setup.title)
        self.title.show_text(name + (" •" if bench.modified else ""), told)
        self.story.show_text(told)
        self.about.show_text(cutter_line(setup, units))  # type: ignore[arg-type]

    def _show(self, _: object = None) -> None:
        view = self._view
        self._show_cut()
        self.pair.setChecked(view.pair)
        self.why.setChecked(view.why)
        self.metric_button.setChecked(view.units == "metric")
        self.inch_button.setChecked(view.units == "inch")
        self.theme.setText(THEME_WORDS[view.theme])
