"""Cutter and work in one line, as a header tells them."""

from __future__ import annotations

from ..base.language import in_language
from ..base.quantities import QUANTITIES, Units
from ..base.words import say, say_count
from ..setup.setup import Setup


def cutter_line(setup: Setup, units: Units) -> str:
    """The cutter and the work in one line."""
    cutter = setup.cutter
    q = QUANTITIES["diameter"]
    diameter = f"{in_language(f'{q.shown(cutter.diameter_mm, units):.4g}')} {q.unit_in(units)}"
    told = say_count("cutter_line", "left" if cutter.hand == "left" else "cutter", cutter.teeth, diameter=diameter)
    return say("cutter_line", "work", work=setup.work.material, cutter=told) if setup.work.material else told
