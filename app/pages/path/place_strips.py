"""Under the tooth of a place: its chip and the cutter's force over the half turn, as the Arc page's strips have them.

The axes are those of the whole path, so that they hold still while the hand goes along it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.label_layout import text_size
from app.kit.look import SMOOTH, Look
from app.kit.readable_ranges import AxisRange, readable_range
from app.kit.shapes import polygon, polyline
from app.kit.smaller_type import type_that_fits
from app.kit.thickness_colours import colour_of
from app.kit.xy_chart import Figures, XYChart, paint_across, paint_up, plain, widest_figure
from app.pages.path.path_scene import unit_of
from core.base.quantities import QUANTITIES, Units
from core.base.words import say
from core.maths.angles import clock
from core.maths.arrays import Array
from core.path.loads import force_over
from core.path.samples import Samples
from core.path.whole_path import WholePath
from core.setup.setup import Hand

PHI = np.linspace(0.0, math.pi, 181)
HOURS = AxisRange(0.0, 180.0, 30.0)

LEAST, BOTH = 74.0, 150.0
"""Height, pixels, under which no strip is drawn, and from which there are two."""


@dataclass(frozen=True, slots=True, eq=False)
class PlaceStrips:
    """Chips (phi rad, thickness mm) of each interval, force (181, 2) N or None.

    most_chip, most_force : the greatest of the whole path.  dashed : whether the place cuts conventional.
    hand : of the cutter: a left-hand one runs its clock backward.
    """

    chips: tuple[tuple[Array, Array], ...]
    force: Array | None
    most_chip: float
    most_force: float
    dashed: bool
    hand: Hand


def place_strips(whole: WholePath, here: Samples) -> PlaceStrips:
    """The strips of one place."""
    setup, feed = whole.setup, float(here.feed[0])
    sine = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    chips = []
    for entry, leave in zip(here.engaged.entry.tolist(), here.engaged.exit.tolist(), strict=True):
        phi = np.linspace(entry, leave, max(8, int((leave - entry) * 40)))
        chips.append((phi, feed * sine * np.sin(phi)))
    most = whole.samples.h_max[np.isfinite(whole.samples.h_max)]
    forces = whole.samples.loads.resultant[np.isfinite(whole.samples.loads.resultant)]
    return PlaceStrips(
        tuple(chips),
        force_over(PHI, here.engaged, feed, setup),
        float(most.max()) if len(most) else feed,
        float(forces.max()) if len(forces) else 0.0,
        int(here.way[0]) == 1,
        setup.cutter.hand,
    )


def paint_place_strips(painter: QPainter, rect: QRectF, strips: PlaceStrips, units: Units, look: Look) -> None:
    """One strip, or two where there is room for them."""
    if rect.height() < LEAST:
        return
    painter.save()
    painter.setRenderHint(SMOOTH)
    both = rect.height() >= BOTH and strips.force is not None and strips.most_force > 0.0
    height = rect.height() / (2.0 if both else 1.0)
    titles = [chip_title(units), *([force_title(units)] if both else [])]

    def fits(tried: Look) -> bool:
        # Large type leaves the curve its height: title above, hours below.
        wide = max(text_size(tried.font("small", bold=True), title).width() for title in titles)
        high = height - _over(tried) - tried.small - 9.0
        return high >= 1.6 * tried.small and wide <= rect.width() - 4.0

    look = type_that_fits(look, fits)
    _paint_chip(painter, QRectF(rect.left(), rect.top(), rect.width(), height), strips, units, look)
    if both:
        _paint_force(painter, QRectF(rect.left(), rect.top() + height, rect.width(), height), strips, units, look)
    painter.restore()


def chip_title(units: Units) -> str:
    """What stands over the chip's strip."""
    return say("path_page", "strip_chip", unit=unit_of("chip", units))


def force_title(units: Units) -> str:
    """What stands over the force's strip."""
    return say("path_page", "strip_force", unit=QUANTITIES["force"].unit_in(units))


def _over(look: Look) -> float:
    """Pixels over a plot: its title, and in large type half of its highest figure under that."""
    return max(look.small + 12.0, 1.7 * look.small)


def _chart(painter: QPainter, rect: QRectF, title: str, up: AxisRange, hand: Hand, look: Look) -> XYChart:
    def hour(degrees: float) -> str:
        return clock(degrees, hand).partition(":")[0]

    # A figure that is cut off at its left has lost its sign.
    left = max(44.0, widest_figure(up, look.font("small")) + 8.0)
    plot = rect.adjusted(left, _over(look), -12.0, -(look.small + 9.0))
    chart = XYChart.filling(plot, HOURS, up)
    painter.setFont(look.font("small", bold=True))
    painter.setPen(look.color("ink"))
    painter.drawText(QPointF(rect.left() + 4.0, rect.top() + look.small + 3.0), title)
    paint_across(painter, chart, look, Figures(hour, 3.0, every=1 if plot.width() > 240.0 else 2))
    paint_up(painter, chart, look, Figures(plain(up), 4.0, left - 4.0, every=chart.up.every(look.small + 3.0)))
    return chart


def _paint_chip(painter: QPainter, rect: QRectF, strips: PlaceStrips, units: Units, look: Look) -> None:
    q = QUANTITIES["chip_thickness"]
    up = readable_range(0.0, q.shown(strips.most_chip, units), 3)
    chart = _chart(painter, rect, chip_title(units), up, strips.hand, look)
    for phi, h in strips.chips:
        pixels = chart.points(np.degrees(phi), h * q.shown(1.0, units))
        base = chart.y(0.0)
        painter.setPen(Qt.PenStyle.NoPen)
        # Smoothed edges would leave seams between the colours.
        painter.setRenderHint(SMOOTH, False)
        for a in range(len(phi) - 1):
            share = float(h[a : a + 2].mean()) / max(strips.most_chip, 1e-12)
            painter.setBrush(colour_of(min(share, 1.0), look.thick_is_dark))
            corners = [[pixels[a, 0], base], *pixels[a : a + 2].tolist(), [pixels[a + 1, 0], base]]
            painter.drawPolygon(polygon(np.array(corners)))
        painter.setRenderHint(SMOOTH)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(look.pen("ink", "line", dashed=strips.dashed))
        painter.drawPolyline(polyline(pixels[:, 0], pixels[:, 1]))


def _paint_force(painter: QPainter, rect: QRectF, strips: PlaceStrips, units: Units, look: Look) -> None:
    assert strips.force is not None
    q = QUANTITIES["force"]
    most = q.shown(strips.most_force, units)
    up = readable_range(-most, most, 4)
    chart = _chart(painter, rect, force_title(units), up, strips.hand, look)
    painter.setFont(look.font("small", bold=True))
    curves = [chart.points(np.degrees(PHI), strips.force[:, i] * q.shown(1.0, units)) for i in (0, 1)]
    ends = [float(curve[-1, 1]) for curve in curves]
    # The letters stand beside their curves, one under the other where those end close together.
    middle, apart = 0.5 * sum(ends), 0.5 * max(abs(ends[1] - ends[0]), look.small)
    sides = (-apart, apart) if ends[0] <= ends[1] else (apart, -apart)
    for role, name, curve, side in zip(("main", "second"), ("x", "y"), curves, sides, strict=True):
        painter.setPen(look.pen(role, "line"))
        painter.drawPolyline(polyline(curve[:, 0], curve[:, 1]))
        painter.drawText(QPointF(chart.plot.right() + 3.0, middle + side + 4.0), name)
    painter.setPen(look.pen("soft", "hair"))
    painter.drawLine(QLineF(chart.plot.left(), chart.y(0.0), chart.plot.right(), chart.y(0.0)))
