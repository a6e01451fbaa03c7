"""Where the heat of the edge comes from: contact length, friction power, and how chip and tool share it.

Sources: the contact's mean temperature on the chip side and the shear-plane heat that the chip brings are those of
Loewen and Shaw 1954 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..cut.engagement import engagement
from ..force.edge_law import EdgeLaw, edge_law
from ..maths.arrays import Array
from ..setup.setup import ChipFormation, Setup, Thermal
from .corner_conduction import diffusivity, effusivity

CARBIDE = Thermal(80.0, 14500.0, 220.0)
"""The tool where a setup does not say; handbook values from memory."""

STEEL = Thermal(45.0, 7850.0, 480.0)
"""The work where neither the setup nor its material says; handbook values from memory."""

LEAST_CONTACT_MM = 0.001
"""Contact of an edge with no chip where its radius is smaller or not known."""


def tool_material(setup: Setup) -> Thermal:
    """Thermal properties of the cutter; carbide where none are given."""
    return setup.cutter.material or CARBIDE


def known_work_material(setup: Setup) -> Thermal | None:
    """Thermal properties of the work: the setup's own, or what was resolved of its material; None if not known."""
    return setup.work.thermal


def edge_contact_mm(setup: Setup) -> float:
    """Contact length at no chip thickness, mm: as given, else the edge radius, at least a micrometre."""
    given = setup.work.chip.edge_contact_mm
    return max(setup.cutter.edge_radius_mm or 0.0, LEAST_CONTACT_MM) if given is None else given


@dataclass(frozen=True, slots=True)
class EdgeFlux:
    """What heats the edge of one setup, as functions of the arc model's chip thickness; SI units but for ``h`` (mm).

    entry, arc : rad; turn : s; speed : m/s; width : m of engaged edge; feed : mm, greatest thickness of an arc past
    12 o'clock; contact : mm at no thickness.
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

    @property
    def contact_time(self) -> float:
        """Time of one tooth in the arc, s."""
        return self.arc / (2.0 * math.pi) * self.turn

    def thickness(self, along: ArrayLike) -> Array:
        """Chip thickness, mm, at a share ``along`` of the arc, 0 to 1."""
        return self.feed * np.maximum(np.sin(self.entry + self.arc * np.asarray(along, float)), 0.0)

    def contact_length(self, h: Array) -> Array:
        """Length of the patch that is heated, m."""
        return (self.chip.contact_ratio * h + self.contact) / 1000.0

    @property
    def edge_power(self) -> float:
        """The part of :meth:`power` that is due to the edge force, W/m, at any thickness."""
        return self.law.edge_tangential * (self.speed * 1000.0)

    def pressed(self, h: Array) -> Array:
        """Tangential force of the chip on each mm of edge, N/mm, without the edge force."""
        return self.law.tangential(h) - self.law.edge_tangential

    def power(self, h: Array) -> Array:
        """Cutting power of each m of edge, W/m: tangential force for each mm of edge times speed."""
        return self.pressed(h) * (self.speed * 1000.0) + self.edge_power

    def declared(self, h: Array) -> Array:
        """Flux into the tool, W/m2, where its part of the heat is given."""
        return (self.chip.tool_heat_share or 0.0) * self.power(h) / self.contact_length(h)

    def matched(self, h: Array) -> tuple[Array, Array]:
        """Flux that a tool with no rise would get, W/m2, and by how much each K of its rise eases it, W/(m2 K).

        Matched in time ``B (q_f - q) + Th = T`` at every instant (after Stephenson, Jen and Lavine 1997, from
        memory), so that the flux is ``q_f + Th / B``, friction's and what the hot chip adds, less ``T / B``.
        ``B = (4/3) sqrt(l lambda / (pi k rho cp v))`` of the work, the mean of a fast band source, is the rise of the
        chip's side of the contact for each unit of flux that the chip gets; ``Th`` is the rise that the chip brings
        from the shear plane, over the whole contact.
        """
        length, pressed = self.contact_length(h), self.pressed(h)
        ratio, friction = self.chip.chip_ratio, self.chip.friction_share
        eased = 0.75 * effusivity(self.work) * math.sqrt(math.pi * self.speed / ratio) / np.sqrt(length)
        swift = np.sqrt(self.speed / 1000.0 * h)
        slow = 1.33 * math.sqrt(diffusivity(self.work) * (ratio + 1.0 / ratio))
        capacity = self.work.density_kg_m3 * self.work.specific_heat_j_kgk
        # Written so that no thickness gives 0 and not 0/0.
        brought = swift / (swift + slow) * pressed
        brought *= (1.0 - friction) * 1e3 / capacity * self.chip.contact_ratio
        brought *= eased
        rubbed = friction * (self.speed * 1000.0) * pressed + friction * self.edge_power
        return (rubbed + brought) / length, eased


def edge_flux(setup: Setup) -> EdgeFlux | None:
    """What heats the edge of this setup; None where the force is not known."""
    law = edge_law(setup)
    if law is None:
        return None
    e, cut = engagement(setup), setup.cut
    kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    turn = 60.0 / cut.spindle_speed_rpm
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
        work=known_work_material(setup) or STEEL,
    )
