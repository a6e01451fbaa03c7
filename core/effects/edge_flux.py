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

from ..base.errors import ChiparcError
from ..cut.engagement import engagement
from ..documents.materials import catalogue
from ..documents.thermal_laws import ROOM_C
from ..force.edge_law import EdgeLaw, edge_law
from ..maths.arrays import Array
from ..setup.setup import ChipFormation, Setup, Thermal, WorkThermal
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


def known_work_material(setup: Setup) -> WorkThermal | None:
    """Thermal properties of the work: the setup's own, else those of the named material; None if not known."""
    if setup.work.thermal is not None or setup.work.material is None:
        return setup.work.thermal
    try:
        return catalogue().find(setup.work.material).thermal
    except ChiparcError:
        # A person's own material, whose properties would have been filled in if it had any.
        return None


def edge_contact_mm(setup: Setup) -> float:
    """Contact length at no chip thickness, mm: as given, else the edge radius, at least a micrometre, else assumed."""
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
    def contact_time(self) -> float:
        """Time of one tooth in the arc, s."""
        return self.arc / (2.0 * math.pi) * self.turn

    def thickness(self, along: ArrayLike) -> Array:
        """Chip thickness, mm, at a share ``along`` of the arc, 0 to 1; nan where the tooth does not touch the work."""
        phi = self.entry + self.arc * np.asarray(along, float)
        if self.tooth is not None:
            return self.tooth.pieces.touched(phi)
        return self.feed * np.maximum(np.sin(phi), 0.0)

    def contact_length(self, h: Array) -> Array:
        """Length of the patch that is heated, m; that of no chip where the tooth does not touch the work."""
        return (self.chip.contact_ratio * np.nan_to_num(h) + self.contact) / 1000.0

    @property
    def edge_power(self) -> float:
        """The part of :meth:`power` that is due to the edge force, W/m, at any thickness."""
        return self.law.edge_tangential * (self.speed * 1000.0)

    def power(self, h: Array) -> Array:
        """Cutting power of each m of edge, W/m: tangential force for each mm of edge times speed; 0 in no contact."""
        power = self.law.tangential(np.nan_to_num(h)) * (self.speed * 1000.0)
        return power if self.tooth is None else np.where(np.isnan(h), 0.0, power)

    def rubbed(self, h: Array) -> Array:
        """Flux that the tool may get of the heat at the contact, W/m2, with the work as stiff as it is when cold.

        The given part of all the cutting power where that is given, else that of friction.
        """
        share = self.chip.friction_share if self.chip.tool_heat_share is None else self.chip.tool_heat_share
        return share * self.power(h) / self.contact_length(h)

    def eased(self, h: Array, work: Thermal) -> Array:
        """By how much each K of its rise lowers the flux into the tool, W/(m2 K), with the chip at its own.

        ``1 / B``, ``B = (4/3) sqrt(l lambda / (pi k rho cp v))`` of the work, the mean of a fast band source: the rise
        of the chip's side of the contact for each unit of flux that the chip gets; 0 where the tooth touches nothing.
        """
        eased = 0.75 * effusivity(work) * math.sqrt(math.pi * self.speed / self.chip.chip_ratio)
        eased = eased / np.sqrt(self.contact_length(h))
        return eased if self.tooth is None else np.where(np.isnan(h), 0.0, eased)

    def chip_rise(self, h: Array, work: Thermal) -> Array:
        """Rise that the chip brings from the shear plane, K, over the whole contact."""
        pressed = self.law.tangential(h := np.nan_to_num(h)) - self.law.edge_tangential
        ratio, friction = self.chip.chip_ratio, self.chip.friction_share
        swift = np.sqrt(self.speed / 1000.0 * h)
        slow = 1.33 * math.sqrt(diffusivity(work) * (ratio + 1.0 / ratio))
        capacity = work.density_kg_m3 * work.specific_heat_j_kgk
        # Written so that no thickness gives 0 and not 0/0; W/m over m and J/(m3 K).
        brought = swift / (swift + slow) * pressed
        brought = brought * (self.chip.contact_ratio * (1.0 - friction) * 1e3 / capacity)
        return softened_rise(brought / self.contact_length(h), self.solidus_rise)

    def brought(self, h: Array, work: Thermal, eased: Array) -> Array:
        """Flux into a tool with no rise from the heat that the chip brings, W/m2.

        No more than all the heat of the shear plane: the chip of a slow cut is cooler than the mean of a fast band
        source would have it.
        """
        pressed = self.power(h) - np.where(np.isnan(h), 0.0, self.edge_power)
        most = (1.0 - self.chip.friction_share) * pressed / self.contact_length(h)
        return np.minimum(self.chip_rise(h, work) * eased, most)

    def matched(self, h: Array, work: Thermal | None = None) -> tuple[Array, Array]:
        """Flux that a tool with no rise would get, W/m2, and by how much each K of its rise eases it, W/(m2 K).

        Matched in time ``B (q_f - q) + Th = T`` at every instant (after Stephenson, Jen and Lavine 1997, from
        memory), so that the flux is ``q_f + Th / B``, friction's and what the hot chip adds, less ``T / B``; with
        ``q_f`` that falls with T to nothing at the solidus.
        """
        work = self.work if work is None else work
        eased, rubbed = self.eased(h, work), self.rubbed(h)
        return rubbed + self.brought(h, work, eased), eased + rubbed / self.solidus_rise


def edge_flux(setup: Setup) -> EdgeFlux | None:
    """What heats the edge of this setup; None where the force is not known."""
    law = edge_law(setup)
    if law is None:
        return None
    e, cut = engagement(setup), setup.cut
    kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    turn = 60.0 / cut.spindle_speed_rpm
    work = known_work_material(setup)
    solidus = None if work is None else getattr(work, "solidus_c", None)
    return EdgeFlux(
        entry=e.entry,
        arc=e.arc,
        turn=turn,
        speed=math.pi * setup.cutter.diameter_mm / 1000.0 / turn,
        width=cut.axial_engagement_mm / kappa / 1000.0,
        feed=law.feed,
        contact=edge_contact_mm(setup),
        chip=setup.work.chip,
        law=law,
        tool=tool_material(setup),
        work=work or STEEL,
        work_law=None if work is None else getattr(work, "law", None),
        solidus_rise=math.inf if solidus is None else solidus - ROOM_C,
        tooth=cutting_tooth(setup),
    )
