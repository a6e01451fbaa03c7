"""What a step of a drag paints: the pictures and what tells of the change, not the panels that these lie on."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication

from app.kit.look import look
from app.state.view_state import THEMES
from tests.app import steps
from tests.app.windows import boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


class Painted(QObject):
    """Counts the widgets that are painted, by the name of their class."""

    def __init__(self) -> None:
        super().__init__()
        self.names: Counter[str] = Counter()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Look on."""
        if event.type() == QEvent.Type.Paint:
            self.names[type(watched).__name__] += 1
        return False


def test_a_change_of_a_figure_paints_no_panel_beneath_what_tells_it() -> None:
    with window_on(boss(), (1600, 1000)) as window:
        # The first change marks the title in the header besides.
        window.workbench.propose(boss().with_keys({"cut.radial_engagement_mm": 3.9}), steps.WIDTH)
        settle()
        painted = Painted()
        app = QApplication.instance()
        assert app is not None
        app.installEventFilter(painted)
        window.workbench.propose(boss().with_keys({"cut.radial_engagement_mm": 3.71}), steps.WIDTH)
        settle()
        app.removeEventFilter(painted)
    assert painted.names["PlanView"] == painted.names["SideCharts"] == painted.names["ValueField"] == 1
    assert not set(painted.names) & {"ArcWindow", "Page", "ArcPage", "HandRail", "SentenceBar"}


@pytest.mark.parametrize("theme", THEMES)
def test_the_ground_is_the_panels(theme: str) -> None:
    with window_on(boss(), (1600, 1000), theme=theme) as window:
        for widget in (window.sentence.label, *window.hand_rail.controls.values()):
            assert widget.palette().color(widget.backgroundRole()) == look(theme).color("panel")
            assert widget.backgroundRole() != QPalette.ColorRole.Window
