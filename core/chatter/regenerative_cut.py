"""What a simulation of chatter cuts with: modes, teeth, arc and force law, free of a whole setup.

A tooth that moves outward by ``u = -x cos(phi) + y sin(phi)`` cuts a chip thicker by u and leaves the surface further
out for the tooth behind it: the regenerative effect (Tobias and Fishwick 1958; Tlusty and Polacek 1963; both from
memory).  Movement along the spindle and twist of the cutter are left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..base.errors import ChiparcError
from ..base.refused import refused, refused_count
from ..base.words import say
from ..cut.engagement import engagement
from ..maths.arrays import Array
from ..setup.setup import LinearEdge, Mode, PowerLaw, Setup

LEAST_CHIP_SHARE = 1e-3
"""The power law is linearised at the chip without vibration, taken not below this share of the feed per tooth."""


@dataclass(frozen=True, slots=True)
class RegenerativeCut:
    """One cut: angles in rad, lengths in mm, in the frame of the project.

    ``pitch`` are the angles from each tooth to the one behind it, which add up to a turn; None: equal ones.
    ``feed`` is the feed per tooth, a turn's feed over the number of teeth.  ``helix`` needs ``diameter``.
    """

    modes: tuple[Mode, ...]
    teeth: int
    entry: float
    exit: float
    feed: float
    law: LinearEdge | PowerLaw
    kappa: float = math.pi / 2.0
    runout: float = 0.0
    runout_angle: float = 0.0
    pitch: tuple[float, ...] | None = None
    helix: float = 0.0
    diameter: float = 10.0

    def __post_init__(self) -> None:
        if not self.modes:
            raise ChiparcError("dynamics", *refused("chatter_refused", "no_mode"))
        if not 0.0 <= self.entry < self.exit <= self.entry + math.pi * (1.0 + 1e-12):
            ends = {"entry": math.degrees(self.entry), "exit": math.degrees(self.exit)}
            raise ChiparcError(say("refused_place", "arc"), *refused("chatter_refused", "arc", **ends))
        if self.pitch is not None:
            if len(self.pitch) != self.teeth or min(self.pitch) <= 0.0:
                told = refused_count("chatter_refused", "pitch", len(self.pitch), teeth=self.teeth)
                raise ChiparcError(say("refused_place", "pitch"), *told)
            if abs(sum(self.pitch) - 2.0 * math.pi) > 1e-6:
                told = refused("chatter_refused", "whole_turn", whole=math.degrees(sum(self.pitch)))
                raise ChiparcError(say("refused_place", "pitch"), *told)

    @property
    def pitches(self) -> Array:
        """Angle (teeth,) from each tooth to the one behind it, rad."""
        if self.pitch is None:
            return np.full(self.teeth, 2.0 * math.pi / self.teeth)
        return np.array(self.pitch)

    @property
    def behind(self) -> Array:
        """Angle (teeth,) by which each tooth trails tooth 0, rad."""
        return np.concatenate([[0.0], np.cumsum(self.pitches)[:-1]])

    @property
    def feeds(self) -> Array:
        """Feed (teeth,) mm from the passage of the tooth in front to each tooth's own: as its pitch is."""
        return self.feed * self.teeth * np.roll(self.pitches, 1) / (2.0 * math.pi)

    @property
    def reach(self) -> Array:
        """How much further out than the nominal radius each tooth runs, (teeth,) mm: e cos(lambda + its angle)."""
        return self.runout * np.cos(self.runout_angle + self.behind)

    @property
    def alike(self) -> bool:
        """Whether every tooth does the same, so that the cut repeats with each tooth and not only with each turn."""
        return self.runout == 0.0 and self.pitch is None

    def rigid_chip(self, phi: Array) -> Array:
        """Chip (teeth, n) mm along the radius of a cutter that does not vibrate, at angles (n,) rad, maybe below 0.

        ``min over k of (feed of the last k passages) sin(phi) + R_j - R_(j-k)`` (the frame document), k = 1 to teeth.
        """
        z, feeds, reach = self.teeth, self.feeds, self.reach
        least = np.full((z, len(phi)), np.inf)
        since = np.zeros(z)
        for k in range(1, z + 1):
            since = since + np.roll(feeds, k - 1)
            step = since[:, None] * np.sin(phi) + (reach - np.roll(reach, k))[:, None]
            least = np.minimum(least, step)
        return least

    def force_per_width(self, h: Array) -> Array:
        """Force for each mm of edge width on a chip ``h`` >= 0 (mm, any shape): (2, ...) N/mm, tangential and inward.

        Inward is toward the axis: ``dFr sin(kappa) + dFa cos(kappa)`` (Engin and Altintas 2001, from memory).
        """
        law = self.law
        if isinstance(law, LinearEdge):
            s, c = math.sin(self.kappa), math.cos(self.kappa)
            force = np.empty((2, *h.shape))
            force[0] = law.ktc * h + law.kte
            force[1] = (law.krc * s + law.kac * c) * h + (law.kre * s + law.kae * c)
            return force
        tangential = law.kc11_n_mm2 * h ** (1.0 - law.mc)
        return np.array([tangential, law.radial_ratio * math.sin(self.kappa) * tangential])

    def linear_force_per_width(self, h: Array, rigid: Array) -> Array:
        """As :meth:`force_per_width`, linear in ``h`` of either sign; a power law is linearised at the chip
        ``rigid``."""
        if isinstance(self.law, LinearEdge):
            return self.force_per_width(h)
        at = np.maximum(rigid, LEAST_CHIP_SHARE * self.feed)
        law = self.law
        tangential = law.kc11_n_mm2 * at**-law.mc * (at + (1.0 - law.mc) * (h - at))
        return np.array([tangential, law.radial_ratio * math.sin(self.kappa) * tangential])

    def cutting_stiffness(self, depth: float) -> float:
        """The spring, N/mm, that the chips of a cut ``depth`` mm deep are to the cutter: by how much their force
        grows with a movement outward, at a chip of the feed and with as many teeth as are in cut on the mean, but no
        less than one."""
        chips = np.array([0.0, self.feed])
        slope = np.diff(self.linear_force_per_width(chips, np.full(2, self.feed))) / self.feed
        teeth = max(1.0, (self.exit - self.entry) * self.teeth / (2.0 * math.pi))
        return depth * teeth * float(np.hypot(*slope[:, 0]))


def regenerative_cut(setup: Setup, *, with_helix: bool = False, with_runout: bool = True) -> RegenerativeCut:
    """The cut of a setup with its own modes.  Raises ChiparcError if modes or force coefficients are not known."""
    if setup.work.force is None:
        raise ChiparcError("work.force", *refused("chatter_refused", "no_force"))
    e, cutter = engagement(setup), setup.cutter
    cut = RegenerativeCut(
        modes=setup.dynamics,
        teeth=cutter.teeth,
        entry=e.entry,
        exit=e.exit,
        feed=setup.cut.feed_per_tooth_mm,
        law=setup.work.force,
        kappa=math.radians(cutter.cutting_edge_angle_deg),
        diameter=cutter.diameter_mm,
    )
    if with_helix:
        cut = replace(cut, helix=math.radians(cutter.helix_deg))
    if with_runout:
        cut = replace(cut, runout=cutter.runout_mm, runout_angle=math.radians(cutter.runout_angle_deg))
    return cut
