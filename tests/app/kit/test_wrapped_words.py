"""The sentence's lines: every word is there, in order, and none runs out of the label."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from PySide6.QtGui import QFontMetricsF

from app.kit.label_layout import wrapped
from app.kit.look import look
from app.kit.static_label import StaticLabel
from core.documents.setup_examples import EXAMPLES
from core.report.sentence import sentence

pytestmark = pytest.mark.usefixtures("window_app")


@pytest.mark.parametrize("theme", ["light", "projector"])
@pytest.mark.parametrize("width", [90.0, 340.0, 1200.0])
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.id)
def test_words_stay_in_order_and_inside(theme: str, width: float, example: Any) -> None:
    font = look(theme).font("figure")
    metrics = QFontMetricsF(font)
    setup = example.setup()
    told = sentence(setup) + "  " + sentence(setup.opposite)
    lines = wrapped(font, told, width)
    assert " ".join(lines).split() == told.split()
    for line in lines:
        assert metrics.horizontalAdvance(line.strip()) <= width + 1.0 or line.count(" ") <= 1
    for line, following in pairwise(lines):
        words = following.split(" ")
        # A figure keeps its unit beside it.
        assert not (line[-1:].isdigit() and words[0][:1].isalpha())
        first = " ".join(words[:2]) if words[0][-1:].isdigit() else words[0]
        # No line breaks early: what follows would not have fitted.
        assert metrics.horizontalAdvance(f"{line} {first}") > width - 2.0


def test_paragraphs_and_emptiness() -> None:
    font = look("light").font("text")
    assert wrapped(font, "", 100.0) == ()
    assert wrapped(font, "one\ntwo", 500.0) == ("one", "two")
    assert wrapped(font, "averyveryverylongwordindeed a", 20.0) == ("averyveryverylongwordindeed", "a")


def test_a_label_breaks_its_text_only_where_it_may() -> None:
    label = StaticLabel()
    label.resize(80, 60)
    label.setText("several words that do not fit in eighty pixels")
    assert label.lines() == (label.text(),)
    label.setWordWrap(True)
    assert len(label.lines()) > 2
