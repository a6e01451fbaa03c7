"""Pictures that are saved, opened by viewers' own engines: as the page paints itself, in words that are searched."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage, QPainter

from app.kit.picture_file import look_in
from app.pages.page import Page
from app.pages.page_list import PAGES
from app.pages.page_picture import save_page
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.documents.setup_examples import example
from core.report.report import report
from core.report.schema import flat
from core.report.sentence import sentence
from core.setup.setup import Setup
from tests.viewers.papers import papers, printed, rendered_svg, unknown_characters

pytestmark = pytest.mark.usefixtures("window_app")
SIZE = QSize(1280, 800)
NEAR = 2.5
"""Mean difference, of 255, that another way of smoothing edges and hatches makes."""


def page_of(id: str, setup: Setup, *, pair: bool = False) -> Page:
    view = ViewState()
    view.pair = pair
    page = next(kind for kind in PAGES if kind.id == id)(Workbench(setup), view)
    page.show(page.workbench.resolved)
    return page


def own_picture(page: Page, file: Path, theme: str) -> np.ndarray:
    """The page painted by itself, in the look of that file: (height, width, 3)."""
    image = QImage(SIZE, QImage.Format.Format_RGBA8888)
    painter = QPainter(image)
    page.paint(painter, QRectF(0.0, 0.0, SIZE.width(), SIZE.height()), look_in(file, theme), "metric")
    painter.end()
    return np.frombuffer(image.constBits(), np.uint8).reshape(SIZE.height(), SIZE.width(), 4)[..., :3].copy()


def in_blocks(picture: np.ndarray) -> np.ndarray:
    """Means over squares of 8 pixels: where a line's edge lies within a pixel no longer counts."""
    high, wide = (side // 8 * 8 for side in picture.shape[:2])
    return picture[:high, :wide].reshape(high // 8, 8, wide // 8, 8, 3).mean(axis=(1, 3))


def words_of(file: Path) -> list[str]:
    """Each piece of text in a file, as a viewer finds it."""
    if file.suffix == ".pdf":
        (page,) = papers(file)
        return list(page.lines)
    root = ElementTree.parse(file).getroot()
    return ["".join(each.itertext()).strip() for each in root.iter("{http://www.w3.org/2000/svg}text")]


CASES = [("arc", False, "light"), ("arc", True, "dark"), ("lesson", False, "print"), ("figures", False, "light")]


@pytest.mark.parametrize("ending", ["svg", "pdf"])
@pytest.mark.parametrize(("id", "pair", "theme"), CASES, ids=lambda v: str(v))
def test_a_viewer_shows_what_the_page_paints(id: str, pair: bool, theme: str, ending: str, tmp_path: Path) -> None:
    setup, file = example("boss").setup(), tmp_path / f"page.{ending}"
    page = page_of(id, setup, pair=pair)
    save_page(page, page.workbench.resolved, file, SIZE, theme)
    seen = rendered_svg(file) if ending == "svg" else papers(file)[0].picture
    assert seen.shape == (SIZE.height(), SIZE.width(), 3)
    own = own_picture(page, file, theme)
    gap = np.abs(in_blocks(seen) - in_blocks(own))
    assert gap.mean() < NEAR and gap.max() < 90.0
    words = words_of(file)
    assert unknown_characters(" ".join(words)) == set() and len(words) > 15


ROW = re.compile(r" ([−+]?[\d.]+) ([−+]?[\d.]+) (?:same|[−+]\S+(?: \([^)]*\))?)(?: \S+)? ([a-z_]+(?:\.[a-z0-9_]+)+)$")
"""Both figures of a row and its key."""


def plain(words: str) -> str:
    return " ".join(words.split())


@pytest.mark.parametrize("ending", ["svg", "pdf"])
def test_the_figures_of_a_picture_are_those_of_the_report(ending: str, tmp_path: Path) -> None:
    page, file = page_of("arc", example("boss").setup()), tmp_path / f"arc.{ending}"
    setup = page.workbench.resolved
    save_page(page, setup, file, SIZE, "light")
    words = words_of(file)
    told = dict(flat(report(setup)))
    assert plain(sentence(setup)) in plain(" ".join(words))
    for text in (
        f"enters {told['engagement.entry_clock']}",
        f"leaves {told['engagement.exit_clock']}",
        f"h {told['chip.trochoid.h_entry_mm']:.4f} mm",
    ):
        assert any(text in each for each in words), text
    if ending == "svg":
        root = ElementTree.parse(file).getroot()
        description = root.find("{http://www.w3.org/2000/svg}desc")
        assert description is not None and description.text == plain(sentence(setup))


def test_the_rows_of_the_table_are_searched_as_lines_of_the_report(tmp_path: Path) -> None:
    page, file = page_of("figures", example("boss").setup()), tmp_path / "figures.pdf"
    setup = page.workbench.resolved
    save_page(page, setup, file, QSize(1600, 1000), "light")
    both = [dict(flat(report(each))) for each in (setup, setup.opposite)]
    compared = 0
    for line in words_of(file):
        row = ROW.search(line)
        if row is None or not isinstance(both[0].get(row[3]), int | float):
            continue
        scale = 100.0 if line.split()[-2] == "%" else 1.0
        for text, told in zip(row.groups()[:2], both, strict=True):
            value, half = printed(text)
            assert value == pytest.approx(scale * told[row[3]], abs=1.01 * half), row[3]
            compared += 1
    assert compared > 50
