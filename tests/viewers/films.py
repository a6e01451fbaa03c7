"""A real encoder on the path, and films decoded again."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import imageio_ffmpeg
import numpy as np
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage, QPainter

from app.kit.look import look
from app.pages.page import Page
from core.base.quantities import Units


def put_encoder(folder: Path) -> None:
    """The encoder of the tests' packages under the name that the program asks for."""
    program = folder / ("ffmpeg.exe" if sys.platform == "win32" else "ffmpeg")
    try:
        program.symlink_to(imageio_ffmpeg.get_ffmpeg_exe())
    except OSError:
        shutil.copy(imageio_ffmpeg.get_ffmpeg_exe(), program)


@dataclass(frozen=True, slots=True)
class Decoded:
    """What a decoder finds in a film: ``frames`` (count, height, width, 3), their rate 1/s and duration s."""

    frames: np.ndarray
    rate: float
    seconds: float
    codec: str


def decoded(file: Path) -> Decoded:
    """All of a film, read by a decoder in a process of its own."""
    raw = ("-f", "rawvideo", "-pix_fmt", "rgb24", "-")
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-nostdin", "-i", str(file), *raw]
    done = subprocess.run(command, capture_output=True, check=True)
    told = done.stderr.decode("utf-8", "replace").partition("Output #0")[0]
    stream = re.search(r"Video: (\w+).*?, (\d+)x(\d+).*?, ([\d.]+) fps", told)
    long = re.search(r"Duration: (\d+):(\d+):([\d.]+)", told)
    assert stream is not None and long is not None, told
    width, height = int(stream[2]), int(stream[3])
    frames = np.frombuffer(done.stdout, np.uint8).reshape(-1, height, width, 3)
    return Decoded(frames, float(stream[4]), 3600 * int(long[1]) + 60 * int(long[2]) + float(long[3]), stream[1])


def painted(page: Page, angle_deg: float, size: QSize, theme: str, units: Units) -> np.ndarray:
    """The page's own picture at an angle: (height, width, 3)."""
    page.restore(angle_deg)
    image = QImage(size, QImage.Format.Format_RGBA8888)
    painter = QPainter(image)
    page.paint(painter, QRectF(0.0, 0.0, size.width(), size.height()), look(theme), units)
    painter.end()
    whole = np.frombuffer(image.constBits(), np.uint8)
    return whole.reshape(size.height(), size.width(), 4)[..., :3].copy()
