"""The teacher's notes on a second screen: what to say and do now, what comes next, and a clock."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTime, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QGuiApplication, QKeySequence, QScreen, QShortcut
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.kit.plain import plain_label, visible_lines
from app.pages.lesson.scene_words import SceneWords
from core.base.words import say

TICK_MS = 1000


def other_screen(shown: QWidget) -> QScreen | None:
    """A screen that the class does not see; None where there is only one."""
    own = shown.window().screen()
    return next((each for each in QGuiApplication.screens() if each != own), None)


def class_is_there(shown: QWidget) -> bool:
    """Whether the window surely is what the class looks at: in full screen, or away from the teacher's own screen.

    Before it is moved there the class may be looking at the other one, where the answers must not come.
    """
    window = shown.window()
    return window.isFullScreen() or window.screen() != QGuiApplication.primaryScreen()


class NotesWindow(QFrame):
    """``on`` and ``back`` are the clicker's keys, which work here too; ``closed`` comes when it is put away."""

    on = Signal()
    back = Signal()
    closed = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setWindowTitle(say("lesson_page", "notes_title"))
        self.setObjectName("panel")
        self._seconds = 0.0
        self.clock, self.under_way = plain_label(), plain_label()
        for label in (self.clock, self.under_way):
            label.setObjectName("title")
        self.head, self.title = plain_label(), plain_label()
        self.head.setObjectName("soft")
        self.title.setObjectName("title")
        self.words, self.do, self.answer, self.next = (plain_label() for _ in range(4))
        self.words.setObjectName("sentence")
        self.next.setObjectName("soft")
        self.answer.setObjectName("name")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(22, 18, 22, 18)
        layout.setSpacing(12)
        top = QHBoxLayout()
        top.addWidget(self.clock)
        top.addStretch(1)
        top.addWidget(self.under_way)
        layout.addLayout(top)
        for label in (self.head, self.title, self.words, self.do, self.answer):
            label.setWordWrap(True)
            layout.addWidget(label)
        layout.addStretch(1)
        layout.addWidget(self.next)
        below = QHBoxLayout()
        for word, signal in (("back", self.back), ("next", self.on)):
            button = QPushButton(say("lesson_page", word))
            button.clicked.connect(signal)
            below.addWidget(button)
        below.addStretch(1)
        layout.addLayout(below)
        for key, signal in (("PgDown", self.on), ("PgUp", self.back)):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(signal)
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self._tick)
        self.resize(720, 560)

    def place_on(self, screen: QScreen | None) -> None:
        """Open on a screen, filling it where it is another one than the class sees."""
        if screen is not None:
            self.setGeometry(screen.availableGeometry().adjusted(40, 40, -40, -40))
        self._timer.start()
        self._tick()
        self.show()

    def show_words(self, words: SceneWords, answer: str, upcoming: str, seconds: float) -> None:
        """Another place; the teacher sees the answer before the class does."""
        self._seconds = seconds
        for label, text in (
            (self.head, words.head),
            (self.title, words.title),
            (self.words, words.say),
            (self.do, say("lesson_page", "do", text=words.do) if words.do else ""),
            (self.answer, answer),
            (self.next, say("lesson_page", "upcoming", title=upcoming) if upcoming else ""),
        ):
            label.setText(visible_lines(text))
            label.setVisible(bool(text))
        self._show_time()

    def _tick(self) -> None:
        self._seconds += TICK_MS / 1000.0
        self._show_time()

    def _show_time(self) -> None:
        self.clock.setText(QTime.currentTime().toString("HH:mm"))
        self.under_way.setText(say("lesson_page", "minutes", minutes=int(self._seconds // 60)))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Put away."""
        self._timer.stop()
        self.closed.emit()
        super().closeEvent(event)
