"""How the cutter is held and what the machine gives, set by hand: figures that may be left out, and choices."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QToolTip

from core.documents.setup_document import read_setup, write_setup
from core.documents.setup_examples import example
from core.effects.cutter_bending import tip_stiffness
from core.setup.setup import Machine
from tests.app.windows import ArcWindow, boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")


def type_into(field: QLineEdit, text: str) -> None:
    """Replace what stands in a field and press Return."""
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Delete)
    if text:
        QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)
    settle()


def opened(window: ArcWindow, word: str) -> ArcWindow:
    """The window with that group of the hand-rail open."""
    rail = window.hand_rail
    next(b for b in rail.group_buttons if b.text().endswith(word)).click()
    settle()
    return window


@pytest.mark.parametrize(
    ("group", "key", "text", "value"),
    [
        ("Holding", "cutter.stickout_mm", "60", 60.0),
        ("Holding", "cutter.flute_length_mm", "1.2 in", 30.48),
        ("Holding", "cutter.shank_diameter_mm", "16", 16.0),
        ("Holding", "cutter.holder_stiffness_n_mm", "20000", 20000.0),
        ("Holding", "cut.wall_tolerance_mm", "30 µm", 0.03),
        ("Machine", "machine.power_kw", "7,5", 7.5),
        ("Machine", "machine.torque_nm", "40", 40.0),
        ("Machine", "machine.table_friction_n", "250", 250.0),
        ("Machine", "machine.feed_preload_n", "100", 100.0),
        ("Machine", "machine.backlash_mm", "0.1", 0.1),
    ],
)
def test_a_figure_is_typed_undone_and_taken_out_again(group: str, key: str, text: str, value: float) -> None:
    with laid_out_on(boss()) as window:
        control = opened(window, group).hand_rail.control(key)
        given_before = boss().value(key) is not None
        type_into(control.field, text)
        assert window.workbench.setup.value(key) == pytest.approx(value)
        assert read_setup(write_setup(window.workbench.setup), "a") == window.workbench.setup
        window.workbench.undo()
        assert window.workbench.setup == boss()
        window.workbench.redo()
        type_into(control.field, "")
        assert window.workbench.setup.value(key) == control.spec.left_out
        assert control.field.property("problem") == "false"
        if control.spec.left_out is None:
            assert control.field.text() == "not given" and control.note.text().startswith("empty:")
        assert not given_before or key == "cutter.stickout_mm"


def test_a_slider_sets_a_figure_that_was_not_given() -> None:
    with laid_out_on(boss()) as window:
        control = opened(window, "Holding").hand_rail.control("cutter.holder_stiffness_n_mm")
        stiff = tip_stiffness(window.workbench.setup)
        control.slider.setValue(300)
        settle()
        soft = tip_stiffness(window.workbench.setup)
        assert stiff is not None and soft is not None and soft < stiff
        window.workbench.undo()
        assert window.workbench.setup == boss()


def test_flutes_longer_than_the_stick_out_are_refused_where_they_are_typed() -> None:
    with laid_out_on(boss()) as window:
        control = opened(window, "Holding").hand_rail.control("cutter.flute_length_mm")
        type_into(control.field, "80")
        assert window.workbench.setup == boss()
        assert "up to the stick-out (42 mm)" in window.sentence.label.text() and control.field.text() == "80"
        assert "10 to 42 mm" in control.note.text()


def test_power_beside_a_speed_curve_is_refused_in_words() -> None:
    curve = ((0.0, 0.0), (6000.0, 9.0), (12000.0, 9.0))
    with laid_out_on(boss().with_keys({"machine.speed_curve": curve})) as window:
        control = opened(window, "Machine").hand_rail.control("machine.power_kw")
        assert control.note.text() == "speed curve holds: 6.00 kW here" and control.field.text() == "not given"
        type_into(control.field, "5")
        assert "speed_curve" in window.sentence.label.text()
        assert window.workbench.setup.machine == Machine(speed_curve=curve)


def test_the_drive_and_the_hand_are_chosen_with_a_click() -> None:
    with laid_out_on(boss()) as window:
        rail = opened(window, "Machine").hand_rail
        assert rail.drive.buttons[None].isChecked()
        rail.drive.buttons["screw"].click()
        settle()
        assert window.workbench.setup.value("machine.drive") == "screw"
        window.workbench.undo()
        assert rail.drive.buttons[None].isChecked() and window.workbench.setup == boss()
        rail.hand.buttons["left"].click()
        assert window.workbench.setup.cutter.hand == "left"


def test_the_cutter_material_sets_stiffness_and_heat_and_tells_its_source() -> None:
    with laid_out_on(boss()) as window:
        control = opened(window, "Holding").hand_rail.cutter_material
        assert control.buttons["carbide"].isChecked() and not control.buttons["high-speed steel"].isChecked()
        control.buttons["high-speed steel"].click()
        settle()
        cutter = window.workbench.setup.cutter
        assert cutter.youngs_modulus_n_mm2 == 210_000.0
        assert cutter.material == "high-speed steel"
        assert control.buttons["high-speed steel"].isChecked() and not control.buttons["carbide"].isChecked()
        control.modulus.linkActivated.emit("source")
        assert "memory" in QToolTip.text() and "Expect" in QToolTip.text()
        window.workbench.undo()
        assert window.workbench.setup == boss()


def test_the_tolerance_crossed_is_seen_in_sentence_and_wall() -> None:
    with laid_out_on(boss()) as window:
        control = opened(window, "Holding").hand_rail.control("cut.wall_tolerance_mm")
        type_into(control.field, "0.05")
        check = window.arc.charts.scene_shown.walls[0].check
        assert check is not None and check.crossed
        assert "more than the 0.0500 mm allowed" in window.sentence.label.text()
        type_into(control.field, "0.2")
        check = window.arc.charts.scene_shown.walls[0].check
        assert check is not None and not check.crossed


def test_a_document_with_a_machine_fills_the_controls() -> None:
    with laid_out_on(example("slack-table").setup()) as window:
        controls = opened(window, "Machine").hand_rail.controls
        machine = window.workbench.setup.machine
        assert machine is not None and machine.backlash_mm is not None and machine.backlash_mm > 0.0
        assert controls["machine.backlash_mm"].value(window.workbench.setup) == machine.backlash_mm
        assert controls["machine.backlash_mm"].field.text().startswith(f"{machine.backlash_mm:g}")
