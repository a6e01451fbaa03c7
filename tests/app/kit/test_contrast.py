"""What must be seen is seen: contrast of lines, words and the ring of focus (WCAG 2.2, 1.4.3, 1.4.11), and greys."""

from __future__ import annotations

import itertools

import pytest
from PySide6.QtGui import QColor

from app.kit.look import look
from app.kit.thickness_colours import colours
from app.shell.style import style_sheet

THEMES = ("light", "dark", "projector", "print")


def luminance(color: str) -> float:
    """Relative luminance (WCAG 2.2, from memory), 0 to 1."""
    parts = [part / 255.0 for part in QColor(color).getRgb()[:3]]  # type: ignore[index]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2.2, from memory)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_measure_is_that_of_black_on_white() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("theme", THEMES)
def test_every_line_of_a_strip_is_seen_on_its_grounds(theme: str) -> None:
    here = look(theme)
    for name in ("main", "second", "third", "accent", "soft", "ink", "warn"):
        for ground in (here.panel, here.cut_band):
            assert contrast(getattr(here, name), ground) >= 3.0, (name, ground)


@pytest.mark.parametrize("theme", THEMES)
def test_focus_is_seen_on_light_and_on_dark_buttons(theme: str) -> None:
    here = look(theme)
    assert contrast(here.focus, here.panel) >= 3.0 and contrast(here.focus, here.page) >= 3.0
    assert contrast(here.focus_on_ink, here.ink) >= 3.0
    assert f"QPushButton:checked:focus, QToolButton:checked:focus {{ border-color: {here.focus_on_ink}; }}" in (
        style_sheet(here, here)
    )


@pytest.mark.parametrize("theme", THEMES)
def test_the_colours_of_thickness_go_one_way_in_grey_and_darken_in_print(theme: str) -> None:
    grey = [luminance(color.name()) for color in colours(look(theme).thick_is_dark)]
    steps = [b - a for a, b in itertools.pairwise(grey)]
    assert all(step < 0.0 for step in steps) if theme == "print" else all(step > 0.0 for step in steps)
    assert max(grey) / min(grey) > 10.0
