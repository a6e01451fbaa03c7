"""The motion of a tooth as GIF, MP4 or WebM: the Arc page paints each frame, an encoder on this machine writes it.

No encoder comes with the program: ffmpeg is asked for where it is installed, and what to do is said where it is not.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage, QPainter

from app.kit.look import look
from app.pages.page import Page
from core.base.errors import ChiparcError
from core.base.quantities import Units
from core.base.safe_write import write_bytes

ENCODER = "ffmpeg"
FRAMES_A_SECOND = 25
DEGREES_A_FRAME = 2.0

_ARGUMENTS = {
    ".gif": ("-vf", "split[a][b];[a]palettegen=max_colors=128[p];[b][p]paletteuse=dither=none", "-loop", "0"),
    ".mp4": ("-c:v", "libx264", "-pix_fmt", "yuv420p", "-movflags", "+faststart"),
    ".webm": ("-c:v", "libvpx-vp9", "-pix_fmt", "yuv420p", "-b:v", "0", "-crf", "32"),
}


def kind_of(file: Path) -> str:
    """The ending of a film's name.  Raises ChiparcError for another one."""
    kind = file.suffix.lower()
    if kind not in _ARGUMENTS:
        raise ChiparcError("--out", f'found the ending "{file.suffix}"', ", ".join((".html", *_ARGUMENTS)))
    return kind


def encoder() -> str:
    """The encoder on this machine.  Raises ChiparcError where there is none."""
    found = shutil.which(ENCODER)
    if found is None:
        allowed = "an installed ffmpeg on the path, or a name ending in .html, which needs none"
        raise ChiparcError("--out", f"found no {ENCODER} on this machine", allowed)
    return found


def frames(page: Page, size: QSize, theme: str, units: Units) -> Iterator[bytes]:
    """Each frame of one turn of the cutter as RGBA, of a page that shows a setup; its angle is in degrees."""
    colours = look(theme)
    rect = QRectF(0.0, 0.0, size.width(), size.height())
    for i in range(round(360.0 / DEGREES_A_FRAME)):
        page.restore(i * DEGREES_A_FRAME)
        image = QImage(size, QImage.Format.Format_RGBA8888)
        painter = QPainter(image)
        page.paint(painter, rect, colours, units)
        painter.end()
        yield bytes(image.constBits())


def save_film(page: Page, file: Path, size: QSize, theme: str, units: Units) -> None:
    """One turn as a film; its ending says which kind.  An old file stays until the new one is whole.

    Raises ChiparcError for another ending, where there is no encoder, where it fails, and where the file cannot be
    written.
    """
    kind = kind_of(file)
    program = encoder()
    # Encoders of films want even sides.
    size = QSize(size.width() // 2 * 2, size.height() // 2 * 2)
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / f"film{kind}"
        raw = ("-f", "rawvideo", "-pix_fmt", "rgba", "-s", f"{size.width()}x{size.height()}")
        command = [
            program,
            "-loglevel",
            "error",
            "-y",
            *raw,
            "-r",
            str(FRAMES_A_SECOND),
            "-i",
            "-",
            *_ARGUMENTS[kind],
        ]
        with subprocess.Popen(
            [*command, str(made)], stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        ) as running:
            assert running.stdin is not None and running.stderr is not None, "both are pipes"
            try:
                for frame in frames(page, size, theme, units):
                    running.stdin.write(frame)
                running.stdin.close()
            except (BrokenPipeError, OSError):
                pass  # It has ended early: what it says of that is told below.
            said = running.stderr.read().decode("utf-8", "replace").strip()
            failed = running.wait() != 0
        if failed or not made.is_file():
            told = said.splitlines()[-1] if said else "no word of it"
            raise ChiparcError(
                "--out", f"{ENCODER} did not write {kind}: {told}", "a kind that it can write, or .html"
            )
        data = made.read_bytes()
    write_bytes(file, data)
