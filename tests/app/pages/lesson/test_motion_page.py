"""The motion page, run in a JavaScript engine over a small stand-in for a browser: its figures are the report's."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from PySide6.QtQml import QJSEngine

from app.pages.lesson.motion_html import motion_html
from core.base.quantities import figure
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES, example
from core.maths.angles import clock
from core.report.report import chip_keys, engagement_keys
from core.report.sentence import sentence
from core.setup.setup import Setup

pytestmark = pytest.mark.usefixtures("window_app")

DOCUMENT = """
var parts = {};
function part(id) {
  if (!parts[id]) parts[id] = { textContent: "", innerHTML: "", hidden: false, heard: {}, tagName: "X",
    addEventListener: function (name, what) { this.heard[name] = what; },
    setAttribute: function (name, value) { this[name] = String(value); } };
  return parts[id];
}
var document = { heard: {}, getElementById: part,
  addEventListener: function (name, what) { this.heard[name] = what; } };
var frames = [];
function requestAnimationFrame(what) { frames.push(what); }
function key(name) {
  var stopped = false;
  document.heard.keydown({ key: name, target: { tagName: "BODY" }, preventDefault: function () { stopped = true; } });
  return stopped;
}
"""

Ask = Callable[[str], Any]


def browser(setup: Setup, units: str = "metric") -> tuple[Ask, str]:
    """The page of a setup, running; asked in JavaScript."""
    page = motion_html(setup, units)  # type: ignore[arg-type]
    data = re.search(r'<script id="data" type="application/json">(.*?)</script>', page, re.S)
    script = re.search(r"<script>\n(.*?)</script>", page, re.S)
    assert data is not None and script is not None
    engine = QJSEngine()

    def ask(code: str) -> Any:
        value: Any = engine.evaluate(code)
        assert not value.isError(), value.toString()
        return value.toVariant()

    ask(DOCUMENT)
    ask(f'part("data").textContent = {json.dumps(data[1])}')
    # "const" at the top of a script is not seen by the next one: the program is one text with what asks it.
    ask(script[1].replace("const ", "var ").replace("let ", "var "))
    ask.engine = engine  # type: ignore[attr-defined]
    return ask, page


def test_it_needs_no_network_and_holds_no_foreign_markup() -> None:
    setup = replace(resolved(example("boss").setup()), title="</script><b>&")
    page = motion_html(setup, "metric")
    assert not re.search(r"(src|href)\s*=|https?://|@import|url\(", page)
    assert page.count("</script>") == 2 and "<b>&" not in page.split("<script", 1)[0]


@pytest.mark.parametrize("id", [each.id for each in EXAMPLES])
def test_its_figures_are_those_of_the_report(id: str) -> None:
    setup = resolved(example(id).setup())
    ask, _ = browser(setup)
    told = engagement_keys(setup) | chip_keys(setup)
    data = json.loads(ask("JSON.stringify(data)"))
    first = data["cuts"][0]
    assert first["entry"] == pytest.approx(told["engagement"]["true_entry_deg"], abs=1e-9)
    assert first["exit"] == pytest.approx(told["engagement"]["true_exit_deg"], abs=1e-9)
    assert first["sentence"][0] == sentence(setup)
    assert ask("part('sentence').textContent") == sentence(setup)
    if setup.cutter.runout_mm == 0.0:
        assert max(first["h"]) <= told["chip"]["trochoid"]["h_max_mm"] * (1.0 + 1e-6)
        # Between whole degrees it may be thicker by what a degree brings.
        steepest = np.abs(np.diff(first["h"])).max()
        assert max(first["h"]) >= told["chip"]["trochoid"]["h_max_mm"] - steepest - 1e-7


def test_the_keyboard_is_enough() -> None:
    setup = resolved(example("boss").setup())
    ask, _ = browser(setup)
    ask("state.angle = 150; step(0)")
    h = ask("thickness(150)")
    assert (
        h > 0 and ask("part('told').textContent") == f"150°, 2:00: the chip is {figure(h, 'chip_thickness')} thick."
    )
    assert ask("key('ArrowRight')") is True and ask("state.angle") == 151
    assert ask("key('ArrowDown')") and ask("state.angle") == 141
    assert ask("key('u')") and " in thick" in ask("part('told').textContent")
    assert ask("key('u')") and "mm thick" in ask("part('told').textContent")
    before = ask("part('plan').innerHTML")
    assert ask("key('D')") and ask("part('plan').innerHTML") != before
    assert "Conventional" in ask("part('sentence').textContent")
    assert ask("key(' ')") and ask("state.playing") and ask("frames.length") == 1
    ask("var a = state.angle; frames.shift()(1000); frames.shift()(1100)")
    assert ask("state.angle - a") == pytest.approx(4.0)
    assert ask("key(' ')") and not ask("state.playing")
    assert ask("key('x')") is False and ask("key('Home')") and ask("state.angle") == ask("cut().begin")


@pytest.mark.parametrize("id", ["boss", "left-hand", "slot-steel"])
def test_clock_and_chip_follow_the_angle(id: str) -> None:
    setup = resolved(example(id).setup())
    ask, _ = browser(setup)
    for angle in (0.0, 45.0, 100.5, 179.0, 260.0):
        assert ask(f"clock({angle})") == clock(angle, setup.cutter.hand)
    ask("state.angle = cut().entry - 1; step(0)")
    assert ask("part('chip').d") == "" or ask("cut().entry") < 1
    ask("state.angle = cut().exit; step(0)")
    assert str(ask("part('chip').d")).startswith("M")
    assert ask("part('turn').hidden") == (setup.cut.direction == "straddling")
