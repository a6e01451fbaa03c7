"""The Path page as a file, from the command and from a page that no window shows."""

from __future__ import annotations

import math
import threading
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from app.kit.label_layout import text_size
from app.kit.look import look, themed
from app.pages.page_picture import save_picture_of
from app.pages.path.path_page import PathPage
from app.pages.path.place_strips import PlaceStrips, paint_place_strips
from app.state.view_state import ViewState
from core.base.errors import ChiparcError
from tests.app.pages.path.path_window import PROGRAM, STOCK
from tests.app.painted import Painted
from tests.app.windows import boss

FILES = {"source": "program", "program_file": PROGRAM, "stock_file": STOCK}


def saved(file: Path, state: dict[str, Any]) -> None:
    save_picture_of(PathPage, boss(), file, QSize(1280, 800), view=ViewState(), theme="print", state=state)


@pytest.mark.parametrize("state", [{}, {"source": "cuts"}, FILES], ids=["corner", "cuts", "program"])
def test_pictures_are_whole_at_once(qapp: QApplication, tmp_path: Path, state: dict[str, Any]) -> None:
    saved(tmp_path / "path.png", state)
    image = QImage(str(tmp_path / "path.png"))
    colours = {image.pixel(x, y) for x in range(0, 1280, 5) for y in range(0, 800, 5)}
    assert (image.width(), image.height()) == (1280, 800)
    assert len(colours) > 40


def test_a_vector_picture_tells_the_sentence(qapp: QApplication, tmp_path: Path) -> None:
    saved(tmp_path / "path.svg", FILES)
    text = (tmp_path / "path.svg").read_text("utf-8")
    assert "bracket-pocket.nc" in text and "a full slot" in text
    assert "An inside corner" not in text


def test_a_refused_file_is_refused_and_nothing_written(qapp: QApplication, tmp_path: Path) -> None:
    (tmp_path / "bad.nc").write_text("G18\n")
    with pytest.raises(ChiparcError, match=r"bad\.nc:1"):
        saved(tmp_path / "path.png", {**FILES, "program_file": str(tmp_path / "bad.nc")})
    assert not (tmp_path / "path.png").exists()
    # What the page asked for beside the picture has ended with it.
    assert not [thread for thread in threading.enumerate() if thread.name == "chiparc-job"]


@pytest.mark.parametrize("theme", ["light", "projector"])
def test_the_figures_of_a_place_have_room_for_their_signs(qapp: QApplication, theme: str) -> None:
    dressed = look(themed(theme, 1080))
    phi = np.linspace(0.0, math.pi, 181)
    chip, force = (phi, 0.07 * np.sin(phi)), np.stack([-12_345.0 * np.sin(phi), 10.0 * phi], axis=1)
    painted = Painted()
    paint_place_strips(
        painted,
        QRectF(0.0, 0.0, 520.0, 400.0),
        PlaceStrips((chip,), force, 0.07, 12_345.0, False, "right"),
        "metric",
        dressed,
    )
    signed = [(text, box) for text, box in painted.written if text.startswith("\u2212")]
    painted.end()
    assert signed
    for text, box in signed:
        assert text_size(dressed.font("small"), text).width() <= box.width(), text
