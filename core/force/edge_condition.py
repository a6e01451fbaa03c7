"""The condition of the edge, as far as it changes the force: its radius against the measured one, its wear land.

**Radius.** The edge's own force grows in proportion to the edge radius over the one that the coefficients were
measured with (Albrecht 1960: the rounded edge ploughs; linear in measured milling: Wyen and Wegener 2010; both from
memory).  Where either is not given the coefficients hold as they are.

**Wear land.** On the land of width VB the work presses with a mean pressure p, so that each mm of edge has a force
``p VB`` more normal to it and ``mu p VB`` more against its motion.  The pressure falls from the edge to the end of
the land with the square of the way left, so that its mean is a third of that at the edge (Smithey, Kapoor and
DeVor 2000, from memory), and that at the edge is taken as the work's own specific force, ``ktc`` or ``kc11``.  That
is the order of the forces measured on 4340 (Sikdar and Chen 2002, from memory): thrust about trebles and the cutting
force grows by a third to a half at 0.2 mm.  For lands up to about 0.5 mm, within some 50 %.  Ours: the pressure at
the edge and ``mu`` are not measured for the setup's own pair.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..setup.setup import Cutter, LinearEdge, Work

LAND_SHARE = 1.0 / 3.0
"""Mean pressure on the wear land over that at the edge: it falls with the square of the way left."""

LAND_FRICTION = 0.3
"""Friction of the work on the wear land; dry steel on carbide has 0.2 to 0.4 (from memory)."""


@dataclass(frozen=True, slots=True)
class EdgeCondition:
    """``edge_ratio`` radius over the measured one, 1 where not known; forces of the land, N/mm.

    ``measured_least_chip`` is the least chip (mm) of the edge that the coefficients were measured with, 0 where that
    is not known.
    """

    edge_ratio: float = 1.0
    measured_least_chip: float = 0.0
    land_tangential: float = 0.0
    land_normal: float = 0.0


def edge_radius_counts(cutter: Cutter, work: Work) -> bool:
    """Whether the edge radius changes the force: it is given, and so is that of the coefficients."""
    force = work.force
    return force is not None and force.edge_radius_mm is not None and cutter.edge_radius_mm is not None


def edge_condition(cutter: Cutter, work: Work) -> EdgeCondition:
    """The condition of this cutter's edge beside that which the coefficients were measured with."""
    force = work.force
    if force is None:
        return EdgeCondition()
    ratio, least = 1.0, 0.0
    if force.edge_radius_mm is not None and cutter.edge_radius_mm is not None:
        ratio = cutter.edge_radius_mm / force.edge_radius_mm
        least = work.chip.min_chip_ratio * force.edge_radius_mm
    at_edge = force.ktc if isinstance(force, LinearEdge) else force.kc11_n_mm2
    normal = LAND_SHARE * at_edge * (cutter.wear_land_mm or 0.0)
    return EdgeCondition(ratio, least, LAND_FRICTION * normal, normal)
