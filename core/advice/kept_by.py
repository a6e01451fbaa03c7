"""What the ladder's results are kept by: a setup without the figures that do not change them.

The ladder asks dozens of cuts next to the one that is set, each with one figure moved: where that figure does not
count, the result is there already.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

from ..setup.setup import Cut, Cutter, Setup, Work

KEPT = 1024
"""Cuts whose results as told are kept: a step on the slider of a tolerance or of what holds the table asks the dozens
of cuts next to this one along the other sliders again."""

_HOLDING: dict[str, Any] = dict.fromkeys(
    (
        "stickout_mm",
        "youngs_modulus_n_mm2",
        "flute_length_mm",
        "shank_diameter_mm",
        "neck_diameter_mm",
        "neck_length_mm",
        "holder_stiffness_n_mm",
    )
)
"""Figures that tell how the cutter bends, and nothing else; none of them given."""


_FEW = 64
"""Cutters, cuts and works without such figures that are kept: along a slider two of the three stay the same."""


@lru_cache(maxsize=_FEW)
def _without_skin(work: Work) -> Work:
    return work if work.skin is None else replace(work, skin=None)


@lru_cache(maxsize=_FEW)
def _at_any_speed(cut: Cut) -> Cut:
    """The cut without its tolerance, at a speed of 1: neither force nor wall depends on it."""
    return replace(cut, wall_tolerance_mm=None, spindle_speed_rpm=1.0)


@lru_cache(maxsize=_FEW)
def _at_any_tolerance(cut: Cut) -> Cut:
    return replace(cut, wall_tolerance_mm=None)


@lru_cache(maxsize=_FEW)
def _of_any_material(cutter: Cutter) -> Cutter:
    return cutter if cutter.material is None else replace(cutter, material=None)


@lru_cache(maxsize=_FEW)
def _held_anyhow(cutter: Cutter) -> Cutter:
    return replace(cutter, **_HOLDING)


@lru_cache(maxsize=KEPT)
def for_wall(setup: Setup) -> Setup:
    """The setup without what does not change the wall."""
    return Setup(_of_any_material(setup.cutter), _at_any_speed(setup.cut), _without_skin(setup.work))


@lru_cache(maxsize=KEPT)
def for_pull(setup: Setup) -> Setup:
    """The setup without what does not change the force."""
    return Setup(_held_anyhow(_of_any_material(setup.cutter)), _at_any_speed(setup.cut), _without_skin(setup.work))


@lru_cache(maxsize=KEPT)
def for_heat(setup: Setup) -> Setup:
    """The setup without what does not change the heat of the edge."""
    return Setup(_held_anyhow(setup.cutter), _at_any_tolerance(setup.cut), _without_skin(setup.work))
