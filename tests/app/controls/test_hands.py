"""Hands on controls and picture: what a person expects of them in the corners."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPointF, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QWidget

from app.controls.hand_rail_control import HandRailControl
from app.controls.slider_and_field import STEPS
from app.kit.still_list import StillList
from app.pages.arc.plan_layers import edge_grip
from core.setup.setup import Machine
from core.setup.setup_limits import check_setup
from tests.app.windows import ArcWindow, boss, drag, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")
D, AE, AP, N = "cutter.diameter_mm", "cut.radial_engagement_mm", "cut.axial_engagement_mm", "cut.spindle_speed_rpm"
FEED = "cut.feed_per_tooth_mm"


def type_in(window: ArcWindow, key: str, text: str) -> None:
    field = window.hand_rail.control(key).field
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)
    settle()


def test_a_diameter_there_and_back_brings_width_and_feed_back() -> None:
    setup = boss().with_values(cutter__diameter_mm=20.0, cut__feed_per_tooth_mm=0.6, cutter__flute_length_mm=None)
    with laid_out_on(setup) as window:
        window.hand_rail.group_buttons[0].click()
        settle()
        type_in(window, D, "1")
        small = window.workbench.setup
        assert small.cutter.diameter_mm == 1.0
        assert small.cut.radial_engagement_mm < 1.0 and small.cut.feed_per_tooth_mm <= 0.5
        type_in(window, D, "20")
        assert window.workbench.setup == setup
        # Another figure between them is a person's own, and stays.
        type_in(window, D, "1")
        type_in(window, AE, "0.3")
        type_in(window, D, "20")
        assert window.workbench.setup.cut.radial_engagement_mm == 0.3
        for _ in range(5):
            window.workbench.undo()
        settle()
        assert window.workbench.setup == setup


def test_d_in_a_drag_flips_and_lets_go_and_the_pointer_takes_nothing_along() -> None:
    with laid_out_on(boss()) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        start = edge_grip(scene.shapes.edges[0], frame)
        drag(plan, start, start + QPointF(-25.0, 0.0), release=False)
        assert plan.pointer.holds
        width = window.workbench.setup.cut.radial_engagement_mm
        QTest.keyClick(plan, Qt.Key.Key_D)
        settle()
        cut = window.workbench.setup.cut
        assert cut.direction == "conventional" and cut.radial_engagement_mm == width and not plan.pointer.holds
        QTest.mouseMove(plan, (start + QPointF(-60.0, 0.0)).toPoint())
        settle()
        assert window.workbench.setup.cut == cut
        QTest.mouseRelease(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start.toPoint())
        window.workbench.undo()
        window.workbench.undo()
        settle()
        assert window.workbench.setup == boss()


def test_sliders_reach_only_what_can_be() -> None:
    setup = replace(
        boss().with_values(cutter__flute_length_mm=None, cutter__stickout_mm=30.0),
        machine=Machine(speed_curve=((100.0, 1.0), (8000.0, 5.0))),
    )
    with laid_out_on(setup) as window:
        for i in range(len(window.hand_rail.group_buttons)):
            window.hand_rail.group_buttons[i].click()
            settle()
            for control in window.hand_rail.controls.values():
                # Power and its curve are one or the other.
                if not control.isVisible() or not control.isEnabled() or control.spec.key == "machine.power_kw":
                    continue
                for end in (0, STEPS):
                    value = control._from_position(setup, end)
                    written = int(value) if control.spec.whole else value / control.spec.factor
                    check_setup(control.spec.put(setup, written))
        reach = window.hand_rail.controls
        assert reach[AP].spec.high(setup) == 30.0
        assert (reach[N].spec.low(setup), reach[N].spec.high(setup)) == (100.0, 8000.0)
        short = setup.with_values(cutter__flute_length_mm=18.0)
        assert reach[AP].spec.high(short) == 18.0


def test_a_screen_reader_gets_a_sliders_figure_and_not_its_position() -> None:
    with laid_out_on(boss()) as window:
        slider = window.hand_rail.control(AE).slider
        assert slider.accessibleName() == "Radial width of cut, slider: 4 mm"
        slider.setFocus()
        QTest.keyClick(slider, Qt.Key.Key_Right)
        settle()
        shown = window.hand_rail.control(AE).field.text()
        assert shown != "4 mm" and slider.accessibleName() == f"Radial width of cut, slider: {shown}"


def test_no_list_is_changed_by_a_wheel_that_passes_over_it() -> None:
    with laid_out_on(boss()) as window:
        for id in ("arc", "path"):
            window.turn_to(id)
            settle()
        assert window.hand_rail.controls
        lists = window.findChildren(QComboBox)
        assert lists and all(isinstance(each, StillList) for each in lists)


def test_the_keyboard_stays_where_it_was_after_a_dialog_and_with_the_button_of_a_group_that_closes() -> None:
    with laid_out_on(boss()) as window:
        button = window.hand_rail.group_buttons[0]
        button.click()
        settle()
        window.hand_rail.control(D).field.setFocus()
        button.click()
        settle()
        assert window.focusWidget() is button
        QTest.keyClick(button, Qt.Key.Key_D)
        settle()
        assert window.workbench.setup.cut.direction == "conventional"
        plan = window.arc.plan
        plan.setFocus()

        def close() -> None:
            dialog = QApplication.activeModalWidget()
            if dialog is None:
                QTimer.singleShot(20, close)
                return
            QTest.keyClick(dialog, Qt.Key.Key_Escape)

        for key in (Qt.Key.Key_G, Qt.Key.Key_F1):
            QTimer.singleShot(50, close)
            QTest.keyClick(window, key)
            settle()
            assert window.focusWidget() is plan


def test_a_group_is_made_when_it_first_opens_and_the_tab_key_goes_through_it_in_its_place() -> None:
    with laid_out_on(boss()) as window:
        rail = window.hand_rail
        assert set(rail.findChildren(HandRailControl)) == {rail.control(key) for key in (AE, FEED, N)}
        for i in (4, 0):
            rail.group_buttons[i].click()
            settle()
            last = rail.control(N).slider
            last.setFocus()
            passed = []
            while (focus := window.focusWidget()) is not rail.group_buttons[0]:
                assert isinstance(focus, QWidget) and focus.isVisible() and focus not in passed
                passed.append(focus)
                QTest.keyClick(focus, Qt.Key.Key_Tab)
            of_group = set(rail.findChildren(HandRailControl)) - {rail.control(key) for key in (AE, FEED, N)}
            shown = [c for c in rail.controls.values() if c in of_group and c.isVisible()]
            hands = [each for c in shown for each in (c.field, c.slider) if each.isEnabled()]
            assert len(shown) == 5 and passed[: len(hands) + 1] == [last, *hands], "the choice comes after them"
            # A click leaves the keyboard where it was: the space bar stays with play.
            choice = (rail.drive if i == 4 else rail.hand).buttons.values()
            assert not any(b.focusPolicy() & Qt.FocusPolicy.ClickFocus for b in choice)
