"""The motion of a tooth as one HTML file that plays in a browser: no network, a keyboard is enough.

Its figures are the report's: thickness on the true path at each degree, both directions, and the sentence.
"""

from __future__ import annotations

import json
import math
from html import escape
from typing import Any

import numpy as np

from app.pages.lesson.ring_scene import ring_scene
from core.base.places import shared
from core.base.quantities import Units
from core.base.visible import visible
from core.base.words import say, words
from core.effects.arc_results import arc_results
from core.report.sentence import sentence
from core.setup.setup import Setup
from core.strips.strip_curves import chip_thickness_strip

DIGITS = 7


def thickness_by_degree(setup: Setup) -> list[float]:
    """Chip thickness on the true path, mm, at 0 to 359 degrees; 0 in the air."""
    curve = chip_thickness_strip(setup).curves[0]
    there = np.isfinite(curve.values)
    h = np.interp(np.arange(360.0), curve.phi_deg[there], curve.values[there], left=0.0, right=0.0)
    return [round(float(v), DIGITS) for v in h]


def _cut(setup: Setup) -> dict[str, Any]:
    results, scene = arc_results(setup), ring_scene(setup)
    entry, leave = math.degrees(results.true_entry), math.degrees(results.true_exit)
    return {
        "name": say("direction", setup.cut.direction),
        "side": scene.side,
        "entry": entry,
        "exit": leave,
        "begin": entry + 0.25 * (leave - entry),
        "hMax": results.trochoid.h_max,
        "h": thickness_by_degree(setup),
        "work": [shape.round(4).tolist() for shape in scene.work],
        "walls": [shape.round(4).tolist() for shape in scene.walls],
        "edges": [shape.round(4).tolist() for shape in scene.edges],
        "sentence": [sentence(setup, "metric"), sentence(setup, "inch")],
    }


def motion_data(setup: Setup, units: Units) -> dict[str, Any]:
    """What the page shows of a resolved setup: its cut first, then the other direction where there is one."""
    both = [setup] if setup.cut.direction == "straddling" else [setup, setup.opposite]
    cuts = [_cut(each) for each in both]
    return {
        "title": visible(setup.title or "Chiparc"),
        "inch": units == "inch",
        "teeth": setup.cutter.teeth,
        "top": max(max(cut["hMax"] for cut in cuts), 1e-9),
        "cuts": cuts,
        "words": words()["motion_page"] | {"caution": say("report", "cautions")},
    }


def motion_html(setup: Setup, units: Units) -> str:
    """The whole file."""
    # "</" would end the script that holds the data, whatever a title says.
    data = json.dumps(motion_data(setup, units), ensure_ascii=False, allow_nan=False).replace("</", "<\\/")
    page = shared("motion.html").read_text("utf-8")
    return page.replace("@TITLE@", escape(visible(setup.title or "Chiparc"))).replace("@DATA@", data)
