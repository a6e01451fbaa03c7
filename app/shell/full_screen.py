"""Full screen: the pictures alone; menu and hand-rail come when the pointer touches the edge, or by a key."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QMainWindow, QWidget

from app.controls.sentence_bar import SentenceBar


class FullScreen(QObject):
    """Hides the bars of a window in full screen.  ``changed`` comes when it has begun or ended.

    ground : what the bars lie on; its margin is the edge that is touched.  above, below : the bars at either edge.
    ``pages`` : where the pointer leaves the bars for.
    """

    changed = Signal()

    def __init__(
        self,
        window: QMainWindow,
        ground: QWidget,
        pages: QWidget,
        above: tuple[QWidget, ...],
        below: tuple[QWidget, ...],
        sentence: SentenceBar,
    ) -> None:
        super().__init__(window)
        self._window, self._above, self._below, self._sentence = window, above, below, sentence
        self._pages = pages
        self.on = False
        self._pinned = False
        self._top = self._bottom = False
        self._below_wanted = True
        ground.setMouseTracking(True)
        for watched in (window, ground, pages):
            watched.installEventFilter(self)
        self._ground = ground

    def toggle(self) -> None:
        """Full screen and back."""
        self._set(not self.on)

    def leave(self) -> bool:
        """End it; False where it is not on."""
        if self.on:
            self._set(False)
            return True
        return False

    def _set(self, on: bool) -> None:
        state, full = self._window.windowState(), Qt.WindowState.WindowFullScreen
        self._window.setWindowState(state | full if on else state & ~full)
        self._follow(on)

    def _follow(self, on: bool) -> None:
        if on != self.on:
            self.on, self._pinned = on, False
            self._show(False, False)
            self.changed.emit()

    def toggle_bars(self) -> None:
        """All bars, until this is asked for again; out of full screen they are always there."""
        self._pinned = not self._pinned
        self._show(self._pinned, self._pinned)

    def want_below(self, wanted: bool) -> None:
        """Whether the bars below may be seen at all: a class that is asked something finds the answer in them."""
        self._below_wanted = wanted
        self._show(self._top, self._bottom)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Begins and ends with the window's state; the pointer brings the bars and takes them away."""
        kind = event.type()
        if watched is self._window and kind == QEvent.Type.WindowStateChange:
            self._follow(bool(self._window.windowState() & Qt.WindowState.WindowFullScreen))
        elif self.on and not self._pinned:
            if watched is self._ground and kind in (QEvent.Type.MouseMove, QEvent.Type.MouseButtonPress):
                self._touched(event.position().y())  # type: ignore[attr-defined]
            elif watched is self._pages and kind == QEvent.Type.Enter:
                self._show(False, False)
        return super().eventFilter(watched, event)

    def _touched(self, y: float) -> None:
        """The pointer is on the ground between the bars: at its first or last pixels it touches an edge."""
        if y < self._pages.geometry().top():
            self._show(True, self._bottom)
        elif y > self._pages.geometry().bottom():
            self._show(self._top, True)

    def _show(self, top: bool, bottom: bool) -> None:
        self._top, self._bottom = top, bottom
        for bars, shown in ((self._above, top or not self.on), (self._below, bottom or not self.on)):
            for bar in bars:
                bar.setVisible(shown and (bars is self._above or self._below_wanted))
        self._sentence.set_alone(self.on and not bottom)
