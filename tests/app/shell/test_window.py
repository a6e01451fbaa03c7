"""The window: keys, typed values, units, themes, files, gallery, motion; nothing clips."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt, QTimer
from PySide6.QtGui import QPaintEvent, QTextDocument
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPushButton, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from app.kit.look import theme_of
from app.pages.arc.motion import Motion
from app.pages.arc.plan import PlanView
from app.shell.actions import key_rows
from app.shell.gallery import GalleryDialog
from app.shell.help import help_html
from app.shell.slot_errors import install_hook
from app.state.settings import Settings, load_settings, save_settings, settings_folder
from core.documents.setup_document import load_setup
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_writing import write_setup
from core.setup.setup import Setup
from core.setup.show import CHARTS
from core.strips.strip_curves import STRIPS
from tests.app import steps
from tests.app.windows import PATIENCE_MS, TYPE_SIZES, ArcWindow, boss, keep, laid_out_on, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")
WIDTH = "cut.radial_engagement_mm"


def type_into(field: QLineEdit, text: str) -> None:
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)
    settle()


# Keys


def test_keys_flip_pair_units_theme_undo_redo() -> None:
    with laid_out_on(boss()) as window:
        page = window.arc.plan
        QTest.keyClick(page, Qt.Key.Key_D)
        assert window.workbench.setup.cut.direction == "conventional"
        QTest.keyClick(page, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
        assert window.workbench.setup.cut.direction == "climb"
        QTest.keyClick(page, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
        assert window.workbench.setup.cut.direction == "conventional"
        QTest.keyClick(page, Qt.Key.Key_P)
        assert window.arc.shown.pair and window.header.pair.isChecked()
        QTest.keyClick(page, Qt.Key.Key_U)
        assert window.arc.shown.units == "inch" and window.header.inch_button.isChecked()
        for theme in ("dark", "projector", "light"):
            QTest.keyClick(page, Qt.Key.Key_T)
            assert theme_of(window.arc.shown.theme) == theme


def test_letters_typed_into_a_field_are_not_commands() -> None:
    with laid_out_on(boss()) as window:
        field = window.hand_rail.control(WIDTH).field
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, "dp")
        assert window.workbench.setup == boss() and not window.arc.shown.pair
        assert field.text() == "dp"


def test_every_first_control_is_reached_by_tab() -> None:
    with laid_out_on(boss()) as window:
        rail = window.hand_rail
        wanted: set[QWidget] = set()
        wanted |= {rail.control(k).field for k in (WIDTH, "cut.feed_per_tooth_mm", "cut.spindle_speed_rpm")}
        wanted |= {rail.control(k).slider for k in (WIDTH, "cut.feed_per_tooth_mm")}
        wanted |= {window.arc.plan, window.arc.strips, window.arc.motion_bar.play}
        seen: set[QWidget] = set()
        for _ in range(60):
            QTest.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Tab)
            focused = QApplication.focusWidget()
            if focused is not None:
                seen.add(focused)
        assert wanted <= seen
        for widget in seen:
            assert widget.accessibleName() or isinstance(widget, QPushButton | QToolButton), widget


# Typed values


def test_a_width_typed_in_either_unit_or_as_a_share() -> None:
    with laid_out_on(boss()) as window:
        for text, units, expected in (
            ("3", "metric", 3.0),
            ("3,5", "metric", 3.5),
            ("0.25 in", "metric", 6.35),
            ("30%", "metric", 3.6),
            ("0.1", "inch", 2.54),
            ("2.5 mm", "inch", 2.5),
        ):
            window.view.set("units", units)
            type_into(window.hand_rail.control(WIDTH).field, text)
            assert window.workbench.setup.cut.radial_engagement_mm == pytest.approx(expected, rel=1e-12), text
            assert window.workbench.undo_name == "radial width of cut"
            window.workbench.undo()
            assert window.workbench.setup == boss()


def test_a_bad_value_is_told_in_place_and_the_last_good_state_stays() -> None:
    with laid_out_on(boss()) as window:
        control = window.hand_rail.control(WIDTH)
        for text in ("", "abc", "-1", "0", "12", "500", "5 lbf", "1e999", "nan"):
            control.field.setFocus()
            control.field.selectAll()
            QTest.keyClick(control.field, Qt.Key.Key_Delete)
            type_into(control.field, text) if text else QTest.keyClick(control.field, Qt.Key.Key_Return)
            settle()
            assert window.workbench.setup == boss()
            told = control.note.text()
            assert control.field.property("problem") == "true" and told.startswith("not taken: "), text
            assert "llowed" in window.sentence.label.text()
            assert control.field.text() == text
            QTest.keyClick(control.field, Qt.Key.Key_Escape)
            assert control.field.property("problem") == "false" and control.field.text().startswith("4")
            assert "llowed" not in window.sentence.label.text() and control.note.text() != told, text


def test_untouched_values_are_never_rounded_into_the_setup() -> None:
    odd = boss().with_keys({WIDTH: 4.123456789, "cut.feed_per_tooth_mm": 0.0612345})
    with laid_out_on(odd) as window:
        for control in window.hand_rail.controls.values():
            control.field.setFocus()
            QTest.keyClick(control.field, Qt.Key.Key_Return)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_U)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_U)
        settle()
        assert window.workbench.setup == odd


def test_a_slider_drag_is_one_step_of_undo() -> None:
    with laid_out_on(boss()) as window:
        slider = window.hand_rail.control(WIDTH).slider
        slider.sliderPressed.emit()
        for position in (300, 250, 200):
            slider.setValue(position)
            settle()
        slider.sliderReleased.emit()
        assert window.workbench.setup.cut.radial_engagement_mm == pytest.approx(0.06 + 0.2 * 11.88, rel=0.01)
        window.workbench.undo()
        assert window.workbench.setup == boss()


def test_slider_and_field_by_keyboard() -> None:
    with laid_out_on(boss()) as window:
        slider = window.hand_rail.control("cutter.teeth").slider
        window.hand_rail.group_buttons[0].click()
        settle()
        slider.setFocus()
        QTest.keyClick(slider, Qt.Key.Key_End)
        assert window.workbench.setup.cutter.teeth == 24


def test_direction_buttons_and_a_slot_between() -> None:
    with laid_out_on(boss()) as window:
        buttons = window.hand_rail.direction.buttons
        QTest.mouseClick(buttons["straddling"], Qt.MouseButton.LeftButton)
        assert window.workbench.setup.cut.direction == "straddling"
        type_into(window.hand_rail.control(WIDTH).field, "100%")
        assert window.workbench.setup.cut.radial_engagement_mm == 12.0
        assert "Slot" in window.sentence.label.text()
        QTest.mouseClick(buttons["climb"], Qt.MouseButton.LeftButton)
        settle()
        assert window.workbench.setup.cut.direction == "climb"
        assert window.workbench.setup.cut.radial_engagement_mm == 9.0


# Files


def test_open_save_keeps_comments_and_a_refused_file_changes_nothing(tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text("# my bracket\n" + EXAMPLES[0].file.read_text("utf-8"), "utf-8")
    bad = tmp_path / "bad.toml"
    bad.write_text(mine.read_text("utf-8").replace("teeth = 4", "teeth = 4.5"), "utf-8")
    with laid_out_on(boss()) as window:
        assert window.files.open_path(mine)
        window.workbench.propose(window.workbench.setup.with_keys({WIDTH: 2.5}), steps.WIDTH)
        assert window.isWindowModified()
        assert window.files.save()
        assert not window.isWindowModified()
        assert mine.read_text("utf-8").startswith("# my bracket\n")
        assert load_setup(mine).cut.radial_engagement_mm == 2.5
        before = window.workbench.setup
        assert not window.files.open_path(bad)
        told = window.sentence.label.text()
        assert "bad.toml:" in told and "teeth" in told and window.sentence.label.property("problem") == "true"
        assert window.workbench.setup == before and window.workbench.file == mine
        assert not window.files.open_path(tmp_path / "none.toml")
        assert window.workbench.setup == before
        assert window.settings.recent[0] == str(mine)


def test_a_file_changed_on_the_disk_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_bytes(EXAMPLES[0].file.read_bytes())
    with laid_out_on(boss()) as window:
        window.files.open_path(mine)
        theirs = mine.read_text("utf-8").replace("ae", "ae") + "# somebody else's line\n"
        mine.write_text(theirs, "utf-8")
        window.workbench.propose(window.workbench.setup.with_keys({WIDTH: 2.5}), steps.WIDTH)
        assert not window.files.save()
        assert mine.read_text("utf-8") == theirs
        assert "changed" in window.sentence.label.text()


def test_gallery_by_keyboard_opens_an_example() -> None:
    with laid_out_on(boss()) as window:

        def choose() -> None:
            dialog = QApplication.activeModalWidget()
            assert isinstance(dialog, GalleryDialog)
            QTest.keyClick(dialog.cards, Qt.Key.Key_Right)
            assert dialog.told.text() == EXAMPLES[1].sentence
            QTest.keyClick(dialog.cards, Qt.Key.Key_Return)

        QTimer.singleShot(0, choose)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_G)
        settle()
        assert window.workbench.setup.title == EXAMPLES[1].setup().title
        assert window.workbench.file is None


def test_every_example_opens_and_shows_itself(output: Path, qtbot: QtBot) -> None:
    with window_on(boss()) as window:

        def told() -> bool:
            # A page that works beside the window says so first.
            return len(window.sentence.label.text()) > 40

        for example in EXAMPLES:
            window.files.open_example(example.id)
            settle()
            assert window.workbench.setup == example.setup()
            assert window.header.title.text().startswith(example.title[:10])
            qtbot.waitUntil(told, timeout=PATIENCE_MS)
            keep(window.grab(), output / f"example-{example.id}.png")


def test_an_opened_window_has_its_sizes_before_it_paints(monkeypatch: pytest.MonkeyPatch) -> None:
    painted, paint = [], PlanView.paintEvent

    def noted(plan: PlanView, event: QPaintEvent) -> None:
        painted.append((plan.width(), plan.height()))
        paint(plan, event)

    monkeypatch.setattr(PlanView, "paintEvent", noted)
    with window_on(boss()):
        assert len(painted) == 1


def test_help_names_every_key_and_term() -> None:
    with laid_out_on(boss()) as window:
        text = help_html(window.all_actions())
    for word in ("Ctrl+Z", "F11", "Space", "Chip thinning", "eye protection", "never certifies"):
        assert word in text


def test_help_promises_the_keys_that_the_window_has_and_no_others() -> None:
    with laid_out_on(boss()) as window:
        has = {key.toString() for action in window.actions() for key in action.shortcuts() if key.toString()}
        text = QTextDocument()
        text.setHtml(help_html(window.all_actions()))
        promised = [keys.split(" or ") for keys, _ in key_rows(window.all_actions())]
        assert {key for keys in promised for key in keys} == has
        assert len({key for keys in promised for key in keys}) == sum(map(len, promised))
        told = text.toPlainText()
        for _, does in key_rows(window.all_actions()):
            assert does in told
        # A key that is promised does something; the strip that always is shown has none and says so.
        shown = set()
        for name, titles in (("strips", STRIPS), ("charts", CHARTS)):
            for id in titles:
                action = window.menus.by_id[f"{name[:-1]}_{id}"]
                before = getattr(window.arc.shown, name)
                shown.add(action.shortcut().toString())
                if not action.shortcut().toString():
                    assert "always shown" in action.text() and id in before
                    continue
                assert action.isEnabled() and f"Show or hide the {name[:-1]} {action.text()}" in told
                QTest.keyClick(window, Qt.Key(ord(action.shortcut().toString())))
                assert (id in getattr(window.arc.shown, name)) is not (id in before)
        digits, told = sorted(key for key in shown if key.isdigit()), window.header.groups["Strips"].toolTip()
        assert f"({digits[0]} to {digits[-1]} and X)" in told and "1" not in digits


# Motion


def test_motion_follows_the_clock_and_stops_when_hidden() -> None:
    now = [0.0]
    with laid_out_on(boss(), angle_deg=100.0) as window:
        motion = Motion(window.workbench, window.arc.shown, clock=lambda: now[0])
        window.arc.shown.set("playing", True)
        now[0] = 0.5
        motion.tick()
        assert window.arc.shown.angle_deg == pytest.approx(120.0)
        window.arc.shown.set("slow", True)
        now[0] = 1.0
        motion.tick()
        assert window.arc.shown.angle_deg == pytest.approx(124.0)
        window.hide()
        assert not window.arc.shown.playing
        motion.deleteLater()


def test_loop_stays_about_the_cut_and_steps_are_whole() -> None:
    now = [0.0]
    with laid_out_on(boss(), angle_deg=179.0) as window:
        motion = Motion(window.workbench, window.arc.shown, clock=lambda: now[0])
        window.arc.shown.set("loop", True)
        window.arc.shown.set("playing", True)
        for _ in range(200):
            now[0] += 0.05
            motion.tick()
            assert 103.0 <= window.arc.shown.angle_deg <= 187.0
        motion.step_teeth(1)
        assert not window.arc.shown.playing
        before = window.arc.shown.angle_deg
        motion.step_degrees(-1.0)
        assert window.arc.shown.angle_deg == pytest.approx(before - 1.0)
        motion.deleteLater()


def test_space_plays_and_pair_moves_in_step() -> None:
    with laid_out_on(boss(), pair=True, angle_deg=120.0) as window:
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Space)
        assert window.arc.shown.playing
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Space)
        assert not window.arc.shown.playing
        window.arc.shown.set("angle_deg", 144.7356)
        climb, conventional = (scene for scene, _ in window.arc.plan.frames())
        assert climb.angle_deg == pytest.approx(144.7356)
        assert conventional.angle_deg == pytest.approx(35.2644, abs=1e-3)


# What is remembered, and what goes wrong


def test_settings_are_remembered_and_damaged_ones_set_aside() -> None:
    settings = Settings(theme="dark", units="inch", recent=["a.toml"])
    save_settings(settings)
    assert load_settings() == settings
    (settings_folder() / "settings.json").write_text("{ not json")
    assert load_settings() == Settings()
    assert (settings_folder() / "settings.damaged").exists()
    (settings_folder() / "settings.json").write_text('{"theme": 5, "units": "inch", "strange": 1}')
    assert load_settings() == Settings(units="inch")


def test_an_error_nobody_caught_is_a_sentence_and_a_log(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    with laid_out_on(boss()) as window:
        install_hook(window.workbench)
        try:
            raise RuntimeError("a fault")
        except RuntimeError as fault:
            sys.excepthook(RuntimeError, fault, fault.__traceback__)
        assert "something went wrong" in window.sentence.label.text()
        assert "a fault" in (settings_folder() / "errors.log").read_text("utf-8")
        assert window.workbench.setup == boss()


# Nothing clips


def long_words(setup: Setup) -> Setup:
    return setup.with_keys({WIDTH: 3.9876, "cut.feed_per_tooth_mm": 0.0598, "cut.spindle_speed_rpm": 39876.0})


CHOICES = [(theme, units) for theme in TYPE_SIZES for units in ("metric", "inch")]


def clipped(window: ArcWindow) -> list[str]:
    """Words that do not fit their widget, and widgets that do not lie within the window."""
    found = []
    for widget in window.findChildren(QWidget):
        if not widget.isVisible() or not isinstance(widget, QLabel | QPushButton | QToolButton | QLineEdit):
            continue
        text, metrics = widget.text(), widget.fontMetrics()
        if isinstance(widget, QLabel) and widget.wordWrap():
            need = metrics.boundingRect(0, 0, widget.width(), 10_000, int(Qt.TextFlag.TextWordWrap), text)
            fits = need.height() <= widget.height() + 1
        else:
            room = widget.width() - (14 if isinstance(widget, QLineEdit) else 0)
            fits = metrics.horizontalAdvance(text) <= room + 1
        at = QRect(widget.mapTo(window, QPoint()), widget.size())
        if not fits or not window.rect().contains(at):
            found.append(text)
    return found


@pytest.mark.parametrize(
    ("size", "how"),
    [((1280, 800), "climb"), ((1280, 800), "conventional"), ((1280, 800), "pair"), ((1920, 1080), "pair")],
)
def test_nothing_clips_or_overlaps(size: tuple[int, int], how: str, output: Path) -> None:
    setup = long_words(boss())
    if how == "conventional":
        setup = setup.opposite
    with window_on(setup, size, pair=how == "pair") as window:
        window.hand_rail.group_buttons[0].click()
        for theme, units in CHOICES:
            window.view.set("theme", theme)
            window.view.set("units", units)
            settle()
            assert (window.width(), window.height()) == size, f"the window had to grow: {theme}, {units}"
            assert clipped(window) == [], (theme, units)
            keep(window.grab(), output / f"window-{size[0]}-{theme}-{units}-{how}.png")


def test_a_screen_reader_gets_the_sentence_and_the_state() -> None:
    with laid_out_on(boss(), angle_deg=125.0) as window:
        assert "enters 12:39" in window.arc.plan.accessibleDescription()
        assert "Chip thickness" in window.arc.strips.accessibleDescription()
        control = window.hand_rail.control(WIDTH)
        assert control.field.accessibleName() == "Radial width of cut"
        assert "mm" in control.field.accessibleDescription()
        assert math.isclose(window.arc.shown.angle_deg, 125.0)


def test_the_window_fits_a_full_hd_screen_at_200_percent(output: Path) -> None:
    """1920 x 1080 device pixels are 960 x 540 logical ones."""
    with window_on(boss(), (960, 540)) as window:
        for theme, units in CHOICES:
            window.view.set("theme", theme)
            window.view.set("units", units)
            settle()
            assert (window.width(), window.height()) == (960, 540), (theme, units)
            keep(window.grab(), output / f"window-960-{theme}-{units}.png")


# Material


def test_a_material_is_chosen_and_every_figure_tells_its_source() -> None:
    with laid_out_on(boss()) as window:
        rail = window.hand_rail
        rail.group_buttons[3].click()
        settle()
        control = rail.material
        assert control.isVisible() and "coefficients of this setup" in control.figures.text()
        index = control.choice.findData("42CrMo4")
        control.choice.setCurrentIndex(index)
        control.choice.activated.emit(index)
        settle()
        assert window.workbench.setup.work.material == "42CrMo4"
        assert window.workbench.setup.work.force is None
        assert window.workbench.resolved.work.force is not None
        for key in ("power_law.kc11_n_mm2", "power_law.mc", "power_law.radial_ratio"):
            assert f"href='{key}'" in control.figures.text()
            control.figures.linkActivated.emit(key)
            assert "memory" in control.source.text() or "common practice" in control.source.text()
        window.workbench.undo()
        assert window.workbench.setup == boss()


def test_without_material_the_strips_say_what_is_missing() -> None:
    with laid_out_on(boss()) as window:
        control = window.hand_rail.material
        control.choice.setCurrentIndex(0)
        control.choice.activated.emit(0)
        settle()
        strips = window.arc.strips._own.strips  # type: ignore[union-attr]
        assert [bool(s.missing) for s in strips] == [False, True]
        charts = window.arc.charts.scene_shown
        assert charts.loops[0].loop is None and "no material" in charts.walls[0].missing
        assert "wall" not in window.sentence.label.text()


def test_a_flip_shows_the_tooth_as_far_through_the_other_arc() -> None:
    with laid_out_on(boss(), angle_deg=137.7) as window:
        climb = window.arc.shown.results.engagement
        share = (math.radians(137.7) - climb.entry) / climb.arc
        window.flip()
        settle()
        other = window.arc.shown.results.engagement
        assert math.radians(window.arc.shown.angle_deg) == pytest.approx(other.entry + share * other.arc, abs=1e-9)
        window.workbench.undo()
        settle()
        assert window.arc.shown.angle_deg == pytest.approx(137.7)
        # Another width is no flip: the tooth stays.
        window.workbench.propose(window.workbench.setup.with_keys({WIDTH: 5.0}), steps.WIDTH)
        settle()
        assert window.arc.shown.angle_deg == pytest.approx(137.7)


def test_the_file_opened_last_stands_first_among_the_recent_ones(tmp_path: Path) -> None:
    files = [tmp_path / f"{name}.toml" for name in ("first", "second", "third")]
    for file in files:
        file.write_text(write_setup(boss()), "utf-8")
    first, second, third = files
    with laid_out_on(boss()) as window:
        for file in (first, second, third, second):
            window.files.open_path(file)
        window.recent.fill()
        offered = [action.text().replace("&", "") for action in window.recent.actions()]
        assert offered == ["second.toml", "third.toml", "first.toml"]
        assert window.settings.recent == [str(f.resolve()) for f in (second, third, first)]
        window.recent.actions()[1].trigger()
        assert window.settings.recent[0] == str(third.resolve())
