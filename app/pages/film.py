"""The motion of a tooth as GIF, MP4 or WebM: a page paints each frame, an encoder on this machine writes it.

No encoder comes with the program: ffmpeg is asked for where it is installed, and what to do is said where it is not.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QEventLoop, QObject, QProcess, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QPainter

from app.kit.look import look
from app.pages.page import Page
from core.base.errors import ChiparcError
from core.base.quantities import Units
from core.base.safe_write import Stamp, write_bytes
from core.base.visible import visible
from core.base.words import say

ENCODER = "ffmpeg"
FRAMES_A_SECOND = 25
DEGREES_A_FRAME = 2.0

_QUICK = ("-deadline", "good", "-cpu-used", "5", "-row-mt", "1")
"""A film of seconds is not worth minutes of an encoder that looks for the last byte."""

_ARGUMENTS = {
    ".mp4": ("-c:v", "libx264", "-pix_fmt", "yuv420p", "-movflags", "+faststart"),
    ".webm": ("-c:v", "libvpx-vp9", "-pix_fmt", "yuv420p", "-b:v", "0", "-crf", "32", *_QUICK),
    ".gif": ("-vf", "split[a][b];[a]palettegen=max_colors=128[p];[b][p]paletteuse=dither=none", "-loop", "0"),
}

KINDS = tuple(_ARGUMENTS)
"""Endings of films."""


def kind_of(file: Path, where: str = "--out") -> str:
    """The ending of a film's name.  Raises ChiparcError for another one."""
    kind = file.suffix.lower()
    if kind not in _ARGUMENTS:
        raise ChiparcError(where, say("film", "ending", ending=file.suffix), ", ".join((".html", *_ARGUMENTS)))
    return kind


def encoder(where: str = "--out") -> str:
    """The encoder on this machine.  Raises ChiparcError where there is none."""
    program = shutil.which(ENCODER)
    if program is None:
        raise ChiparcError(where, say("film", "none", name=ENCODER), say("film", "none_allowed", name=ENCODER))
    return program


def frames(page: Page, size: QSize, theme: str, units: Units) -> Iterator[bytes]:
    """Each frame of one turn of the cutter as RGBA, of a page that shows a setup; its angle is in degrees."""
    colours = look(theme)
    rect = QRectF(0.0, 0.0, size.width(), size.height())
    for i in range(round(360.0 / DEGREES_A_FRAME)):
        page.restore(i * DEGREES_A_FRAME)
        image = QImage(size, QImage.Format.Format_RGBA8888)
        painter = QPainter(image)
        try:
            page.paint(painter, rect, colours, units)
        finally:
            painter.end()
        yield bytes(image.constBits())


class Film(QObject):
    """One turn as a film in the making: a frame at a time, between which the event loop runs; the encoder is beside.

    ``went`` carries how many frames are painted and how many there are.  One of these comes at the end, unless it is
    given up: ``done``, when the file is whole, or ``failed`` with what was raised.  An old file stays till then.
    """

    went = Signal(int, int)
    done = Signal()
    failed = Signal(object)

    def __init__(
        self,
        page: Page,
        file: Path,
        size: QSize,
        theme: str,
        units: Units,
        *,
        where: str = "--out",
        unchanged_since: Stamp | None = None,
        parent: QObject | None = None,
    ) -> None:
        """where : what the person calls the file's name, for the error; unchanged_since : as in ``safe_write``.

        Raises ChiparcError for another ending, and where there is no encoder.
        """
        super().__init__(parent)
        self._file, self._where, self._since = file, where, unchanged_since
        kind, program = kind_of(file, where), encoder(where)
        # Encoders of films want even sides.
        size = QSize(size.width() // 2 * 2, size.height() // 2 * 2)
        self._bytes_a_frame = 4 * size.width() * size.height()
        self._frames: Iterator[bytes] | None = frames(page, size, theme, units)
        self._painted, self._count = 0, round(360.0 / DEGREES_A_FRAME)
        self._folder = tempfile.TemporaryDirectory()
        self._made = Path(self._folder.name) / f"film{kind}"
        self._process = QProcess(self)
        self._process.setProgram(program)
        raw = ("-f", "rawvideo", "-pix_fmt", "rgba", "-s", f"{size.width()}x{size.height()}")
        rate = ("-r", str(FRAMES_A_SECOND), "-i", "-")
        self._process.setArguments(["-loglevel", "error", "-y", *raw, *rate, *_ARGUMENTS[kind], str(self._made)])
        self._process.setStandardOutputFile(QProcess.nullDevice())
        self._process.started.connect(self._feed)
        self._process.bytesWritten.connect(self._feed)
        self._process.finished.connect(self._ended)
        self._process.errorOccurred.connect(self._wrong)

    def start(self) -> None:
        """Begin; the event loop does the rest."""
        self._process.start()

    def give_up(self) -> None:
        """End it without a file: the encoder is stopped, and neither ``done`` nor ``failed`` comes."""
        self._process.blockSignals(True)
        self._process.kill()
        self._process.waitForFinished()
        self._put_away()

    def _feed(self, _: int = 0) -> None:
        """The next frame, once the encoder has taken the one before."""
        if self._frames is None or self._process.bytesToWrite() > 0:
            return
        try:
            frame = next(self._frames, None)
        except Exception as error:  # A page may fail in any way; else nobody would hear the end of it.
            self.give_up()
            self.failed.emit(error)
            return
        if frame is None:
            self._frames = None
            self._process.closeWriteChannel()
            return
        self._painted += 1
        self._process.write(frame)
        self.went.emit(self._painted, self._count)

    def _wrong(self, error: QProcess.ProcessError) -> None:
        """One that does not start never ends; what else may be wrong is told when it has ended."""
        if error is QProcess.ProcessError.FailedToStart:
            self._fail(self._process.errorString())

    def _ended(self, code: int, how: QProcess.ExitStatus) -> None:
        said = bytes(self._process.readAllStandardError().data()).decode("utf-8", "replace").strip()
        whole = self._frames is None and how is QProcess.ExitStatus.NormalExit and code == 0
        if not whole or not self._made.is_file():
            self._fail(said.splitlines()[-1] if said else say("film", "no_word"))
            return
        try:
            write_bytes(self._file, self._made.read_bytes(), self._since)
        except ChiparcError as error:
            self._put_away()
            self.failed.emit(error)
        else:
            self._put_away()
            self.done.emit()

    def _fail(self, told: str) -> None:
        kind = self._made.suffix
        self._put_away()
        wrong = say("film", "not_written", name=ENCODER, kind=kind, told=visible(told))
        self.failed.emit(ChiparcError(self._where, wrong, say("film", "not_written_allowed")))

    def _put_away(self) -> None:
        self._frames = None
        self._folder.cleanup()


def save_film(page: Page, file: Path, size: QSize, theme: str, units: Units) -> None:
    """One turn as a film; its ending says which kind.  An old file stays until the new one is whole.

    Raises ChiparcError for another ending, where there is no encoder, where it fails, and where the file cannot be
    written.
    """
    film, loop, failures = Film(page, file, size, theme, units), QEventLoop(), list[Exception]()
    film.failed.connect(failures.append)
    for end in (film.done, film.failed):
        end.connect(loop.quit, Qt.ConnectionType.QueuedConnection)
    film.start()
    loop.exec()
    film.deleteLater()
    for failure in failures:
        raise failure
