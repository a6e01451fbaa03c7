"""What can be hidden and asked for: each by its key, remembered, in the window and in pictures, at no cost."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest

from app.kit.look import look
from app.pages.arc.arc_picture import PictureOptions, paint_arc_page
from app.pages.page_list import PAGES
from app.shell.actions import ELEMENT_KEYS
from app.shell.start import first_view
from app.state.settings import Settings
from core.documents.materials import resolved
from core.effects.arc_results import arc_results
from core.setup.show import CURVES, ELEMENTS, EVERYTHING, Shown
from core.setup.show import PAGES as PAGE_NAMES
from core.strips.strip_curves import STRIPS
from tests.app import steps
from tests.app.painted import Painted
from tests.app.windows import at_rest, boss, laid_out_on, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def grab(widget: object) -> QImage:
    """The widget as it is painted now."""
    return widget.grab().toImage()  # type: ignore[attr-defined]


def differ(one: QImage, other: QImage) -> bool:
    return one != other


def test_the_names_that_documents_may_write_are_those_that_there_are() -> None:
    assert set(page.id for page in PAGES) <= set(PAGE_NAMES)
    assert tuple(STRIPS) == CURVES
    assert tuple(ELEMENT_KEYS) == ELEMENTS


@pytest.mark.parametrize("name", ELEMENTS)
def test_its_key_hides_and_shows_each_element_and_the_menu_tells(name: str) -> None:
    with laid_out_on(boss()) as window:
        action = window.menus.by_id[f"show_{name}"]
        before = getattr(window.view.shown, name)
        assert action.isChecked() == before == (name != "verdict")
        QTest.keyClick(window, getattr(Qt.Key, f"Key_{ELEMENT_KEYS[name]}"))
        settle()
        assert getattr(window.view.shown, name) != before and action.isChecked() != before
        action.trigger()
        assert getattr(window.view.shown, name) == before


@pytest.mark.parametrize("name", ("callouts", "chip", "figures"))
def test_what_is_hidden_is_not_on_the_plan_and_comes_back_as_it_was(name: str) -> None:
    with window_on(boss(), shown=EVERYTHING) as window:
        at_rest(window)
        before = grab(window.arc.plan)
        window.view.set("shown", EVERYTHING.without((name,)))
        at_rest(window)
        hidden = grab(window.arc.plan)
        assert differ(before, hidden)
        window.view.set("shown", EVERYTHING)
        at_rest(window)
        assert not differ(before, grab(window.arc.plan))


def test_hidden_strips_leave_the_plan_the_width_and_derive_nothing() -> None:
    with laid_out_on(boss()) as window:
        arc = window.arc
        wide = arc.plan.width()
        QTest.keyClick(window, Qt.Key.Key_R)
        settle()
        assert not arc.strips.isVisible() and not arc.charts.isVisible() and arc.plan.width() > 1.5 * wide
        own, charts = arc.strips._own, arc.charts._scene
        window.workbench.propose(boss().with_values(cut__feed_per_tooth_mm=0.08), steps.FEED)
        at_rest(window)
        assert arc.strips._own is own and arc.charts._scene is charts
        QTest.keyClick(window, Qt.Key.Key_R)
        at_rest(window)
        assert arc.strips._own is not own and arc.strips._own is not None
        assert arc.strips._own.results.setup.cut.feed_per_tooth_mm == 0.08


def test_a_refusal_is_told_though_the_sentence_is_hidden() -> None:
    with laid_out_on(boss()) as window:
        QTest.keyClick(window, Qt.Key.Key_E)
        settle()
        assert not window.sentence.isVisible()
        window.workbench.propose(boss().with_values(cut__radial_engagement_mm=99.0), steps.WIDTH)
        settle()
        assert window.sentence.isVisible() and "Not taken" in window.sentence.label.text()
        window.workbench.propose(boss().with_values(cut__radial_engagement_mm=3.0), steps.WIDTH)
        settle()
        assert not window.sentence.isVisible()


def test_it_is_remembered_but_for_the_answers() -> None:
    with laid_out_on(boss(), shown=EVERYTHING) as window:
        window.view.set("shown", EVERYTHING.without(("chip", "figures")))
        window.close()
        assert window.settings.hidden == ["chip", "figures"]
    again = first_view(Settings(hidden=["chip", "figures"]), dark=False)
    assert again.shown == Shown(chip=False, figures=False) and not again.shown.verdict


@pytest.mark.parametrize("hidden", [(), ("sentence",), ("verdict",), ("strips",), ("figures",), ("callouts",)])
def test_a_picture_hides_the_same(hidden: tuple[str, ...]) -> None:
    setup = resolved(boss())
    options = PictureOptions(shown=EVERYTHING.without(hidden))
    painter = Painted(1600, 1000)
    rect = QRectF(0.0, 0.0, 1600.0, 1000.0)
    paint_arc_page(painter, rect, arc_results(setup), options, look("light"))
    painter.end()
    words = " | ".join(text for text, _ in painter.written)
    assert ("meets the work thick at" in words) == ("sentence" not in hidden)
    assert ("Which way?" in words) == ("verdict" not in hidden)
    assert ("Chip thickness h, mm" in words) == ("strips" not in hidden)
    assert ("h 0.0408 mm" in words) == ("figures" not in hidden)
    assert len(painter.lines) > 20
