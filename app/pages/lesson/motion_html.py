"""The motion of a tooth as one HTML file that plays in a browser: no network, a keyboard is enough.

Its figures are the report's: thickness on the true path over the arc, both directions, and the sentence.
"""

from __future__ import annotations

import json
import math
from html import escape
from typing import Any

import numpy as np

from app.pages.lesson.ring_scene import ring_scene
from core.base.language import language, spoken
from core.base.places import shared
from core.base.quantities import Units
from core.base.visible import visible
from core.base.words import say, words
from core.effects.arc_results import arc_results
from core.report.sentence import sentence
from core.setup.setup import Setup
from core.strips.strip_curves import chip_thickness_strip

DIGITS = 9
SAMPLES = 181
"""Thicknesses over the arc, evenly from where the tip enters to where it leaves, whatever the arc."""


def thickness_over_arc(setup: Setup, entry_deg: float, exit_deg: float) -> list[float]:
    """Chip thickness of the active tooth on the true path, mm, at :data:`SAMPLES` angles of the true contact."""
    curve = chip_thickness_strip(setup).curves[0]
    there = np.isfinite(curve.values)
    phi = np.linspace(entry_deg, exit_deg, SAMPLES)
    return [round(float(v), DIGITS) for v in np.interp(phi, curve.phi_deg[there], curve.values[there])]


def _cut(setup: Setup) -> dict[str, Any]:
    results, scene = arc_results(setup), ring_scene(setup)
    entry, leave = math.degrees(results.true_entry), math.degrees(results.true_exit)
    return {
        "name": say("direction", setup.cut.direction),
        "side": scene.side,
        "entry": entry,
        "exit": leave,
        "begin": _begin(entry, leave),
        "h": thickness_over_arc(setup, entry, leave),
        "work": [shape.round(4).tolist() for shape in scene.work],
        "walls": [shape.round(4).tolist() for shape in scene.walls],
        "edges": [shape.round(4).tolist() for shape in scene.edges],
        "sentence": [sentence(setup, "metric"), sentence(setup, "inch")],
    }


def _begin(entry_deg: float, exit_deg: float) -> float:
    """Where the tooth stands at first: in the arc, on a whole degree where there is one, so that steps go by such."""
    wanted = entry_deg + 0.25 * (exit_deg - entry_deg)
    whole = float(round(wanted))
    return whole if entry_deg <= whole <= exit_deg else wanted


def motion_data(setup: Setup, units: Units) -> dict[str, Any]:
    """What the page shows of a resolved setup: its cut first, then the other direction where there is one."""
    both = [setup] if setup.cut.direction == "straddling" else [setup, setup.opposite]
    cuts = [_cut(each) for each in both]
    source = say("motion_page", "source_runout" if setup.cutter.runout_mm > 0.0 else "source")
    return {
        "title": visible(setup.title or "Chiparc"),
        "inch": units == "inch",
        "teeth": setup.cutter.teeth,
        "decimal": spoken.language.decimal,
        "top": max(max(max(cut["h"]) for cut in cuts), 1e-9),
        "cuts": cuts,
        "words": words()["motion_page"] | {"source": source, "caution": say("report", "cautions")},
    }


def motion_html(setup: Setup, units: Units) -> str:
    """The whole file."""
    # "</" would end the script that holds the data, whatever a title says.
    data = json.dumps(motion_data(setup, units), ensure_ascii=False, allow_nan=False).replace("</", "<\\/")
    page = shared("motion.html").read_text("utf-8")
    title = escape(visible(setup.title or "Chiparc"))
    return page.replace("@LANGUAGE@", language()).replace("@TITLE@", title).replace("@DATA@", data)
