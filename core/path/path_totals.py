"""What a path comes to as a whole: time, shares of each direction, and the greatest of each load.

Sums are by length of path between the samples, so that they are as fine as the samples are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..maths.arrays import Array
from .fed_length import FedLength
from .samples import WAYS, Samples, feed_per_tooth
from .whole_path import WholePath


@dataclass(frozen=True, slots=True)
class PathTotals:
    """Totals of a path, nan where a figure is not known.

    length : fed, mm.  minutes : of the moves at feed.  shares : parts of the length in air, conventional, climb,
    straddling, as WAYS.  arc : longest, rad.  chip : thickest, mm.  force : greatest in the plane, N.  wall :
    greatest error of a wall by size, mm.  work : of cutting, kJ.
    """

    length: float
    minutes: float
    shares: tuple[float, ...]
    arc: float
    chip: float
    force: float
    wall: float
    work: float


def wall_sizes(samples: Samples) -> Array:
    """Greatest error (m,) of the wall made at each place by size, mm; 0 in the air, nan where none is known."""
    error = np.abs(samples.loads.wall[:, 2:4])
    return np.asarray(np.where(samples.way == 0, 0.0, error.max(axis=1)))


def _steps(samples: Samples) -> Array:
    """Length (m,) mm that each sample stands for: they stand evenly but for a few beside joints."""
    return np.maximum(np.gradient(samples.s) if len(samples.s) > 1 else np.ones(1), 0.0)


def way_shares(samples: Samples) -> Array:
    """Share of the path's length that is cut in each of :data:`WAYS`."""
    step = _steps(samples)
    return np.bincount(samples.way, step, len(WAYS)) / max(float(step.sum()), 1e-9)


def _minutes(whole: WholePath) -> float:
    fed: FedLength = whole.fed
    moves = whole.program.moves
    feed, speed = feed_per_tooth(moves, fed.move, whole.setup)
    rate = feed * speed * whole.setup.cutter.teeth
    return float((moves.length_mm[fed.move] / rate).sum())


def _most(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(known.max()) if len(known) else math.nan


def path_totals(whole: WholePath) -> PathTotals:
    """The totals of a path with at least one sample."""
    samples, moves = whole.samples, whole.program.moves
    _, speed = feed_per_tooth(moves, samples.places.move, whole.setup)
    rate = samples.feed * speed * whole.setup.cutter.teeth
    with np.errstate(invalid="ignore"):
        work = samples.loads.power * _steps(samples) / rate * 60.0
    longest = math.radians(whole.worst[0]["arc_deg"]) if whole.worst else _most(samples.engaged.arc)
    return PathTotals(
        length=whole.fed.length,
        minutes=_minutes(whole),
        shares=tuple(way_shares(samples).tolist()),
        arc=longest,
        chip=_most(np.where(samples.way == 0, 0.0, samples.h_max)),
        force=_most(samples.loads.resultant),
        wall=_most(wall_sizes(samples)),
        work=float(work.sum()),
    )
