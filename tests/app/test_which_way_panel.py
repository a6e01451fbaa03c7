"""The panel "Which way" in a real window: reasons, why, picture, switching off, and what takes a reason away."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from app.views.which_way import QUIET_MS
from app.views.which_way_scene import STRIP_OF, which_way_scene
from app.window.main_window import MainWindow
from core.materials import resolved
from core.setup_examples import example
from core.strip_curves import STRIPS
from core.telling_angle import telling_angle
from core.tool_life import life_ratio
from core.which_way import REASONS
from tests.app.windows import boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def waited(window: MainWindow) -> MainWindow:
    """Long enough for the reasons to follow."""
    QTest.qWait(QUIET_MS + 40)
    settle()
    return window


def test_a_key_opens_the_panel_in_place_of_the_charts_and_closes_it() -> None:
    with window_on(boss()) as window:
        page = window.page
        assert not page.which_way.isVisible() and page.charts.isVisible()
        QTest.keyClick(window, Qt.Key.Key_W)
        settle()
        assert page.which_way.isVisible() and not page.charts.isVisible()
        assert page.which_way.decision.text().startswith("Climb: more strong reasons")
        assert len(page.strips._own.strips) == 1  # type: ignore[union-attr]
        window.header.why.click()
        settle()
        assert not page.which_way.isVisible() and page.charts.isVisible()
        assert tuple(s.id for s in page.strips._own.strips) == window.view.strips  # type: ignore[union-attr]


@pytest.mark.parametrize("id", list(REASONS))
def test_why_gives_reason_figure_and_picture(id: str) -> None:
    setup = resolved(example("flame-cut-plate").setup())
    with window_on(setup, why=True) as window:
        panel = window.page.which_way
        panel.lines[id].title.click()
        settle()
        assert panel.scene is not None
        row = panel.scene.row(id)
        assert row is not None and panel.lines[id].title.isChecked() and panel.answer.isVisible()
        assert row.why in panel.why.text() and row.limits == panel.limits.text()
        assert "Source:" in panel.source.text()
        assert [s.id for s in window.page.strips._own.strips] == [STRIP_OF[id]]  # type: ignore[union-attr]
        assert math.radians(window.view.angle_deg) == pytest.approx(telling_angle(id, setup), abs=1e-9)
        panel.lines[id].title.click()
        settle()
        assert not panel.answer.isVisible() and window.view.reason == ""


def test_every_reason_has_a_strip_that_there_is() -> None:
    assert set(STRIP_OF) == set(REASONS) and set(STRIP_OF.values()) <= set(STRIPS)


def test_a_reason_switched_off_is_left_out_of_the_decision() -> None:
    with window_on(boss(), why=True) as window:
        panel = window.page.which_way
        panel.lines["exit"].on.click()
        settle()
        assert window.view.reasons_off == {"exit"}
        assert panel.decision.text().startswith("Conventional: no strong reason decides")
        panel.lines["exit"].on.click()
        settle()
        assert panel.decision.text().startswith("Climb") and window.view.reasons_off == frozenset()


def test_a_slack_table_is_told_and_one_slider_takes_the_reason_away() -> None:
    with window_on(example("slack-table").setup(), why=True) as window:
        panel = waited(window).page.which_way
        assert panel.decision.text() == "Conventional: a reason to stop speaks against climb."
        panel.choose("pull")
        assert "jumps through its lost motion" in panel.why.text()
        window.page.hand_rail.controls["machine.backlash_mm"].slider.setValue(0)
        waited(window)
        assert "stop" not in panel.decision.text() and "cannot jump" in panel.why.text()


def test_a_skin_is_taken_away_with_its_slider() -> None:
    with window_on(example("flame-cut-plate").setup(), why=True) as window:
        panel = waited(window).page.which_way
        assert panel.scene is not None and panel.scene.row("skin").better == "conventional"  # type: ignore[union-attr]
        window.page.hand_rail.controls["work.skin.thickness_mm"].slider.setValue(0)
        waited(window)
        assert window.workbench.setup.work.skin is None
        assert panel.scene.row("skin").better == "" and panel.decision.text().startswith("Climb")  # type: ignore[union-attr]


def test_a_slot_says_that_there_is_no_choice() -> None:
    with window_on(example("slot-steel").setup(), why=True) as window:
        panel = waited(window).page.which_way
        assert "mills both ways" in panel.decision.text() and not panel.heads.isVisible()


@pytest.mark.parametrize("theme", ["light", "projector"])
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_no_word_of_the_table_is_cut_off(theme: str, units: str) -> None:
    with window_on(example("slack-table").setup(), theme=theme, units=units, why=True) as window:
        panel = waited(window).page.which_way
        panel.choose("pull")
        settle()
        for line in panel.lines.values():
            for label in (line.climb, line.conventional, line.vote):
                assert isinstance(label, QLabel)
                assert label.fontMetrics().horizontalAdvance(label.text()) <= label.width() + 1, label.text()
        viewport = panel.area.viewport()
        assert panel.area.widget().width() <= viewport.width()


def test_the_scene_speaks_inch_and_marks_what_is_off() -> None:
    scene = which_way_scene(boss(), {"heat"}, "inch")
    heat, error = scene.row("heat"), scene.row("error")
    assert heat is not None and not heat.on and error is not None and error.on
    assert "°F" in heat.climb and "in" in error.climb


def found(window: MainWindow) -> dict[str, str]:
    """What would lift the chosen reason, when all has been looked for: key and words."""
    changes = window.page.which_way.changes
    for _ in range(200):
        QTest.qWait(50)
        settle()
        if not changes.looking:
            break
    return {key: button.text() for key, button in changes.buttons.items()}


def test_what_lifts_a_reason_is_taken_with_one_click_and_put_back_with_one() -> None:
    """The hand mill's climb pulls its table: less width, feed or depth lets friction hold it."""
    slack = example("slack-table").setup()
    with window_on(slack, why=True) as window:
        panel = waited(window).page.which_way
        panel.choose("pull")
        offered = found(window)
        assert next(iter(offered)) == "cut.direction" and offered["cut.direction"] == "Mill conventional"
        assert {"cut.radial_engagement_mm", "cut.feed_per_tooth_mm", "cut.axial_engagement_mm"} <= set(offered)
        # The speed is in none of the forces.
        assert "cut.spindle_speed_rpm" not in offered
        panel.changes.buttons["cut.axial_engagement_mm"].click()
        waited(window)
        depth = window.workbench.setup.cut.axial_engagement_mm
        assert 0.0 < depth < slack.cut.axial_engagement_mm
        assert panel.scene is not None and panel.scene.row("pull").better == ""  # type: ignore[union-attr]
        assert not panel.changes.isVisible()
        window.undo()
        waited(window)
        assert window.workbench.setup == slack and "stop" in panel.decision.text()


def test_a_reason_for_the_direction_offers_no_change() -> None:
    with window_on(boss(), why=True) as window:
        panel = waited(window).page.which_way
        panel.choose("exit")
        settle()
        assert not panel.changes.isVisible() and panel.changes.buttons == {}


def test_chips_that_rub_out_ask_for_feed() -> None:
    thin = boss().with_keys(
        {"cut.radial_engagement_mm": 0.05, "cut.feed_per_tooth_mm": 0.02, "cutter.edge_radius_mm": 0.02}
    )
    with window_on(thin, why=True) as window:
        panel = waited(window).page.which_way
        panel.choose("rub")
        offered = found(window)
        assert "cut.direction" not in offered and "cut.feed_per_tooth_mm" in offered
        panel.changes.buttons["cut.feed_per_tooth_mm"].click()
        waited(window)
        assert window.workbench.setup.cut.feed_per_tooth_mm > 0.02


def test_a_faster_cut_is_told_what_it_costs_an_edge_against_the_setup_as_opened() -> None:
    plate = example("flame-cut-plate").setup()
    with window_on(plate, why=True) as window:
        panel = waited(window).page.which_way
        assert not panel.life.isVisible()
        window.workbench.propose(plate.with_keys({"cut.spindle_speed_rpm": 2470.0}), "speed")
        waited(window)
        ratio = life_ratio(window.workbench.results.setup, resolved(plate)).ratio
        assert ratio is not None and 0.2 < ratio < 1.0
        assert panel.life.isVisible() and f"about {ratio:.2g} times as long" in panel.life.text()
        window.undo()
        waited(window)
        assert not panel.life.isVisible()
