"""Where the heat of the edge comes from: contact length, friction power, and how chip and tool share it.

Sources: the contact's mean temperature on the chip side and the shear-plane heat that the chip brings are those of
Loewen and Shaw 1954 (from memory).  Of a work whose solidus is known the shear stress at the contact falls to nothing
there (:mod:`.hot_work`); with the setup's own constants and no solidus it is the same at any temperature.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..cut.engagement import engagement, one_sided_arc
from ..documents.thermal_laws import ROOM_C
from ..force.edge_law import EdgeLaw, edge_law
from ..maths.arrays import Array
from ..setup.setup import ChipFormation, Setup, Thermal
from .corner_conduction import diffusivity, effusivity
from .cutting_tooth import CuttingTooth, cutting_tooth
from .hot_work import softened_rise

CARBIDE = Thermal(80.0, 14500.0, 220.0)
"""The tool where a setup does not say; handbook values from memory."""

HIGH_SPEED_STEEL = Thermal(24.0, 8100.0, 460.0)
"""Hardened high-speed steel; handbook values from memory."""

CUTTER_WORDS = {"carbide": CARBIDE, "high-speed steel": HIGH_SPEED_STEEL, "hss": HIGH_SPEED_STEEL}
"""What ``cutter.material`` may be in a word."""

STEEL = Thermal(45.0, 7850.0, 480.0)
"""The work where neither the setup nor its material says; handbook values from memory."""

LEAST_CONTACT_MM = 0.001
"""Contact of an edge with no chip where its radius is smaller."""

ASSUMED_CONTACT_MM = 0.008
"""Contact of an edge with no chip where its radius is not given; that of a usual ground edge (common practice)."""


def tool_material(setup: Setup) -> Thermal:
    """Thermal properties of the cutter, given or those of the word; carbide where none are given."""
    given = setup.cutter.material
    if isinstance(given, str):
        return CUTTER_WORDS[given]
    return given or CARBIDE


def known_work_material(setup: Setup) -> Thermal | None:
    """Thermal properties of the work: the setup's own, or what was resolved of its material; None if not known."""
    return setup.work.thermal


def edge_contact_mm(setup: Setup) -> float:
    """Contact length at no chip thickness, mm: as given, else the edge radius (at least 1 um), else assumed."""
    given, radius = setup.work.chip.edge_contact_mm, setup.cutter.edge_radius_mm
    if given is not None:
        return given
    return ASSUMED_CONTACT_MM if radius is None else max(radius, LEAST_CONTACT_MM)


def contact_is_assumed(setup: Setup) -> bool:
    """Whether the contact of the edge is neither given nor that of a given edge radius."""
    return setup.work.chip.edge_contact_mm is None and setup.cutter.edge_radius_mm is None


@dataclass(frozen=True, slots=True)
class EdgeFlux:
    """What heats the edge of one setup, as functions of the arc model's chip thickness; SI units but for ``h`` (mm).

    entry, arc : rad; turn : s; speed : m/s; width : m of engaged edge; feed : mm, greatest thickness of an arc past
    12 o'clock; contact : mm at no thickness.  ``tooth`` : the one that cuts most, with its chip, where there is
    runout.  ``work`` : the work's constants, ``work_law`` how they change with temperature, None: not at all;
    ``solidus_rise`` : K over the surroundings at which the work has no shear stress, infinite where not known.
    """

    entry: float
    arc: float
    turn: float
    speed: float
    width: float
    feed: float
    contact: float
    chip: ChipFormation
    law: EdgeLaw
    tool: Thermal
    work: Thermal
    work_law: str | None
    solidus_rise: float
    tooth: CuttingTooth | None

    @property
    def solidus_c(self) -> float | None:
        """Temperature at which the work begins to melt, degrees C; None where not known."""
        return self.solidus_rise + ROOM_C if math.isfinite(self.solidus_rise) else None

    @property
    def contact_time(self) -> float:
        """Time of one tooth in the arc, s."""
        return self.arc / (2.0 * math.pi) * self.turn

    def thickness(self, along: ArrayLike) -> Array:
        """Chip thickness, mm, at a share ``along`` of the arc, 0 to 1; nan where the tooth touches nothing."""
        phi = self.entry + self.arc * np.asarray(along, float)
        if self.tooth is not None:
            return self.tooth.pieces.touched(phi)
        return self.feed * np.maximum(np.sin(phi), 0.0)

    def contact_length(self, h: Array) -> Array:
        """Length of the patch that is heated, m; that of no chip where the tooth does not touch the work."""
        return (self.chip.contact_ratio * self._chip(h) + self.contact) / 1000.0

    def _chip(self, h: Array) -> Array:
        """Thickness with 0 where the tooth touches nothing; only a tooth with runout ever does not."""
        return h if self.tooth is None else np.where(np.isnan(h), 0.0, h)

    @property
    def edge_power(self) -> float:
        """The part of :meth:`power` that is due to the edge force, W/m, at any thickness."""
        return self.law.edge_tangential * (self.speed * 1000.0)

    def power(self, h: Array) -> Array:
        """Cutting power of each m of edge, W/m: tangential force for each mm of edge times speed; 0 in no contact."""
        power = self.law.tangential(self._chip(h)) * (self.speed * 1000.0)
        return power if self.tooth is None else np.where(np.isnan(h), 0.0, power)

    def sources(self, h: Array) -> HeatSources:
        """What heats the edge on chips of thickness ``h`` (mm, nan where the tooth touches nothing)."""
        length, power, chip = self.contact_length(h), self.power(h), self.chip
        touches = 1.0 if self.tooth is None else np.isfinite(h).astype(float)
        share = chip.friction_share if chip.tool_heat_share is None else chip.tool_heat_share
        sheared = (1.0 - chip.friction_share) * (power - touches * self.edge_power) / length
        return HeatSources(
            length=length,
            rubbed=share * power / length,
            sheared=sheared,
            unit_eased=touches * 0.75 * math.sqrt(math.pi * self.speed / chip.chip_ratio) / np.sqrt(length),
            # Thickness and speed in m and m/s.
            swift=np.sqrt(self.speed / 1000.0 * self._chip(h)),
            slow=1.33 * math.sqrt(chip.chip_ratio + 1.0 / chip.chip_ratio),
            brought=sheared * (chip.contact_ratio / self.speed),
            solidus_rise=self.solidus_rise,
        )

    def matched(self, h: Array) -> tuple[Array, Array]:
        """Flux that a tool with no rise would get, W/m2, and by how much each K of its rise eases it, W/(m2 K).

        Matched in time ``B (q_f - q) + Th = T`` at every instant (after Stephenson, Jen and Lavine 1997, from
        memory), so that the flux is ``q_f + Th / B``, friction's and what the hot chip adds, less ``T / B``; with
        ``q_f`` that falls with T to nothing at the solidus.  With the work as it is when cold.
        """
        sources = self.sources(h)
        eased = sources.eased(self.work)
        return sources.rubbed + sources.from_chip(self.work), eased + sources.softening


@dataclass(frozen=True, slots=True, eq=False)
class HeatSources:
    """What heats the edge at a row of places in the arc, all (n,), for a work of any temperature.

    length : m of contact.  rubbed : W/m2, the part of the heat at the contact that the tool may get, of a work as
    stiff as when it is cold: friction's, or the given part of all the cutting power where that is given.  sheared :
    W/m2 of contact, all the heat of the shear plane.  The rest are parts of the formulas below, for any work.
    """

    length: Array
    rubbed: Array
    sheared: Array
    unit_eased: Array
    swift: Array
    slow: float
    brought: Array
    solidus_rise: float

    @property
    def softening(self) -> Array:
        """By how much each K of rise lowers what is rubbed, W/(m2 K): to nothing at the solidus."""
        return self.rubbed / self.solidus_rise

    def eased(self, work: Thermal) -> Array:
        """By how much each K of its rise lowers the flux into the tool, W/(m2 K), with the chip at its own.

        ``1 / B``, ``B = (4/3) sqrt(l lambda / (pi k rho cp v))`` of the work, the mean of a fast band source: the
        rise of the chip's side of the contact for each unit of flux that the chip gets; 0 in no contact.
        """
        return effusivity(work) * self.unit_eased

    def chip_rise(self, work: Thermal) -> Array:
        """Rise that the chip brings from the shear plane, K, over the whole contact."""
        # R1 of Loewen and Shaw, written so that no thickness gives 0 and not 0/0.
        kept = self.swift / (self.swift + self.slow * math.sqrt(diffusivity(work)))
        rise = kept * self.brought / (work.density_kg_m3 * work.specific_heat_j_kgk)
        return softened_rise(rise, self.solidus_rise)

    def from_chip(self, work: Thermal) -> Array:
        """Flux into a tool with no rise from the heat that the chip brings, W/m2.

        No more than all the heat of the shear plane: the chip of a slow cut is cooler than the mean of a fast band
        source would have it.
        """
        return np.minimum(self.chip_rise(work) * self.eased(work), self.sheared)


def edge_flux(setup: Setup) -> EdgeFlux | None:
    """What heats the edge of this setup; None where the force is not known."""
    law = edge_law(setup)
    if law is None:
        return None
    e, cut = engagement(setup), setup.cut
    diameter, one_sided = setup.cutter.diameter_mm, cut.direction != "straddling"
    kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    turn = 60.0 / cut.spindle_speed_rpm
    work = known_work_material(setup)
    solidus = None if work is None else work.solidus_c
    return EdgeFlux(
        entry=e.entry,
        # To the last digit the same for climb and conventional: what does not depend on the chip is shared by them.
        arc=float(one_sided_arc(diameter, cut.radial_engagement_mm)) if one_sided else e.arc,
        turn=turn,
        speed=math.pi * diameter / 1000.0 / turn,
        width=cut.axial_engagement_mm / kappa / 1000.0,
        feed=law.feed,
        contact=edge_contact_mm(setup),
        chip=setup.work.chip,
        law=law,
        tool=tool_material(setup),
        work=work or STEEL,
        work_law=None if work is None else work.law,
        solidus_rise=math.inf if solidus is None else solidus - ROOM_C,
        tooth=cutting_tooth(setup),
    )
