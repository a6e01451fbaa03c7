"""The Path page through a real window: without files, with files, wrong files, keys only."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRectF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QFont, QFontMetricsF, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.kit.frame_clock import FRAME_MS, REDUCED_MS
from app.kit.look import LEAST_CAPITALS, look, themed
from app.pages.path.beside_table import beside_rows, paint_beside_table
from app.pages.path.length_strip import known_parts, paint_strip
from app.pages.path.path_painting import paint_legend
from app.pages.path.path_panels import paint_here
from app.pages.path.path_scene import place_words
from app.pages.path.place_shown import place_shown
from app.pages.path.place_strips import paint_place_strips, place_strips
from app.pages.path.tables import paint_planner
from app.state.view_state import THEMES
from core.base.language import language, speak
from core.cut.engagement import engagement
from core.effects.edge_temperature import edge_temperature
from core.force.force_turn import force_turn
from core.path.open_path import load_path
from core.path.path_totals import path_totals
from core.path.samples import WAYS
from tests.app import steps
from tests.app.pages.path.path_window import PROGRAM, STOCK, path_window, wait_for
from tests.app.painted import Painted
from tests.app.windows import drag, keep, settle, until


def wheel(widget: QWidget, at: QPointF, turned: int) -> None:
    none = Qt.KeyboardModifier.NoModifier
    event = QWheelEvent(
        at, widget.mapToGlobal(at), QPoint(), QPoint(0, turned), Qt.MouseButton.NoButton, none,
        Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(widget, event)
    settle()


def key(widget: QWidget, key: Qt.Key) -> None:
    QTest.keyClick(QApplication.focusWidget() or widget, key)
    settle()


def test_without_a_file_there_is_a_corner(qapp: QApplication) -> None:
    with path_window() as (window, page):
        assert page.shown is not None and page.shown.corners
        assert "Corner of 7.2 mm" in window.sentence.label.text()
        assert "147.8°" in window.sentence.label.text()
        # A hand on the stepover changes it.
        window.workbench.propose(window.workbench.setup.with_values(cut__radial_engagement_mm=1.0), steps.WIDTH)
        wait_for(page)
        assert "147.8°" not in window.sentence.label.text()
        page.layout.choices.radius.setFocus()
        page.layout.choices.radius.selectAll()
        QTest.keyClicks(page.layout.choices.radius, "12")
        QTest.keyClick(page.layout.choices.radius, Qt.Key.Key_Return)
        wait_for(page)
        assert "Corner of 12.0 mm" in window.sentence.label.text()


def test_pair_tells_both_directions_of_the_corner(qapp: QApplication) -> None:
    with path_window(painted=True) as (window, page):
        window.view.set("pair", True)
        wait_for(page)
        text = window.sentence.label.text()
        assert "the climb cut" in text and "the conventional cut" in text


def test_the_list_of_cuts(qapp: QApplication) -> None:
    with path_window(painted=True) as (window, page):
        key(page.layout, Qt.Key.Key_2)
        wait_for(page)
        assert page.state_.source == "cuts"
        assert "Finish meets 0.628 to 0.666 mm" in window.sentence.label.text()
        field = page.layout.cut_fields.fields[1, "width"]
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, "0.3")
        QTest.keyClick(field, Qt.Key.Key_Return)
        wait_for(page)
        assert "Finish meets 0.328 to 0.366 mm" in window.sentence.label.text()


def test_a_program_on_its_stock(qapp: QApplication) -> None:
    with path_window() as (window, page):
        page.take(program=PROGRAM)
        wait_for(page)
        assert "Choose the stock" in window.sentence.label.text()
        page.take(stock=STOCK)
        wait_for(page)
        text = window.sentence.label.text()
        assert "bracket-pocket.nc" in text and "conventional" in text and "a full slot" in text
        assert page.layout.worst.count() == 10
        # A click on one of the worst goes there, on the side of the joint where it is the worst.
        row = page.layout.worst.item(4)
        QTest.mouseClick(
            page.layout.worst.viewport(),
            Qt.MouseButton.LeftButton,
            pos=page.layout.worst.visualItemRect(row).center(),
        )
        settle()
        assert page.state_.whole is not None and page.state_.whole.worst is not None
        here = page.state_.whole.at(page.state_.s)
        assert math.degrees(here.engaged.arc[0]) == pytest.approx(page.state_.whole.worst[4]["arc_deg"], abs=1e-3)


def test_scrubbing_by_mouse_and_keys(qapp: QApplication) -> None:
    with path_window(painted=True) as (_, page):
        page.take(program=PROGRAM, stock=STOCK)
        wait_for(page)
        plan, strip, state = page.layout.plan, page.layout.strip, page.state_
        whole = state.whole
        assert whole is not None
        at = plan.fit().place(whole.at(620.0).places.place)[0]
        QTest.mouseClick(plan, Qt.MouseButton.LeftButton, pos=QPointF(*at.tolist()).toPoint())
        settle()
        assert state.s == pytest.approx(620.0, abs=1.0)
        assert WAYS[int(whole.at(state.s).way[0])] == "conventional"
        before = state.s
        key(plan, Qt.Key.Key_Period)
        assert state.s == pytest.approx(before + 0.6)
        key(plan, Qt.Key.Key_Comma)
        assert state.s == pytest.approx(before)
        key(plan, Qt.Key.Key_BracketLeft)
        assert state.s == max(s for s in state.worst_places if s < before)
        drag(strip, QPointF(200.0, 60.0), QPointF(strip.width() - 2.0, 60.0))
        assert state.s == pytest.approx(whole.fed.length)


def test_play_by_a_clock(qapp: QApplication) -> None:
    with path_window() as (_, page):
        now = [0.0]
        page.motion.clock.read = lambda: now[0]
        page.state_.go(0.0)
        page.motion.toggle()
        now[0] = 0.5
        page.motion.tick()
        assert page.state_.s == pytest.approx(0.5 * 1.5 * 12.0)
        # Chosen while it plays, it counts at once.
        assert page.motion.clock.interval() == FRAME_MS
        page.view.set("reduced_motion", True)
        assert page.motion.clock.interval() == REDUCED_MS and page.motion.clock.isActive()
        page.view.set("reduced_motion", False)
        now[0] = 1e3
        page.motion.tick()
        whole = page.state_.whole
        assert whole is not None and page.state_.s == whole.fed.length
        assert not page.state_.playing


def test_the_limit_is_typed_dragged_and_told(qapp: QApplication) -> None:
    with path_window() as (_, page):
        page.layout.choices.limit.setFocus()
        QTest.keyClicks(page.layout.choices.limit, "110")
        QTest.keyClick(page.layout.choices.limit, Qt.Key.Key_Return)
        wait_for(page)
        assert page.state_.limit == 110.0
        assert page.shown is not None and page.shown.smallest_radius == pytest.approx(9.96, abs=0.01)
        strip = page.layout.strip
        middle = strip.height() / 2.0
        rows = [y for y in range(strip.height()) if strip._on_limit(float(y))]
        drag(strip, QPointF(400.0, float(np.mean(rows))), QPointF(400.0, middle))
        assert page.state_.limit != 110.0
        assert page.state_.limit is not None and 0.0 < page.state_.limit < 180.0
        page.layout.choices.limit.setFocus()
        page.layout.choices.limit.selectAll()
        QTest.keyClick(page.layout.choices.limit, Qt.Key.Key_Delete)
        QTest.keyClick(page.layout.choices.limit, Qt.Key.Key_Return)
        assert page.state_.limit is None


def test_look_at_this_place_is_one_step_of_undo(qapp: QApplication) -> None:
    with path_window() as (window, page):
        before = window.workbench.setup
        whole = page.state_.whole
        assert whole is not None
        here = whole.at(page.state_.s)
        key(page.layout, Qt.Key.Key_A)
        assert window.page.id == "arc"
        e = engagement(window.workbench.setup)
        assert (e.entry, e.exit) == pytest.approx((here.engaged.entry[0], here.engaged.exit[-1]), abs=2e-4)
        window.workbench.undo()
        settle()
        assert window.workbench.setup == before


def test_air_cannot_be_looked_at(qapp: QApplication) -> None:
    with path_window(painted=True) as (window, page):
        page.take(program=PROGRAM, stock=STOCK)
        wait_for(page)
        whole = page.state_.whole
        assert whole is not None
        page.state_.go(float(whole.samples.s[whole.samples.way == 0][3]))
        before = window.workbench.setup
        page.look_here()
        assert window.page.id == "path" and window.workbench.setup == before
        assert "place in the air" in window.sentence.label.text()


WRONG_FILES = (
    ("p.nc", "G21 G90\nG1 X10 F100\nG18\n", "p.nc:3"),
    ("q.nc", "no words at all\x00\x01", "q.nc"),
    ("s.toml", 'format = "chiparc stock"\nversion = 1\n[[loop]]\npoints_mm = [[0, 0], [1, 1]]\n', "s.toml"),
    ("missing.nc", None, "missing.nc"),
    ("d.dxf", "0\nSECTION\nbroken", "d.dxf"),
)


def test_refused_files_are_told_and_the_good_ones_stay(qapp: QApplication, tmp_path: Path) -> None:
    with path_window() as (window, page):
        page.take(program=PROGRAM, stock=STOCK)
        wait_for(page)
        said: list[str] = []
        window.workbench.refused.connect(said.append)
        for name, text, told in WRONG_FILES:
            file = tmp_path / name
            if text is not None:
                file.write_text(text)
            said.clear()
            page.take(**{"stock" if name == "s.toml" else "program": str(file)})
            until(lambda: said)
            assert told in said[0], name
            assert (page.state_.program_file, page.state_.stock_file) == (PROGRAM, STOCK), name
            wait_for(page)
            assert page.state_.whole is not None and page.state_.whole.fed.length > 600.0, name
            # Still to be read when the last good path is there again.
            assert told in window.sentence.label.text(), name


def dropped(page: object, names: list[str]) -> QDropEvent:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(name) for name in names])
    data.setParent(page)  # type: ignore[arg-type]
    copy, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    return QDropEvent(QPointF(5.0, 5.0), copy, data, left, Qt.KeyboardModifier.NoModifier)


def test_files_are_dropped_in_any_order(qapp: QApplication) -> None:
    with path_window() as (_, page):
        page.layout.dropEvent(dropped(page, [STOCK, PROGRAM]))
        wait_for(page)
        assert (page.state_.program_file, page.state_.stock_file) == (PROGRAM, STOCK)
        # A setup document is not the page's: it goes on to the window.
        setup = str(Path(STOCK).parents[1] / "setups" / "boss.toml")
        event = dropped(page, [setup])
        page.layout.dropEvent(event)
        assert not event.isAccepted()
        assert page.state_.stock_file == STOCK


def test_the_copy_with_held_feeds(qapp: QApplication, tmp_path: Path) -> None:
    program = tmp_path / "pocket.nc"
    program.write_bytes(Path(PROGRAM).read_bytes())
    with path_window() as (window, page):
        page.take(program=str(program), stock=STOCK)
        wait_for(page)
        told: list[str] = []
        page.done.connect(told.append)
        assert page.write_held(str(tmp_path / "held.nc"))
        assert "Prove it" in told[0] and "held.nc" in told[0]
        before, after = load_path(str(program)).moves, load_path(str(tmp_path / "held.nc")).moves
        assert len(before) == len(after)
        assert np.nanmin(after.feed_mm_min[1:]) < np.nanmin(before.feed_mm_min[2:])
        # The program itself is never written over, under whatever name.
        (tmp_path / "other.nc").symlink_to(program)
        for name in ("pocket.nc", "other.nc"):
            assert not page.write_held(str(tmp_path / name))
        assert program.read_bytes() == Path(PROGRAM).read_bytes()
        assert "never overwritten" in window.sentence.label.text()
        page.state_.set("source", "corner")
        wait_for(page)
        assert not page.write_held(str(tmp_path / "none.nc"))
        assert not (tmp_path / "none.nc").exists()


def test_state_is_remembered_and_damage_is_passed_over(qapp: QApplication) -> None:
    with path_window() as (_, page):
        page.take(program=PROGRAM, stock=STOCK)
        page.state_.set("quantity", "chip")
        page.state_.set_limit(0.05)
        wait_for(page)
        kept = page.state()
    with path_window() as (window, page):
        page.restore_state({"source": 3, "quantity": "x", "limits": {"arc": "a", "x": 1.0}, "corner_radius": -1.0})
        assert (page.state_.source, page.state_.quantity, page.state_.limits) == ("corner", "arc", {})
        page.restore_state(kept)
        page.show(window.workbench.resolved)
        wait_for(page)
        assert "bracket-pocket.nc" in page.sentence(window.workbench.resolved, "metric")
        assert page.state_.limit == 0.05


def test_the_page_works_only_while_it_is_seen(qapp: QApplication) -> None:
    with path_window() as (window, page):
        page.state_.set("playing", True)
        window.turn_to("arc")
        assert not page.state_.playing and not page.jobs.busy
        asked = page._asked
        window.workbench.propose(window.workbench.setup.with_values(cut__radial_engagement_mm=1.0), steps.WIDTH)
        settle()
        assert page._asked is asked
        window.turn_to("path")
        wait_for(page)
        assert page.shown is not None and page.shown.asked.setup.cut.radial_engagement_mm == 1.0


def test_no_force_is_told_where_none_is_known(qapp: QApplication) -> None:
    with path_window(painted=True) as (window, page):
        bare = window.workbench.setup.with_keys({"work.force": None, "work.material": None})
        assert window.workbench.propose(bare, steps.MATERIAL)
        page.state_.set("quantity", "force")
        wait_for(page)
        assert page.layout.plan.scene is not None and not page.layout.plan.scene.known
        assert " N" not in window.sentence.label.text()
        window.grab()


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
def test_every_look_paints(qapp: QApplication, size: tuple[int, int], output: Path) -> None:
    with path_window(size, painted=True) as (window, page):
        page.state_.set_limit(110.0)
        page.take(program=PROGRAM, stock=STOCK)
        wait_for(page)
        page.state_.go(335.0)
        for theme in THEMES:
            window.view.set("theme", theme)
            settle()
            picture = window.grab()
            keep(picture, output / f"path-{theme}-{size[0]}.png")
            image = page.layout.plan.grab().toImage()
            colours = {image.pixel(x, y) for x in range(0, image.width(), 3) for y in range(0, image.height(), 3)}
            # Stock, hatching, the band's colours, ink: no empty picture.
            assert len(colours) > 40, theme


def test_two_stepovers_stand_side_by_side(qapp: QApplication) -> None:
    with path_window(painted=True) as (_, page):
        layout, state = page.layout, page.state_
        beside = layout.choices.beside
        assert [beside.itemData(k) for k in range(beside.count())] == ["nothing", "direction", "width"]
        layout.choices.beside.setCurrentIndex(2)
        layout.choices.beside.activated.emit(2)
        assert layout.choices.beside_width.isVisible()
        layout.choices.beside_width.setFocus()
        QTest.keyClicks(layout.choices.beside_width, "1")
        QTest.keyClick(layout.choices.beside_width, Qt.Key.Key_Return)
        wait_for(page)
        shown = page.shown
        assert shown is not None and shown.whole is not None and shown.beside is not None
        assert shown.beside.setup.cut.radial_engagement_mm == 1.0
        rows = {row[0]: row[1:] for row in beside_rows(shown, "metric")}
        longest = np.degrees([each.samples.engaged.arc.max() for each in (shown.whole, shown.beside)])
        assert [float(cell.rstrip("°")) for cell in rows["longest arc"]] == pytest.approx(longest, abs=0.06)
        assert layout.table.isVisible() and "longest arc" in layout.table.accessibleDescription()
        # Both curves stand on one axis of length, which is the longer one's.
        scene = layout.strip.scene
        assert scene is not None and scene.beside is not None
        assert scene.length == max(shown.whole.fed.length, shown.beside.fed.length)
        state.set("beside", "nothing")
        wait_for(page)
        assert not layout.table.isVisible() and layout.planner.isVisible()


def test_a_program_is_compared_with_itself_run_backwards_and_with_another(qapp: QApplication, tmp_path: Path) -> None:
    with path_window() as (window, page):
        page.take(program=PROGRAM, stock=STOCK)
        page.state_.set("beside", "direction")
        wait_for(page)
        shown = page.shown
        assert shown is not None and shown.beside is not None and shown.whole is not None
        assert shown.beside.fed.length == pytest.approx(shown.whole.fed.length)
        assert path_totals(shown.whole).shares[2] > 2.0 * path_totals(shown.beside).shares[2]
        wrong = tmp_path / "wrong.nc"
        wrong.write_text("G1 X10 Q3\n")
        told: list[str] = []
        window.workbench.refused.connect(told.append)
        page.compare_with(str(wrong))
        wait_for(page)
        assert any("wrong.nc:1" in text for text in told)
        assert page.state_.beside_here == "nothing"
        other = tmp_path / "slower.nc"
        other.write_bytes(Path(PROGRAM).read_bytes().replace(b"F", b"(slower) F"))
        page.compare_with(str(other))
        wait_for(page)
        assert page.shown is not None and page.shown.beside is not None
        assert page.shown.beside.fed.length == pytest.approx(shown.whole.fed.length)


def test_wheel_and_keys_come_close_and_show_all_again(qapp: QApplication) -> None:
    with path_window() as (_, page):
        plan = page.layout.plan
        plan.setFocus()
        whole = plan.fit()
        at = QPointF(plan.width() / 3.0, plan.height() / 3.0)
        before = whole.back(at.x(), at.y())
        wheel(plan, at, 240)
        fit = plan.fit()
        assert fit.scale == pytest.approx(1.25**2 * whole.scale)
        assert fit.back(at.x(), at.y()) == pytest.approx(before)
        # Back by the wheel: never smaller than the whole.
        wheel(plan, at, -720)
        assert plan.fit() == whole
        key(plan, Qt.Key.Key_F)
        place = page.state_.whole.at(page.state_.s).places.place  # type: ignore[union-attr]
        x, y = plan.fit().place(place)[0].tolist()
        assert abs(x - plan.width() / 2.0) < 2.0 and plan.fit().scale > whole.scale
        assert abs(y - plan.height() / 2.0) < 30.0
        # A click still goes to the place that is drawn there.
        QTest.mouseClick(plan, Qt.MouseButton.LeftButton, pos=QPointF(x + 20.0, y).toPoint())
        assert page.state_.whole is not None
        far = np.hypot(*(page.state_.whole.samples.places.place - np.array(plan.fit().back(x + 20.0, y))).T)
        assert page.state_.s == page.state_.whole.samples.s[int(far.argmin())]
        key(plan, Qt.Key.Key_0)
        assert plan.fit() == whole


def test_the_edge_s_temperature_along_the_path(qapp: QApplication) -> None:
    with path_window(painted=True) as (window, page):
        page.state_.set("quantity", "heat")
        wait_for(page)
        whole, setup = page.state_.whole, window.workbench.resolved
        assert whole is not None and whole.heat is not None
        # The straight beginning is the setup's own cut.
        straight = edge_temperature(setup)
        assert straight is not None
        assert float(whole.heat.rise[0]) == pytest.approx(straight.peak, rel=0.004)
        assert float(whole.heat.rise.max()) > 1.05 * straight.peak


def test_held_feeds_may_rise(qapp: QApplication, tmp_path: Path) -> None:
    with path_window() as (window, page):
        page.take(program=PROGRAM, stock=STOCK)
        wait_for(page)
        page.state_.limits = {"chip": 0.1}
        assert page.write_held(str(tmp_path / "low.nc"))
        # No chip of the program is over the limit: nothing to lower.
        assert not (tmp_path / "low.nc").exists()
        window.menus.by_id["raise_feeds"].trigger()
        assert page.state_.faster and page.write_held(str(tmp_path / "high.nc"))
        high, own = (load_path(name).moves.feed_mm_min for name in (str(tmp_path / "high.nc"), PROGRAM))
        assert (high > own * 1.01).any() and np.nanmax(high / own) <= 2.0 + 1e-3


def test_the_strips_of_a_place_are_its_own(qapp: QApplication) -> None:
    with path_window() as (window, page):
        whole = page.state_.whole
        assert whole is not None
        straight, tight = (place_strips(whole, whole.at(s)) for s in (0.0, page.state_.s))
        turn = force_turn(window.workbench.resolved)
        assert turn is not None and straight.force is not None and tight.force is not None
        assert float(straight.force[:, 0].min()) == pytest.approx(turn.fx.least, rel=1e-2)
        # One scale for the whole path: the corner's chip is at its top.
        assert straight.most_chip == tight.most_chip == pytest.approx(float(np.nanmax(whole.samples.h_max)))
        assert float(tight.chips[0][1].max()) > float(straight.chips[0][1].max())
        assert tight.chips[0][0][0] == pytest.approx(math.pi - whole.at(page.state_.s).engaged.arc[0])


def test_the_strips_of_a_place_tell_the_hours_of_the_cutters_hand(qapp: QApplication) -> None:
    """Seen along the spindle a left-hand cutter is the mirror image: its teeth go from 3 over 12 to 9."""
    with path_window() as (_, page):
        right = page.state_.whole
        assert right is not None
        left = replace(right, setup=right.setup.with_keys({"cutter.hand": "left"}))
        hours = []
        for whole in (right, left):
            painter = Painted(900, 160)
            paint_place_strips(
                painter, QRectF(0.0, 0.0, 900.0, 120.0), place_strips(whole, whole.at(0.0)), "metric", look("light")
            )
            painter.end()
            row = max(box.top() for _, box in painter.written)
            hours.append(
                [text for text, box in sorted(painter.written, key=lambda w: w[1].center().x()) if box.top() == row]
            )
        assert hours == [["9", "10", "11", "12", "1", "2", "3"], ["3", "2", "1", "12", "11", "10", "9"]]


def test_what_is_not_known_is_a_gap_and_is_told_beside_the_limit(qapp: QApplication) -> None:
    with path_window(painted=True) as (window, page):
        page.take(program=PROGRAM, stock=STOCK)
        page.state_.set("quantity", "wall")
        page.state_.set_limit(1e6)
        wait_for(page)
        scene = page.layout.strip.scene
        assert scene is not None
        # A straddling place makes no wall of its own: that is not an error of 0.
        straddles = scene.whole.samples.way == WAYS.index("straddling")
        assert straddles.any() and np.isnan(scene.values[straddles]).all()
        points = np.stack([scene.whole.samples.s, scene.values], 1)
        parts = known_parts(points)
        assert len(parts) > 1 and sum(map(len, parts)) == np.isfinite(scene.values).sum()
        assert "Nothing is over the limit. On " in window.sentence.label.text()


def test_figures_are_typed_as_in_the_hand_rail_and_wrong_ones_are_told(qapp: QApplication) -> None:
    with path_window() as (window, page):
        said: list[str] = []
        window.workbench.refused.connect(said.append)
        choices, state = page.layout.choices, page.state_

        def type_in(field: QWidget, text: str) -> None:
            field.setFocus()
            field.selectAll()  # type: ignore[attr-defined]
            QTest.keyClicks(field, text)
            QTest.keyClick(field, Qt.Key.Key_Return)
            settle()

        type_in(choices.radius, '3/8"')
        assert state.corner_radius == pytest.approx(9.525) and not said
        state.set("quantity", "force")
        type_in(choices.limit, "1,200")
        assert state.limit == 1200.0 and choices.limit.text() == "1200"
        for wrong, allowed in (("-3", "a number over 0 N"), ("twelve", "a number in N"), ("3 kg", "a number in N")):
            type_in(choices.limit, wrong)
            assert f'found "{wrong.split(" ")[-1] if " " in wrong else wrong}"' in said[-1].replace("the unit ", "")
            assert allowed in said[-1] and state.limit == 1200.0 and choices.limit.text() == "1200"
        state.set("source", "cuts")
        wait_for(page)
        type_in(page.layout.cut_fields.fields[1, "width"], "nothing")
        assert 'found "nothing"' in said[-1]
        window.view.set("units", "inch")
        state.set("source", "corner")
        wait_for(page)
        assert choices.radius.text() == "0.375"


@pytest.mark.parametrize("id", ["en", "de"])
@pytest.mark.parametrize("size", [(1024, 768), (1280, 720), (1280, 800), (1920, 1080)], ids=str)
def test_no_word_beside_the_path_is_cut_off_in_large_type(qapp: QApplication, size: tuple[int, int], id: str) -> None:
    before = language()
    speak(id)
    try:
        with path_window(size, theme=themed("projector", size[1])) as (_, page):
            layout, theme = page.layout, look(page.view.theme)
            shown = page.shown
            scene, heading = layout.plan.scene, layout.plan.title
            assert shown is not None and scene is not None
            whole_in_its_box(layout.planner, lambda p, r: paint_planner(p, r, shown, "metric", theme))
            whole_in_its_box(layout.plan, lambda p, r: paint_legend(p, scene, r, heading, "metric", theme))
            around = page.state_.around
            assert around is not None
            place = place_shown(around, page.state_.s)
            words = place_words(around.whole, place.scene.here, "metric")
            whole_in_its_box(layout.place, lambda p, r: paint_here(p, r, place, words, "metric", theme))
            page.state_.set("beside", "direction")
            wait_for(page)
            title, rows = layout.table.title, layout.table.rows
            whole_in_its_box(layout.table, lambda p, r: paint_beside_table(p, r, title, rows, theme))
    finally:
        speak(before)


@pytest.mark.usefixtures("window_app")
@pytest.mark.parametrize("size", [(1024, 768), (1280, 720)], ids=str)
def test_a_class_reads_place_table_and_worst_places_in_full_screen(qapp: QApplication, size: tuple[int, int]) -> None:
    """On a small projector the page stands in two columns, since three have no room for type of that size."""
    with path_window(size, theme=themed("projector", size[1])) as (window, page):
        QTest.keyClick(window, Qt.Key.Key_F11)
        settle()
        window.resize(*size)
        settle()
        layout, theme, around = page.layout, look(page.view.theme), page.state_.around
        assert around is not None and window.size().toTuple() == size
        place = place_shown(around, page.state_.s)
        words = place_words(around.whole, place.scene.here, "metric")
        fonts = whole_in_its_box(layout.place, lambda p, r: paint_here(p, r, place, words, "metric", theme))
        page.state_.set("beside", "direction")
        wait_for(page)
        title, rows = layout.table.title, layout.table.rows
        fonts += whole_in_its_box(layout.table, lambda p, r: paint_beside_table(p, r, title, rows, theme))
        scene = layout.strip.scene
        assert scene is not None
        fonts += whole_in_its_box(layout.strip, lambda p, r: paint_strip(p, r, scene, "metric", theme))
        page.state_.set("beside", "nothing")
        page.take(program=PROGRAM, stock=STOCK)
        wait_for(page)
        items = [layout.worst.item(i) for i in range(layout.worst.count())]
        for text, font in fonts + [(item.text(), item.font()) for item in items]:
            assert QFontMetricsF(font).capHeight() >= LEAST_CAPITALS * size[1] - 0.5, text
        # Two columns, and three again at a desk.
        assert layout.side.pos().y() > layout.place.pos().y() and layout.strip.width() == layout.plan.width()
        window.view.set("theme", "light")
        settle()
        assert layout.side.pos().y() == layout.place.pos().y() and layout.strip.width() > 2 * layout.plan.width()


def whole_in_its_box(widget: QWidget, paint: Callable[[Painted, QRectF], None]) -> list[tuple[str, QFont]]:
    """Every word of a panel has its box's width, and its height within the panel; returns them with their fonts."""
    painted, rect = Painted(), QRectF(widget.rect())
    paint(painted, rect)
    painted.end()
    assert painted.written
    for (text, box), font in zip(painted.written, painted.fonts, strict=True):
        metrics = QFontMetricsF(font)
        wide = metrics.horizontalAdvance(text)
        assert wide <= box.width() + 0.5, text
        left, right = (box.center().x() + side * 0.5 * wide for side in (-1.0, 1.0))
        high = 0.5 * metrics.tightBoundingRect("Xg").height()
        assert rect.left() <= left and right <= rect.right() + 0.5, text
        assert rect.top() <= box.center().y() - high and box.center().y() + high <= rect.bottom(), text
    return [(text, font) for (text, _), font in zip(painted.written, painted.fonts, strict=True)]
