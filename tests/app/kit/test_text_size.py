"""A text is as wide as its font says, whatever other figures the same words have been measured with before."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFontMetricsF

from app.kit.label_layout import text_size
from app.kit.look import look, searched

pytestmark = pytest.mark.usefixtures("window_app")

WORDS = (
    "enters at {}:{}",
    "h {}.{} mm, rubs {}°",
    "{} N ({} to {})",
    "+{} °C",
    "−{},{}",
    "1/{}",
    "{}×{}",
    "{}%",
    "x{}y",
)
FIGURES = ("0", "1", "7", "11", "40", "159", "234", "1789", "60")


@pytest.mark.parametrize("theme", ["light", "print", "projector:1080"])
@pytest.mark.parametrize("size", ["text", "small", "title", "figure"])
@pytest.mark.parametrize("bold", [False, True])
def test_a_text_is_as_wide_as_its_font_says(theme: str, size: str, bold: bool) -> None:
    for theme_look in (look(theme), searched(look(theme))):
        font = theme_look.font(size, bold=bold)
        metrics = QFontMetricsF(font)
        for i, words in enumerate(WORDS):
            for j in range(len(FIGURES)):
                text = words.format(*[FIGURES[(j + k * (i + 1)) % len(FIGURES)] for k in range(3)])
                found = text_size(font, text)
                assert found.width() == pytest.approx(metrics.horizontalAdvance(text) + 1.0, abs=1e-9), text
                assert found.height() == metrics.height()
