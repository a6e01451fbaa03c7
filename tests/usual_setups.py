"""The opening cut of the notes ("setup A") as tests vary it: one maker, and what each family of tests needs known."""

from __future__ import annotations

from typing import Any

from core.setup.setup import Cut, Cutter, LinearEdge, PowerLaw, Setup, Work

STEEL_LAW = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
"""Linear-edge coefficients of the notes' steel, N/mm2 and N/mm."""

EDGE = {"cutter__edge_radius_mm": 0.006}
HELD = {"cutter__stickout_mm": 42.0, "cutter__youngs_modulus_n_mm2": 580_000.0}


def boss(direction: Any = "climb", law: LinearEdge | PowerLaw | None = None, **values: Any) -> Setup:
    """12 mm, 4 teeth, helix 30 degrees; 4 mm wide, 10 deep, 0.06 mm a tooth, 4000/min; changes by ``group__key``."""
    cut = Cut(direction, 4.0, 10.0, 0.06, 4000.0)
    return Setup(Cutter(12.0, 4, helix_deg=30.0), cut, Work(force=law)).with_values(**values)


def edged(direction: Any = "climb", law: LinearEdge | PowerLaw | None = STEEL_LAW, **values: Any) -> Setup:
    """With an edge radius of 6 um, for rubbing, entry, exit and heat."""
    return boss(direction, law, **{**EDGE, **values})


def held(direction: Any = "climb", law: LinearEdge | PowerLaw | None = STEEL_LAW, **values: Any) -> Setup:
    """Of carbide, 42 mm out of a rigid holder, for the wall."""
    return boss(direction, law, **{**HELD, **values})
