"""The menu of the files that were open last."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.kit.plain import button_text, plain_hint
from app.state.settings import Settings
from core.base.words import say


class RecentMenu(QMenu):
    """Filled anew whenever it opens; a file that has gone is named, and cannot be chosen."""

    def __init__(self, settings: Settings, open_path: Callable[[Path], object], parent: QWidget) -> None:
        super().__init__(say("window", "recent"), parent)
        self._settings, self._open_path = settings, open_path
        self.aboutToShow.connect(self.fill)

    def fill(self) -> None:
        """The files as they are now."""
        self.clear()
        for path in map(Path, self._settings.recent):
            # For os.path a name that no file can have, such as one of thousands of letters, is a missing file.
            exists = os.path.isfile(path)
            action = self.addAction(button_text(path.name if exists else say("window", "missing", name=path.name)))
            action.setToolTip(plain_hint(str(path)))
            action.setEnabled(exists)
            action.setData(str(path))
            action.triggered.connect(self._open_chosen)
        if not self._settings.recent:
            self.addAction(say("window", "no_recent")).setEnabled(False)

    def _open_chosen(self) -> None:
        chosen = self.sender()
        if isinstance(chosen, QAction):
            self._open_path(Path(str(chosen.data())))
