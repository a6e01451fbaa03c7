"""Whether a direction chatters, as the ladder asks it: one function, so that what computes it can be put in here.

Nothing computes it yet: every answer is "not known".
"""

from __future__ import annotations

from dataclasses import dataclass

from ..setup.setup import Setup


@dataclass(frozen=True, slots=True)
class Stability:
    """``stable`` at the setup's depth, None where not known; ``axial_limit`` (mm), None where not known or none."""

    stable: bool | None = None
    axial_limit: float | None = None


def stability(setup: Setup) -> Stability:
    """Whether this cut is stable in its own direction."""
    return Stability()
