"""Modes of a setup: its own blocks, or those of the cutter's beam as an estimate where it has none."""

from __future__ import annotations

import math
from dataclasses import replace

from ..effects.edge_flux import tool_material
from ..setup.setup import Setup
from .beam_mode import Beam, beam_blocks

CARBIDE_FROM, CARBIDE, STEEL = 400_000.0, 14_500.0, 7_900.0
"""Young's modulus from which a cutter is taken for carbide; densities in kg/m3 (common practice, no source)."""


def can_be_estimated(setup: Setup) -> bool:
    """Whether the setup has no modes of its own and its beam is known."""
    cutter = setup.cutter
    return not setup.dynamics and cutter.stickout_mm is not None and cutter.youngs_modulus_n_mm2 is not None


def with_modes(setup: Setup) -> tuple[Setup, bool]:
    """The setup with modes, and whether they are estimated from its beam; as it is where that cannot be."""
    cutter = setup.cutter
    if not can_be_estimated(setup):
        return setup, False
    assert cutter.stickout_mm is not None and cutter.youngs_modulus_n_mm2 is not None
    usual = CARBIDE if cutter.youngs_modulus_n_mm2 >= CARBIDE_FROM else STEEL
    beam = Beam(
        cutter.stickout_mm,
        cutter.diameter_mm,
        cutter.youngs_modulus_n_mm2,
        usual if cutter.material is None else tool_material(setup).density_kg_m3,
        cutter.flute_length_mm,
        cutter.shank_diameter_mm,
        cutter.holder_stiffness_n_mm or math.inf,
    )
    return replace(setup, dynamics=beam_blocks(beam)), True
