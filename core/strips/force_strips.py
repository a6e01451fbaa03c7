"""Strips of the forces: on the cutter, torque, and the movement of the tip that they cause."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from ..base.words import say
from ..cut.strip_angles import strip_angles
from ..effects.machine_limits import torque_check, wall_check
from ..effects.wall import wall_maker
from ..effects.wall_depth import wall_profile_over_depth
from ..force.coefficient_spread import coefficients_are_rough
from ..force.force_curves import force_curves
from ..force.force_turn import force_turn
from ..maths.arrays import each_once, frozen
from ..setup.setup import Setup
from .strip_frame import Curve, Limit, StripCurves, cut_band


def _unknown(id: str, title: str, quantity: str, setup: Setup, why: str) -> StripCurves:
    phi_deg = frozen(strip_angles())
    nothing = Curve("none", why, "main", phi_deg, frozen(np.full(phi_deg.shape, np.nan)))
    return StripCurves(id, title, quantity, (nothing,), (cut_band(setup),), missing=why)


@lru_cache(maxsize=16)
def force_strip(setup: Setup) -> StripCurves:
    """Force of the work on the cutter: x (+ to the right) and y (+ along the feed), all teeth, N."""
    forces = force_curves(setup)
    if forces is None:
        return _unknown("force", say("strip", "force"), "force", setup, say("strip", "no_coefficients"))
    phi_deg, force = forces.strip_deg, forces.strip
    curves = [
        Curve("fx", say("strip", "across"), "main", phi_deg, frozen(force[:, 0].copy()), "x", "force_axes"),
        Curve("fy", say("strip", "along"), "third", phi_deg, frozen(force[:, 1].copy()), "y", "force_axes"),
    ]
    even = force_curves(setup.with_keys({"cutter.runout_mm": 0.0})) if setup.cutter.runout_mm > 0.0 else None
    if even is not None:
        # The curves above are of the cutter as it runs; this one shows what its runout makes of them.
        across = frozen(even.strip[:, 0].copy())
        curves.append(Curve("fx_even", say("strip", "x_even"), "second", even.strip_deg, across, term="runout"))
    return StripCurves(
        id="force",
        title=say("strip", "force"),
        quantity="force",
        curves=tuple(curves),
        bands=(cut_band(setup),),
        limits=pull_limits(setup),
        rough=coefficients_are_rough(setup.work),
    )


def pull_limits(setup: Setup) -> tuple[Limit, ...]:
    """The force along the feed that friction and preload of the table hold, N; empty if not known."""
    turn, machine = force_turn(setup), setup.machine
    held = None if machine is None else machine.hold_n
    if turn is None or held is None:
        return ()
    return (Limit(say("limit", "pull"), held, turn.fy.greatest > held),)


def torque_limits(setup: Setup) -> tuple[Limit, ...]:
    """What the spindle gives, N m; empty if not known."""
    check = torque_check(setup)
    return () if check is None else (Limit(say("limit", "torque"), check.limit, check.crossed),)


def wall_limits(setup: Setup) -> tuple[Limit, ...]:
    """The wall's tolerance as movements across the feed (+ to the right), mm; empty if not known.

    A level is crossed if the wall's error is over it on that side somewhere along the depth.  The tip may well move
    beyond a level that is not: only what it does as an edge makes the wall is left on it.
    """
    # The check first: without a tolerance the profile is not worked out.
    check = wall_check(setup)
    profile = None if check is None else wall_profile_over_depth(setup)
    if check is None or profile is None:
        return ()
    right = 1.0 if setup.cut.direction == "conventional" else -1.0
    sides = ((1.0, "wall_stock", profile.greatest), (-1.0, "wall_undercut", -profile.least))
    return tuple(
        Limit(
            say("limit", name), right * sign * check.limit, replace(check, value=size).crossed, say("limit", "wall")
        )
        for sign, name, size in sides
    )


@lru_cache(maxsize=16)
def torque_strip(setup: Setup) -> StripCurves:
    """Torque of all teeth, N m."""
    forces = force_curves(setup)
    if forces is None:
        return _unknown("torque", say("strip", "torque"), "torque", setup, say("strip", "no_coefficients"))
    phi_deg, force = forces.strip_deg, forces.strip
    torque = force[:, 3] * setup.cutter.diameter_mm / 2000.0
    return StripCurves(
        id="torque",
        title=say("strip", "torque"),
        quantity="torque",
        curves=(Curve("torque", say("strip", "all_teeth"), "main", phi_deg, frozen(torque)),),
        bands=(cut_band(setup),),
        limits=torque_limits(setup),
        rough=coefficients_are_rough(setup.work),
    )


@lru_cache(maxsize=16)
def movement_strip(setup: Setup) -> StripCurves:
    """Static movement of the tip across the feed (+ to the right), mm: every element of the edges from its height."""
    forces, maker = force_curves(setup), wall_maker(setup)
    title = say("strip", "movement")
    if forces is None:
        return _unknown("movement", title, "deflection", setup, say("strip", "no_coefficients"))
    if maker is None:
        return _unknown("movement", title, "deflection", setup, say("strip", "no_stickout"))
    phi_deg = forces.strip_deg
    # Teeth that are alike move the tip alike: worked out once for all angles that are whole pitches apart.
    period = 360.0 / (setup.cutter.teeth if maker.loads.alike else 1)
    passing, which = each_once(phi_deg % period)
    moved = maker.tip_movement(np.radians(passing))[which]
    return StripCurves(
        id="movement",
        title=title,
        quantity="deflection",
        curves=(Curve("dx", say("strip", "across_feed"), "main", phi_deg, frozen(moved)),),
        bands=(cut_band(setup),),
        limits=wall_limits(setup),
        # The stiffness is known less well than any coefficient.
        rough=True,
    )
