"""Playing a WAV file with what the machine has: looked for when it is asked for, nothing is installed."""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from PySide6.QtCore import QObject, QProcess

PLAYERS = ("afplay", "pw-play", "paplay", "aplay")
"""Commands that play the file that they are given; the first that the machine has is taken."""


def player() -> str | None:
    """The command that plays a file here, ``"winsound"`` on Windows; None where there is none."""
    if sys.platform == "win32":
        return "winsound"
    return next((found for name in PLAYERS if (found := shutil.which(name))), None)


class SoundPlayer(QObject):
    """One sound at a time, beside the window; its file goes with the program's end."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._process: QProcess | None = None
        self._folder: tempfile.TemporaryDirectory[str] | None = None

    def play(self, data: bytes) -> bool:
        """Begin to play the bytes of a WAV file; False where the machine has nothing to play it with.

        Raises OSError where no file can be written for it.
        """
        self.stop()
        command = player()
        if command is None:
            return False
        if self._folder is None:
            self._folder = tempfile.TemporaryDirectory(prefix="chiparc-")
        file = Path(self._folder.name) / "sound.wav"
        file.write_bytes(data)
        if sys.platform == "win32":
            import winsound

            winsound.PlaySound(str(file), winsound.SND_FILENAME | winsound.SND_ASYNC)
            return True
        self._process = QProcess(self)
        self._process.start(command, [str(file)])
        return True

    def stop(self) -> None:
        """Nothing sounds any more."""
        process, self._process = self._process, None
        if process is not None and process.state() != QProcess.ProcessState.NotRunning:
            process.terminate()
            process.waitForFinished(500)
