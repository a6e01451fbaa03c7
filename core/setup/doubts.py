"""Figures that are legal and yet probably meant otherwise: named in the report, and asked about where they are typed.

The thresholds are ours, from common practice, no source; none of them refuses anything.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from .setup import Setup

BLUNT_SHARE = 0.1
"""Edge radius over the thickest chip that the feed gives, beyond which an edge hardly lifts its chip."""

SOFT_N_MM2 = 10_000.0
"""Young's modulus under which no cutter has one: tool steels have 200,000, carbides 500,000 and more."""

WIDE_SHARE = 0.2
"""Feed per tooth over the diameter, beyond which no cutter clears its chip."""

DOUBTED = ("cutter.edge_radius_mm", "cutter.youngs_modulus_n_mm2", "cut.feed_per_tooth_mm")
"""Keys of the figures that may be doubtful."""

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Doubt:
    """A doubtful figure: which doubt, the document key, what was found, and the figure it is set against (mm, N/mm2).

    ``usual`` is the end of what is usual in the same unit.
    """

    id: str
    key: str
    value: float
    usual: float


def doubts(setup: Setup) -> tuple[Doubt, ...]:
    """Everything about a setup that is probably meant otherwise, in the order of its keys; empty if nothing."""
    cutter, cut = setup.cutter, setup.cut
    edge, modulus = cutter.edge_radius_mm, cutter.youngs_modulus_n_mm2
    chip = cut.feed_per_tooth_mm * math.sin(math.radians(cutter.cutting_edge_angle_deg))
    doubtful = []
    if edge is not None and edge > BLUNT_SHARE * chip * (1.0 + _ROUNDING):
        doubtful.append(Doubt("blunt", "cutter.edge_radius_mm", edge, BLUNT_SHARE * chip))
    if modulus is not None and modulus < SOFT_N_MM2:
        doubtful.append(Doubt("soft", "cutter.youngs_modulus_n_mm2", modulus, SOFT_N_MM2))
    if cut.feed_per_tooth_mm > WIDE_SHARE * cutter.diameter_mm * (1.0 + _ROUNDING):
        doubtful.append(
            Doubt("wide", "cut.feed_per_tooth_mm", cut.feed_per_tooth_mm, WIDE_SHARE * cutter.diameter_mm)
        )
    return tuple(doubtful)


def doubt_of(setup: Setup, key: str) -> Doubt | None:
    """What is doubtful about the figure of that key; None if nothing."""
    if key not in DOUBTED:
        return None
    return next((doubt for doubt in doubts(setup) if doubt.key == key), None)
