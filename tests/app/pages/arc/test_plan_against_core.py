"""The plan held against the core: places, signs, hatches, colours, for both hands, both directions, whole and close.

What is expected is worked out here from the core's figures in mm, with a mirror for a left-hand cutter, and looked up
in the pixels of the painted plan.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.kit.label_layout import LabelLayout
from app.kit.look import look
from app.kit.thickness_colours import colour_of
from app.pages.arc.loupe import loupe_place, loupe_scale
from app.pages.arc.loupe_words import tip_place
from app.pages.arc.plan_callouts import paint_callouts
from app.pages.arc.plan_close import arc_view, sense
from app.pages.arc.plan_force import force_end
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_picture import paint_plan
from app.pages.arc.plan_scene import PlanScene
from core.cut.chip import thickness
from core.cut.engagement import engagement
from core.effects.arc_results import arc_results, paired_angle
from core.effects.rubbing import rub_arcs
from core.force.force_at_angle import force_at_angle
from core.maths.angles import clock
from core.setup.setup import Setup
from tests.app.painted import Painted
from tests.app.windows import boss, window_on

pytestmark = pytest.mark.usefixtures("window_app")

RECT = QRectF(0.0, 0.0, 900.0, 760.0)
RADIUS = 6.0

CUTS = [
    (way, hand, near) for way in ("climb", "conventional") for hand in ("right", "left") for near in (False, True)
]


def cut(way: str, hand: str, near: bool) -> Setup:
    """A third of the width, or so little that its arc has to be framed; an edge that rubs at the thin end."""
    return boss().with_keys(
        {
            "cut.direction": way,
            "cutter.hand": hand,
            "cut.radial_engagement_mm": 0.3 if near else 4.0,
            "cutter.edge_radius_mm": 0.03,
        }
    )


class Shown:
    """A plan painted on pixels, in the air before its cut, so that all of its chip is still there."""

    def __init__(self, setup: Setup, near: bool, theme: str = "light") -> None:
        self.setup, self.look, results = setup, look(theme), arc_results(setup)
        self.scene = PlanScene.of(results, math.degrees(results.engagement.entry) - 8.0)
        close = arc_view(results, self.scene.top) if near else None
        self.frame = PlanFrame.of(RECT, self.look, False, close, sense(self.scene))
        self.image = QImage(900, 760, QImage.Format.Format_RGB32)
        self.image.fill(self.look.color("panel"))
        painter = QPainter(self.image)
        paint_plan(painter, RECT, self.scene, self.look, close=close)
        painter.end()
        self.mirror = -1.0 if setup.cutter.hand == "left" else 1.0

    def pixel(self, x_mm: float, y_mm: float) -> QPointF:
        """Where a place (mm from the axis, x as a right-hand cutter has it) is on the picture."""
        scale = self.frame.radius / RADIUS
        return QPointF(self.frame.centre.x() + self.mirror * x_mm * scale, self.frame.centre.y() - y_mm * scale)

    def at(self, phi: float, radius_mm: float) -> QPointF:
        """Where an angle (rad) is at a radius."""
        return self.pixel(-radius_mm * math.cos(phi), radius_mm * math.sin(phi))

    def color(self, at: QPointF) -> QColor:
        return self.image.pixelColor(round(at.x()), round(at.y()))

    def inked(self, middle: QPointF, half: int, name: str, within: int = 40) -> int:
        """Pixels in a square about a place that have about a colour of the theme."""
        wanted = self.look.color(name)
        x, y = round(middle.x()), round(middle.y())
        found = 0
        for i in range(x - half, x + half + 1):
            for j in range(y - half, y + half + 1):
                found += apart(self.image.pixelColor(i, j), wanted) < within
        return found


def apart(one: QColor, other: QColor) -> int:
    """How far two colours are apart, in steps of red, green and blue together."""
    red, green, blue = one.red() - other.red(), one.green() - other.green(), one.blue() - other.blue()
    return abs(red) + abs(green) + abs(blue)


@lru_cache(maxsize=16)
def shown(way: str, hand: str, near: bool) -> Shown:
    return Shown(cut(way, hand, near), near)


@pytest.mark.parametrize(("way", "hand", "near"), CUTS)
def test_entry_exit_edge_and_wall_are_where_the_core_has_them(way: str, hand: str, near: bool) -> None:
    plan = shown(way, hand, near)
    e = engagement(plan.setup)
    painter = Painted(900, 760)
    paint_callouts(painter, plan.scene, plan.frame, plan.look, LabelLayout(plan.frame.inner))
    painter.end()
    dots = [(at.x(), at.y()) for at in painter.ellipses]
    for dot, phi in zip(dots, (e.entry, e.exit), strict=True):
        assert dot == pytest.approx(plan.at(phi, RADIUS).toTuple(), abs=1e-6)
    for (_, first, _), phi in zip(plan.scene.ends(), (e.entry, e.exit), strict=True):
        assert first.endswith(clock(math.degrees(phi), plan.setup.cutter.hand))
    # The uncut edge stands at its width from the finished wall, both upright lines of ink.
    edge, wall = (e.x1, RADIUS) if way == "climb" else (e.x2, -RADIUS)
    assert abs(edge - wall) == pytest.approx(plan.setup.cut.radial_engagement_mm)
    # A little above the arc's free end and below the other.
    above = plan.pixel(edge, math.sqrt(RADIUS**2 - edge**2) + (9.0 if near else 45.0) * RADIUS / plan.frame.radius)
    # Below the card that tells of the arc's end.
    below = plan.pixel(wall, -(60.0 if near else 150.0) * RADIUS / plan.frame.radius)
    for line in (above, below):
        assert plan.inked(line, 2, "ink") >= 4


@pytest.mark.parametrize(("way", "hand", "near"), CUTS)
def test_the_chip_has_the_colour_and_the_depth_of_its_thickness(way: str, hand: str, near: bool) -> None:
    plan = shown(way, hand, near)
    e, setup = engagement(plan.setup), plan.setup
    for share in (0.3, 0.5, 0.7):
        phi = e.entry + share * e.arc
        h = float(thickness(phi, setup, "trochoid", runout=False))
        depth = h * plan.scene.shapes.magnification
        wanted = colour_of(h / plan.scene.top)
        inside = plan.color(plan.at(phi, RADIUS - 0.5 * depth))
        assert apart(inside, wanted) < 45
        beyond = plan.color(plan.at(phi, RADIUS - 1.0 * depth - 9.0 * RADIUS / plan.frame.radius))
        assert apart(beyond, wanted) > 60


@pytest.mark.parametrize(("way", "hand", "near"), CUTS)
def test_work_is_hatched_outside_the_arc_and_rubbing_at_the_thin_end_alone(way: str, hand: str, near: bool) -> None:
    plan = shown(way, hand, near)
    e = engagement(plan.setup)
    step = RADIUS / plan.frame.radius
    # A patch of work beyond the arc's middle: mostly its ground, with lines of its hatching.
    patch = plan.at(e.entry + 0.5 * e.arc, RADIUS + 110.0 * step)
    assert plan.inked(patch, 8, "work", 24) > 100 and plan.inked(patch, 8, "work_hatch", 90) > 15
    # Behind the cutter nothing is hatched.
    away = plan.at(e.entry + 0.5 * e.arc + math.pi, 0.5 * RADIUS)
    assert not plan.frame.inner.contains(away) or plan.inked(away, 6, "work_hatch", 30) == 0
    first, last = rub_arcs(plan.setup, e)
    assert (first > 0.02) is (way == "conventional") and (last > 0.02) is (way == "climb")
    for phi, rubs in (
        (e.entry + 0.5 * last + 0.5 * first, first > 0.0),
        (e.exit - 0.5 * last - 0.5 * first, last > 0.0),
    ):
        band = plan.at(phi, RADIUS * plan.frame.beside(1.022))
        hatched = plan.inked(band, 4, "rub_hatch", 120)
        assert (hatched > 6) is rubs, (phi, hatched)


@pytest.mark.parametrize(
    ("way", "hand"), [(way, hand) for way in ("climb", "conventional") for hand in ("right", "left")]
)
@pytest.mark.parametrize("share", [0.2, 0.6])
def test_the_arrow_is_the_force_of_the_moment_mirrored_with_the_hand(way: str, hand: str, share: float) -> None:
    setup = cut(way, hand, False)
    e = engagement(setup)
    phi = e.entry + share * e.arc
    scene = replace(PlanScene.of(arc_results(setup), math.degrees(phi)), force_top=1500.0)
    frame = PlanFrame.of(RECT, look("light"), True)
    end, force = force_end(scene, frame), force_at_angle(setup, phi)
    assert end is not None and force is not None
    per_newton = 0.72 * frame.radius / 1500.0
    side = -1.0 if hand == "left" else 1.0
    assert end.x() - frame.centre.x() == pytest.approx(side * force.x * per_newton)
    assert frame.centre.y() - end.y() == pytest.approx(force.y * per_newton)


@pytest.mark.parametrize(
    ("way", "hand"), [(way, hand) for way in ("climb", "conventional") for hand in ("right", "left")]
)
def test_the_loupe_shows_the_chip_of_the_moment_on_its_scale(way: str, hand: str) -> None:
    setup = cut(way, hand, False)
    e = engagement(setup)
    phi = e.entry + 0.5 * e.arc
    theme, results = look("light"), arc_results(setup)
    scene = PlanScene.of(results, math.degrees(phi))
    image = QImage(900, 760, QImage.Format.Format_RGB32)
    image.fill(theme.color("panel"))
    painter = QPainter(image)
    paint_plan(painter, RECT, scene, theme)
    painter.end()
    frame = PlanFrame.of(RECT, theme, False)
    centre, radius = loupe_place(scene, frame)
    # On the side that the work leaves free: opposite on the two hands, and in the two directions.
    assert (centre.x() < frame.centre.x()) is ((way == "climb") == (hand == "right"))
    h = float(thickness(phi, setup, "trochoid", runout=False))
    tip, scale = tip_place(centre, radius), loupe_scale(scene, radius)
    column = round(centre.x() + 0.45 * radius)
    wanted = colour_of(h / scene.top).name()
    rows = [
        y
        for y in range(round(centre.y() - radius), round(centre.y() + radius))
        if image.pixelColor(column, y).name() == wanted
    ]
    assert rows and tip.y() - rows[0] == pytest.approx(h * scale, abs=2.5)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_pair_is_climb_on_the_left_on_one_scale_at_the_same_progress(hand: str) -> None:
    with window_on(cut("conventional", hand, False), pair=True, angle_deg=25.0) as window:
        (climb, _), (conventional, _) = window.arc.plan.frames()
        assert climb.results.setup.cut.direction == "climb" and not climb.conventional and conventional.conventional
        assert climb.top == conventional.top and climb.force_top == conventional.force_top
        assert climb.shapes.magnification == conventional.shapes.magnification
        expected = paired_angle(math.radians(25.0), conventional.results.engagement, climb.results.engagement)
        assert climb.angle_deg == pytest.approx(math.degrees(expected))
        # The work lies to opposite sides.
        assert (
            climb.shapes.walls[0][0, 0] == -conventional.shapes.walls[0][0, 0] == (1.0 if hand == "right" else -1.0)
        )
