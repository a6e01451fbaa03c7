"""The strips: each a set of curves over the tooth angle, computed here, drawn by a view of any curves.

To add a strip write a function ``(setup) -> StripCurves`` and enter it in :data:`STRIPS`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np

from ..cut.chip import thickness
from ..cut.chip_load import all_teeth_section, tooth_section
from ..cut.engagement import engagement
from ..cut.strip_angles import DOMAIN_DEG, strip_angles
from ..cut.true_chip import true_chip
from ..maths.arrays import frozen
from ..setup.setup import Setup
from .force_strips import force_strip, movement_strip, torque_strip
from .heat_strip import temperature_strip
from .strip_frame import Curve, StripCurves, cut_band, end_bands


@lru_cache(maxsize=16)
def chip_thickness_strip(setup: Setup) -> StripCurves:
    """Chip thickness at the tip over the angle: true path (main) and arc model (second), mm.

    The true path starts and ends where contact truly does, the arc model at the nominal ends; both are
    nan outside, so that nothing is drawn in the air.
    """
    true, e = true_chip(setup), engagement(setup)
    phi_deg, arc = true.strip_deg, np.full(true.strip_deg.shape, np.nan)
    # The ends themselves belong to the arc, whatever rounding does to them.
    cutting = slice(phi_deg.searchsorted(math.degrees(e.entry)), phi_deg.searchsorted(math.degrees(e.exit), "right"))
    arc[cutting] = thickness(np.radians(phi_deg[cutting]), setup, "arc", runout=False)
    return StripCurves(
        id="chip",
        title="Chip thickness h",
        quantity="chip_thickness",
        curves=(
            Curve("trochoid", "true path", "main", phi_deg, true.strip_h, term="true_path"),
            Curve("arc", "arc model", "second", phi_deg, frozen(arc), term="arc_model"),
        ),
        bands=(cut_band(setup), *end_bands(setup)),
    )


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
        title="Chip section in cut A",
        quantity="chip_section",
        curves=(
            Curve(
                "all",
                "all teeth",
                "main",
                frozen(phi_deg),
                frozen(all_teeth_section(phi, setup)),
                term="teeth_in_cut",
            ),
            Curve(
                "own",
                "this tooth",
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

STRIP_TITLES = {
    "chip": "Chip thickness",
    "load": "Chip section in cut",
    "force": "Force on the cutter",
    "torque": "Torque",
    "movement": "Movement of the tip",
    "temperature": "Edge temperature rise",
}
"""What a person chooses a strip by."""

__all__ = ["DOMAIN_DEG", "STRIPS", "STRIP_TITLES", "Curve", "StripBuilder", "StripCurves", "chip_thickness_strip"]
