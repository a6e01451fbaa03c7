"""The motion page in a real browser without a network: played by keyboard, its figures the report's, nothing cut."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from app.pages.lesson.motion_html import motion_html
from core.base.language import speak
from core.base.quantities import Units, figure
from core.cut.chip import thickness
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.maths.angles import clock
from core.report.report import chip_keys, engagement_keys
from core.report.sentence import sentence
from core.setup.setup import Setup
from tests.viewers.browser import Tab, browser, browser_here

pytestmark = pytest.mark.skipif(browser_here() is None, reason="no Chromium on the path of this machine")

SIZES = ((1280, 800), (390, 844))
"""A desktop's window and a telephone's."""

IN_SIGHT = """
(() => {
  const cut = [];
  for (const svg of document.querySelectorAll("svg")) {
    const box = svg.getBoundingClientRect();
    for (const text of svg.querySelectorAll("text")) {
      const part = text.getBoundingClientRect();
      if (part.left < box.left || part.right > box.right || part.top < box.top || part.bottom > box.bottom) {
        cut.push(text.textContent);
      }
    }
  }
  for (const part of document.querySelectorAll("h1, p, button")) {
    if (part.scrollWidth > part.clientWidth + 1 || part.getBoundingClientRect().right > innerWidth) {
      cut.push(part.textContent);
    }
  }
  return cut;
})()
"""
"""Words that are cut by the picture they stand in, or by the window."""


@pytest.fixture(scope="module")
def tab() -> Iterator[Tab]:
    with browser() as made:
        yield made


def cut_of(id: str) -> Setup:
    return resolved(example(id).setup())


def open_page(tab: Tab, setup: Setup, folder: Path, units: Units = "metric") -> None:
    file = folder / "motion.html"
    file.write_text(motion_html(setup, units), "utf-8")
    tab.open(file)


def told(tab: Tab) -> str:
    return str(tab.value("document.getElementById('told').textContent"))


def to_angle(tab: Tab, angle: float) -> None:
    """By arrow keys alone."""
    tab.press("Home", 36)
    steps = round(angle - float(tab.value("state.angle")))
    for _ in range(abs(steps) // 10):
        tab.press(*(("ArrowUp", 38) if steps > 0 else ("ArrowDown", 40)))
    for _ in range(abs(steps) % 10):
        tab.press(*(("ArrowRight", 39) if steps > 0 else ("ArrowLeft", 37)))


@pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
def test_it_opens_offline_without_a_complaint_and_nothing_is_cut(
    size: tuple[int, int], tab: Tab, tmp_path: Path, output: Path
) -> None:
    for id in ("boss", "left-hand", "slot-steel"):
        tab.size(*size, dark=size[0] < 500)
        open_page(tab, cut_of(id), tmp_path)
        assert tab.requests() == [(tmp_path / "motion.html").as_uri()] and tab.complaints() == []
        assert tab.value(IN_SIGHT) == []
        assert tab.value("document.documentElement.scrollWidth <= innerWidth")
        # On a desktop all of it is seen at once.
        assert size[0] < 500 or tab.value("document.documentElement.scrollHeight <= innerHeight")
        tab.picture(output / f"motion-{id}-{size[0]}x{size[1]}.png")
        assert (output / f"motion-{id}-{size[0]}x{size[1]}.png").stat().st_size > 10_000


@pytest.mark.parametrize(("id", "units"), [("boss", "metric"), ("left-hand", "inch"), ("facing-cast-iron", "metric")])
def test_its_figures_are_those_of_the_report(id: str, units: Units, tab: Tab, tmp_path: Path) -> None:
    setup = cut_of(id)
    open_page(tab, setup, tmp_path, units)
    report = engagement_keys(setup) | chip_keys(setup)
    assert tab.value("document.getElementById('sentence').textContent") == sentence(setup, units)
    entry, leave = report["engagement"]["true_entry_deg"], report["engagement"]["true_exit_deg"]
    for key, end in (("h_entry_mm", "entry_deg"), ("h_exit_mm", "exit_deg")):
        # Where the nominal arc ends the chip may be thickest, and a step further there is none.
        h = tab.value(f"thickness({report['engagement'][end]!r})")
        assert h == pytest.approx(report["chip"]["trochoid"][key], abs=2e-6)
    assert tab.value("Math.max(...cut().h)") == pytest.approx(report["chip"]["trochoid"]["h_max_mm"], rel=1e-3)
    first, last = math.ceil(max(entry, 0.0)) + 1.0, math.floor(min(leave, 180.0)) - 1.0
    for angle in (first, float(round((first + last) / 2.0)), last):
        to_angle(tab, angle)
        h = float(thickness(np.radians(np.array([angle])), setup, "trochoid")[0])
        place = clock(angle, setup.cutter.hand)
        assert told(tab) == f"{angle:.0f}°, {place}: the chip is {figure(h, 'chip_thickness', units)} thick."
    to_angle(tab, leave + 20.0)
    assert "in the air" in told(tab)
    assert tab.complaints() == []


def test_a_keyboard_plays_it_and_its_focus_is_seen(tab: Tab, tmp_path: Path) -> None:
    tab.size(*SIZES[0])
    open_page(tab, cut_of("boss"), tmp_path)
    before = tab.value("state.angle")
    tab.press(" ", 32, " ")
    there = f"state.angle > {before + 2.0} ? done(true) : requestAnimationFrame(look)"
    moved = f"new Promise(done => (function look() {{ {there}; }})())"
    assert tab.value(moved) and tab.value("state.playing")
    assert tab.value("document.getElementById('play').textContent") == "Pause"
    tab.press(" ", 32, " ")
    assert not tab.value("state.playing")
    seen = []
    for _ in range(3):
        tab.press("Tab", 9)
        seen.append(tab.value("document.activeElement.id"))
        style = "(s => [s.outlineStyle, parseFloat(s.outlineWidth)])(getComputedStyle(document.activeElement))"
        assert tab.value(style) == ["solid", 3]
    assert seen == ["play", "turn", "units"]
    # The button with the focus is pressed by Enter, and space plays nothing then.
    tab.press("Enter", 13, "\r")
    assert told(tab).endswith(" in thick.")
    tab.press(" ", 32, " ")
    assert told(tab).endswith(" mm thick.") and not tab.value("state.playing")
    tab.press("d", 68, "d")
    assert "Conventional" in tab.value("document.getElementById('sentence').textContent")
    tab.press("ArrowLeft", 37)
    assert tab.complaints() == []


def test_it_speaks_the_language_of_the_window(tab: Tab, tmp_path: Path) -> None:
    speak("de")
    try:
        open_page(tab, cut_of("boss"), tmp_path)
    finally:
        speak("en")
    assert tab.value("document.documentElement.lang") == "de"
    assert told(tab).startswith("127°, 1:14 Uhr") and "0,048" in told(tab) and "." not in told(tab)[:-1]
    assert tab.value("document.getElementById('play').textContent") == "Abspielen"
    assert tab.value(IN_SIGHT) == []
