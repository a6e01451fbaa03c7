"""What can be taken hold of on the plan: the work's edge, a tooth, the feed arrow's tip and its tail."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, Qt

from app.pages.arc.feed_arrow import dragged_feed, feed_arrow
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_layers import edge_grip
from app.pages.arc.plan_scene import PlanScene
from app.state.step_name import DIRECTION, StepName
from core.base.quantities import Units, figure
from core.base.words import say
from core.effects.arc_results import ArcResults, arc_results, paired_angle
from core.setup.setup import Setup
from core.setup.setup_limits import FEED_SHARE

REACH_PX = 14.0
"""How near the pointer must be, logical pixels."""

THINNEST, WIDEST = 0.002, 0.998
"""Share of the diameter that a dragged one-sided width keeps to."""


@dataclass(frozen=True, slots=True)
class Handle:
    """One handle under the pointer: what it is, where it was taken, on which plan, and the setup as it stands.

    ``feed`` is the feed per tooth (mm) as it was taken; ``plan`` counts the plans of a pair from the left.
    """

    kind: str
    taken: QPointF
    scene: PlanScene
    setup: Setup
    angle_deg: float
    edge: int = 0
    tooth: int = 0
    plan: int = 0
    feed: float = 0.0

    def place(self, scene: PlanScene, frame: PlanFrame) -> QPointF | None:
        """Where this handle stands on a plan as it is now; None where that plan does not have it."""
        if self.kind in ("feed", "flip"):
            tail, tip = feed_arrow(scene, frame)
            return tip if self.kind == "feed" else tail
        if self.kind == "edge":
            edges = scene.shapes.edges
            return edge_grip(edges[self.edge], frame) if self.edge < len(edges) else None
        phi = math.radians(scene.angle_deg) + 2.0 * math.pi * self.tooth / scene.results.setup.cutter.teeth
        return frame.point(scene.place(phi))

    @property
    def step(self) -> StepName:
        """What undo calls a drag of it."""
        return DIRECTION if self.flips else StepName("plan", {"edge": "width_step", "feed": "feed_step"}[self.kind])

    @property
    def moves_angle(self) -> bool:
        """Whether it turns the tooth and leaves the setup alone."""
        return self.kind == "tooth"

    @property
    def flips(self) -> bool:
        """Whether a click on it flips the direction."""
        return self.kind == "flip"

    @property
    def cursor(self) -> Qt.CursorShape:
        """The pointer's shape over it."""
        return {
            "edge": Qt.CursorShape.SizeHorCursor,
            "feed": Qt.CursorShape.SizeVerCursor,
            "flip": Qt.CursorShape.PointingHandCursor,
        }.get(self.kind, Qt.CursorShape.OpenHandCursor)

    def value_text(self, units: Units) -> str:
        """The value that follows beside the pointer."""
        cut = self.setup.cut
        if self.kind == "edge":
            share = 100.0 * cut.radial_engagement_mm / self.setup.cutter.diameter_mm
            width = figure(cut.radial_engagement_mm, "radial_width", units)
            return say("plan", "width", width=width, share=f"{share:.0f}")
        if self.kind == "feed":
            return say("plan", "feed", feed=figure(cut.feed_per_tooth_mm, "feed_per_tooth", units))
        return figure(self.angle_deg % 360.0, "angle", units)

    def setup_at(self, point: QPointF, frame: PlanFrame, setup: Setup) -> Setup:
        """The setup with this handle dragged to a pixel, kept to the legal range."""
        if self.kind == "feed":
            feed = dragged_feed(self.feed, setup.cutter.diameter_mm, self.taken.y() - point.y())
            return setup.with_keys(
                {"cut.feed_per_tooth_mm": min(_round(feed), FEED_SHARE * setup.cutter.diameter_mm)}
            )
        x = frame.radii(point)[0] * self.scene.side
        return _with_edge(setup, x, self.edge, self.scene)

    def angle_at(self, point: QPointF, frame: PlanFrame, results: ArcResults) -> float:
        """Angle (degrees, of the setup's own direction) with this tooth dragged round to a pixel."""
        x, y = frame.radii(point)
        phi = math.atan2(y, -x * self.scene.side)
        phi -= 2.0 * math.pi * self.tooth / self.scene.results.setup.cutter.teeth
        if self.scene.results is not results:
            phi = paired_angle(phi, self.scene.results.engagement, results.engagement)
        return math.degrees(phi)


def _round(value: float) -> float:
    """A dragged value to three figures: what a person would write down."""
    return float(f"{value:.3g}")


def _with_edge(setup: Setup, x: float, edge: int, scene: PlanScene) -> Setup:
    """The setup with its uncut edge at ``x`` radii; a straddling strip moves that edge alone."""
    d, cut = setup.cutter.diameter_mm, setup.cut
    if cut.direction != "straddling":
        # In Pair the edge may be that of the mirrored cut.
        climb = scene.results.setup.cut.direction == "climb"
        share = (1.0 - x) / 2.0 if climb else (1.0 + x) / 2.0
        return setup.with_keys({"cut.radial_engagement_mm": min(max(_round(share * d), THINNEST * d), WIDEST * d)})
    e = arc_results(scene.results.setup).engagement
    ends = [2.0 * e.x1 / d, 2.0 * e.x2 / d]
    ends[edge] = min(max(x, -0.999), ends[1] - 0.01) if edge == 0 else max(min(x, 0.999), ends[0] + 0.01)
    width, offset = (ends[1] - ends[0]) * d / 2.0, (ends[0] + ends[1]) * d / 4.0
    if scene.mirrored:
        offset = -offset
    moved = replace(cut, radial_engagement_mm=width, centre_offset_mm=offset)
    return replace(setup, cut=moved)


def handles_at(point: QPointF, scene: PlanScene, frame: PlanFrame) -> list[Handle]:
    """The handles within reach of a pixel, nearest kind first."""
    if not frame.rect.contains(point):
        return []
    setup, angle = scene.results.setup, scene.angle_deg
    found: list[Handle] = []

    def near(at: QPointF) -> bool:
        return math.hypot(point.x() - at.x(), point.y() - at.y()) <= REACH_PX

    tail, tip = feed_arrow(scene, frame)
    if near(tip):
        found.append(Handle("feed", point, scene, setup, angle, feed=setup.cut.feed_per_tooth_mm))
    if near(tail):
        found.append(Handle("flip", point, scene, setup, angle))
    for i, x in enumerate(() if scene.compared else scene.shapes.edges):
        grip = edge_grip(x, frame)
        rim = frame.centre.y() - frame.radius * math.sqrt(max(1.0 - x * x, 0.0))
        if abs(point.x() - grip.x()) <= REACH_PX and frame.inner.top() <= point.y() <= rim - 16.0:
            found.append(Handle("edge", point, scene, setup, angle, edge=i))
    teeth = setup.cutter.teeth
    for j in range(teeth):
        phi = math.radians(angle) + 2.0 * math.pi * j / teeth
        at = frame.point(scene.place(phi))
        if near(at):
            found.append(Handle("tooth", point, scene, setup, angle, tooth=j))
            break
    return found
