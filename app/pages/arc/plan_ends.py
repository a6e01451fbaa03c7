"""What the ends of the arc show on the plan: the skin on the free faces, and the corner that a thick chip leaves."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from app.kit.shapes import clipped
from core.base.words import say
from core.cut.skin import free_faces, skin_crossing
from core.effects.arc_results import ArcResults
from core.effects.entry_exit import last_contact
from core.maths.arrays import Array, frozen

CORNER = 0.125
"""How far the shaded corner reaches from the exit, in cutter radii."""

THICK_SHARE = 0.2
"""Part of the feed per tooth over which a chip counts as leaving thick."""

WIDEST_CORNER = 120.0
"""Degrees of the work's corner from which on it is well enough supported to go unmarked."""


@dataclass(frozen=True, slots=True, eq=False)
class SkinShapes:
    """The skin: its layers as polygons (n, 2) in cutter radii, mirrored with the plan; arcs of the tip in them, rad.

    ``faces`` are the layers' free faces and inner sides, x in radii; ``at_entry`` and ``at_exit`` are what the
    teeth do with it there, empty where there is no free face.
    """

    layers: tuple[Array, ...]
    faces: tuple[tuple[float, float], ...]
    arcs: tuple[tuple[float, float], ...]
    at_entry: str
    at_exit: str


def skin_shapes(results: ArcResults, work: Array, side: float) -> SkinShapes | None:
    """The skin of the work at its true thickness; ``work`` is the work as drawn.  None where no skin is given."""
    setup, e = results.setup, results.engagement
    crossing = skin_crossing(setup)
    if crossing is None or setup.work.skin is None:
        return None
    radius = setup.cutter.diameter_mm / 2.0
    at_entry, at_exit = free_faces(setup)
    layer = setup.work.skin.thickness_mm
    if at_entry and at_exit:
        # Two layers meet in the middle of the strip at most.
        layer = min(layer, setup.cut.radial_engagement_mm / 2.0)
    faces = []
    if at_entry:
        faces.append((side * e.x1 / radius, side * (e.x1 + layer) / radius))
    if at_exit:
        faces.append((side * e.x2 / radius, side * (e.x2 - layer) / radius))
    far = float(np.abs(work).max())
    arcs = ((e.entry, e.entry + crossing.entry), (e.exit - crossing.exit, e.exit))
    return SkinShapes(
        layers=tuple(frozen(clipped(work, min(f), -far, max(f), far).copy()) for f in faces),
        faces=tuple(faces),
        arcs=tuple(arc for arc, free in zip(arcs, (at_entry, at_exit), strict=True) if free),
        at_entry=say("plan", "strikes") if at_entry else "",
        at_exit=say("plan", "breaks_out") if at_exit else "",
    )


def exit_corner(results: ArcResults, side: float) -> Array | None:
    """The corner of work at the exit, a polygon (n, 2) in cutter radii that begins at the corner itself.

    Between the free face and the arc that the tip has cut.  None where teeth do not leave through a free face, where
    the chip is thin there, or where the corner is wide enough to hold.
    """
    setup, e = results.setup, results.engagement
    if not free_faces(setup)[1] or results.arc.h_exit <= THICK_SHARE * setup.cut.feed_per_tooth_mm:
        return None
    wedge = last_contact(setup).wedge_deg
    if wedge >= WIDEST_CORNER:
        return None
    reach = min(CORNER, 2.0 * math.sin(e.arc / 4.0), setup.cut.radial_engagement_mm / setup.cutter.diameter_mm)
    rim = np.linspace(e.exit, e.exit - 2.0 * math.asin(reach / 2.0), 8)
    cut = np.stack([-np.cos(rim), np.sin(rim)], -1)
    away = cut[-1] - cut[0]
    # From straight up along the free face round to the arc.
    turn = np.linspace(math.pi / 2.0, math.atan2(away[1], away[0]) % (2.0 * math.pi), 12)
    round_end = cut[0] + reach * np.stack([np.cos(turn), np.sin(turn)], -1)
    return frozen(np.concatenate([cut, round_end[::-1]]) * [side, 1.0])
