"""All that a page shows of a path, in stages: coarse figures first, then fine ones, the worst places, the depths."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..setup.setup import Setup
from .engagement_along import PathEngagement
from .fed_length import FedLength, fed_length
from .levels import Level, levels
from .moves import Program, Stock, Warned
from .path_heat import EdgeRises, edge_rises
from .path_report import rapids_in_stock, worst_rows
from .samples import Samples, samples
from .spikes import Profile, arc_profile

Array = NDArray[np.float64]

COARSE, FINEST = 300, 12_000
"""Samples of the first stage, and the most of the fine one."""

USUAL = 40.0
"""Fine samples for each cutter diameter of path."""


@dataclass(frozen=True, eq=False)
class WholePath:
    """A path through its stock: its ``samples``, and what later stages add (None until then).

    worst : as in the report.  profile : the arc, dense where it changes.  final : the last stage.  heat : of the
    samples, where it was asked for (:func:`with_heat`).
    """

    program: Program
    stock: Stock
    setup: Setup
    path: PathEngagement
    fed: FedLength
    samples: Samples
    profile: Profile | None = None
    worst: tuple[dict[str, Any], ...] | None = None
    levels: tuple[Level, ...] | None = None
    warnings: tuple[Warned, ...] = ()
    final: bool = False
    heat: EdgeRises | None = None

    def nearest(self, s: float) -> int:
        """The sample nearest to a distance ``s`` mm along the path."""
        at = self.samples.s
        i = int(np.clip(np.searchsorted(at, s), 1, max(len(at) - 1, 1)))
        return i - 1 if i >= len(at) or s - at[i - 1] < at[i] - s else i

    @property
    def before_joint(self) -> float:
        """How far (mm) before the end of a move a place still belongs to it, beyond rounding."""
        return max(1e-6 * 2.0 * self.path.radius, 3e-9 * self.fed.length)

    def worst_places(self) -> tuple[float, ...]:
        """Distances (mm) of the worst places, each on the side of its joint where it is the worst."""
        rows = self.worst or ()
        if not rows:
            return ()
        s = np.array([row["s_mm"] for row in rows])
        arc = np.radians([row["arc_deg"] for row in rows])
        both = np.concatenate([s, np.maximum(s - self.before_joint, 0.0)])
        off = np.abs(samples(self.path, self.fed, both, self.setup).engaged.arc - np.concatenate([arc, arc]))
        return tuple(np.where(off[: len(s)] <= off[len(s) :] + 1e-6, s, both[len(s) :]).tolist())

    def at(self, s: float) -> Samples:
        """Exact figures at one distance, mm."""
        return _figures_at(self, s)


@lru_cache(maxsize=32)
def _figures_at(whole: WholePath, s: float) -> Samples:
    """The last few places are asked for by several pictures each."""
    return samples(whole.path, whole.fed, np.array([s]), whole.setup)


def _spread(fed: FedLength, spacing: float, extra: Array) -> Array:
    s = np.concatenate([fed.multiples(spacing), [fed.length], extra])
    return np.unique(np.clip(s, 0.0, fed.length))


def path_stages(program: Program, stock: Stock, setup: Setup, worst: int = 10) -> Iterator[WholePath]:
    """The stages of a path with a setup (resolved), each whole; of a path without fed moves only one."""
    fed = fed_length(program.moves)
    cutter = setup.cutter
    path = PathEngagement(program.moves, stock, cutter.diameter_mm / 2.0, cutter.hand == "left")
    none = np.zeros(0)
    if not len(fed.move):
        warned = (*program.warnings, *stock.warnings)
        empty = samples(path, fed, none, setup)
        yield WholePath(program, stock, setup, path, fed, empty, None, (), (), warned, True)
        return
    fine = max(cutter.diameter_mm / USUAL, fed.length / FINEST)
    coarse = max(fed.length / COARSE, fine)
    along = samples(path, fed, _spread(fed, coarse, none), setup)
    whole = WholePath(program, stock, setup, path, fed, along)
    yield whole
    # Both sides of the joints, where there are not more of them than samples.
    joints = fed.end[:-1] if len(fed.end) < FINEST else none
    beside = np.concatenate([joints, np.maximum(joints - max(1e-6 * cutter.diameter_mm, 3e-9 * fed.length), 0.0)])
    whole = replace(whole, samples=samples(path, fed, _spread(fed, fine, beside), setup))
    yield whole
    profile = arc_profile(path, fed)
    rows = tuple(worst_rows(path, fed, program, setup, worst, profile))
    # The tops of the spikes are samples too: no chart passes over them.
    tops = np.concatenate([beside, [row["s_mm"] for row in rows]])
    whole = replace(whole, samples=samples(path, fed, _spread(fed, fine, tops), setup), profile=profile, worst=rows)
    yield whole
    warned = (*program.warnings, *stock.warnings, *rapids_in_stock(path))
    done = tuple(levels(program.moves, stock, path.radius, program.has_z))
    yield replace(whole, levels=done, warnings=warned, final=True)


def with_heat(whole: WholePath) -> WholePath:
    """The same path with the edge's temperature at its samples."""
    return (
        whole if whole.heat is not None else replace(whole, heat=edge_rises(whole.path, whole.samples, whole.setup))
    )


def length_over(whole: WholePath, values: Array, limit: float) -> float:
    """Length of path (mm) on which ``values`` (m,) of the samples are over a limit, half a step about each."""
    s = whole.samples.s
    if len(s) < 2 or not math.isfinite(limit):
        return 0.0
    step = np.diff(s)
    share = np.zeros(len(s))
    share[:-1] += 0.5 * step
    share[1:] += 0.5 * step
    return float(share[np.nan_to_num(values) > limit].sum())
