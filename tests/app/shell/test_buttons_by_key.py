"""Buttons without the mouse: the Tab key goes there, Space and Enter press, whatever else those keys mean."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton

from tests.app.windows import ArcWindow, boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")


def tab_to(window: ArcWindow, button: QAbstractButton) -> None:
    """The focus as the Tab key gives it."""
    window.activateWindow()
    button.setFocus(Qt.FocusReason.TabFocusReason)
    settle()
    assert button.hasFocus()


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter])
@pytest.mark.parametrize("page", ["arc", "lesson"])
def test_a_button_with_the_focus_is_pressed_and_nothing_plays(page: str, key: Qt.Key) -> None:
    with laid_out_on(boss()) as window:
        window.turn_to(page)
        pressed: list[bool] = []
        button = next(b for b in window.hand_rail.findChildren(QAbstractButton) if b.text() == "Conventional")
        if page == "lesson":
            button = next(b for b in window.page.widget().findChildren(QAbstractButton) if b.objectName() == "row")
            button.clicked.disconnect()
        button.clicked.connect(lambda: pressed.append(True))
        tab_to(window, button)
        QTest.keyClick(button, key)
        settle()
        assert pressed == [True]
        assert not window.arc.shown.playing
