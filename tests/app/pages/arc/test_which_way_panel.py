"""The panel "Which way" in a real window: reasons, why, picture, switching off, and what takes a reason away."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.kit.debounce import SETTLE_MS
from app.kit.look import look
from app.pages.arc.which_way import QUIET_MS, WhichWay
from app.pages.arc.which_way_changes import COMPENSATION, SPRING_PASS
from app.pages.arc.which_way_scene import STRIP_OF, which_way_scene
from app.shell.style import style_sheet, tick
from app.state.view_state import THEMES
from core.advice.best_view_angle import best_view_angle
from core.advice.reason_ranges import pull_range
from core.advice.tool_life import life_ratio
from core.advice.turning import turns
from core.advice.wall_remedies import keeping_compensation, keeping_spring_pass
from core.advice.which_way import REASONS, reason_of
from core.base.quantities import clear_figure, figure, rough_figure, told_figure
from core.base.words import say
from core.cut.rates import rates
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.documents.setup_writing import write_setup
from core.effects.arc_results import arc_results
from core.force.force_turn import force_turn
from core.report.rough_words import before_and_after
from core.report.which_way_words import turn_words
from core.setup.setup import Advice, Setup
from core.strips.strip_curves import STRIPS
from tests.app import steps
from tests.app.windows import PATIENCE_MS, TYPE_SIZES, ArcWindow, at_rest, boss, laid_out_on, settle, until

pytestmark = pytest.mark.usefixtures("window_app")


def drawn_to_size() -> Setup:
    """The opening setup with a tolerance of the wall that climb does not keep."""
    return boss().with_keys({"cut.wall_tolerance_mm": 0.04})


def waited(window: ArcWindow) -> ArcWindow:
    """Long enough for the reasons to follow."""
    QTest.qWait(QUIET_MS + 40)
    # A busy machine is late.
    until(lambda: not window.arc.which_way._later.isActive())
    return window


def test_a_key_opens_the_panel_in_place_of_the_charts_and_closes_it() -> None:
    with laid_out_on(boss()) as window:
        page = window.arc
        assert not page.which_way.isVisible() and page.charts.isVisible()
        QTest.keyClick(window, Qt.Key.Key_W)
        settle()
        assert page.which_way.isVisible() and not page.charts.isVisible()
        # It opens with its questions; the answers come when they are asked for, and go when it is closed.
        panel = page.which_way
        assert panel.ask.isVisible() and not panel.decision.isVisible() and panel.decision.text() == ""
        assert all(line.answer.text() == "" for line in panel.rungs.values())
        assert all(line.vote.text() == "" for line in panel.lines.values())
        assert panel.lines["rub"].climb.text() and not panel.turning.isVisible()
        panel.ask_button.click()
        settle()
        assert panel.rungs["machine"].answer.text() and not panel.ask.isVisible()
        told = page.which_way.decision.text()
        assert told.startswith("Climb, if the table has no lost motion (not told)") and "64 of 64" in told
        assert "find out the lost motion" in page.which_way.caution.text()
        assert len(page.strips._own.strips) == 1  # type: ignore[union-attr]
        window.header.toggles["why"].click()
        settle()
        assert not page.which_way.isVisible() and page.charts.isVisible()
        assert not window.view.shown.verdict
        assert tuple(s.id for s in page.strips._own.strips) == window.arc.shown.strips  # type: ignore[union-attr]


def test_why_gives_reason_figure_and_picture() -> None:
    setup = resolved(example("flame-cut-plate").setup())
    with laid_out_on(setup, why=True) as window:
        panel = window.arc.which_way
        for id in REASONS:
            panel.lines[id].title.click()
            settle()
            assert panel.scene is not None
            row = panel.scene.row(id)
            assert row is not None and panel.lines[id].title.isChecked() and panel.answer.isVisible(), id
            assert row.why in panel.why.text() and row.limits == panel.limits.text()
            assert "Source:" in panel.source.text()
            assert [s.id for s in window.arc.strips._own.strips] == [STRIP_OF[id]]  # type: ignore[union-attr]
            best = best_view_angle(id, setup)
            assert math.radians(window.arc.shown.angle_deg) == pytest.approx(best, abs=1e-9), id
            panel.lines[id].title.click()
            settle()
            assert not panel.answer.isVisible() and window.arc.shown.reason == ""


def test_every_reason_has_a_strip_that_there_is() -> None:
    assert set(STRIP_OF) == set(REASONS) and set(STRIP_OF.values()) <= set(STRIPS)


def test_a_rung_switched_off_is_not_asked_and_stays_so_in_the_document() -> None:
    with laid_out_on(boss(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.rungs["edge"].on.click()
        waited(window)
        assert window.workbench.setup.advice == Advice(off=("edge",))
        assert (
            "nothing above decides" in panel.decision.text()
            and "Not asked: Does the edge live?" in panel.decision.text()
        )
        assert panel.rungs["edge"].answer.text() == "not asked"
        assert 'off = ["edge"]' in write_setup(window.workbench.setup)
        window.workbench.undo()
        waited(window)
        assert "rung 3" in panel.decision.text() and panel.rungs["edge"].on.isChecked()


def test_a_rung_can_be_asked_earlier() -> None:
    with laid_out_on(example("flame-cut-plate").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        assert "Conventional: the life of the edge decides, rung 3." in panel.decision.text()
        for _ in range(2):
            panel.rungs["custom"].earlier.click()
            waited(window)
        assert window.workbench.setup.advice.order == ("machine", "part", "custom", "edge", "finish")
        assert panel.decision.text().startswith("Climb") and "rung 5" in panel.decision.text()
        tops = {id: line.title.mapTo(panel, QPoint()).y() for id, line in panel.rungs.items()}
        assert tops["part"] < tops["custom"] < tops["edge"] < panel.lines["skin"].title.mapTo(panel, QPoint()).y()
        assert not panel.rungs["machine"].earlier.isEnabled()
        panel.all_again.click()
        waited(window)
        assert window.workbench.setup.advice == Advice() and not panel.all_again.isVisible()


def turned(window: ArcWindow) -> str:
    """What would turn the verdict, when all has been looked for."""
    panel = window.arc.which_way
    until(lambda: not panel.turns.looking)
    return panel.turning.text()


def test_what_would_turn_it_is_worked_out_beside_the_window(monkeypatch: pytest.MonkeyPatch) -> None:
    with laid_out_on(example("slack-table").setup(), why=True) as window:
        label = window.arc.which_way.turning
        seen, set_text = [label.text()], label.setText

        def seen_too(text: str) -> None:
            seen.append(text)
            set_text(text)

        # How long it is looked for depends on the machine, that it is said does not.
        monkeypatch.setattr(label, "setText", seen_too)
        waited(window)
        told = turned(window)
        assert say("turn", "looking") in seen and seen[-1] == told
        wanted = {turn_words(turn) for turn in turns(window.workbench.resolved)}
        assert set(told.splitlines()[1:]) == wanted and len(wanted) > 2


def test_a_slack_table_is_told_and_one_slider_takes_the_reason_away() -> None:
    with laid_out_on(example("slack-table").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        assert panel.decision.text().startswith("Conventional: the machine decides, rung 1.")
        panel.rungs["machine"].title.click()
        assert window.arc.shown.reason == "pull" and "lost motion" in panel.why.text() and panel.slack.isVisible()
        window.hand_rail.control("machine.backlash_mm").slider.setValue(0)
        waited(window)
        assert "rung 1" not in panel.decision.text() and "cannot jump" in panel.why.text()
        assert not panel.slack.isVisible()


def test_a_skin_is_taken_away_with_its_slider() -> None:
    with laid_out_on(example("flame-cut-plate").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        assert panel.scene is not None and panel.scene.row("skin").better == "conventional"  # type: ignore[union-attr]
        window.hand_rail.control("work.skin.thickness_mm").slider.setValue(0)
        waited(window)
        assert window.workbench.setup.work.skin is None
        assert panel.scene.row("skin").better == "" and panel.decision.text().startswith("Climb")  # type: ignore[union-attr]


def test_a_slot_says_that_there_is_no_choice() -> None:
    with laid_out_on(example("slot-steel").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        assert (
            "mills both ways" in panel.decision.text()
            and "an offset" in panel.decision.text()
            and not panel.heads.isVisible()
        )


CHOICES = [("metric", False), ("metric", True), ("inch", True), ("inch", False)]
CROSSED = [("metric", False), ("inch", True)]


@pytest.mark.parametrize("theme", TYPE_SIZES)
def test_no_word_of_the_table_is_cut_off(theme: str) -> None:
    with laid_out_on(example("slack-table").setup(), theme=theme, why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("pull")
        for units in ("metric", "inch"):
            window.view.set("units", units)
            settle()
            for line in panel.lines.values():
                for label in (line.climb, line.conventional, line.vote):
                    assert isinstance(label, QLabel)
                    assert label.fontMetrics().horizontalAdvance(label.text()) <= label.width() + 1, label.text()
            assert inner(panel).width() <= panel.area.viewport().width()


def inner(panel: WhichWay) -> QWidget:
    """What the panel scrolls."""
    widget = panel.area.widget()
    assert widget is not None
    return widget


def cut_off(panel: WhichWay) -> list[str]:
    """Words of the panel that do not fit their widget, or widgets that reach beyond what is seen of the panel."""
    viewport, found = panel.area.viewport(), []
    for widget in inner(panel).findChildren(QWidget):
        if not isinstance(widget, QLabel | QPushButton) or not widget.isVisible():
            continue
        right = widget.mapTo(viewport, QPoint(widget.width(), 0)).x()
        words = widget.text().split() if isinstance(widget, QLabel) and widget.wordWrap() else [widget.text()]
        frame = 0 if isinstance(widget, QLabel) else 8
        widest = max((widget.fontMetrics().horizontalAdvance(word) for word in words), default=0)
        if right > viewport.width() or widest + frame > widget.width() + 1:
            found.append(widget.text())
    return found


@pytest.mark.parametrize("theme", TYPE_SIZES)
@pytest.mark.parametrize("size", [(1280, 800), (1024, 700)])
def test_nothing_of_the_panel_is_cut_off_at_the_side(size: tuple[int, int], theme: str) -> None:
    with laid_out_on(drawn_to_size(), size, theme=theme, why=True) as window:
        panel = waited(window).arc.which_way

        def cut_off_somewhere(choices: list[tuple[str, bool]]) -> dict[tuple[str, bool], list[str]]:
            """What is cut off, by units and pair."""
            wrong = {}
            for units, pair in choices:
                window.view.set("units", units)
                window.view.set("pair", pair)
                settle()
                assert window.width() == size[0]
                if cut_off(panel):
                    wrong[units, pair] = cut_off(panel)
            return wrong

        assert cut_off_somewhere(CHOICES) == {}
        panel.choose("error")
        found(window)
        # With the answer, and with longer figures: each of the units, each of the widths that the panel has.
        assert panel.changes.isVisible() and cut_off_somewhere(CROSSED) == {}
        # Another example, in the window that is open.
        window.files.open_example("groove-brass")
        waited(window)
        assert cut_off_somewhere(CROSSED) == {}


def test_the_panel_keeps_its_width_when_figures_become_shorter() -> None:
    with laid_out_on(boss(), pair=True, why=True) as window:
        panel = waited(window).arc.which_way
        wide = panel.width()
        window.workbench.propose(boss().with_keys({"cut.radial_engagement_mm": 6.0}), steps.WIDTH)
        waited(window)
        assert panel.width() >= wide


def test_the_scene_speaks_inch_and_marks_what_is_off() -> None:
    scene = which_way_scene(boss().with_keys({"advice.off": ("finish",)}), "inch")
    heat, error, finish = scene.row("heat"), scene.row("error"), scene.rung("finish")
    assert heat is not None and error is not None and finish is not None and not finish.asked
    assert "°F" in heat.climb and "in" in error.climb


def found(window: ArcWindow) -> dict[str, str]:
    """What would lift the chosen reason, when all has been looked for: key and words."""
    changes = window.arc.which_way.changes
    until(lambda: not changes.looking)
    return {key: button.text() for key, button in changes.buttons.items()}


def test_what_lifts_a_reason_is_taken_with_one_click_and_put_back_with_one() -> None:
    """The hand mill's climb pulls its table: less width, feed or depth lets friction hold it."""
    slack = example("slack-table").setup()
    with laid_out_on(slack, why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("pull")
        offered = found(window)
        assert next(iter(offered)) == "cut.direction" and offered["cut.direction"] == "Mill conventional"
        assert "cut.axial_engagement_mm" in offered
        # The speed is in none of the forces.
        assert "cut.spindle_speed_rpm" not in offered
        panel.changes.buttons["cut.axial_engagement_mm"].click()
        waited(window)
        depth = window.workbench.setup.cut.axial_engagement_mm
        assert 0.0 < depth < slack.cut.axial_engagement_mm
        assert panel.scene is not None and panel.scene.row("pull").better == ""  # type: ignore[union-attr]
        assert not panel.changes.isVisible()
        window.workbench.undo()
        waited(window)
        assert window.workbench.setup == slack and "rung 1" in panel.decision.text()


def test_a_reason_for_the_direction_offers_no_change() -> None:
    with laid_out_on(boss(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("exit")
        settle()
        assert not panel.changes.isVisible() and panel.changes.buttons == {}


def test_chips_that_rub_out_ask_for_feed() -> None:
    thin = boss().with_keys(
        {"cut.radial_engagement_mm": 0.05, "cut.feed_per_tooth_mm": 0.02, "cutter.edge_radius_mm": 0.02}
    )
    with laid_out_on(thin, why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("rub")
        offered = found(window)
        assert "cut.direction" not in offered and "cut.feed_per_tooth_mm" in offered
        panel.changes.buttons["cut.feed_per_tooth_mm"].click()
        waited(window)
        assert window.workbench.setup.cut.feed_per_tooth_mm > 0.02


def test_a_faster_cut_is_told_what_it_costs_an_edge_against_the_setup_as_opened() -> None:
    plate = example("flame-cut-plate").setup()
    with laid_out_on(plate, why=True) as window:
        panel = waited(window).arc.which_way
        assert not panel.life.isVisible()
        window.workbench.propose(plate.with_keys({"cut.spindle_speed_rpm": 2470.0}), steps.SPEED)
        waited(window)
        ratio = life_ratio(window.workbench.resolved, resolved(plate)).ratio
        assert ratio is not None and 0.2 < ratio < 1.0
        assert panel.life.isVisible() and f"about {ratio:.2g} times as long" in panel.life.text()
        window.workbench.undo()
        waited(window)
        assert not panel.life.isVisible()


# What is switched off, and the way back.


def test_what_is_not_asked_stays_with_its_document_alone(tmp_path: Path) -> None:
    with laid_out_on(example("slack-table").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("error")
        panel.rungs["machine"].on.click()
        waited(window)
        # Saving is not opening: the same document goes on.
        window.workbench.saved(tmp_path / "own.toml")
        settle()
        assert window.workbench.setup.advice.off == ("machine",) and window.arc.shown.reason == "error"
        assert [s.id for s in window.arc.strips._own.strips] == ["movement"]  # type: ignore[union-attr]
        window.files.open_example("boss")
        waited(window)
        assert window.workbench.setup.advice == Advice() and window.arc.shown.reason == ""
        # The questions of another document come without their answers.
        assert panel.ask.isVisible() and not panel.decision.isVisible()
        QTest.keyClick(window, Qt.Key.Key_V)
        waited(window)
        assert panel.decision.text().startswith("Climb")
        assert not panel.answer.isVisible() and not panel.all_again.isVisible()
        assert [s.id for s in window.arc.strips._own.strips] == ["chip"]  # type: ignore[union-attr]
        window.menus.by_id["why"].trigger()
        settle()
        assert tuple(s.id for s in window.arc.strips._own.strips) == window.arc.shown.strips  # type: ignore[union-attr]


def test_what_is_switched_off_is_told_with_the_decision_and_asked_again_with_one_click() -> None:
    with laid_out_on(boss(), why=True) as window:
        panel = waited(window).arc.which_way
        before = panel.decision.text()
        assert not panel.all_again.isVisible() and "Not asked" not in before
        panel.rungs["edge"].on.click()
        waited(window)
        panel.rungs["finish"].on.click()
        waited(window)
        assert "Not asked: Does the edge live?, Cooler, finer?." in panel.decision.text()
        assert panel.all_again.isVisible() and panel.all_again.text() == "Ask all again"
        panel.all_again.setFocus()
        QTest.keyClick(panel.all_again, Qt.Key.Key_Space)
        waited(window)
        assert window.workbench.setup.advice == Advice() and panel.decision.text() == before
        assert panel.rungs["edge"].on.isChecked() and not panel.all_again.isVisible()
        # The button is gone; the keyboard is still in the panel.
        assert panel.isAncestorOf(window.focusWidget())


def test_a_box_stays_under_the_pointer_as_the_verdict_grows_and_the_verdict_stays_in_sight() -> None:
    with laid_out_on(example("slack-table").setup(), why=True, pair=True) as window:
        panel = waited(window).arc.which_way
        panel.area.verticalScrollBar().setValue(80)
        box = panel.rungs["finish"].on
        place = box.mapTo(panel, QPoint())
        for _ in range(2):
            box.click()
            waited(window)
            assert box.mapTo(panel, QPoint()) == place
        panel.rungs["machine"].on.click()
        waited(window)
        # The longer verdict asks the window for height, and gets it a turn later.
        at_rest(window)
        assert not panel.area.isAncestorOf(panel.decision) and panel.decision.isVisible()
        needed = panel.decision.heightForWidth(panel.decision.width())
        assert panel.decision.height() >= needed
        # Down to its least height what scrolls gives way, and the words do not.
        panel.resize(panel.width(), panel.minimumSizeHint().height())
        for words in (panel.decision, panel.caution):
            assert words.height() >= words.heightForWidth(words.width())


def test_a_machine_that_is_not_asked_stays_told() -> None:
    with laid_out_on(example("slack-table").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.rungs["machine"].on.click()
        waited(window)
        told = panel.decision.text()
        assert told.startswith("Climb, only once the lost motion of the table is taken out")
        assert "Not asked: Can the machine take it?." in told
        assert "Switched off, but it still stands: Climb pulls the table along" in told


# What lifts a reason: what it does, where it stands, and the keyboard.


def test_a_change_is_told_with_what_it_does_in_either_units() -> None:
    with laid_out_on(drawn_to_size(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("error")
        assert set(found(window)) >= {"cut.direction", "cut.axial_engagement_mm"}
        changes, setup = panel.changes, window.workbench.resolved
        for units in ("metric", "inch"):
            window.arc.shown.set("units", units)
            settle()
            for key in changes._found:
                button, after = changes.buttons[key], changes._found[key]
                error = [reason_of("error", s).figure(s.cut.direction) for s in (setup, after)]
                force = [force_turn(s).resultant_max for s in (setup, after)]  # type: ignore[union-attr]
                rate = [rates(s).removal_rate_mm3_min / 1000.0 for s in (setup, after)]
                assert changes.now[0].text() == rough_figure(error[0], "deflection", units)
                assert changes.now[1].text() == clear_figure(rate[0], "removal_rate", units)
                assert changes.now[2].text() == rough_figure(force[0], "force", units)
                line = changes.lines[key]
                pairs = (("deflection", error), ("force", force), ("removal_rate", rate))
                told = [before_and_after(pair[0], pair[1], name, units) for name, pair in pairs]
                assert line.after[0].text() == f"↓ {told[0][1]}" and told[1][1] in line.after[2].text()
                for figure_told in itertools.chain(*told):
                    assert figure_told in button.accessibleName() and figure_told in button.toolTip()
        assert "in" in changes.buttons["cut.axial_engagement_mm"].text()


def test_a_wall_is_brought_within_by_compensation_or_a_second_pass_and_enter_takes_it() -> None:
    with laid_out_on(drawn_to_size(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("error")
        offered, setup = found(window), window.workbench.resolved
        offset, again = keeping_compensation(setup), keeping_spring_pass(setup)
        assert (COMPENSATION in offered) is (offset is not None)
        assert (SPRING_PASS in offered) is (again is not None)
        assert offset is not None
        button = panel.changes.buttons[COMPENSATION]
        button.setFocus()
        QTest.keyClick(button, Qt.Key.Key_Return)
        assert QGuiApplication.clipboard().text() == f"{offset.offset:.4f}"
        assert window.workbench.setup == drawn_to_size()
        # Enter takes a change as a click does.
        depth = panel.changes.buttons["cut.axial_engagement_mm"]
        QTest.keyClick(depth, Qt.Key.Key_Enter)
        waited(window)
        assert window.workbench.setup.cut.axial_engagement_mm < drawn_to_size().cut.axial_engagement_mm
        # Other reasons have no such lines.
        panel.choose("heat")
        assert COMPENSATION not in panel.changes.buttons


def test_a_wall_that_a_wider_cut_makes_worse_is_offered_a_narrower_one() -> None:
    with laid_out_on(drawn_to_size(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("error")
        assert {"cut.radial_engagement_mm", "cutter.stickout_mm"} <= set(found(window))
        panel.changes.buttons["cut.radial_engagement_mm"].click()
        waited(window)
        assert window.workbench.setup.cut.radial_engagement_mm < 4.0


def test_where_nothing_lifts_it_a_sentence_says_so() -> None:
    worn = resolved(example("worn-finish").setup())
    with laid_out_on(worn.facing("conventional").with_keys({"cut.feed_per_tooth_mm": 0.0012}), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("rub")
        assert found(window) == {} and panel.changes.isVisible()
        assert panel.changes.label.text() == say("change", "nothing")


@pytest.mark.parametrize(("pair", "units"), [(False, "metric"), (True, "inch")])
def test_nothing_that_can_be_clicked_moves_as_changes_are_found(pair: bool, units: str) -> None:
    with laid_out_on(example("slack-table").setup(), (1280, 1000), why=True, pair=pair, units=units) as window:
        panel = waited(window).arc.which_way
        panel.choose("pull")
        changes = panel.changes
        # Asked before anything else is done: on a busy machine the first is found while the panel is laid out.
        assert changes.looking and changes.label.text() == say("change", "looking") and changes.buttons == {}
        settle()

        def places() -> dict[str, QPoint]:
            kept = {id: line.title.mapTo(panel, QPoint(0, 0)) for id, line in panel.lines.items()}
            return kept | {key: button.mapTo(panel, QPoint(0, 0)) for key, button in changes.buttons.items()}

        before = places()
        QTest.qWait(SETTLE_MS)
        while changes.looking:
            QTest.qWait(5)
            settle()
            now = places()
            assert [(n, p, now[n]) for n, p in before.items() if now[n] != p] == []
            before = now
        assert len(changes.buttons) == 2 and changes.label.text() == say("change", "found")


def test_the_keyboard_stays_at_the_reason_when_a_change_was_taken() -> None:
    with laid_out_on(example("slack-table").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("pull")
        found(window)
        button = panel.changes.buttons["cut.axial_engagement_mm"]
        button.setFocus(Qt.FocusReason.TabFocusReason)
        QTest.keyClick(button, Qt.Key.Key_Space)
        waited(window)
        assert not panel.changes.isVisible()
        assert window.focusWidget() is panel.lines["pull"].title


def test_a_change_taken_with_the_mouse_leaves_the_keyboard_where_it_was() -> None:
    with laid_out_on(example("slack-table").setup(), (1280, 1000), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose("pull")
        found(window)
        before = window.focusWidget()
        QTest.mouseClick(panel.changes.buttons["cut.direction"], Qt.MouseButton.LeftButton)
        waited(window)
        assert window.workbench.setup.cut.direction == "conventional"
        assert window.focusWidget() is before


def test_enter_asks_why_and_tab_goes_on_to_what_would_lift_it() -> None:
    with laid_out_on(drawn_to_size(), (1280, 1000), why=True) as window:
        panel = waited(window).arc.which_way
        row = panel.lines["error"].title
        row.setFocus(Qt.FocusReason.TabFocusReason)
        QTest.keyClick(row, Qt.Key.Key_Return)
        assert window.arc.shown.reason == "error"
        found(window)
        QTest.keyClick(row, Qt.Key.Key_Tab)
        assert window.focusWidget() is next(iter(panel.changes.buttons.values()))
        for _ in panel.changes.buttons:
            QTest.keyClick(window.focusWidget(), Qt.Key.Key_Tab)
        assert window.focusWidget() is panel.lines["stability"].title


@pytest.mark.parametrize("id", ["exit", "error", "marks", "lift"])
def test_the_answer_is_brought_into_sight_below_its_reason(id: str, qtbot: QtBot) -> None:
    with laid_out_on(example("boss").setup(), (1280, 800), why=True) as window:
        panel = waited(window).arc.which_way
        panel.choose(id)
        port = panel.area.viewport()

        def in_sight() -> bool:
            top = panel.lines[id].title.mapTo(port, QPoint()).y()
            bottom = panel.answer.mapTo(port, QPoint(0, panel.answer.height())).y()
            return bool(top >= 0 and (bottom <= port.height() or top <= 1))

        # Once its words are laid out; and there it stays.
        qtbot.waitUntil(lambda: panel.answer.isVisible() and in_sight(), timeout=PATIENCE_MS)
        at_rest(window)
        assert panel.answer.isVisible() and in_sight()


# The figure that is told stands in the picture.


def read(window: ArcWindow) -> float:
    """The value that the strip tells at its line."""
    own = window.arc.strips._own
    assert own is not None
    return own.value_at(own.strips[0])


@pytest.mark.parametrize("pair", [False, True])
def test_the_strip_of_the_pull_tells_the_force_along_the_feed(pair: bool) -> None:
    with laid_out_on(example("slack-table").setup(), why=True, pair=pair) as window:
        panel = waited(window).arc.which_way
        panel.choose("pull")
        at_rest(window)
        setup = window.workbench.resolved
        turn, machine = force_turn(setup), setup.machine
        assert turn is not None and machine is not None
        assert read(window) == pytest.approx(turn.fy.greatest, rel=1e-3)
        ends = pull_range(setup)
        assert ends is not None
        told = rough_figure(turn.fy.greatest, "force")
        assert f"up to {told}" in panel.why.text()
        # The strip at the line tells the figure of the sentence.
        assert f": {told}." in window.arc.strips.description()
        assert told_figure(turn.fy.greatest, ends.low, ends.high, "force") in panel.why.text()
        hold = machine.hold_n
        assert hold is not None
        limits = window.arc.strips._own.strips[0].limits  # type: ignore[union-attr]
        assert [(limit.value, limit.crossed) for limit in limits] == [(hold, True)]
        assert reason_of("pull", setup).climb == pytest.approx(hold - turn.fy.greatest)
        # Without the reason it is the force across again.
        panel.choose("thin_wall")
        settle()
        assert abs(read(window)) == pytest.approx(max(abs(turn.fx.least), abs(turn.fx.greatest)), rel=1e-3)


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_the_chip_that_breaks_out_is_read_on_the_strip_and_on_the_plan(direction: str) -> None:
    with laid_out_on(resolved(boss()).facing(direction), why=True) as window:  # type: ignore[arg-type]
        panel = waited(window).arc.which_way
        panel.choose("exit")
        settle()
        setup = window.workbench.resolved
        h = reason_of("exit", setup).figure(direction)
        assert h is not None and read(window) == pytest.approx(h, abs=1e-7)
        assert h == arc_results(setup).trochoid.h_exit
        label = panel.lines["exit"].climb if direction == "climb" else panel.lines["exit"].conventional
        assert label.text() == clear_figure(h, "chip_thickness")
        assert figure(h, "chip_thickness") in window.arc.strips.description()


def test_the_section_of_the_first_degree_is_read_on_the_strip() -> None:
    with laid_out_on(boss(), why=True) as window:
        waited(window).arc.which_way.choose("entry")
        settle()
        area = reason_of("entry", window.workbench.resolved).climb
        assert read(window) == pytest.approx(area, rel=1e-4)


# Words, ticks, weights.


def test_a_rise_of_temperature_is_called_one_and_is_a_difference_in_either_units() -> None:
    metric, inch = (which_way_scene(boss(), units).row("heat") for units in ("metric", "inch"))
    assert metric is not None and inch is not None
    assert "rise" in metric.title and "rise" in metric.figure
    kelvin = reason_of("heat", resolved(boss())).climb
    assert kelvin is not None and metric.climb == f"+{float(f'{kelvin:.2g}'):.0f} °C"
    assert inch.climb == f"+{float(f'{1.8 * kelvin:.2g}'):.0f} °F"


def test_an_arrow_points_to_the_better_figure_and_the_deciding_rung_stands_out() -> None:
    with laid_out_on(example("slack-table").setup(), why=True) as window:
        panel = waited(window).arc.which_way
        assert panel.lines["pull"].vote.text() == "→" and panel.lines["rub"].vote.text() == "←"
        assert panel.lines["marks"].vote.text() == ""
        assert panel.rungs["machine"].answer.text() == "clear for conventional, in 64 of 64"
        kinds = {id: rung.answer.property("weight") for id, rung in panel.rungs.items()}
        assert kinds["machine"] == "strong" and set(kinds.values()) == {"strong", ""}
        assert panel.lines["pull"].climb.x() < panel.lines["pull"].vote.x() < panel.lines["pull"].conventional.x()


@pytest.mark.parametrize("theme", THEMES)
def test_a_ticked_box_has_a_tick_and_an_empty_one_none(theme: str) -> None:
    assert Path(tick(look(theme))).is_file() and tick(look(theme)) in style_sheet(look(theme), look(theme))
    with laid_out_on(boss(), theme=theme, why=True) as window:
        box = waited(window).arc.which_way.rungs["edge"].on

        def colours() -> set[str]:
            image = box.grab().toImage()
            return {image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height())}

        assert {look(theme).accent, look(theme).accent_ink} <= colours()
        box.click()
        settle()
        assert look(theme).accent not in colours()


@pytest.mark.parametrize("theme", TYPE_SIZES)
@pytest.mark.parametrize("size", [(1280, 800), (1280, 720)])
def test_strips_and_reasons_stand_one_under_the_other(size: tuple[int, int], theme: str) -> None:
    with laid_out_on(example("slack-table").setup(), size, theme=theme, units="inch", pair=True, why=True) as window:
        page = waited(window).arc
        page.which_way.choose("pull")
        settle()
        assert page.layout.strips_area.isVisible()
        assert page.layout.strips_area.geometry().bottom() <= page.which_way.geometry().top()


@pytest.mark.parametrize("theme", TYPE_SIZES)
def test_two_plans_stand_beside_the_reasons_only_where_their_words_have_room(theme: str) -> None:
    with laid_out_on(boss(), (1024, 768), theme=theme, why=True, pair=True) as window:
        plan = window.arc.plan
        assert plan.isVisible() == (theme == "light")
        assert not plan.isVisible() or plan.width() >= 440
        window.view.set("pair", False)
        settle()
        assert plan.isVisible()
