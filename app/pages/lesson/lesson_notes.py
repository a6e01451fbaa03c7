"""Opens and closes the teacher's notes, and tells them where the lesson is."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QWidget

from app.pages.lesson.notes_window import NotesWindow, class_is_there, other_screen
from app.pages.lesson.scene_words import SceneWords
from core.base.quantities import Units
from core.documents.materials import Catalogue
from core.lesson.answers import answer_words
from core.lesson.lesson_run import LessonRun


class LessonNotes(QObject):
    """``on`` and ``back`` come from the notes' own keys; ``changed``: they were opened or put away.

    Where there are two screens the notes never stand on the one that the class sees: they hold answers.
    """

    on = Signal()
    back = Signal()
    changed = Signal()

    def __init__(self, shown: QWidget) -> None:
        super().__init__(shown)
        self._shown = shown
        self.window: NotesWindow | None = None
        self._put_away = self._apart = False

    @property
    def apart(self) -> bool:
        """Whether the teacher has them on a screen that the class does not see: what is to be done stands there."""
        return self.window is not None and self._apart

    def begin(self) -> None:
        """A lesson begins: notes that were put away in another one are wanted again."""
        self._put_away = False

    def open_beside(self) -> None:
        """By themselves where there is a second screen and the class looks at the window, unless they were closed."""
        wanted = self.window is None and not self._put_away
        if wanted and class_is_there(self._shown) and other_screen(self._shown) is not None:
            self._open()

    def toggle(self) -> None:
        """Open them, on the other screen where there is one, or put them away."""
        if self.window is not None:
            self.window.close()
        else:
            self._open()
            self.changed.emit()

    def close(self) -> None:
        """Put away, if they are open, until they are wanted again."""
        if self.window is not None:
            self.window.close()
            self._put_away = False

    def _open(self) -> None:
        self.window = notes = NotesWindow(self._shown)
        notes.on.connect(self.on)
        notes.back.connect(self.back)
        notes.closed.connect(self._forget)
        other = other_screen(self._shown)
        self._apart = other is not None
        notes.place_on(other)
        for each in (notes, self._shown.window()):
            if (handle := each.windowHandle()) is not None:
                handle.screenChanged.connect(self._keep_apart, Qt.ConnectionType.UniqueConnection)

    def _keep_apart(self) -> None:
        """A window has come to another screen, perhaps since one was unplugged: away from what the class sees."""
        if self.window is None or not self._apart or self.window.screen() != self._shown.window().screen():
            return
        other = other_screen(self._shown)
        if other is None:
            self.close()
        else:
            self.window.place_on(other)

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
            self._put_away = True
            self.window.deleteLater()
            self.window = None
            self.changed.emit()
