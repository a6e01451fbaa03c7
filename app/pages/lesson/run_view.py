"""A lesson under way, as it is seen: words and ring, or the picture of another page, or a few large words."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QStackedWidget, QWidget

from app.kit.bare_layouts import bare_column, bare_row
from app.kit.debounce import once_after
from app.kit.plain import plain_label, visible_lines
from app.pages.lesson.hands_panel import HandsPanel
from app.pages.lesson.ring_view import RingView
from app.pages.lesson.scene_panel import WIDTH, ScenePanel
from app.pages.lesson.scene_words import SceneWords, scene_ring
from app.state.view_state import ViewState
from core.base.words import say
from core.documents.materials import Catalogue
from core.lesson.answers import check_answer
from core.lesson.lesson_run import LessonRun


class RunView(QFrame):
    """``numbered`` carries the place of an option that was typed.

    ``numbers`` : the keys that are options now.
    """

    numbered = Signal(int)
    next_wanted = Signal()
    back_wanted = Signal()
    leave_wanted = Signal()

    def __init__(self, view: ViewState) -> None:
        super().__init__()
        self.numbers: tuple[str, ...] = ()
        self.panel, self.ring, self.hands = ScenePanel(), RingView(view), HandsPanel()
        self.large = plain_label()
        self.large.setObjectName("large")
        self.large.setWordWrap(True)
        self.large.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.large.setContentsMargins(30, 24, 30, 24)
        self.head = plain_label()
        self.head.setObjectName("soft")
        self.back, self.next = QPushButton(say("lesson_page", "back")), QPushButton(say("lesson_page", "next"))
        self.leave = QPushButton(say("lesson_page", "leave"))
        self.back.clicked.connect(self.back_wanted)
        self.next.clicked.connect(self.next_wanted)
        self.leave.clicked.connect(self.leave_wanted)
        top = QHBoxLayout()
        top.setContentsMargins(10, 2, 6, 0)
        top.addWidget(self.head, 1)
        for button in (self.back, self.next, self.leave):
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            top.addWidget(button)
        self.right = QStackedWidget()
        self.right.addWidget(self.ring)
        self.right.addWidget(self.hands)
        asked = QWidget()
        row = bare_row(asked, 8)
        self.panel.setMaximumWidth(2 * WIDTH)
        row.addWidget(self.panel, 1)
        row.addWidget(self.right, 1)
        self.stack = QStackedWidget()
        self.stack.addWidget(asked)
        self.stack.addWidget(self.large)
        self._asked = asked
        layout = bare_column(self, 4)
        layout.addLayout(top)
        layout.addWidget(self.stack, 1)
        self.setFocusProxy(self.ring)
        # Once the window has put its new dress on.
        self._refit = once_after(self, 0, self.panel.fit)
        view.changed.connect(self._view_changed)

    def _view_changed(self, name: str) -> None:
        if name == "theme":
            self._refit.start()

    def show_place(self, run: LessonRun, words: SceneWords, known: Catalogue, page: QWidget | None) -> None:
        """Where a run stands, and its words; page : what its scene is looked at on, None where it is not."""
        choosing = run.place.step == "ask" and run.scene.predict is not None and run.scene.predict.kind == "choose"
        self.numbers = tuple(str(i) for i in range(1, len(words.options) + 1)) if choosing else ()
        self.back.setEnabled(run.position > 0)
        self.next.setEnabled(run.position < len(run.places) - 1)
        if page is not None:
            self._show_page(words, page)
        elif run.place.step in ("caution", "end"):
            self._show_large(words)
        else:
            self._show_asked(run, words, known)

    def _show_asked(self, run: LessonRun, words: SceneWords, known: Catalogue) -> None:
        """Words and ring."""
        predict, asking = run.scene.predict, run.place.step == "ask"
        count = len(run.of_scene(run.place.scene))
        self.panel.show_words(words, predict if asking else None, asking=asking, count=count)
        if run.place.step == "reveal" and predict is not None and predict.kind == "choose":
            right = check_answer(predict, run.scene.setup, run.before, known).value
            self.panel.mark(right if isinstance(right, int) else None)
        scene = scene_ring(run, known)
        if scene is not None:
            self.ring.show_scene(scene, asking=asking and predict is not None and predict.kind == "pin")
        self.head.setText(words.head)
        self.right.setCurrentWidget(self.ring)
        self.stack.setCurrentWidget(self._asked)

    def show_hands(self, kind: str, scene: int) -> None:
        """The list of a class in place of the ring."""
        self.right.setCurrentWidget(self.hands)
        self.hands.open_for(kind, scene)

    def _show_large(self, words: SceneWords) -> None:
        """Large words alone: the caution, or the end."""
        self.head.setText(words.head)
        parts = (words.title, words.say or words.class_words)
        self.large.setText(visible_lines("\n\n".join(part for part in parts if part)))
        self.stack.setCurrentWidget(self.large)

    def _show_page(self, words: SceneWords, page: QWidget) -> None:
        """The picture of another page over the whole room."""
        self.head.setText(say("lesson_page", "look", head=words.head, title=words.title))
        if self.stack.indexOf(page) < 0:
            self.stack.addWidget(page)
        self.stack.setCurrentWidget(page)

    def event(self, event: QEvent) -> bool:
        """A number that is an option is one, though the window may have a command on that key."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride and self._option(event) >= 0:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """An option by its number."""
        if (option := self._option(event)) >= 0:
            self.numbered.emit(option)
        else:
            super().keyPressEvent(event)

    def _option(self, event: QKeyEvent) -> int:
        if event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier & ~Qt.KeyboardModifier.KeypadModifier:
            return -1
        text = event.text()
        # Numbers, not letters: clickers send B for a black screen.
        return int(text) - 1 if text in self.numbers else -1
