"""How a tooth strikes the work and how it breaks out of it: growth of the section, first touch, drop, wedge.

Arc model, without runout.  The edge in the work at its entry is the piece whose angle lies between ``phi_en`` and
the tip, so that its section is ``fz`` times the integral of the sine over the height; the cutting edge angle cancels
out.  Axial rake, nose radius, stiffness of the machine and toughness of the tool are left out, at the exit the size
of the burr.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from ..cut.engagement import engagement
from ..force.edge_force import edge_law, edge_width
from ..setup.setup import Setup
from .rubbing import least_chip

Contact = Literal["slides in", "edge first", "whole face", "face first"]

STEP_DEG = 1.0
"""Degrees of rotation after first and before last contact at which the section is told."""

LEVEL_DEG = 0.5
"""Degrees of attitude within which the whole face strikes at once."""


def growing_section(turned: float, setup: Setup) -> float:
    """Chip section (mm2) of one tooth ``turned`` rad after its first contact, 0 to the arc; helix included.

    ``g fz (cos(phi_en + d - d2) - cos(phi_en + d))`` with ``g = R / tan(helix)``, ``d2 = min(d, ap/g)``, written as
    height in the work times its middle thickness, which holds for a straight edge too.
    """
    return _section(engagement(setup).entry, turned, setup)


def shrinking_section(turned: float, setup: Setup) -> float:
    """Chip section (mm2) of one tooth ``turned`` rad before its last contact: the mirror of its growth."""
    return _section(math.pi - engagement(setup).exit, turned, setup)


def _section(end: float, turned: float, setup: Setup) -> float:
    depth, trails = setup.cut.axial_engagement_mm, engagement(setup).edge_lag
    behind = min(turned, trails)
    height = depth * behind / trails if behind < trails else depth
    half = behind / 2.0
    mean = math.sin(half) / half if half > 0.0 else 1.0
    return setup.cut.feed_per_tooth_mm * height * mean * math.sin(end + turned - half)


@dataclass(frozen=True, slots=True)
class FirstContact:
    """First contact of a tooth: section (mm2) a degree later, attitude of its face (degrees), what touches first.

    ``attitude_deg`` is ``90 - phi_en - rake``: above 0 the face strikes inside the edge and the edge follows, below
    0 the edge strikes; Kronenberg 1946, Opitz and Beckhaus 1970 (from memory), written for one radial rake.
    ``contact`` is None where the edge radius is not known, by which a tooth may slide in instead.
    """

    area_1deg: float
    attitude_deg: float
    contact: Contact | None


@dataclass(frozen=True, slots=True)
class LastContact:
    """Last contact of a tooth: section (mm2) a degree before, wedge of work left behind (degrees), drop (N).

    ``drop`` is the tangential force of the whole edge at the exit, that ends there; None where forces are not known.
    """

    area_1deg: float
    wedge_deg: float
    drop: float | None


def _from_wall(phi: float) -> float:
    """Angle (rad) from the nearer end of the half turn: its sine is 0 at 180 degrees and not rounding."""
    return min(phi, math.pi - phi)


@lru_cache(maxsize=64)
def first_contact(setup: Setup) -> FirstContact:
    """How a tooth meets the work."""
    e, cut = engagement(setup), setup.cut
    attitude = 90.0 - math.degrees(e.entry) - setup.cutter.radial_rake_deg
    kappa, least = math.radians(setup.cutter.cutting_edge_angle_deg), least_chip(setup)
    contact: Contact | None = None
    if least is not None:
        if cut.feed_per_tooth_mm * math.sin(_from_wall(e.entry)) * math.sin(kappa) < least:
            contact = "slides in"
        elif abs(attitude) <= LEVEL_DEG:
            contact = "whole face"
        else:
            contact = "face first" if attitude > 0.0 else "edge first"
    return FirstContact(growing_section(min(math.radians(STEP_DEG), e.arc), setup), attitude, contact)


@lru_cache(maxsize=64)
def last_contact(setup: Setup) -> LastContact:
    """How a tooth leaves the work."""
    e, law = engagement(setup), edge_law(setup)
    drop = None
    if law is not None:
        drop = float(law.at(_from_wall(e.exit))[3]) * edge_width(setup)
    return LastContact(
        shrinking_section(min(math.radians(STEP_DEG), e.arc), setup), math.degrees(math.pi - e.exit), drop
    )
