"""Nothing is lost: keeps what is not saved, offers what a dead window left, notices documents changed on the disk."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QEvent, QFileSystemWatcher, QObject
from PySide6.QtWidgets import QWidget

from app.kit.debounce import once_after
from app.shell.files import Files
from app.shell.notice_bar import Notice, NoticeBar
from app.state.recovery import Leftover, Recovery, leftovers
from app.state.step_name import StepName
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.safe_write import stamp
from core.base.words import say
from core.documents.setup_document import read_setup
from core.documents.setup_writing import write_setup

KEEP_MS = 2000
"""What has changed is on the disk this long after the first change that is not yet there."""


class Unsaved(QObject):
    """Watches one workbench and its file for one window.

    clock : seconds, so that a test can set the time of what is kept.
    """

    def __init__(
        self,
        window: QWidget,
        workbench: Workbench,
        files: Files,
        bar: NoticeBar,
        clock: Callable[[], float] = time.time,
    ) -> None:
        super().__init__(window)
        self._window, self._bench, self._files, self._bar, self._clock = window, workbench, files, bar, clock
        self.recovery = Recovery()
        self._told = False
        self._due = once_after(self, KEEP_MS, self.keep_now)
        self._watched = QFileSystemWatcher(self)
        self._watched.fileChanged.connect(self._look)
        self._later = once_after(self, 200, self._look_now)
        workbench.setup_changed.connect(self._changed)
        workbench.file_changed.connect(self._file_changed)
        window.installEventFilter(self)
        self._file_changed()

    # Keeping

    def _changed(self, _: object = None) -> None:
        # Not started anew by each step of a drag: else a long drag would never be kept.
        if not self._due.isActive():
            self._due.start()

    def keep_now(self) -> None:
        """Keep what is not saved; forget what has been."""
        self._due.stop()
        bench = self._bench
        if not bench.modified:
            self.recovery.clear()
            return
        try:
            text = write_setup(bench.setup, bench.document.text, bench.materials)
        except ChiparcError:
            text = write_setup(bench.setup, None, bench.materials)
        if not self.recovery.keep(text, bench.file, bench.setup.title, self._clock()) and not self._told:
            self._told = True
            self._bar.tell(Notice("unkept", say("window", "unkept"), ((say("window", "understood"), lambda: None),)))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep on losing the focus; look at the file on getting it."""
        if event.type() == QEvent.Type.WindowDeactivate and self._due.isActive():
            self.keep_now()
        elif event.type() == QEvent.Type.WindowActivate:
            self._later.start()
        return False

    def close(self) -> None:
        """The window closes, and everything is saved or given up."""
        self._due.stop()
        self._later.stop()
        self.recovery.close()

    # Offering

    def offer_leftovers(self) -> None:
        """Tell of what dead windows have left; nothing is taken without being asked for."""
        found = leftovers()
        if not found:
            return
        newest = found[0]
        when = datetime.fromtimestamp(newest.seconds).strftime("%d %B, %H:%M")
        name = newest.title or (Path(newest.file).name if newest.file else say("window", "untitled"))
        id = "leftover" if len(found) == 1 else "leftovers"
        text = say("window", id, name=name, when=when, more=len(found) - 1)
        self._bar.tell(
            Notice(
                "leftover",
                text,
                (
                    (say("window", "take_leftover"), lambda: self._take(newest)),
                    (say("window", "drop_leftover"), lambda: self._drop(newest)),
                ),
            )
        )

    def _take(self, leftover: Leftover) -> None:
        """On the bench, as changes to its file that are not saved."""
        file = Path(leftover.file) if leftover.file else None
        try:
            setup = read_setup(leftover.text, leftover.file or say("window", "untitled"), self._bench.materials)
        except ChiparcError as error:
            self._bench.refused.emit(str(error))
            return

        def taken(over_its_file: bool) -> None:
            if over_its_file:
                self._bench.propose(setup, StepName("window", "taking_leftover"))
            else:
                self._files.open_unsaved(setup, leftover.text)
            leftover.forget()
            self.keep_now()
            self.offer_leftovers()

        if file is not None and file.is_file():
            self._files.open_path(file, taken)
        else:
            taken(False)

    def _drop(self, leftover: Leftover) -> None:
        leftover.forget()
        self.offer_leftovers()

    # Documents that somebody else changes

    def _file_changed(self) -> None:
        self._changed()
        if self._watched.files():
            self._watched.removePaths(self._watched.files())
        if self._bench.file is not None and self._bench.file.exists():
            self._watched.addPath(str(self._bench.file))
        self._bar.drop("changed")

    def _look(self, _: str = "") -> None:
        self._later.start()

    def _look_now(self) -> None:
        """Whether the file is still what was read or saved."""
        bench = self._bench
        file, known = bench.file, bench.document.stamp
        if file is None or known is None:
            return
        found = stamp(file)
        if found == known:
            self._bar.drop("changed")
            return
        if found is not None and not self._watched.files():
            # It was put in place of the old one: another file of the same name.
            self._watched.addPath(str(file))
        text = say("window", "changed_on_disk" if found is not None else "gone_from_disk", name=file.name)
        answers = [(say("window", "keep_mine"), lambda: None)]
        if found is not None:
            answers.insert(0, (say("window", "reload"), self._reload))
        self._bar.tell(Notice("changed", text, tuple(answers)))

    def _reload(self) -> None:
        """What is on the disk, as a step of undo."""
        if self._bench.file is not None:
            self._files.open_path(self._bench.file)
