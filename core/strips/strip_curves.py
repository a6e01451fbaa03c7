"""The strips: each a set of curves over the tooth angle, computed here, drawn by a view of any curves.

To add a strip write a function ``(setup) -> StripCurves`` and enter it in :data:`STRIPS`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np

from ..base.words import say
from ..cut.chip import thickness
from ..cut.chip_load import all_teeth_section, tooth_section
from ..cut.engagement import engagement
from ..cut.runout_chips import each_tooths_thickness
from ..cut.strip_angles import DOMAIN_DEG, strip_angles
from ..cut.true_chip import true_chip
from ..maths.arrays import Array, frozen
from ..setup.setup import Setup
from .force_strips import force_strip, movement_strip, torque_strip
from .heat_strip import temperature_strip
from .strip_frame import Curve, CurveRole, StripCurves, cut_band, end_bands


@lru_cache(maxsize=16)
def chip_thickness_strip(setup: Setup) -> StripCurves:
    """Chip thickness at the tip over the angle: true path (main) and arc model (second), mm.

    The true path starts and ends where contact truly does, the arc model at the nominal ends; both are
    nan outside, so that nothing is drawn in the air.  With runout each tooth has a curve of its own.
    """
    true, e = true_chip(setup), engagement(setup)
    phi_deg, arc = true.strip_deg, np.full(true.strip_deg.shape, np.nan)
    # The ends themselves belong to the arc, whatever rounding does to them.
    cutting = slice(phi_deg.searchsorted(math.degrees(e.entry)), phi_deg.searchsorted(math.degrees(e.exit), "right"))
    arc[cutting] = thickness(np.radians(phi_deg[cutting]), setup, "arc", runout=False)
    model = Curve("arc", say("strip", "arc_model"), "second", phi_deg, frozen(arc), term="arc_model")
    if setup.cutter.runout_mm > 0.0:
        curves = (*_teeth(setup, phi_deg, cutting), model)
    else:
        curves = (
            Curve("trochoid", say("strip", "true_path"), "main", phi_deg, true.strip_h, term="true_path"),
            model,
        )
    return StripCurves(
        id="chip",
        title=say("strip", "chip"),
        quantity="chip_thickness",
        curves=curves,
        bands=(cut_band(setup), *end_bands(setup)),
    )


MOST_TEETH = 4
"""Teeth of a cutter with runout whose chips have a curve each; of more, only those of the least and greatest chip."""


def _teeth(setup: Setup, phi_deg: Array, cutting: slice) -> list[Curve]:
    """With runout each tooth's own chip on its true path, tooth 0 first, which is the active one; nan in the air."""
    h = each_tooths_thickness(np.clip(np.radians(phi_deg[cutting]), 0.0, math.pi), setup, "trochoid")
    count = len(h)
    chosen = list(range(count))
    if count > MOST_TEETH:
        greatest = h.max(axis=1)
        chosen = sorted({0, int(greatest.argmin()), int(greatest.argmax())})
    curves = []
    for tooth in chosen:
        values = np.full(phi_deg.shape, np.nan)
        values[cutting] = h[tooth]
        role: CurveRole = "main" if tooth == 0 else "third"
        word = say("strip", "tooth", tooth=tooth)
        curves.append(Curve(f"tooth{tooth}", word, role, phi_deg, frozen(values), str(tooth), "runout"))
    return curves


@lru_cache(maxsize=16)
def chip_load_strip(setup: Setup) -> StripCurves:
    """Chip cross-section over the angle, mm2, helix included: all teeth together (main) and this one (third)."""
    e = engagement(setup)
    pitch = 360.0 / setup.cutter.teeth
    # Corners: where any tooth's tip or upper end meets or leaves the arc.
    meets = np.degrees([e.entry, e.exit, e.entry + e.edge_lag, e.exit + e.edge_lag])
    corners = (meets[:, None] + pitch * np.arange(-setup.cutter.teeth, setup.cutter.teeth)).reshape(-1)
    # A straight edge jumps: a sample on either side of each corner.
    phi_deg = strip_angles(np.concatenate([corners, corners - 1e-6]) if e.edge_lag == 0.0 else corners)
    phi = np.radians(phi_deg)
    own = tooth_section(phi, setup)
    return StripCurves(
        id="load",
        title=say("strip", "load"),
        quantity="chip_section",
        curves=(
            Curve(
                "all",
                say("strip", "all_teeth"),
                "main",
                frozen(phi_deg),
                frozen(all_teeth_section(phi, setup)),
                term="teeth_in_cut",
            ),
            Curve(
                "own",
                say("strip", "this_tooth"),
                "second",
                frozen(phi_deg),
                frozen(np.where(own > 0.0, own, np.nan)),
                term="chip_section",
            ),
        ),
        bands=(cut_band(setup),),
    )


StripBuilder = Callable[[Setup], StripCurves]

STRIPS: dict[str, StripBuilder] = {
    "chip": chip_thickness_strip,
    "load": chip_load_strip,
    "force": force_strip,
    "torque": torque_strip,
    "movement": movement_strip,
    "temperature": temperature_strip,
}
"""Every strip there is, in the order in which the page offers them."""


def strip_title(id: str) -> str:
    """What a person chooses a strip by."""
    return say("strip_title", id)


__all__ = ["DOMAIN_DEG", "STRIPS", "Curve", "StripBuilder", "StripCurves", "chip_thickness_strip", "strip_title"]
