"""PDF read and rendered by a viewer's own engine."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pypdfium2
import resvg_py
from PIL import Image

from core.base.places import assets

PIXELS_A_POINT = 96.0 / 72.0


@dataclass(frozen=True, slots=True)
class Paper:
    """A page of a PDF: its size in points, words line by line, boxes of words (left, bottom, right, top) in points,
    and its picture (height, width, 3)."""

    size: tuple[float, float]
    lines: tuple[str, ...]
    boxes: tuple[tuple[float, float, float, float], ...]
    picture: np.ndarray

    @property
    def words(self) -> str:
        """All of its words in one line, as they are searched."""
        return " ".join(" ".join(self.lines).split())


def papers(file: Path) -> list[Paper]:
    """Every page of a PDF."""
    found = []
    document = pypdfium2.PdfDocument(file)
    for page in document:
        text = page.get_textpage()
        lines = tuple(text.get_text_range().splitlines())
        boxes = tuple(text.get_rect(i) for i in range(text.count_rects()))
        picture = np.asarray(page.render(scale=PIXELS_A_POINT).to_pil().convert("RGB"))
        found.append(Paper(page.get_size(), lines, boxes, picture))
        text.close()
        page.close()
    document.close()
    return found


def rendered_svg(file: Path) -> np.ndarray:
    """An SVG's picture (height, width, 3), with the program's typeface at hand and no other."""
    fonts = [str(each) for each in sorted(assets("fonts").glob("*.otf"))]
    data = resvg_py.svg_to_bytes(
        svg_path=str(file), dpi=96.0, font_files=fonts, skip_system_fonts=True, background="white"
    )
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))


def unknown_characters(words: str) -> set[str]:
    """Characters that stand for nothing: controls, and those of private use that a typeface has for its shapes."""
    return set(re.findall("[\x00-\x08\x0b-\x1f\x7f-\x9f\ue000-\uf8ff\ufffd-\uffff]", words))


def printed(text: str) -> tuple[float, float]:
    """A printed figure and half of its last digit.

    >>> printed("−0.0147")
    (-0.0147, 5e-05)
    """
    plain = text.replace("\N{MINUS SIGN}", "-")
    return float(plain), 0.5 * 10.0 ** -len(plain.partition(".")[2])
