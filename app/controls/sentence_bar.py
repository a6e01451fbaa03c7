"""The sentence bar: what this cut does, or why something was refused; told to a screen reader after a change."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QFontMetrics, QMoveEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from app.kit.debounce import RestTimer, once_after
from app.kit.label_layout import wrapped
from app.kit.look import look
from app.kit.panel_ground import lay_on_panel
from app.kit.static_label import StaticLabel
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import Units
from core.setup.setup import Setup

BOTH_FROM = 620
"""Height of the window, pixels, from which a pair has both its sentences."""

QUIET_MS = 600
"""A screen reader is told when nothing has changed for this long: after a drag, not during it."""

MOMENT_MS = 4000
"""How long it is told that something was done, such as a report copied."""


class Speaker(Protocol):
    """What says something of a setup: the page on top."""

    def sentence(self, setup: Setup, units: Units) -> str:
        """What it says of the setup in these units."""

    def other_sentence(self, setup: Setup, units: Units) -> str:
        """What it says beside it in Pair."""

    def sentence_of_step(self, setup: Setup, units: Units) -> str:
        """The first while a hand moves a figure."""

    def other_sentence_of_step(self, setup: Setup, units: Units) -> str:
        """The second while a hand moves a figure."""


class SentenceBar(QFrame):
    """One label of fixed height: a refusal takes the sentence's place and moves nothing.

    Where the sentence is hidden the bar is out of sight, but for a refusal and for what was done.

    ``speaker`` is the page on top.  A step is told at once, what would hold the hand up as the hand rests.
    """

    def __init__(
        self,
        workbench: Workbench,
        view: ViewState,
        speaker: Speaker,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self._workbench, self._view, self.speaker = workbench, view, speaker
        # Not a plain label: a text control costs three times as much at every change, and a label lays out the page.
        # Ctrl+Shift+C copies the report, which begins with this sentence.
        self.label = StaticLabel()
        self.label.setObjectName("sentence")
        self.label.setWordWrap(True)
        self.label.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.label.setAccessibleName("What this cut does")
        lay_on_panel(self.label)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 6, 12, 6)
        layout.addWidget(self.label)
        self._refit = once_after(self, 0, self._resized)
        self._tell = once_after(self, QUIET_MS, self._announce)
        self._rest = RestTimer(self, self._tell_whole)
        self._moment = once_after(self, MOMENT_MS, self._back)
        self._before = ("", False)
        self._alone = self._out = False
        self._told_both = False
        workbench.follow(self.show_step)
        workbench.refused.connect(self.show_problem)
        workbench.refusal_over.connect(self._no_problem)
        view.changed.connect(self._view_changed)
        self.show_setup(workbench.resolved)
        self._come_or_go()

    @property
    def _both(self) -> bool:
        """Whether both directions of a pair are told: on a low window the other's words would cost the pictures."""
        return bool(self._view.pair) and self.window().height() >= BOTH_FROM

    def set_alone(self, alone: bool) -> None:
        """The pictures stand alone: the sentence is out of sight whether it is hidden or not."""
        self._alone = alone
        self._come_or_go()

    def _come_or_go(self) -> None:
        wanted = self._view.shown.sentence and not self._alone
        told = self.label.property("problem") == "true" or self._moment.isActive()
        if (wanted or told) == self._out:
            self._out = not self._out
            self.setVisible(not self._out)

    def show_setup(self, setup: Setup) -> None:
        """What the page says of this setup."""
        self._rest.stop()
        self._put(self._words(setup, step=False), problem=False)

    def show_step(self, setup: Setup) -> None:
        """The same of a setup that a hand may be moving: what is left out comes as it rests."""
        self._put(self._words(setup, step=True), problem=False)
        self._rest.start()

    def _words(self, setup: Setup, *, step: bool) -> str:
        page, units = self.speaker, self._view.units
        told = (page.sentence_of_step if step else page.sentence)(setup, units)
        self._told_both = self._both
        if self._told_both:
            # A line for each direction; once, where a page says the same of both.
            other = (page.other_sentence_of_step if step else page.other_sentence)(setup, units)
            if other and other != told:
                told = "\n".join([words.replace("\n", " ") for words in (told, other)])
        return told

    def _tell_whole(self) -> None:
        """The hand rests and has let go: another line of words would move the pictures under it."""
        if self._moment.isActive():
            self._before = (self._words(self._workbench.resolved, step=False), False)
        elif self.label.property("problem") != "true":
            self.show_setup(self._workbench.resolved)

    def show_problem(self, text: str) -> None:
        """A refusal, until the next change: what happened, and that the last good state stays."""
        self._put(f"Not taken: {text}. The picture shows the last good state.", problem=True)

    def show_failed(self, text: str) -> None:
        """What could not be done, such as a save, until the next change; the setup is as it was."""
        self._put(text, problem=True)

    def _no_problem(self) -> None:
        self.show_setup(self._workbench.resolved)

    def show_done(self, text: str) -> None:
        """For a moment: what was done that cannot be seen otherwise; then what stood here comes back."""
        if not self._moment.isActive():
            self._before = (self.label.text(), self.label.property("problem") == "true")
        self._put(text, problem=False)
        self._tell.stop()
        self._announce()
        self._moment.start()
        self._come_or_go()

    def _back(self) -> None:
        text, problem = self._before
        self._put(text, problem=problem)
        self._come_or_go()
        # A screen reader has heard it before.
        self._tell.stop()
        self._fit()
        self.label.tell()

    def _put(self, text: str, *, problem: bool) -> None:
        self._moment.stop()
        if text == self.label.text():
            return
        state = "true" if problem else "false"
        if self.label.property("problem") != state:
            self.label.setProperty("problem", state)
            self.label.style().unpolish(self.label)
            self.label.style().polish(self.label)
            self._come_or_go()
        self.label.setText(text)
        self._fit(shrink=False)
        self._tell.start()

    def _fit(self, *, shrink: bool = True) -> None:
        """Two lines high, or more where the window is so narrow or the type so large that it must be.

        It grows at once and shrinks only when nothing is dragged: the pictures above must not jump.
        """
        # The look's font, not the widget's: the sheet may not have reached the widget yet.
        font = look(self._view.theme).font("figure")
        metrics = QFontMetrics(font)
        lines = max(2, len(wrapped(font, self.label.text(), max(self.label.width(), 200))))
        height = lines * metrics.lineSpacing() + 18
        if height > self.height() or (shrink and height != self.height()):
            self.setFixedHeight(height)

    def resizeEvent(self, event: object) -> None:
        """Another width may want another number of lines."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        # Not within the layout's own work: it would not hear of the new height.
        self._refit.start()

    def moveEvent(self, event: QMoveEvent) -> None:
        """A window of another height has it elsewhere."""
        super().moveEvent(event)
        self._refit.start()

    def _resized(self) -> None:
        if self._both != self._told_both and self.label.property("problem") != "true":
            self.show_setup(self._workbench.resolved)
        self._fit()

    def _announce(self) -> None:
        self._fit()
        self.label.tell()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self.label, self.label.text()))

    def _view_changed(self, name: str) -> None:
        if name == "shown":
            self._come_or_go()
        if name in ("units", "theme", "pair"):
            self.show_setup(self._workbench.resolved)
            self._fit()
