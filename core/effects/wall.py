"""The wall that is left: the cutter bent aside at the moment when an edge makes the wall.

An edge makes the wall when it passes phi = 0 (conventional) or 180 (climb); along a helix each height does so at a
time of its own, under the loads of that time, each of which bends the cutter from its own height
(:mod:`core.effects.edge_bend`).  Static; a positive error leaves stock, a negative one undercuts.  Kline, DeVor,
Shareef, The prediction of surface accuracy in end milling, J. Eng. Ind. 104 (1982) 272 (from memory), build it the
same way.

With runout every tooth passes each height; the one that reaches furthest makes the wall there.  Its reach beyond the
nominal radius is part of the error: a rigid cutter that runs out by 0.01 mm cuts the wall 0.01 mm too deep.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..force.edge_law import EdgeLaw
from ..force.force_turn import INSIDE, NOTHING
from ..maths.angles import lag_per_mm
from ..maths.arrays import Array
from ..maths.smooth_pieces import SmoothPieces, sample_places
from ..setup.setup import Setup
from .cutter_bending import HeldCutter, held_cutter
from .edge_bend import MOST_EDGES, bend, bend_parts, bends, counts
from .edge_loads import MANY_TEETH, EdgeLoads, edge_loads
from .rubbing import forms_no_chip

PLACES, FEWEST = 17, 5
"""Samples of each smooth piece of a wall or of a turn: fewer where there are many pieces."""

SAMPLES = 160
"""About how many samples a wall or a turn has, those of each tooth counted with runout."""

MOST_KINKS = 96
"""Kinks beyond which they are not looked for one by one: cutters that wind round and round their axis."""

MOST_KINKS_OF_TEETH = 480
"""The same with runout, the kinks of each tooth counted."""


_QUARTERS = np.linspace(0.0, 1.0, 5)


@dataclass(frozen=True, slots=True, eq=False)
class WallMaker:
    """What makes a wall: the setup, the loads of its teeth, the cutter as it is held, the ends of the arc (rad)."""

    setup: Setup
    loads: EdgeLoads
    held: HeldCutter
    entry: float
    leave: float

    @property
    def scale(self) -> float:
        """Movement (mm) under the force of a whole edge at one angle, where it is greatest of a few, at the tip."""
        u = self.entry + (self.leave - self.entry) * _QUARTERS
        force = self.loads.per_mm * self.setup.cut.axial_engagement_mm * np.abs(self.loads.law.across(u)).max()
        return float(force) / self.held.tip_stiffness

    def errors(self, height: Array) -> Array:
        """Signed error (teeth, n) mm at heights (n,) mm that each tooth would leave by itself."""
        return self.errors_under([(self.loads.law, self.held)], height)[0]

    def errors_under(self, ways: Sequence[tuple[EdgeLaw, HeldCutter]], height: Array) -> Array:
        """As :meth:`errors`, (ways, teeth, n), under laws and bars of other coefficients and other stiffness."""
        height, phi = self._makes_wall(height)
        moved = bends(height, phi, self.entry, self.leave, self.setup, self.loads, ways)
        return self._left(moved.reshape(len(ways), len(self.loads.wall_teeth), -1))

    def errors_and_tip_parts(self, height: Array) -> tuple[Array, Array | None]:
        """As :meth:`errors`, and at the first height what those under other laws and bars are made of.

        The parts (parts, teeth) are for :meth:`errors_of_parts`; None where the load is taken as its mean.
        """
        places, phi = self._makes_wall(height)
        parts = bend_parts(places, phi, self.entry, self.leave, self.setup, self.loads, self.held)
        if parts is None:
            return self.errors(height), None
        moved = np.array(counts(self.loads, self.loads.law, self.held)) @ parts
        return self._left(moved.reshape(-1, len(height))), parts[:, :: len(height)]

    def errors_of_parts(self, parts: Array, counted: Array) -> Array:
        """Errors (ways, teeth) mm at one height, of parts (parts, teeth) that count ``counted`` (ways, parts)."""
        return self._left((counted @ parts)[..., None])[..., 0]

    def _makes_wall(self, height: Array) -> tuple[Array, Array]:
        """Heights (mm) and tip angles (rad), (teeth * n,), at which each tooth that may makes the wall there."""
        phi = makes_wall(height, self.setup)[0]
        each = self.loads.wall_teeth
        if len(each) > 1:
            height = np.tile(height, len(each))
        return height, (phi + (2.0 * np.pi / self.setup.cutter.teeth) * each[:, None]).reshape(-1)

    def _left(self, moved: Array) -> Array:
        """What movements (..., teeth, n) mm as a tooth makes the wall leave on it, mm."""
        return np.asarray(_sign(self.setup) * moved - self.loads.reach[self.loads.wall_teeth, None])

    def tip_movement(self, phi: Array) -> Array:
        """Movement (n,) mm of the tip in x with tooth 0 at ``phi`` (n,) rad."""
        return bend(np.zeros(phi.shape), phi, self.entry, self.leave, self.setup, self.loads, self.held)

    def meets(self) -> Array:
        """Tip angles (rad, ascending, 0 and the pitch in) where a load begins, ends or has a corner."""
        e, pitch = engagement(self.setup), 2.0 * np.pi / self.setup.cutter.teeth
        # Teeth that are alike all have the same ends.
        arcs = {min(max(a, self.entry), self.leave) for a in (*self.loads.first.tolist(), *self.loads.last.tolist())}
        ends = sorted({0.0, pitch, *(a % pitch for a in arcs), *((a + e.edge_lag) % pitch for a in arcs)})
        # Corners nearer than the one-sided limits are one corner.
        return np.array([0.0, *[b for a, b in pairwise(ends) if b - a > 4.0 * INSIDE]])


def makes_wall(height: ArrayLike, setup: Setup) -> tuple[Array, float]:
    """Tip angle (rad) at which the edge at ``height`` (mm) makes the wall, and the sign from movement to error."""
    trailing = lag_per_mm(setup.cutter.helix_deg, setup.cutter.diameter_mm) * np.asarray(height, float)
    sign = _sign(setup)
    return np.asarray(trailing + INSIDE if sign > 0.0 else np.pi + trailing - INSIDE), sign


def _sign(setup: Setup) -> float:
    """From a movement in x to the error: off a conventional wall is to the right, off a climb wall to the left."""
    return 1.0 if setup.cut.direction == "conventional" else -1.0


def no_chip_forms(setup: Setup) -> bool:
    """Whether the chip is nowhere thick enough to form; False where the edge radius is not known.

    With runout by the tooth that cuts most.
    """
    return forms_no_chip(setup)


@lru_cache(maxsize=64)
def wall_maker(setup: Setup) -> WallMaker | None:
    """What bends the cutter of a setup; None where force or stiffness is not known."""
    loads, held = edge_loads(setup), held_cutter(setup)
    if loads is None or held is None:
        return None
    e = engagement(setup)
    return WallMaker(setup, loads, held, e.entry, e.exit)


@lru_cache(maxsize=64)
def one_sided(setup: Setup) -> WallMaker | None:
    """What makes the one wall of a setup; None where it is not known or not defined, or where no chip forms."""
    if setup.cut.direction == "straddling" or no_chip_forms(setup):
        return None
    return wall_maker(setup)


def wall_error(height: ArrayLike, setup: Setup) -> Array | None:
    """Signed error of the wall (mm) at heights (mm above the tip); None where it is not defined or not known.

    Not defined for a straddling cut, nor where no chip forms.  What is but rounding beside the greatest movement is
    0: an edge that has only just touched makes a true wall.
    """
    maker = one_sided(setup)
    if maker is None:
        return None
    at = np.asarray(height, float)
    error = maker.errors(at.reshape(-1)).min(axis=0).reshape(at.shape)
    return beyond_rounding(error, setup)


def runout_reach(setup: Setup) -> float | None:
    """How far (mm) the tooth that makes the wall at the tip reaches beyond the nominal radius; None without a wall.

    It is in the error; what is left of it is the deflection.  A cutter that is measured as it runs, or a radius that
    is corrected after a first part, has it in its radius already.
    """
    maker = one_sided(setup)
    if maker is None:
        return None
    at_tip = maker.errors(np.zeros(1))[:, 0]
    return float(maker.loads.reach[maker.loads.wall_teeth[int(at_tip.argmin())]])


def beyond_rounding(error: ArrayLike, setup: Setup) -> Array:
    """Errors (mm) of which those are 0 that are but rounding beside what one tooth's whole edge moves."""
    maker = wall_maker(setup)
    greatest = 0.0 if maker is None else maker.scale
    return np.where(np.abs(error) <= NOTHING * greatest, 0.0, error)


@lru_cache(maxsize=64)
def tip_movement(setup: Setup) -> tuple[float, float] | None:
    """Least and greatest movement (mm) of the tip in x over a turn, + to the right; None where not known."""
    maker = wall_maker(setup)
    if maker is None:
        return None
    pitch, meets = 2.0 * np.pi / setup.cutter.teeth, maker.meets()
    turns = 1 if maker.loads.alike else setup.cutter.teeth
    if turns * len(meets) > MOST_KINKS_OF_TEETH:
        meets = np.linspace(0.0, pitch, 4)
    low = (meets[:-1] + pitch * np.arange(turns)[:, None]).reshape(-1) + INSIDE
    high = (meets[1:] + pitch * np.arange(turns)[:, None]).reshape(-1) - INSIDE
    count = samples_of_each(len(low))
    at = np.stack([sample_places(np.array(ends), count)[0] for ends in zip(low, high, strict=True)])
    moved = SmoothPieces(np.append(low, high[-1]), maker.tip_movement(at.reshape(-1)).reshape(1, *at.shape))
    places = np.array([at for _, at in moved.ends()])
    # Worked out at the places found: a place that is a little off costs the square of that.  At a jump of a straight
    # edge the place may be on its other side, and the sample at the end of the piece stands.
    least, greatest = maker.tip_movement(places).tolist()
    least, greatest = min(least, float(moved.values.min())), max(greatest, float(moved.values.max()))
    level = NOTHING * max(greatest, -least)
    return tuple(0.0 if abs(v) <= level else v for v in (least, greatest))  # type: ignore[return-value]


def samples_of_each(pieces: int) -> int:
    """How many samples each of so many pieces has."""
    return min(max(SAMPLES // max(pieces, 1), FEWEST + 2), PLACES)


def wall_pieces(maker: WallMaker) -> Array:
    """Heights (mm) from tip to top between which the error of the wall is smooth, ascending, both ends in."""
    setup = maker.setup
    cutter, depth = setup.cutter, setup.cut.axial_engagement_mm
    joints = [joint for joint in maker.held.joints if joint < depth]
    slope = lag_per_mm(cutter.helix_deg, cutter.diameter_mm)
    pitch = 2.0 * np.pi / cutter.teeth
    turns = slope * depth / pitch
    ends = [0.0, depth, *joints]
    meets = maker.meets()[:-1]
    makers = len(maker.loads.wall_teeth)
    most = MOST_KINKS if makers == 1 else MOST_KINKS_OF_TEETH // makers
    few = turns * len(meets) <= most and (1 + slope * depth / (2.0 * np.pi)) * cutter.teeth <= MOST_EDGES
    if slope * depth >= STRAIGHT and few:
        start = float(makes_wall(0.0, setup)[0])
        firsts = [(angle - start) % pitch for angle in meets.tolist()]
        kinks = [(first + pitch * k) / slope for k in range(int(turns) + 1) for first in firsts]
        ends += [kink for kink in kinks if kink < depth]
    edges = [0.0, *[b for a, b in pairwise(sorted(set(ends))) if b - a > 1e-9 * depth]]
    edges[-1] = depth
    return np.array(edges)


def wall_curves(maker: WallMaker) -> SmoothPieces:
    """The error that each tooth would leave by itself, over the depth: its least over the teeth is the wall."""
    return wall_curves_and_tip_parts(maker)[0]


def wall_curves_and_tip_parts(maker: WallMaker) -> tuple[SmoothPieces, Array | None]:
    """As :func:`wall_curves`, with the parts of the error at the tip: :meth:`WallMaker.errors_and_tip_parts`."""
    edges = wall_pieces(maker)
    if len(edges) == 2:
        # Even parts stand in for kinks that are not looked for.
        edges = np.linspace(0.0, edges[1], 5)
    makers = len(maker.loads.wall_teeth)
    count = samples_of_each(len(edges) - 1) if makers < MANY_TEETH else FEWEST
    at = sample_places(edges, count)
    errors, parts = maker.errors_and_tip_parts(at.reshape(-1))
    return SmoothPieces(edges, errors.reshape(makers, *at.shape)), parts
