"""The Chatter page in a real window: borders come beside the hand, the handle, keys, offers, what is missing."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtTest import QTest

from app.pages.chatter import chatter_page
from app.pages.chatter.chatter_page import ChatterPage
from app.pages.page_picture import save_picture_of
from app.state.view_state import ViewState
from core.chatter.speed_depth import SpeedDepth, speed_depth
from core.chatter.stability import axial_limit
from core.setup.setup import Mode, Setup, Work
from tests.app import steps
from tests.app.windows import PATIENCE_MS, ArcWindow, boss, drag, keep, settle, window_on
from tests.core.chatter.cuts import setup_of

pytestmark = pytest.mark.usefixtures("window_app")
CUT = setup_of("climb", 0.1, 3, 9000.0)
OUTPUT = Path(__file__).parents[3] / "output"


Charts = dict[tuple[Setup, float, float], tuple[list[SpeedDepth], Iterator[SpeedDepth]]]


@pytest.fixture(scope="module")
def charts() -> Charts:
    """Charts worked out so far, and what works out the rest of each."""
    return {}


@pytest.fixture(autouse=True)
def once(charts: Charts, monkeypatch: pytest.MonkeyPatch) -> None:
    """A chart that one test has had worked out is the next one's too, piece by piece as it came."""

    def kept(setup: Setup, slowest: float, fastest: float) -> Iterator[SpeedDepth]:
        key = setup, slowest, fastest
        pieces, rest = charts.setdefault(key, ([], speed_depth(*key)))
        for i in itertools.count():
            if i == len(pieces):
                piece = next(rest, None)
                if piece is None:
                    return
                pieces.append(piece)
            yield pieces[i]

    monkeypatch.setattr(chatter_page, "speed_depth", kept)


@contextmanager
def chatter_on(
    setup: Setup, size: tuple[int, int] = (1280, 800), **view: Any
) -> Iterator[tuple[ArcWindow, ChatterPage]]:
    """A window with the Chatter page on top."""
    with window_on(setup, size, **view) as window:
        window.turn_to("chatter")
        page = window.page
        assert isinstance(page, ChatterPage)
        settle()
        yield window, page


def wait(qtbot: Any, page: ChatterPage) -> None:
    """Until everything of the setup on screen has been worked out."""

    def whole() -> bool:
        chart = page.chart
        return chart is not None and chart.done and chart.setup == page.workbench.resolved

    qtbot.waitUntil(whole, timeout=PATIENCE_MS)
    settle()


def test_borders_of_both_directions_come_beside_the_window(qtbot: Any) -> None:
    with chatter_on(CUT) as (window, page):
        assert "Working out" in window.sentence.label.text() or page.chart is not None
        wait(qtbot, page)
        chart = page.chart
        assert chart is not None and chart.holdings is not None
        at = chart.speed_rpm.tolist().index(9000.0)
        assert chart.own[at] == pytest.approx(axial_limit(CUT).depth_mm)
        assert chart.other[at] == pytest.approx(axial_limit(CUT.opposite).depth_mm)
        assert (chart.low <= chart.high).all() and len(chart.low) == len(chart.band_rpm)
        text = window.sentence.label.text()
        assert text.startswith("At 9000 /min this cut") and "in climb from" in text and "in conventional from" in text


def test_the_handle_drags_speed_and_depth_as_one_step(qtbot: Any) -> None:
    with chatter_on(CUT) as (window, page):
        view, bench = page.view_widget, window.workbench
        start = view.frame().handle()
        before = view.across
        drag(view, start, start + QPointF(60.0, 40.0))
        after = bench.setup.cut
        assert after.spindle_speed_rpm > 9000.0 and after.axial_engagement_mm < 1.0
        assert view.across == before
        assert bench.undo_name == "speed and depth"
        bench.undo()
        settle()
        assert bench.setup == CUT and bench.undo_name == ""


def test_escape_in_a_drag_puts_it_back(qtbot: Any) -> None:
    with chatter_on(CUT) as (window, page):
        view = page.view_widget
        start = view.frame().handle()
        drag(view, start, start + QPointF(80.0, 20.0), release=False)
        assert window.workbench.setup != CUT
        QTest.keyClick(view, Qt.Key.Key_Escape)
        settle()
        assert window.workbench.setup == CUT and window.workbench.undo_name == ""


def test_arrow_keys_change_speed_and_depth(qtbot: Any) -> None:
    with chatter_on(CUT) as (window, page):
        view, bench = page.view_widget, window.workbench
        # One run of keys, however long a busy machine takes between two of them.
        view._settle.setInterval(PATIENCE_MS)
        QTest.keyClick(view, Qt.Key.Key_Right)
        QTest.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
        settle()
        assert bench.setup.cut.spindle_speed_rpm == 9090.0
        assert bench.setup.cut.axial_engagement_mm == pytest.approx(1.1)
        QTest.keyClick(view, Qt.Key.Key_Escape)
        settle()
        assert bench.setup == CUT


def test_an_offer_is_taken_with_one_click_and_holds(qtbot: Any) -> None:
    with chatter_on(CUT) as (window, page):
        wait(qtbot, page)
        assert page.chart is not None and page.chart.offers
        offer = page.chart.offers[0]
        button = page.offers.buttons[0]
        assert button.isVisible() and f"{offer.speed_rpm:.0f} /min" in button.text()
        button.click()
        settle()
        cut = window.workbench.setup.cut
        assert (cut.spindle_speed_rpm, cut.axial_engagement_mm) == (offer.speed_rpm, offer.depth_mm)
        limit = axial_limit(window.workbench.resolved).depth_mm
        assert limit is None or limit > offer.depth_mm
        assert offer.gain > 1.05


def test_modes_of_the_beam_are_told_as_an_estimate(qtbot: Any) -> None:
    with chatter_on(boss()) as (window, page):
        # Told with what holds at the cut's own speed, long before the band is there.
        qtbot.waitUntil(lambda: page.chart is not None and page.chart.holdings is not None, timeout=PATIENCE_MS)
        settle()
        assert page.chart is not None and page.chart.estimated
        assert "tap test is needed" in window.sentence.label.text()


def test_what_is_missing_is_said_and_nothing_is_drawn(qtbot: Any) -> None:
    for setup, word in (
        (replace(CUT, work=Work()), "coefficients"),
        (replace(CUT, dynamics=()), "tap test"),
        (replace(CUT, dynamics=(Mode("x", 2e6, 0.01, 1e4),)), "no border is searched for"),
    ):
        with chatter_on(setup) as (window, page):
            wait(qtbot, page)
            assert word in window.sentence.label.text()
            assert page.chart is not None and not len(page.chart.own)


def test_a_page_that_is_left_works_at_nothing(qtbot: Any) -> None:
    with chatter_on(CUT) as (window, page):
        window.turn_to("arc")
        assert not page.jobs.busy
        window.workbench.propose(CUT.with_values(cut__spindle_speed_rpm=8000.0), steps.SPEED)
        settle()
        assert not page.jobs.busy


def test_coarse_comes_before_fine_and_the_band_last() -> None:
    charts = list(speed_depth(CUT, 6000.0, 12000.0))
    sizes = [len(chart.speed_rpm) for chart in charts]
    assert sizes[0] < sizes[-1] and sizes == sorted(sizes)
    assert not len(charts[0].band_rpm) and charts[-1].done and not any(chart.done for chart in charts[:-1])


@pytest.mark.parametrize("theme", ["light", "dark", "projector"])
def test_pictures(theme: str, qtbot: Any) -> None:
    OUTPUT.mkdir(exist_ok=True)
    size = (1920, 1080) if theme == "dark" else (1280, 800)
    with chatter_on(CUT, size, theme=theme) as (window, page):
        wait(qtbot, page)
        picture = window.grab()
        keep(picture, OUTPUT / f"chatter-{theme}.png")


def test_a_picture_file_is_whole_without_a_window(tmp_path: Path) -> None:
    for ending in ("png", "svg"):
        out = tmp_path / f"chatter.{ending}"
        save_picture_of(ChatterPage, CUT, out, QSize(1280, 800), view=ViewState(), theme="light")
        assert out.stat().st_size > 5000
    assert "speed and depth" not in (tmp_path / "chatter.svg").read_text("utf-8")
    assert "9000 /min" in (tmp_path / "chatter.svg").read_text("utf-8")
