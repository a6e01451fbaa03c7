"""Cutter and work in one line, as a header tells them."""

from __future__ import annotations

from ..base.quantities import QUANTITIES, Units
from ..setup.setup import Setup


def cutter_line(setup: Setup, units: Units) -> str:
    """The cutter and the work in one line."""
    cutter = setup.cutter
    teeth = "1 tooth" if cutter.teeth == 1 else f"{cutter.teeth} teeth"
    hand = ", left-hand" if cutter.hand == "left" else ""
    q = QUANTITIES["diameter"]
    diameter = q.shown(cutter.diameter_mm, units)
    work = f"{setup.work.material}, " if setup.work.material else ""
    return f"{work}{diameter:.4g} {q.unit_in(units)} cutter, {teeth}{hand}"
