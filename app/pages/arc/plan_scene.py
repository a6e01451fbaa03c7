"""What the plan shows of one cut, ready to be painted: shapes in cutter radii, texts, the moving angle."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from app.kit.readable_ranges import AxisRange, kept_range
from app.kit.shapes import arc_points
from app.pages.arc.loupe_scene import waves_at
from app.pages.arc.plan_ends import SkinShapes, exit_corner, skin_shapes
from core.base.quantities import QUANTITIES, Units, clear_figure, number
from core.base.words import say
from core.cut.chip import true_thickness_at
from core.cut.cutter_outline import cutter_outline
from core.cut.runout_chips import runout_band
from core.cut.true_chip import true_chip
from core.effects.arc_results import ArcResults
from core.force.force_at_angle import ForceAtAngle, force_at_angle
from core.force.force_turn import force_turn
from core.maths.angles import clock
from core.maths.arrays import Array, frozen
from core.setup.setup import Setup
from core.setup.show import EVERYTHING, Shown
from core.strips.heat_strip import temperature_strip

if TYPE_CHECKING:
    from app.pages.arc.pinned import Ghost

_RIM, _ARC = np.linspace(0.0, 1.0, 96), np.linspace(0.0, 1.0, 64)

REACH = 1.62
"""Half the side of the square, in cutter radii, that the drawing needs about the axis."""

STEPS = (*(m * 10**e for e in range(5) for m in (1, 2, 3, 4, 5, 6, 8)), 15, 25, 150, 250)
"""Round factors of magnification."""


def side_of(setup: Setup) -> float:
    """1 for a right-hand cutter, -1 for a left-hand one, whose picture is the mirror image."""
    return -1.0 if setup.cutter.hand == "left" else 1.0


@dataclass(frozen=True, slots=True, eq=False)
class ChipBand:
    """One tooth's chip along its arc: angle (n,) rad, thickness (n,) in cutter radii and as a share of its scale.

    ``ring`` (2n, 2) is its outline as it is drawn, in cutter radii: along the arc from entry to exit, and back along
    its inner side.
    """

    phi: Array
    h: Array
    share: Array
    ring: Array

    @classmethod
    def of(cls, phi: Array, h: Array, share: Array, side: float, times: int) -> ChipBand:
        """The chip that is drawn so many times as thick, mirrored where ``side`` is -1."""
        outer = arc_points(phi, side)
        inner = outer * (1.0 - times * h)[:, None]
        return cls(phi, frozen(h), frozen(share), frozen(np.concatenate([outer, inner[::-1]])))


def tooth_in_cut(results: ArcResults, angle_deg: float) -> int:
    """Which tooth is in the work (the one that is farthest through), or meets it next; tooth 0 is at the angle.

    Tooth j follows tooth 0 by j pitches.
    """
    teeth, e = results.setup.cutter.teeth, results.engagement
    pitch, first, last = 360.0 / teeth, math.degrees(e.entry), math.degrees(e.exit)
    since = [(angle_deg - pitch * j - first) % 360.0 for j in range(teeth)]
    inside = [j for j in range(teeth) if since[j] <= last - first]
    return max(inside or range(teeth), key=since.__getitem__)


@dataclass(frozen=True, slots=True, eq=False)
class PlanShapes:
    """Shapes of a setup that do not move: (n, 2) arrays, x right, y up, in cutter radii, already mirrored.

    ``chip`` is the chip of teeth that are alike, ``rim`` the arc of the tip in the work.
    ``each`` is each tooth's own chip where there is runout; ``skin`` and ``exit_corner`` are None where there is
    nothing of the kind to show.
    """

    outline: Array
    chip: ChipBand
    magnification: int
    rim: Array
    work: tuple[Array, ...]
    walls: tuple[Array, ...]
    edges: tuple[float, ...]
    skin: SkinShapes | None = None
    exit_corner: Array | None = None
    each: tuple[ChipBand, ...] | None = None


@dataclass(frozen=True, slots=True)
class PlanScene:
    """One plan: the results, the active tooth's angle, units, and whether it is drawn as the other of a pair.

    ``force`` is that of this moment (None where it is not known), ``force_top`` the force (N) drawn full length.
    ``second`` : it is the other one of a pair; of a straddling pair ``mirrored`` as the first one's mirror image, or
    ``compared``: at another offset, where its edges are no handles.
    ``moves`` : which of "work" and "cutter" moves where the tooth goes round by itself.
    ``ghost`` : the pinned cut, ``note`` its figures in fewer and fewer words, in place of the ``hint``.
    ``top`` : chip thickness (mm) at the end of the scale of colours, by which the chip is magnified too.
    ``side`` : 1 for a right-hand cutter, -1 for a left-hand one, whose picture is the mirror image.
    ``heated`` : the edge is coloured by ``rise`` (K) of this moment, ``rise_top`` at its hottest; nan if not known.
    ``shown`` : which elements are in sight.
    ``waves`` : the wall's waves in the loupe, (n, 2) mm beside and above the tip; None where the tip makes no wall.
    """

    results: ArcResults
    angle_deg: float
    shapes: PlanShapes
    units: Units = "metric"
    title: str = ""
    hint: str = ""
    force: ForceAtAngle | None = None
    force_top: float = 0.0
    heated: bool = False
    rise: float = math.nan
    rise_top: float = 0.0
    second: bool = False
    mirrored: bool = False
    compared: bool = False
    moves: str = "work"
    ghost: Ghost | None = None
    note: tuple[str, ...] = ()
    top: float = 0.0
    side: float = 1.0
    shown: Shown = EVERYTHING
    waves: Array | None = field(default=None, compare=False)

    @classmethod
    def of(
        cls,
        results: ArcResults,
        angle_deg: float,
        units: Units = "metric",
        title: str = "",
        *,
        hint: str = "",
        top: float = 0.0,
        shown: Shown = EVERYTHING,
        moves: str = "work",
        heated: bool = False,
        second: bool = False,
        mirrored: bool = False,
        compared: bool = False,
    ) -> PlanScene:
        """The scene of these results with the active tooth at ``angle_deg``; 0 for ``top`` takes the cut's own."""
        setup, top = results.setup, top or readable_top(results, units)
        rise, hottest = _rise(setup, angle_deg) if heated else (math.nan, 0.0)
        return cls(
            results,
            angle_deg,
            plan_shapes(results, top),
            units,
            title,
            hint,
            force_at_angle(setup, math.radians(angle_deg)),
            greatest_force(results),
            heated,
            rise,
            hottest,
            second,
            mirrored,
            compared,
            moves,
            top=top,
            side=side_of(setup),
            shown=shown,
            waves=waves_at(setup, top, angle_deg),
        )

    def turned(self, angle_deg: float) -> PlanScene:
        """The same plan with the active tooth at another angle."""
        setup = self.results.setup
        force, waves = force_at_angle(setup, math.radians(angle_deg)), waves_at(setup, self.top, angle_deg)
        rise, hottest = _rise(setup, angle_deg) if self.heated else (math.nan, 0.0)
        return replace(self, angle_deg=angle_deg, force=force, rise=rise, rise_top=hottest, waves=waves)

    @property
    def conventional(self) -> bool:
        """Conventional is drawn dashed, climb solid."""
        return self.results.setup.cut.direction == "conventional"

    def place(self, phi: float, radius: float = 1.0) -> tuple[float, float]:
        """Place of an angle (rad) on the picture in cutter radii, mirrored where the cutter is."""
        return -radius * math.cos(phi) * self.side, radius * math.sin(phi)

    def thickness_here(self) -> float:
        """True-path thickness (mm) at the tooth whose chip is shown, its own with runout; nan in the air."""
        uneven = self.shapes.each is not None
        r, phi = self.results, math.radians(self.tooth_deg if uneven else self.angle_deg)
        if not r.true_entry <= phi <= r.true_exit:
            return float("nan")
        return _true_thickness(r.setup, phi, self.tooth if uneven else 0)

    @property
    def tooth(self) -> int:
        """The tooth whose chip is shown: the active one; with runout the one that is in the work or comes next."""
        if self.shapes.each is None:
            return 0
        return tooth_in_cut(self.results, self.angle_deg)

    @property
    def tooth_deg(self) -> float:
        """Where that tooth's tip stands, degrees."""
        if self.shapes.each is None:
            return self.angle_deg
        pitch = 360.0 / self.results.setup.cutter.teeth
        return (self.angle_deg - pitch * self.tooth + 90.0) % 360.0 - 90.0

    def chip(self) -> ChipBand:
        """The chip that is shown."""
        shapes = self.shapes
        return shapes.chip if shapes.each is None else shapes.each[self.tooth]

    def clock_of(self, phi: float) -> str:
        """Clock time of an angle (rad) on this picture."""
        return clock(math.degrees(phi), self.results.setup.cutter.hand)

    def ends(self) -> tuple[tuple[float, str, str], tuple[float, str, str]]:
        """Angle, first and second line of the callouts at entry and exit."""
        return _ends(self.results, self.units)

    def skin_words(self) -> tuple[str, str]:
        """What teeth do with the skin at entry and at exit; empty where they meet none."""
        skin = self.shapes.skin
        return ("", "") if skin is None else (skin.at_entry, skin.at_exit)

    def feed_text(self) -> str:
        """Feed per tooth as it stands beside the arrow."""
        return clear_figure(self.results.setup.cut.feed_per_tooth_mm, "feed_per_tooth", self.units, counting=1)

    def scale_texts(self) -> tuple[str, ...]:
        """How the chip is magnified, in fewer and fewer words."""
        m = self.shapes.magnification
        if m == 1:
            return say("plan", "chip_true"), say("plan", "chip_true_short")
        least = say("plan", "chip_least", times=m)
        return say("plan", "chip", times=m), say("plan", "chip_short", times=m), least

    def scale_ends(self) -> tuple[str, str]:
        """Ends of the thickness scale; the last colour stands for all beyond, where the scale is held."""
        over = "≥ " if scale_top(self.results) > self.top * (1.0 + 1e-9) else ""
        return "0", over + clear_figure(self.top, "chip_thickness", self.units, counting=1)


def _rise(setup: Setup, angle_deg: float) -> tuple[float, float]:
    """Rise of the edge (K) at an angle, and at its hottest, as the strip shows them; nan where not known."""
    curve = temperature_strip(setup).curves[0]
    return float(np.interp(angle_deg, curve.phi_deg, curve.values)), float(np.fmax.reduce(curve.values))


@lru_cache(maxsize=16)
def _ends(r: ArcResults, units: Units) -> tuple[tuple[float, str, str], tuple[float, str, str]]:
    """See :meth:`PlanScene.ends`: one step of a drag asks for them twice."""
    e, hand = r.engagement, r.setup.cutter.hand
    rub_in, rub_out = math.degrees(r.rub_entry), math.degrees(r.rub_exit)
    second = []
    for h, rub in ((r.trochoid.h_entry, rub_in), (r.trochoid.h_exit, rub_out)):
        # What is left of a chip by rounding alone is nothing.
        real = h if h > 1e-9 * r.setup.cut.feed_per_tooth_mm else 0.0
        shown = clear_figure(real, "chip_thickness", units, counting=1)
        rubs = rub > 0.05
        second.append(say("plan", "h_rubs", h=shown, rubs=number(rub, 1)) if rubs else say("plan", "h", h=shown))
    return (
        (e.entry, say("plan", "enters", clock=clock(math.degrees(e.entry), hand)), second[0]),
        (e.exit, say("plan", "leaves", clock=clock(math.degrees(e.exit), hand)), second[1]),
    )


def direction_title(setup: Setup) -> str:
    """What a plan is called."""
    cut = setup.cut
    slot = cut.direction == "straddling" and cut.radial_engagement_mm >= setup.cutter.diameter_mm
    return say("plan", "slot" if slot else cut.direction)


def scale_top(results: ArcResults) -> float:
    """Thickness (mm) at the end of the colour scale: the feed's own, so that a change of width keeps colours."""
    setup = results.setup
    usual = setup.cut.feed_per_tooth_mm * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    # With runout a tooth may take more than its share.
    return max(usual, float(runout_band(setup)[1].max())) if setup.cutter.runout_mm > 0.0 else usual


READABLE = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
"""Ends of a scale that people can read, times a power of ten."""

OFF_SCALE = 2.6
"""Times the end of a held scale at which the chip would be drawn through half the cutter: the scale gives way."""


def readable_top(results: ArcResults, units: Units) -> float:
    """The end of the scale of thickness (mm): :func:`scale_top` out to a readable step of the shown unit."""
    q = QUANTITIES["chip_thickness"]
    wanted = q.shown(scale_top(results), units)
    power = 10.0 ** math.floor(math.log10(wanted))
    step = next((m for m in READABLE if m * power >= wanted * (1.0 - 1e-9)), READABLE[-1])
    return q.house(step * power, units)


def kept_top(kept: float, results: ArcResults, units: Units) -> float:
    """The end of the scale while a hand moves: the kept one, unless the chip leaves the picture."""
    return kept if scale_top(results) <= OFF_SCALE * kept else readable_top(results, units)


def greatest_force(results: ArcResults) -> float:
    """Greatest force (N) of a turn in the plane of the plan; 0 where it is not known."""
    found = force_turn(results.setup)
    return 0.0 if found is None else found.resultant_max


def force_range(kept: AxisRange | None, scenes: list[PlanScene], *, settled: bool = False) -> AxisRange:
    """What a full-length arrow stands for, the same on both plans of a pair.

    Kept while a figure is dragged, unless the arrow would leave it; ``settled``: nobody drags, and what was met on
    the way here is forgotten, so that one cut always looks the same.
    """
    top = max([greatest_force(scene.results) for scene in scenes])
    return kept_range(kept, 0.0, top, 10, settled=settled)


@lru_cache(maxsize=16)
def _true_thickness(setup: Setup, phi: float, tooth: int) -> float:
    """True-path thickness (mm) at an angle (rad): one picture of the tooth asks for it several times."""
    return true_thickness_at(phi, setup, tooth)


def _each_chip(
    results: ArcResults, radius: float, top: float, side: float, times: int
) -> tuple[ChipBand, ...] | None:
    """Each tooth's own chip, drawn so many times as thick; None where all are alike."""
    if not results.setup.cutter.runout_mm > 0.0:
        return None
    phi, each = runout_band(results.setup)
    return tuple(ChipBand.of(phi, h / radius, h / top, side, times) for h in each)


def magnification(results: ArcResults, top: float) -> int:
    """Round factor that draws a chip as thick as the end of the scale about a sixth of the radius thick."""
    wanted = 0.19 * results.setup.cutter.diameter_mm / 2.0 / top
    return max([m for m in STEPS if m <= wanted], default=1)


@lru_cache(maxsize=32)
def plan_shapes(results: ArcResults, top: float) -> PlanShapes:
    """Shapes of these results that do not move with the tooth; ``top`` (mm) is the end of the scale of thickness."""
    setup, e = results.setup, results.engagement
    side = side_of(setup)
    flip = np.array([side, 1.0])
    radius = setup.cutter.diameter_mm / 2.0
    x1, x2 = e.x1 / radius, e.x2 / radius
    chip, times = true_chip(setup), magnification(results, top)
    arc = e.entry + e.arc * _RIM
    rim = np.array([-np.cos(arc), np.sin(arc)]).T
    far, left_wall, right_wall = 3.0, e.entry <= 1e-9, e.exit >= np.pi - 1e-9
    # The work: ahead of the cutter, bounded by its arc; beside the cutter where it leaves a wall.
    left = [[-far, far], [-far, -far], [-1.0, -far], [-1.0, 0.0]] if left_wall else [[x1, far]]
    right = [[1.0, 0.0], [1.0, -far], [far, -far], [far, far]] if right_wall else [[x2, far]]
    work = np.concatenate([np.array(left), rim, np.array(right)])
    walls = []
    if left_wall:
        walls.append(np.array([[-1.0, 0.0], [-1.0, -far]]))
    if right_wall:
        walls.append(np.array([[1.0, 0.0], [1.0, -far]]))
    edges = [x for x, wall in ((x1, left_wall), (x2, right_wall)) if not wall]
    drawn = work * flip
    return PlanShapes(
        outline=cutter_outline(setup.cutter.teeth, setup.cutter.radial_rake_deg),
        chip=ChipBand.of(chip.band_phi, chip.band_h / radius, chip.band_h / top, side, times),
        magnification=times,
        rim=frozen(arc_points(e.entry + e.arc * _ARC, side)),
        work=(frozen(drawn),),
        walls=tuple([frozen(w * flip) for w in walls]),
        edges=tuple([x * side for x in edges]),
        skin=skin_shapes(results, drawn, side),
        exit_corner=exit_corner(results, side),
        each=_each_chip(results, radius, top, side, times),
    )
