"""The close view of the plan: which part of it is looked at, and the frame that fills the eye with the arc."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from app.kit.shapes import arc_points
from app.pages.arc.plan_scene import PlanScene, plan_shapes
from core.effects.arc_results import ArcResults
from core.maths.arrays import Array

Framing: TypeAlias = Literal["auto", "arc", "all", "free"]
"""How the part that is looked at is chosen: by the size of the arc, the arc, all of the plan, or by hand."""

FRAMINGS: tuple[Framing, ...] = ("auto", "arc", "all", "free")

WIDE, HIGH = 3.30, 2.58
"""Width and height of the whole plan, in cutter radii."""

SMALL_ARC = 1.0 / 7.0
"""Share of the plan's height under which an arc, at its longer side, is too small to be read."""

FILLED = (1.65, 1.42)
"""Width and height, in radii of the whole plan, that a framed arc may take: its words stand beside it."""

ASIDE, RAISED = 0.30, 0.16
"""How far a framed arc stands off the middle, in radii of the whole plan: away from the loupe, and above it."""

SCALES = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0)
"""Readable steps of the close view."""

CLOSEST = 60.0
"""Greatest scale that a hand reaches."""

FARTHEST_OFF = 1.5
"""How far off the axis, in cutter radii, the middle of the view may be moved."""


@dataclass(frozen=True, slots=True)
class CloseView:
    """The part that is looked at: drawn ``scale`` times larger than the whole plan, about a place in cutter radii.

    ``x`` counts toward the side on which a climb cut of a right-hand cutter has its work, so that the view of one
    direction is also that of the other, mirrored; ``y`` counts along the feed.
    """

    scale: float
    x: float
    y: float

    def zoomed(self, factor: float, x: float, y: float) -> CloseView | None:
        """Nearer or farther, with the place (``x``, ``y``) where it is; None where all of the plan is seen again."""
        scale = min(self.scale * factor, CLOSEST)
        if scale <= 1.0 + 1e-6:
            return None
        kept = self.scale / scale
        return CloseView(scale, x + (self.x - x) * kept, y + (self.y - y) * kept).held()

    def moved(self, dx: float, dy: float) -> CloseView:
        """The view moved by so many cutter radii."""
        return CloseView(self.scale, self.x + dx, self.y + dy).held()

    def nearly(self, other: CloseView, within: float) -> bool:
        """Whether two views are one but for so many radii of the whole plan."""
        apart = max(abs(self.x - other.x), abs(self.y - other.y)) * self.scale
        return self.scale == other.scale and apart < within

    def held(self) -> CloseView:
        """The view with its middle kept near the cutter."""
        far = FARTHEST_OFF
        return CloseView(self.scale, min(max(self.x, -far), far), min(max(self.y, -far), far))


def sense(scene: PlanScene) -> float:
    """1 where the plan shows a view as it is, -1 where it shows it mirrored."""
    turned = scene.conventional or scene.mirrored
    return -scene.side if turned else scene.side


def arc_is_small(results: ArcResults) -> bool:
    """Whether the arc takes under a seventh of the whole plan."""
    e = results.engagement
    arc = arc_points(e.entry + e.arc * np.linspace(0.0, 1.0, 33), 1.0)
    return bool(np.ptp(arc, axis=0).max() < SMALL_ARC * HIGH)


def arc_view(results: ArcResults, top: float) -> CloseView | None:
    """The view that frames the arc and the chip on it; None where the whole plan shows it as large.

    top : chip thickness (mm) at the end of its scale, by which the chip is drawn.
    """
    low, high = _box(results, top)
    size = np.maximum(high - low, 1e-6)
    most = float(np.min(np.array(FILLED) / size))
    scale = max([s for s in SCALES if s <= most], default=1.0)
    if scale == 1.0:
        return None
    middle = (low + high) / 2.0
    # The loupe stands on the left where climb has its work on the right.
    return CloseView(scale, float(middle[0]) - ASIDE / scale, float(middle[1]) - RAISED / scale)


def chosen_view(framing: Framing, results: ArcResults, top: float, free: CloseView | None) -> CloseView | None:
    """The view that belongs to a choice; ``free`` is the one that a hand has set."""
    if framing == "free":
        return free
    wanted = framing == "arc" or (framing == "auto" and arc_is_small(results))
    return arc_view(results, top) if wanted else None


def _box(results: ArcResults, top: float) -> tuple[Array, Array]:
    """Least and greatest place (x, y) of the arc with the chip as it is drawn, in radii, x as in a CloseView."""
    shapes, e = plan_shapes(results, top), results.engagement
    arc = arc_points(e.entry + e.arc * np.linspace(0.0, 1.0, 33), 1.0)
    outer = arc_points(shapes.chip.phi, 1.0)
    thickest = shapes.chip.h if shapes.each is None else np.max([chip.h for chip in shapes.each], axis=0)
    inner = outer * (1.0 - thickest * shapes.magnification)[:, None]
    places = np.concatenate([arc, outer, inner])
    if results.setup.cut.direction == "conventional":
        places = places * (-1.0, 1.0)
    return places.min(axis=0), places.max(axis=0)


__all__ = ["FRAMINGS", "CloseView", "Framing", "arc_is_small", "arc_view", "chosen_view", "sense"]
