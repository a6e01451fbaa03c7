"""The Arc page's own state."""

from __future__ import annotations

from typing import Any

from app.pages.arc.arc_state import ArcState
from app.state.view_state import ViewState
from tests.app.windows import boss


def test_view_angle_wraps_and_tells_only_changes(qtbot: Any) -> None:
    view = ArcState(ViewState(), boss())
    angles: list[float] = []
    others: list[str] = []
    view.angle_changed.connect(angles.append)
    view.changed.connect(others.append)
    view.set("angle_deg", 300.0)
    view.set("angle_deg", -60.0)
    view.set("pair", True)
    view.set("pair", True)
    assert angles == [-60.0]
    assert others == ["pair"]


def test_what_changes_while_another_page_is_on_top_is_told_when_it_comes_back(qtbot: Any) -> None:
    shared = ViewState()
    page = ArcState(shared, boss())
    told: list[str] = []
    page.changed.connect(told.append)
    page.set_in_sight(False)
    shared.set("units", "inch")
    shared.set("theme", "dark")
    shared.set("units", "metric")
    assert told == []
    page.set_in_sight(True)
    assert told == ["units", "theme"]
