"""The side panel of one cut in time: simulated beside the window, played slowed, heard, its sound saved."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QElapsedTimer, QRectF, QTimer, Signal
from PySide6.QtGui import QHideEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from app.kit.bare_layouts import bare_column
from app.kit.frame_clock import REDUCED_MS
from app.kit.jobs import Jobs
from app.kit.look import look
from app.kit.path_to_write import ask_path
from app.kit.plain import plain_hint
from app.kit.sound_player import SoundPlayer, player
from app.pages.chatter.time_view import TimeScene, paint_time, shown_turns
from app.state.view_state import ViewState
from core.base.errors import ChiparcError
from core.base.language import in_language
from core.base.safe_write import write_bytes
from core.base.words import say
from core.chatter.cut_history import CutHistory, cut_history
from core.setup.setup import Setup

SECONDS_A_TURN = 4.0
"""A turn is played over so many seconds."""

FRAME_MS = 33


class TimeView(QWidget):
    """The charts; what they show is given."""

    def __init__(self, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self.scene: TimeScene | None = None
        self.setMinimumSize(300, 200)
        self.setAccessibleName(say("chatter_time", "name"))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The charts of the history."""
        painter, theme = QPainter(self), look(self._view.theme)
        painter.fillRect(self.rect(), theme.color("panel"))
        if self.scene is not None:
            paint_time(painter, QRectF(self.rect()), self.scene, theme)
        painter.end()


class TimePanel(QWidget):
    """Charts above, buttons below.  ``said`` tells what was done, ``refused`` what could not be."""

    said = Signal(str)
    refused = Signal(str)

    def __init__(self, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self.jobs = Jobs(self)
        self.sounds = SoundPlayer(self)
        self.history: CutHistory | None = None
        self._wanted: Setup | None = None
        self.charts = TimeView(view)
        self.play_button = self._button("play", self.play)
        self.hear_button = self._button("hear", self.hear)
        self.save_button = self._button("save", self.save)
        layout = bare_column(self, 0)
        layout.addWidget(self.charts, 1)
        row = QHBoxLayout()
        row.setContentsMargins(10, 2, 10, 4)
        row.setSpacing(6)
        for button in (self.play_button, self.hear_button, self.save_button):
            row.addWidget(button)
        row.addStretch(1)
        layout.addLayout(row)
        self._clock = QElapsedTimer()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._tick)
        self.jobs.came.connect(self._came)
        self.jobs.failed.connect(self._failed)
        self._enable()

    def _button(self, word: str, do: object) -> QPushButton:
        button = QPushButton(say("chatter_time", word))
        button.setToolTip(plain_hint(say("chatter_time", f"{word}_hint")))
        button.setMinimumWidth(60)
        button.clicked.connect(do)
        return button

    def show_setup(self, setup: Setup) -> None:
        """Simulate this cut, if it is another one."""
        if setup == self._wanted and (self.jobs.busy or self.history is not None):
            return
        self._wanted, self.history = setup, None
        self._still()
        self._enable()
        self.jobs.ask(lambda: cut_history(setup))

    def rest(self) -> None:
        """Nobody looks: nothing is worked out, nothing moves, nothing sounds."""
        self.jobs.stop()
        self.sounds.stop()
        self._still()
        if self.history is None or not self.history.done:
            self._wanted = None

    def _came(self, history: object) -> None:
        assert isinstance(history, CutHistory)
        self.history = history
        self._show(None)
        self._enable()

    def _failed(self, error: object) -> None:
        self.refused.emit(str(error))

    def _show(self, turn: float | None) -> None:
        self.charts.scene = None if self.history is None else TimeScene(self.history, self._view.units, turn)
        self.charts.update()

    def view_changed(self) -> None:
        """Other units or another theme."""
        self._show(None if self.charts.scene is None else self.charts.scene.turn)

    def _enable(self) -> None:
        whole = self.history is not None and self.history.record is not None
        for button in (self.play_button, self.save_button):
            button.setEnabled(whole)
        self.hear_button.setEnabled(whole and player() is not None)
        if player() is None:
            self.hear_button.setToolTip(plain_hint(say("chatter_time", "no_player")))

    # Played

    @property
    def playing(self) -> bool:
        """Whether the mark moves."""
        return self._timer.isActive()

    def play(self) -> None:
        """Let the mark run over the last turns, or stop it."""
        if self.playing:
            self._still()
            return
        if self.history is None or self.history.record is None:
            return
        self._clock.start()
        self._timer.start(REDUCED_MS if self._view.reduced_motion else FRAME_MS)
        self.play_button.setText(say("chatter_time", "stop"))

    def _tick(self) -> None:
        if self.history is None:
            return
        turn = self._clock.elapsed() / (1e3 * SECONDS_A_TURN)
        self._show(turn % max(1, shown_turns(self.history)))

    def _still(self) -> None:
        self._timer.stop()
        self.play_button.setText(say("chatter_time", "play"))
        self._show(None)

    # Heard

    def hear(self) -> None:
        """Play the sound with what the machine has."""
        data = self._sound()
        if data is None:
            return
        try:
            played = self.sounds.play(data)
        except OSError as error:
            self.refused.emit(str(error))
            return
        if not played:
            self.refused.emit(say("chatter_time", "no_player"))

    def _sound(self) -> bytes | None:
        if self.history is None or self.history.record is None:
            return None
        try:
            return self.history.sound().data
        except ChiparcError as error:
            self.refused.emit(str(error))
            return None

    def save(self) -> None:
        """Ask for a file and write the sound to it."""
        title = say("chatter_time", "save_title")
        if file := ask_path(self, title, "chatter.wav", say("chatter_time", "sounds"), ".wav"):
            self.save_to(file)

    def save_to(self, file: Path) -> None:
        """Write the sound to a file."""
        data = self._sound()
        if data is None or self.history is None:
            return
        try:
            write_bytes(file, data)
        except ChiparcError as error:
            self.refused.emit(str(error))
            return
        self.said.emit(
            say("chatter_time", "saved", file=file.name, slowed=in_language(f"{self.history.sound().slowed:.2g}"))
        )

    def hideEvent(self, event: QHideEvent) -> None:
        """A hidden panel is still."""
        self._still()
        super().hideEvent(event)
