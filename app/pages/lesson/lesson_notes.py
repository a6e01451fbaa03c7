"""Opens and closes the teacher's notes, and tells them where the lesson is."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.pages.lesson.notes_window import NotesWindow, other_screen
from app.pages.lesson.scene_words import SceneWords
from core.base.quantities import Units
from core.documents.materials import Catalogue
from core.lesson.answers import answer_words
from core.lesson.lesson_run import LessonRun


class LessonNotes(QObject):
    """``on`` and ``back`` come from the notes' own keys; ``opened`` asks for what is to be told."""

    on = Signal()
    back = Signal()
    opened = Signal()

    def __init__(self, shown: QWidget) -> None:
        super().__init__(shown)
        self._shown = shown
        self.window: NotesWindow | None = None

    def open(self) -> None:
        """On the other screen, where there is one."""
        if self.window is not None:
            return
        self.window = NotesWindow(self._shown)
        self.window.on.connect(self.on)
        self.window.back.connect(self.back)
        self.window.closed.connect(self._forget)
        self.window.place_on(other_screen(self._shown))
        self.opened.emit()

    def open_beside(self) -> None:
        """By themselves where there is a second screen."""
        if other_screen(self._shown) is not None:
            self.open()

    def close(self) -> None:
        """Put away, if they are open."""
        if self.window is not None:
            self.window.close()

    def toggle(self) -> None:
        """Open, or put away."""
        self.close() if self.window is not None else self.open()

    def show_place(self, run: LessonRun, words: SceneWords, units: Units, known: Catalogue, seconds: float) -> None:
        """Where the lesson is; the teacher sees the answer before the class does."""
        if self.window is None:
            return
        scene, answer = run.scene, ""
        if scene.predict is not None and run.place.step in ("ask", "reveal"):
            answer = answer_words(scene.predict, scene.setup, run.before, units, known)
        later = run.lesson.scenes[run.place.scene + 1 :]
        self.window.show_words(words, answer, later[0].title if later else "", seconds)

    def _forget(self) -> None:
        if self.window is not None:
            self.window.deleteLater()
            self.window = None
