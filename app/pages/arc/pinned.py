"""The pinned cut: what of it is left on the pictures as a ghost, on the scales that its pin holds."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from app.kit.shapes import arc_points
from app.pages.arc.plan_scene import PlanScene, PlanShapes, plan_shapes, side_of
from core.advice.offsets import beside_in_pair
from core.base.quantities import Units, clear_figure, rough_figure
from core.base.words import say
from core.cut.runout_chips import runout_band
from core.effects.arc_results import ArcResults, arc_results
from core.force.coefficient_spread import coefficients_are_rough
from core.force.force_at_angle import ForceAtAngle, force_at_angle
from core.force.force_turn import force_turn
from core.maths.arrays import Array, frozen


@dataclass(frozen=True, slots=True, eq=False)
class Ghost:
    """The pinned cut on one plan: its results, and the outline of its chip (2n, 2) in the shown cutter's radii."""

    results: ArcResults
    outline: Array

    @classmethod
    def of(cls, pinned: ArcResults, shown: ArcResults, shapes: PlanShapes, top: float) -> Ghost:
        """The ghost beside ``shown``; its chip is drawn as many times thicker, on the scale that ends at ``top``."""
        own = plan_shapes(pinned, top)
        ratio = pinned.setup.cutter.diameter_mm / shown.setup.cutter.diameter_mm
        outer = ratio * arc_points(own.chip.phi, side_of(pinned.setup))
        # Its thickness is in its own radii: as many millimetres are as many pixels as on the shown chip.
        inner = outer * (1.0 - own.chip.h * shapes.magnification)[:, None]
        return cls(pinned, frozen(np.concatenate([outer, inner[::-1]])))

    def thickness(self, phi: float) -> float:
        """Its chip (mm) at an angle (rad); nan in its air."""
        shapes = plan_shapes(self.results, self.results.setup.cut.feed_per_tooth_mm)
        radius = self.results.setup.cutter.diameter_mm / 2.0
        return radius * float(np.interp(phi, shapes.chip.phi, shapes.chip.h, left=math.nan, right=math.nan))

    def force(self, phi: float) -> ForceAtAngle | None:
        """The force on its cutter with the active tooth at an angle (rad); None where it is not known."""
        return force_at_angle(self.results.setup, phi)


def ghost_results(pinned: ArcResults, shown: ArcResults, *, pair: bool, second: bool = False) -> ArcResults:
    """The pinned cut for one plan: in Pair that in the plan's direction, alone as it was pinned.

    second : the plan is that of the other of a pair; beside a straddling cut stands what stood beside the pinned one.
    """
    directions = pinned.setup.cut.direction, shown.setup.cut.direction
    if pair and second and directions == ("straddling", "straddling"):
        return arc_results(beside_in_pair(pinned.setup))
    if pair and "straddling" not in directions and directions[0] != directions[1]:
        return arc_results(pinned.setup.opposite)
    return pinned


def ghost_traces(
    pinned: ArcResults | None, shown: list[tuple[ArcResults, float]]
) -> tuple[tuple[ArcResults, float], ...]:
    """The pinned cut beside each that is shown, each with the angle (degrees) of its tooth; none where none is."""
    if pinned is None:
        return ()
    pair = len(shown) > 1
    return tuple([(ghost_results(pinned, r, pair=pair, second=i > 0), angle) for i, (r, angle) in enumerate(shown)])


def with_ghost(scene: PlanScene, pinned: ArcResults, *, pair: bool) -> PlanScene:
    """A plan with the pinned cut on it, its figures in place of the hint."""
    there = ghost_results(pinned, scene.results, pair=pair, second=scene.second)
    ghost = Ghost.of(there, scene.results, scene.shapes, scene.top)
    return replace(scene, ghost=ghost, hint="", note=pinned_words(there, scene.units))


def pinned_words(pinned: ArcResults, units: Units) -> tuple[str, ...]:
    """The figures of the pinned cut, in fewer and fewer words."""
    cut, turn = pinned.setup.cut, force_turn(pinned.setup)
    # With runout one tooth's chip is thicker than that of all alike.
    uneven = pinned.setup.cutter.runout_mm > 0.0
    chip = float(runout_band(pinned.setup)[1].max()) if uneven else pinned.trochoid.h_max
    fields = {
        "feed": clear_figure(cut.feed_per_tooth_mm, "feed_per_tooth", units),
        "width": clear_figure(cut.radial_engagement_mm, "radial_width", units),
        "chip": clear_figure(chip, "chip_thickness", units),
    }
    found = [say("pin", "figures", **fields), say("pin", "short", **fields), say("pin", "word")]
    if turn is not None:
        rough = coefficients_are_rough(pinned.setup.work)
        force = (rough_figure if rough else clear_figure)(turn.resultant_max, "force", units)
        found.insert(0, say("pin", "figures_with_force", force=force, **fields))
    return tuple(found)
