"""Fields and sliders of the hand-rail: where the keyboard goes, what is refused and how long, Esc in a drag."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QStyle, QStyleOptionSlider, QWidget

from app.controls.hand_rail_control import HandRailControl
from tests.app import steps
from tests.app.windows import TYPE_SIZES, ArcWindow, boss, drag, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")
WIDTH, FEED, SPEED = "cut.radial_engagement_mm", "cut.feed_per_tooth_mm", "cut.spindle_speed_rpm"
CTRL = Qt.KeyboardModifier.ControlModifier


def control(window: ArcWindow, key: str) -> HandRailControl:
    return window.hand_rail.control(key)


def entered(window: ArcWindow, key: str, text: str, end: Qt.Key = Qt.Key.Key_Return) -> HandRailControl:
    """The control after a click into its field, typing and a key."""
    found = control(window, key)
    QTest.mouseClick(found.field, Qt.MouseButton.LeftButton)
    QTest.keyClicks(found.field, text)
    QTest.keyClick(found.field, end)
    settle()
    return found


def press(key: Qt.Key, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """A key to wherever the keyboard is."""
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, key, modifiers)
    settle()


def told(window: ArcWindow) -> str:
    return window.sentence.label.text()


# Where the keyboard goes


def test_after_enter_letters_and_undo_are_commands_again() -> None:
    with laid_out_on(boss()) as window:
        width = entered(window, WIDTH, "5")
        assert window.workbench.setup.cut.radial_engagement_mm == 5.0 and width.field.text() == "5 mm"
        assert width.slider.hasFocus()
        press(Qt.Key.Key_D)
        assert window.workbench.setup.cut.direction == "conventional" and width.field.text() == "5 mm"
        press(Qt.Key.Key_Z, CTRL)
        press(Qt.Key.Key_Z, CTRL)
        assert window.workbench.setup == boss() and width.field.text() == "4 mm"
        press(Qt.Key.Key_Y, CTRL)
        assert window.workbench.setup.cut.radial_engagement_mm == 5.0
        press(Qt.Key.Key_Space)
        assert window.arc.shown.playing
        press(Qt.Key.Key_Tab)
        assert control(window, FEED).field.hasFocus()


def test_a_refused_value_keeps_the_keyboard_where_it_can_be_mended() -> None:
    with laid_out_on(boss()) as window:
        width = entered(window, WIDTH, "50")
        assert width.field.hasFocus() and width.field.text() == "50"
        # While it is being typed undo is the field's own.
        window.workbench.propose(boss().opposite, steps.DIRECTION)
        assert width.field.text() == "50" and width.field.property("problem") == "true"
        for _ in range(3):
            press(Qt.Key.Key_Z, CTRL)
        assert width.field.text() != "50"
        press(Qt.Key.Key_Return)
        assert width.field.text() == "4 mm" and width.field.property("problem") == "false"


def test_undo_in_a_field_that_is_not_being_edited_is_the_programs() -> None:
    with laid_out_on(boss()) as window:
        window.flip()
        field = control(window, SPEED).field
        QTest.mouseClick(field, Qt.MouseButton.LeftButton)
        assert field.hasFocus()
        press(Qt.Key.Key_Z, CTRL)
        assert window.workbench.setup == boss()
        press(Qt.Key.Key_Y, CTRL)
        assert window.workbench.setup == boss().opposite and field.hasFocus()


def test_a_click_where_nothing_is_leaves_the_field_and_takes_what_was_typed() -> None:
    with laid_out_on(boss()) as window:
        page = window.arc
        places: dict[str, tuple[QWidget, QPointF]] = {
            "plan": (page.plan, page.plan.frames()[0][1].centre),
            "panel": (window.hand_rail, QPointF(5.0, window.hand_rail.height() / 2.0)),
            "sentence": (window.sentence.label, QPointF(window.sentence.label.rect().center())),
            "header": (window.header.about, QPointF(window.header.about.rect().center())),
        }
        field = control(window, WIDTH).field
        for where, (widget, at) in places.items():
            assert window.workbench.setup == boss() and not field.hasFocus()
            QTest.mouseClick(field, Qt.MouseButton.LeftButton)
            QTest.keyClicks(field, "5")
            # Through the window, which finds what lies there as it does for a hand.
            QTest.mouseClick(
                window.windowHandle(),
                Qt.MouseButton.LeftButton,
                Qt.KeyboardModifier.NoModifier,
                widget.mapTo(window, at.toPoint()),
            )
            settle()
            assert window.workbench.setup.cut.radial_engagement_mm == 5.0 and not field.hasFocus(), where
            press(Qt.Key.Key_D)
            assert window.workbench.setup.cut.direction == "conventional", where
            for _ in range(2):
                window.workbench.undo()
            settle()


# What is refused


def test_a_refusal_does_not_outlive_its_value() -> None:
    with laid_out_on(boss()) as window:
        width = entered(window, WIDTH, "50", Qt.Key.Key_Tab)
        assert width.field.property("problem") == "true" and "Not taken" in told(window)
        entered(window, FEED, "0.05")
        assert width.field.text() == "4 mm" and width.field.property("problem") == "false"
        assert width.note.text().startswith("33 % of D") and width.note.toolTip() == ""
        assert "Not taken" not in told(window)


@pytest.mark.parametrize("how", ["escape", "the old value"])
def test_a_refusal_given_up_leaves_the_sentence(how: str) -> None:
    with laid_out_on(boss()) as window:
        before = told(window)
        width = entered(window, WIDTH, "50")
        assert "Not taken" in told(window)
        if how == "escape":
            press(Qt.Key.Key_Escape)
        else:
            width.field.selectAll()
            QTest.keyClicks(width.field, "4")
            press(Qt.Key.Key_Return)
        assert told(window) == before and width.field.property("problem") == "false"


REFUSALS = [
    ("metric", WIDTH, "50", "over 0, under 12 mm", 'found "50"; allowed: over 0 and under the diameter (12 mm)'),
    ("inch", WIDTH, "2", "over 0, under 0.47244 in", "under the diameter (0.47244 in)"),
    ("metric", FEED, "-5", "over 0 to 6 mm/tooth", "over 0 up to half the diameter (6 mm/tooth)"),
    ("metric", SPEED, "2000000", "over 0 to 1,000,000 /min", "over 0 up to 1,000,000 /min"),
    ("metric", WIDTH, "abc", "a number in mm", 'found "abc"; allowed: a number in mm'),
    ("metric", WIDTH, "10,000", "10000 or 10.000", "the comma before three digits could mean either"),
]
"""Units, key, what is typed; what is told under the field, and in the sentence."""


@pytest.mark.parametrize("theme", TYPE_SIZES)
def test_a_refusal_is_short_under_the_field_and_whole_in_the_sentence(theme: str) -> None:
    with laid_out_on(boss(), theme=theme) as window:
        for units, key, text, note, sentence in REFUSALS:
            window.view.set("units", units)
            refused = entered(window, key, text)
            assert note in refused.note.text()
            assert sentence in told(window) and sentence in refused.note.toolTip()
            lines = refused.note.lines()
            assert all(
                refused.note.fontMetrics().horizontalAdvance(line) <= refused.note.width() + 1 for line in lines
            )
            bar = window.sentence
            need = len(bar.label.lines()) * bar.label.fontMetrics().lineSpacing()
            assert need <= bar.label.height() + 1
            QTest.keyClick(refused.field, Qt.Key.Key_Escape)
            settle()


def test_figures_with_other_units_in_the_document_are_told_in_those_of_the_field() -> None:
    with laid_out_on(boss()) as window:
        window.hand_rail.group_buttons[1].click()
        settle()
        runout = entered(window, "cutter.runout_mm", "7000")
        assert runout.note.text() in ("not taken: from 0, under 6000 µm", "from 0, under 6000 µm")
        assert "under half the diameter (6000 µm)" in told(window)


def test_a_value_too_long_for_its_field_shows_its_beginning() -> None:
    with laid_out_on(boss()) as window:
        speed = entered(window, SPEED, "1000000")
        assert window.workbench.setup.cut.spindle_speed_rpm == 1e6
        assert speed.field.text() == "1000000 /min" and speed.field.cursorPosition() == 0


def test_fractions_thousands_and_both_readings_of_a_runout_are_taken() -> None:
    with laid_out_on(boss(), units="inch") as window:
        width = entered(window, WIDTH, "1/8")
        assert window.workbench.setup.cut.radial_engagement_mm == pytest.approx(3.175)
        assert width.field.text() == "0.125 in"
        entered(window, SPEED, "10,000")
        assert window.workbench.setup.cut.spindle_speed_rpm == 10_000.0
        window.arc.shown.set("units", "metric")
        window.hand_rail.group_buttons[1].click()
        settle()
        runout = entered(window, "cutter.runout_mm", "20 TIR")
        assert window.workbench.setup.cutter.runout_mm == pytest.approx(0.01)
        assert runout.field.text() == "10 µm" and runout.note.text() == "indicator 20.0 µm (2e)"
        assert runout.note.fontMetrics().horizontalAdvance(runout.note.text()) <= runout.note.width()


# Sliders


def test_a_screen_reader_reads_the_figure_of_a_slider() -> None:
    with laid_out_on(boss()) as window:
        width = control(window, WIDTH)

        def read() -> str:
            found = QAccessible.queryAccessibleInterface(width.slider)
            assert found is not None
            return found.text(QAccessible.Text.Description)

        assert read() == "4 mm"
        width.slider.setFocus()
        press(Qt.Key.Key_Right)
        assert read() == width.field.text() != "4 mm"
        window.arc.shown.set("units", "inch")
        settle()
        assert read() == width.field.text() and read().endswith(" in")


@pytest.mark.parametrize("focus", [True, False])
def test_a_wheel_over_the_list_of_materials_changes_nothing(focus: bool) -> None:
    with laid_out_on(boss()) as window:
        window.hand_rail.group_buttons[3].click()
        settle()
        choice = window.hand_rail.material.choice
        if focus:
            choice.setFocus()
        at = QPointF(choice.rect().center())
        for turn in (-120, 120, -120):
            wheel = QWheelEvent(
                at,
                choice.mapToGlobal(at),
                QPoint(0, 0),
                QPoint(0, turn),
                Qt.MouseButton.NoButton,
                Qt.KeyboardModifier.NoModifier,
                Qt.ScrollPhase.NoScrollPhase,
                False,
            )
            QApplication.sendEvent(choice, wheel)
            settle()
        assert window.workbench.setup == boss() and choice.currentIndex() == 0


def handle_of(found: HandRailControl) -> QPointF:
    option = QStyleOptionSlider()
    found.slider.initStyleOption(option)
    parts = QStyle.ComplexControl.CC_Slider, QStyle.SubControl.SC_SliderHandle
    return QPointF(found.slider.style().subControlRect(parts[0], option, parts[1], found.slider).center())


def test_escape_in_a_drag_of_a_slider_puts_it_back() -> None:
    with laid_out_on(boss()) as window:
        width = control(window, WIDTH)
        position, start = width.slider.value(), handle_of(width)
        drag(width.slider, start, start + QPointF(60.0, 0.0), release=False)
        assert window.workbench.setup.cut.radial_engagement_mm > 5.0
        QTest.keyClick(width.slider, Qt.Key.Key_Escape)
        settle()
        assert window.workbench.setup == boss() and window.workbench.undo_name == ""
        assert width.slider.value() == position and width.field.text() == "4 mm"
        # The button is still down: the hand holds nothing any more.
        QTest.mouseMove(width.slider, (start + QPointF(90.0, 0.0)).toPoint())
        settle()
        QTest.mouseRelease(width.slider, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start.toPoint())
        settle()
        assert window.workbench.setup == boss() and width.slider.value() == position
        drag(width.slider, start, start + QPointF(60.0, 0.0))
        assert window.workbench.setup.cut.radial_engagement_mm > 5.0
        window.workbench.undo()
        assert window.workbench.setup == boss() and window.workbench.undo_name == ""


# Material


def test_a_source_is_told_only_of_the_material_that_is_shown() -> None:
    with laid_out_on(boss()) as window:
        rail = window.hand_rail
        rail.group_buttons[3].click()
        settle()
        panel = rail.material
        index = panel.choice.findData("S275JR")
        panel.choice.setCurrentIndex(index)
        panel.choice.activated.emit(index)
        settle()
        panel.figures.linkActivated.emit("power_law.kc11_n_mm2")
        settle()
        assert "Expect" in panel.source.text() and "N/mm²" in panel.source.text()
        # However long the source is, the choice stays under its name.
        assert panel.choice.y() - panel.figures.geometry().bottom() < 12
        window.arc.shown.set("units", "inch")
        assert "Expect" in panel.source.text() and "ksi" in panel.source.text()
        window.workbench.undo()
        settle()
        assert panel.choice.currentIndex() == 0 and "kc1.1" not in panel.source.text()


def test_the_catalogues_figures_are_offered_only_of_a_material_that_has_some() -> None:
    with laid_out_on(boss()) as window:
        panel = window.hand_rail.material
        assert boss().work.material is None and "coefficients of this setup" in panel.figures.text()
        assert "href='catalogue'" not in panel.figures.text()
        panel.figures.linkActivated.emit("catalogue")
        assert window.workbench.setup == boss()
        named = boss().with_keys({"work.material": "C45E"})
        window.workbench.propose(named, steps.MATERIAL)
        settle()
        assert "href='catalogue'" in panel.figures.text()
        panel.figures.linkActivated.emit("catalogue")
        settle()
        assert window.workbench.setup.work.force is None
        assert window.workbench.resolved.work.force is not None


NAMES = {"316L": "X2CrNiMo17-12-2", "gg25": "EN-GJL-250", "1.2312": "40CrMnMoS8-6", "aisi 4140": "42CrMo4"}


@pytest.mark.qt_log_ignore("grabbing the keyboard", extend=True)
def test_a_material_is_found_by_any_of_its_names_and_taken_with_enter() -> None:
    with laid_out_on(boss()) as window:
        window.hand_rail.group_buttons[3].click()
        settle()
        panel = window.hand_rail.material
        for typed, name in NAMES.items():
            panel.choice.line.setFocus()
            panel.choice.line.selectAll()
            QTest.keyClicks(panel.choice.line, typed)
            QTest.keyClick(panel.choice.line, Qt.Key.Key_Return)
            settle()
            assert window.workbench.setup.work.material == name
            condition = window.workbench.materials.find(name).condition
            assert panel.choice.currentText().startswith(name) and condition in panel.choice.currentText()
            window.workbench.undo()
            settle()
            assert window.workbench.setup == boss()


def test_a_name_that_no_material_has_takes_none_and_says_so() -> None:
    with laid_out_on(boss()) as window:
        window.hand_rail.group_buttons[3].click()
        settle()
        panel = window.hand_rail.material
        panel.choice.searched.emit("unobtainium")
        settle()
        assert window.workbench.setup == boss() and "unobtainium" in panel.source.text()
        assert panel.choice.currentText() == panel.choice.itemText(0)
        # Another designation picked from what is listed below is its material.
        panel.choice.searched.emit("1.0503  \N{RIGHTWARDS ARROW}  C45E")
        settle()
        assert window.workbench.setup.work.material == "C45E"
