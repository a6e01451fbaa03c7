"""Table pull: whether the cut pulls the table the way it is fed, and where along the arc an element begins to.

``Fy`` is the force of the work on the cutter along the feed; above 0 it pulls the table the way it already goes.
With a slack screw the table jumps by its lost motion when the pull is over friction and preload.  Mechanics; the rule
in Kalpakjian and Schmid (from memory).  Arc model, all teeth, helix and runout included.  Stiffness of the drive,
gravity and wear of the screw are left out; ball screws and servo drives are stiff, not free of lost motion.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.engagement import engagement
from ..maths.arrays import Array
from ..maths.roots import bisected
from ..setup.setup import LinearEdge, Setup
from .edge_force import EdgeLaw, cutter_force, edge_law
from .force_turn import INSIDE, corners, force_turn

NOTHING = 1e-11
"""Pull, as a part of the greatest force, up to which it counts as none: rounding where no tooth is in cut."""

PIECES, FINER, LOOKS = 20, 24, 4
"""Cells between two corners of the force, parts of a cell that may hold a change of sign, how often it is parted."""

NEAR = 2e-8
"""How near (rad) a change of sign is to be known."""


def _linear_push(law: EdgeLaw, k: LinearEdge) -> tuple[Callable[[float], float], float, float]:
    """Feed force of an element by its angle, turned round; the same at 90 degrees; the tangential force there."""
    ktc, krc = k.ktc * law.feed, k.krc * law.feed

    def push(phi: float) -> float:
        """Over the sine where both of its parts go to 0 at 180 degrees."""
        s, c = math.sin(phi), math.cos(phi)
        if k.kte == 0.0:
            return ktc * c + krc * s + k.kre
        return (ktc * s + k.kte) * c + (krc * s + k.kre) * s

    return push, krc + k.kre, ktc + k.kte


def neutral_angle(law: EdgeLaw) -> float | None:
    """Tip angle (rad, 90 to 180 degrees) at which the feed force of one edge element changes from push to pull.

    There ``tan(phi) = -f_t / f_r``; None where it does not change.  A power law without an edge force has it closed.
    With runout that of a tooth on the chip of the even cutter.
    """
    k = law.law
    push: Callable[[float], float]
    if isinstance(k, LinearEdge):
        push, at_middle, tangential = _linear_push(law, k)
    elif not any(law.edge):
        return math.pi - math.atan2(1.0, k.radial_ratio) if k.kc11_n_mm2 > 0.0 else None
    else:

        def push(phi: float) -> float:
            return -float(law.at(phi)[1])

        tangential = float(law.tangential(law.feed))
        at_middle = push(math.pi / 2.0)
    low, high = math.pi / 2.0, math.pi
    if at_middle == 0.0:
        # Nothing acts toward the axis: the whole force turns with the tooth.
        return low if tangential > 0.0 else None
    if at_middle < 0.0 or push(high) >= 0.0:
        return None
    # The left side is steep, the right side flat, and they meet once: halving cannot fail.
    return bisected(push, low, high)


def _arches(value: Array) -> Array:
    """How far the curve may lie off the chord of each cell, (n, m) to (n, m - 1), twice over to be sure.

    That is an eighth of the second difference, the larger one of the cell's two ends.
    """
    bend = np.abs(np.diff(value, 2, axis=1))
    bend = np.concatenate([bend[:, :1], bend, bend[:, -1:]], axis=1)
    return np.asarray(np.maximum(bend[:, :-1], bend[:, 1:]) / 4.0)


def pulled_angle(setup: Setup, law: EdgeLaw, level: float) -> float:
    """Angle (rad) over which the feed force is above ``level`` (N), of a tooth pitch, with runout of a turn.

    Between corners the force is smooth.  A cell that crosses the level is measured by its chord as soon as that is
    near enough; one that may cross it is parted again.
    """
    meets = corners(setup)
    low, high = meets[:-1] + INSIDE, meets[1:] - INSIDE
    pulled, parts = 0.0, PIECES
    for look in range(LOOKS):
        phi = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, parts + 1)
        value = cutter_force(phi, setup, law)[..., 1] - level
        left, right, width, arch = value[:, :-1], value[:, 1:], np.diff(phi, axis=1), _arches(value)
        crosses, apart = (left > 0.0) != (right > 0.0), np.abs(right - left)
        settled = np.where(crosses, arch * width <= NEAR * apart, np.minimum(np.abs(left), np.abs(right)) > arch)
        settled |= look == LOOKS - 1
        # Of a chord that crosses, the part over the level; of any other cell all or nothing.
        part = np.where(crosses, np.maximum(left, right) / np.where(crosses, apart, 1.0), left > 0.0)
        pulled += float((width * part)[settled].sum())
        low, high, parts = phi[:, :-1][~settled], phi[:, 1:][~settled], FINER
        if not low.size:
            break
    return pulled


@dataclass(frozen=True, slots=True)
class TablePull:
    """What the feed force does to the table; None where it is not known or not defined.

    ``share`` of a turn with a pull; ``margin`` (N) of friction and preload over the greatest pull, below 0 where the
    table jumps; ``neutral`` angle (rad) of an element inside the arc; ``jump`` of the next chip, thickness after the
    lost motion over the usual one.
    """

    share: float
    margin: float | None
    neutral: float | None
    jump: float | None


@lru_cache(maxsize=64)
def table_pull(setup: Setup) -> TablePull | None:
    """Whether this cut pulls the table; None where forces are not known."""
    law, turn = edge_law(setup), force_turn(setup)
    if law is None or turn is None:
        return None
    level = NOTHING * max(abs(turn.fy.least), abs(turn.fy.greatest), turn.resultant_max)
    if turn.fy.greatest <= level:
        share = 0.0
    elif turn.fy.least > level:
        share = 1.0
    else:
        share = min(pulled_angle(setup, law, level) / float(corners(setup)[-1]), 1.0)
    e, neutral = engagement(setup), neutral_angle(law)
    if neutral is not None and not e.entry < neutral < e.exit:
        neutral = None
    machine, feed = setup.machine, setup.cut.feed_per_tooth_mm
    if machine is None:
        return TablePull(share, None, neutral, None)
    hold, slack = machine.hold_n, machine.backlash_mm
    return TablePull(
        share,
        None if hold is None else hold - turn.fy.greatest,
        neutral,
        None if slack is None else (feed + slack) / feed,
    )
