"""Borders and bands that have been worked out, kept by what they depend on.

Another depth, a step taken back, a page or a window that is shown again: none of them is searched for twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array, frozen
from ..setup.setup import Mode, Setup
from .border import Border
from .directional import CuttingSlopes
from .modes import modes_of
from .spread import border_band
from .stability import ChatterCut, chatter_cut
from .usual_draws import usual_draws

MOST = 1024
"""Borders and parts of bands that are kept, each of some kilobytes: several charts, in pieces."""


@dataclass(frozen=True, slots=True)
class CutKey:
    """What a :class:`ChatterCut` is made of, to be looked up by; ``arc`` in rad, ``deepest`` in mm."""

    blocks: tuple[Mode, ...]
    slopes: CuttingSlopes
    arc: tuple[float, float]
    teeth: int
    deepest: float

    @property
    def cut(self) -> ChatterCut:
        """The cut itself."""
        modes = modes_of(self.blocks)
        assert modes is not None
        return ChatterCut(modes, self.slopes, *self.arc, self.teeth, self.deepest)

    def border(self, rpm: Array) -> Border:
        """The border at speeds (S,), /min."""
        return _border(self, np.asarray(rpm, float).tobytes())

    def band(self, rpm: Array, estimated: bool, part: slice = slice(None)) -> Array:
        """The borders (N, S), mm, at speeds (S,), /min, of some of the usual draws."""
        return _band(self, np.asarray(rpm, float).tobytes(), estimated, part.start, part.stop)


def cut_key(setup: Setup) -> CutKey | None:
    """What the stability of a resolved setup depends on besides its speed; None where something is missing."""
    cut = chatter_cut(setup)
    if cut is None:
        return None
    return CutKey(setup.dynamics, cut.slopes, (cut.entry, cut.leave), cut.teeth, cut.deepest)


@lru_cache(maxsize=MOST)
def _border(key: CutKey, rpm: bytes) -> Border:
    return key.cut.border(np.frombuffer(rpm))


@lru_cache(maxsize=MOST)
def _band(key: CutKey, rpm: bytes, estimated: bool, first: int | None, end: int | None) -> Array:
    draws = usual_draws(estimated).part(slice(first, end))
    return frozen(border_band(key.cut, np.frombuffer(rpm), draws).depth_mm)
