"""The skin: a hard or abrasive layer on the work's free faces, and where a tooth goes through it.

Geometry only.  A face is free where the strip ends inside the cutter's circle: teeth enter through one at ``x1``
and leave through one at ``x2``; where the strip ends at the circle the finished wall is, and no skin.  A layer on the
top face, hardness and the rate of wear are left out.  That a cut which breaks out through a skin is kinder to the
edge than one which strikes it: Kalpakjian and Schmid (from memory), common practice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from ..setup.setup import Setup
from ..setup.work_strip import TOUCH
from .engagement import engagement

Met = Literal["entry", "exit", "both", "none"]


@dataclass(frozen=True, slots=True)
class SkinCrossing:
    """How one tooth goes through the layer in one turn; angles rad, lengths mm.

    ``entry`` and ``exit`` are the arcs inside the layer where teeth enter and leave; ``h`` is the arc-model chip
    thickness at the free face (the larger of two; None where there is no free face).
    """

    entry: float
    exit: float
    arc_share: float
    sliding: float
    h: float | None
    met: Met

    @property
    def cross(self) -> float:
        """Both arcs together, rad."""
        return self.entry + self.exit


def free_faces(setup: Setup) -> tuple[bool, bool]:
    """Whether teeth enter through a free face, and whether they leave through one."""
    direction, radius = setup.cut.direction, setup.cutter.diameter_mm / 2.0
    if direction != "straddling":
        return direction == "climb", direction == "conventional"
    e, slack = engagement(setup), TOUCH * setup.cutter.diameter_mm
    return e.x1 > slack - radius, e.x2 < radius - slack


def _angle(from_left: float, radius: float) -> float:
    """Angle (rad) at which the circle crosses a line so far (mm) from its left side."""
    return 2.0 * math.atan2(math.sqrt(max(from_left, 0.0)), math.sqrt(max(2.0 * radius - from_left, 0.0)))


def _arc_of_layer(face: float, inside: float, layer: float, radius: float) -> float:
    """Arc (rad) between two lines ``layer`` apart (mm) that the tip crosses at the angles ``face`` and ``inside``.

    The difference of their cosines is ``layer / radius``; as a product it keeps its digits for a thin layer.
    """
    return 2.0 * math.asin(min(layer / (2.0 * radius * math.sin((face + inside) / 2.0)), 1.0))


@lru_cache(maxsize=64)
def skin_crossing(setup: Setup) -> SkinCrossing | None:
    """Where a tooth is in the skin; None where the setup has none.

    The layer is at most the strip, or half of it where both faces are free.
    """
    if setup.work.skin is None:
        return None
    e, radius, cut = engagement(setup), setup.cutter.diameter_mm / 2.0, setup.cut
    at_entry, at_exit = free_faces(setup)
    most = cut.radial_engagement_mm / (2.0 if at_entry and at_exit else 1.0)
    layer = min(setup.work.skin.thickness_mm, most)

    first = last = 0.0
    if at_entry:
        # A climb's distances are from the right side of the circle: R - x would cost digits of a thin cut.
        inside = radius + e.x1 + layer
        angle = math.pi - _angle(most - layer, radius) if not at_exit else _angle(inside, radius)
        first = _arc_of_layer(e.entry, angle, layer, radius)
    if at_exit:
        inside = most - layer if not at_entry else radius + e.x2 - layer
        last = _arc_of_layer(e.exit, _angle(inside, radius), layer, radius)
    # Through the sine of the angle from the nearer end: at 180 degrees that is 0 and not rounding.
    h_top = cut.feed_per_tooth_mm * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    faces = [phi for phi, free in ((e.entry, at_entry), (e.exit, at_exit)) if free]
    met: Met = "both" if len(faces) == 2 else "entry" if at_entry else "exit" if at_exit else "none"
    return SkinCrossing(
        entry=first,
        exit=last,
        arc_share=(first + last) / e.arc,
        sliding=radius * (first + last),
        h=max(h_top * math.sin(min(phi, math.pi - phi)) for phi in faces) if faces else None,
        met=met,
    )
