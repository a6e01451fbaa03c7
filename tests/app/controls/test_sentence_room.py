"""The sentence on a low window, and the focus ring of the strips."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from core.documents.setup_examples import example
from core.report.sentence import sentence, sentence_lines
from tests.app.windows import TYPE_SIZES, boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")


def test_a_low_window_tells_this_cut_and_a_higher_one_both() -> None:
    with laid_out_on(boss(), (1280, 800), pair=True) as window:
        label, setup = window.sentence.label, window.workbench.resolved
        assert sentence(setup) in label.text() and sentence(setup.opposite) in label.text()
        window.resize(1280, 560)
        settle()
        assert label.text().split("\n") == list(sentence_lines(setup))
        window.resize(1280, 800)
        settle()
        assert sentence(setup.opposite) in label.text()


@pytest.mark.parametrize("theme", TYPE_SIZES)
@pytest.mark.parametrize("name", ["boss", "slack-table", "long-reach"])
def test_a_screen_of_1080_lines_at_twice_the_size_holds_the_window(theme: str, name: str) -> None:
    with laid_out_on(example(name).setup(), (960, 540), theme=theme, pair=True) as window:
        settle()
        assert (window.width(), window.height()) == (960, 540)
        rail = window.hand_rail
        assert rail.mapTo(window, rail.rect().bottomLeft()).y() < 540


def test_the_ring_of_the_strips_goes_with_the_focus() -> None:
    with laid_out_on(boss()) as window:
        strips = window.arc.strips
        strips.setFocus(Qt.FocusReason.TabFocusReason)
        settle()
        ringed = strips.viewport().grab().toImage()
        QTest.keyClick(strips, Qt.Key.Key_Tab)
        settle()
        assert not strips.hasFocus()
        assert strips.viewport().grab().toImage() != ringed
