"""An inside corner of a pocket, without any file: what the cutter goes through on its way round.

Corner radius, stepover and cutter make a small program and the stock that the pass before has left; both run
through the same engagement as any program.  The pass before ran ``stepover`` inside this one with the same cutter:
its corner is concentric where it can be, and as sharp as the cutter where it cannot.  Two straight walls at a right
angle; ramps and plunges are out of scope.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..base.errors import ChiparcError
from ..base.language import in_language
from ..base.words import say
from ..setup.setup import Setup
from .engagement_along import PathEngagement
from .fed_length import fed_length
from .held_feed import held_share
from .moves import ARC, LINE, Loop, Moves, Program, Stock
from .samples import Samples, samples
from .spikes import arc_profile

Array = NDArray[np.float64]

FINE = 40.0
"""Samples for each diameter of path."""

_BULGE = math.tan(math.pi / 8.0)
"""Bulge of a quarter of a circle."""

PLACES = 65
"""Places on each stretch at which the longest arc is looked for."""

RADIUS_NEAR = 1e-4
"""How near, in cutter diameters, the smallest corner radius is found."""

WIDEST = 200.0
"""Corner radius, in cutter diameters, from which a corner is taken for a straight wall."""


@dataclass(frozen=True, eq=False)
class Corner:
    """An inside corner of ``radius`` mm: its program, stock, and figures along it.

    climb : whether it is climbed.  samples : along the path; ``samples.s`` ascends.  peak : the sample with the
    longest arc.  held : (m,) share of the feed that holds the straight cut's greatest chip thickness, at most 1.
    """

    radius: float
    climb: bool
    program: Program
    stock: Stock
    samples: Samples
    peak: int
    held: Array

    @property
    def arc(self) -> Array:
        """(m,) arc of engagement, rad."""
        return self.samples.engaged.arc


def corner_program(
    diameter: float, radius: float, stepover: float, depth: float, wall_right: bool
) -> tuple[Program, Stock]:
    """The pass round a corner of ``radius`` mm and the stock that the pass before left; lengths in mm.

    wall_right : the wall lies on the right of the feed, and the path turns left; else both mirrored.  The first
    straight stretch is long enough to be an even cut.  Raises ChiparcError for a corner tighter than the cutter.
    """
    r = diameter / 2.0
    if not radius >= r * (1.0 - 1e-9):
        allowed = say("corner", "radius_allowed", least=in_language(f"{r:.6g}"))
        raise ChiparcError(say("corner", "radius"), say("path_doubt", "found", value=radius), allowed)
    if not 0.0 < stepover < diameter:
        allowed = say("corner", "stepover_allowed", most=in_language(f"{diameter:.6g}"))
        raise ChiparcError(say("corner", "stepover"), say("path_doubt", "found", value=stepover), allowed)
    bend = max(radius - r, 0.0)
    bend = 0.0 if bend < 1e-6 else bend
    before = max(radius - stepover, r)
    run = bend + before + stepover + 2.5 * r
    side = 1.0 if wall_right else -1.0
    a, b = np.array([-r - bend, r]), np.array([-r, r + bend])
    points = [np.array([-run, r]), a, *([b] if bend else []), np.array([-r, run])]
    n = len(points) - 1
    ends = np.column_stack([np.array(points) * [1.0, side], np.full(n + 1, -depth)])
    centre, sweep, kind = np.full((n, 2), np.nan), np.zeros(n), np.full(n, LINE)
    if bend:
        centre[1], sweep[1], kind[1] = (-r - bend, side * (r + bend)), side * math.pi / 2.0, ARC
    nothing = np.full(n, np.nan)
    moves = Moves(kind, ends[:-1], ends[1:], centre, sweep, nothing, nothing, np.zeros(n), np.zeros(n, bool))
    far, thick = run + 3.0 * r, 1.5 * r
    outline = np.array(
        [
            [-far, -thick],
            [thick, -thick],
            [thick, far],
            [-stepover, far],
            [-stepover, stepover + before],
            [-stepover - before, stepover],
            [-far, stepover],
        ]
    )
    bulge = np.array([0.0, 0.0, 0.0, 0.0, -_BULGE, 0.0, 0.0])
    if not wall_right:
        # Mirrored, and run through the other way so that the material stays on the left: a side's bulge now belongs
        # to the point that was its end.
        outline = (outline * [1.0, -1.0])[::-1]
        bulge = np.roll(bulge[::-1], -1)
    return Program(moves, "mm"), Stock((Loop(outline, bulge),))


def _wall_right(setup: Setup) -> bool:
    """Whether the wall lies on the right of the feed; a straddling cut is taken round the corner in climb."""
    return (setup.cut.direction != "conventional") == (setup.cutter.hand == "right")


@lru_cache(maxsize=16)
def corner(setup: Setup, radius: float) -> Corner:
    """Arc, chip, force and wall round an inside corner with the setup's cutter, width, depth, feed and direction.

    A straddling cut is taken round the corner in climb, with its width as the stepover.  Raises ChiparcError.
    """
    cutter, cut = setup.cutter, setup.cut
    program, stock = corner_program(
        cutter.diameter_mm, radius, cut.radial_engagement_mm, cut.axial_engagement_mm, _wall_right(setup)
    )
    fed = fed_length(program.moves)
    path = PathEngagement(program.moves, stock, cutter.diameter_mm / 2.0, cutter.hand == "left")
    profile = arc_profile(path, fed)
    top = float(profile.s[int(np.argmax(profile.arc))])
    # Both sides of each joint: the heading turns at once in a sharp corner.
    joints = np.concatenate([fed.end[:-1] * (1.0 - 1e-7), fed.end[:-1]])
    s = np.unique(np.concatenate([fed.multiples(cutter.diameter_mm / FINE), joints, [top, fed.length]]))
    along = samples(path, fed, s, setup)
    held = np.minimum(held_share(along, float(along.h_max[0])), 1.0)
    peak = int(np.argmax(along.engaged.arc))
    return Corner(radius, cut.direction != "conventional", program, stock, along, peak, held)


@lru_cache(maxsize=256)
def corner_arc(diameter: float, stepover: float, radius: float) -> float:
    """The longest arc of engagement (rad) on the way round a corner; lengths in mm.  Raises ChiparcError.

    Even places on every stretch, then closer ones about the best, three times.
    """
    program, stock = corner_program(diameter, radius, stepover, 1.0, True)
    path = PathEngagement(program.moves, stock, diameter / 2.0)
    length = program.moves.length_mm
    share = np.linspace(0.0, 1.0, PLACES)
    move, at = np.repeat(np.arange(len(length)), PLACES), np.tile(share, len(length))
    step, greatest = 1.0 / (PLACES - 1), 0.0
    for _ in range(4):
        arc = path.at(move, at * length[move]).arc
        best = int(np.argmax(arc))
        greatest = max(greatest, float(arc[best]))
        near = at[best] + step * np.linspace(-1.0, 1.0, 33)
        move, at, step = np.full(33, move[best]), np.clip(near, 0.0, 1.0), step / 16.0
    return greatest


def smallest_corner_radius(diameter: float, stepover: float, arc: float) -> float | None:
    """The smallest inside corner radius (mm) that keeps the arc of engagement at or below ``arc`` rad.

    None where the straight wall alone has as long an arc, or a corner so wide that it is as good as straight.  The
    arc falls as the radius grows, so that halving finds it.
    """
    low, high = diameter / 2.0, WIDEST * diameter
    if corner_arc(diameter, stepover, low) <= arc:
        return low
    if corner_arc(diameter, stepover, high) > arc:
        return None
    while high - low > RADIUS_NEAR * diameter:
        middle = math.sqrt(low * high) if high > 2.0 * low else 0.5 * (low + high)
        if corner_arc(diameter, stepover, middle) > arc:
            low = middle
        else:
            high = middle
    return high


def widest_stepover(diameter: float, radius: float, arc: float) -> float | None:
    """The widest stepover (mm) that keeps the arc in a corner of ``radius`` mm at or below ``arc`` rad, or None.

    The arc grows with the stepover, so that halving finds it.
    """
    low, high = 1e-4 * diameter, diameter * (1.0 - 1e-6)
    if corner_arc(diameter, low, radius) > arc:
        return None
    if corner_arc(diameter, high, radius) <= arc:
        return high
    while high - low > RADIUS_NEAR * diameter:
        middle = 0.5 * (low + high)
        if corner_arc(diameter, middle, radius) > arc:
            high = middle
        else:
            low = middle
    return low


@dataclass(frozen=True, slots=True)
class StepoverRow:
    """A stepover (mm): the straight arc and that in the corner (rad), and the greatest chip of both, mm."""

    stepover: float
    straight: float
    corner: float
    straight_chip: float
    corner_chip: float


SHARES = (0.02, 0.05, 0.1, 0.2, 0.3, 0.5)
"""Stepovers of the planner's table, in cutter diameters."""


def stepover_rows(setup: Setup, radius: float) -> tuple[StepoverRow, ...]:
    """Stepover against arc and chip, straight and in an inside corner of ``radius`` mm, at the setup's feed."""
    d, feed = setup.cutter.diameter_mm, setup.cut.feed_per_tooth_mm
    feed *= math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    rows = []
    for share in SHARES:
        straight, bent = 2.0 * math.asin(math.sqrt(share)), corner_arc(d, share * d, radius)
        chips = (feed * math.sin(min(arc, math.pi / 2.0)) for arc in (straight, bent))
        rows.append(StepoverRow(share * d, straight, bent, *chips))
    return tuple(rows)
