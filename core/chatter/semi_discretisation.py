"""Semi-discretisation: the cut's multipliers step by step, also with uneven pitch, helix and process damping.

Over each of many short intervals the directional coefficients are their mean and the delayed movement is a straight
line between its samples; then the motion is exact.  Insperger and Stepan 2004, Int. J. Numer. Meth. Eng. 61:117 (zero
order); Insperger, Stepan and Turi 2008, J. Sound Vib. 313:334 (first order, used here); both from memory.  The error
falls with the square of the interval: 40 intervals are not enough for thin cuts and low speeds.

This is the slow and general method, independent of ``period_matrix``; ``border`` is for even pitch without helix.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..maths.arrays import Array
from ..maths.gauss import gauss
from .directional import CuttingSlopes, direction_matrix, outward
from .modes import Modes

HEIGHTS = 24
"""Discs that stand for a helical edge."""


@dataclass(frozen=True, slots=True)
class PloughDamping:
    """Process damping: flank and wave rub on each other in proportion to the slope of the wave.

    Each mm of edge resists an outward velocity ``w`` with ``indentation w / v`` toward the axis and ``friction``
    times that against the motion, with the cutting speed ``v``.  ``indentation`` (N/mm) is the specific indentation
    force (N/mm3) times half the square of the wear land (mm): Chiou and Liang 1998, Int. J. Mach. Tools Manuf.
    38:315; in milling Budak and Tunc 2009, J. Manuf. Sci. Eng. 131:051019 (both from memory).  ``radius`` of the
    cutter in mm.
    """

    indentation: float
    radius: float
    friction: float = 0.3

    def matrix(self, phi: Array, speed: float) -> Array:
        """Force for each mm of depth and mm/s of movement at ``phi`` (rad, ...): (..., 2, 2), N s/mm2."""
        e = outward(phi)
        tangent = np.stack([-np.sin(phi), -np.cos(phi)], -1)
        push = (self.friction * tangent - e) * self.indentation / (self.radius * speed)
        return np.asarray(push[..., :, None] * e[..., None, :])


@dataclass(frozen=True, slots=True, eq=False)
class Teeth:
    """Where teeth stand: ``gaps`` (z,) rad from each tooth to the one that cut before it, together a whole turn;
    ``lag`` rad by which the edge trails the tip for each mm of height (0: no helix)."""

    gaps: Array
    lag: float = 0.0

    @property
    def even(self) -> bool:
        """Whether all gaps are the same."""
        return bool(np.ptp(self.gaps) < 1e-12)


def even_teeth(count: int, lag: float = 0.0) -> Teeth:
    """``count`` teeth at even pitch."""
    return Teeth(np.full(count, 2.0 * math.pi / count), lag)


def _mean_over(low: Array, high: Array, entry: float, leave: float, of_angle: Callable[[Array], Array]) -> Array:
    """Mean from ``low`` to ``high`` (...), rad, of a matrix function that is 0 outside the arc: (..., 2, 2).

    The arc comes back every turn.
    """
    nodes, weights = gauss(5)
    total = np.zeros((*low.shape, 2, 2))
    turn = np.floor((low - entry) / (2 * math.pi))
    for k in (0.0, 1.0):
        shift = 2 * math.pi * (turn + k)
        a = np.clip(low - shift, entry, leave)
        b = np.clip(high - shift, entry, leave)
        phi = a[..., None] + (b - a)[..., None] * nodes
        total += np.einsum("i,...iab->...ab", weights, of_angle(phi)) * (b - a)[..., None, None]
    return total / (high - low)[..., None, None]


def exponential(matrix: Array) -> Array:
    """Matrix exponential of (..., n, n) by a Taylor series of 14 terms after halving to a norm under 1/2."""
    norm = float(np.abs(matrix).sum(-1).max(initial=0.0))
    halvings = max(0, math.ceil(math.log2(max(norm, 1e-300) / 0.5)))
    scaled = matrix / 2.0**halvings
    term = np.broadcast_to(np.eye(matrix.shape[-1]), matrix.shape)
    total = term.copy()
    for k in range(1, 15):
        term = term @ scaled / k
        total += term
    for _ in range(halvings):
        total = total @ total
    return total


def monodromy(
    modes: Modes,
    slopes: CuttingSlopes,
    entry: float,
    leave: float,
    teeth: Teeth,
    speed_rpm: float,
    depth: float,
    intervals: int = 40,
    damping: PloughDamping | None = None,
) -> Array:
    """The matrix that takes state and history over one period: a tooth period with even pitch, else a turn.

    ``depth`` in mm, ``entry`` and ``leave`` in rad; ``intervals`` in the period.  State first, then the earlier
    movements on both axes, latest first.
    """
    speed = speed_rpm * 2.0 * math.pi / 60.0
    z = len(teeth.gaps)
    period = 2.0 * math.pi / z if teeth.even else 2.0 * math.pi
    step = period / intervals
    starts = step * np.arange(intervals)
    offsets = np.concatenate([[0.0], np.cumsum(teeth.gaps[1:])])
    heights = depth * (np.arange(HEIGHTS) + 0.5) / HEIGHTS if teeth.lag else np.zeros(1)
    behind = offsets[:, None] + teeth.lag * heights
    low = starts[:, None, None] - behind
    # (intervals, z, heights, 2, 2), mean over the heights.
    cutting = depth * _mean_over(low, low + step, entry, leave, lambda phi: direction_matrix(phi, slopes)).mean(2)
    rubbing = np.zeros((intervals, 2, 2))
    if damping is not None:
        each = _mean_over(low, low + step, entry, leave, lambda phi: damping.matrix(phi, speed))
        rubbing = depth * each.mean(2).sum(1)
    free, input0, input1 = _interval_matrices(modes, cutting.sum(1), rubbing, step / speed)
    return _chained(modes, cutting, free, input0, input1, teeth.gaps / step)


def _interval_matrices(modes: Modes, cutting: Array, rubbing: Array, length: float) -> tuple[Array, Array, Array]:
    """Over each interval: transition (m, 2n, 2n), and what a force at its start and its rise to the end add."""
    n, count = modes.count, len(cutting)
    size = 2 * n
    to_tip = np.zeros((2, size))
    to_velocity = np.zeros((2, size))
    from_force = np.zeros((size, 2))
    own = np.zeros((size, size))
    for k in range(n):
        axis, omega = int(modes.axis[k]), modes.omega[k]
        to_tip[axis, 2 * k] = 1.0
        to_velocity[axis, 2 * k + 1] = omega
        from_force[2 * k + 1, axis] = omega / modes.stiffness[k]
        own[2 * k, 2 * k + 1] = omega
        own[2 * k + 1, 2 * k] = -omega
        own[2 * k + 1, 2 * k + 1] = -2.0 * modes.damping[k] * omega
    whole = np.zeros((count, size + 4, size + 4))
    whole[:, :size, :size] = own + from_force @ (cutting @ to_tip + rubbing @ to_velocity)
    whole[:, :size, size : size + 2] = from_force
    whole[:, size : size + 2, size + 2 :] = np.eye(2) / length
    moved = exponential(whole * length)
    return moved[:, :size, :size], moved[:, :size, size : size + 2], moved[:, :size, size + 2 :]


def _chained(modes: Modes, cutting: Array, free: Array, input0: Array, input1: Array, delays: Array) -> Array:
    """Product of the intervals; ``delays`` (z,) in intervals, whole or not."""
    count, size = len(free), 2 * modes.count
    whole = np.floor(delays + 1e-9).astype(int)
    rest = np.clip(delays - whole, 0.0, 1.0)
    length = int((whole + (rest > 1e-9)).max())
    total = size + 2 * length
    state = np.eye(size, total)
    of_axis = np.zeros((2, size))
    of_axis[modes.axis, 2 * np.arange(modes.count)] = 1.0
    # Movements at the ends of the intervals, earliest first.
    past = np.zeros((length + count + 1, 2, total))
    for k in range(length):
        past[length - 1 - k, :, size + 2 * k : size + 2 * k + 2] = np.eye(2)
    for i in range(count):
        now = length + i
        past[now] = of_axis @ state
        start, end = np.zeros((2, total)), np.zeros((2, total))
        for j, (d, part) in enumerate(zip(whole, rest, strict=True)):
            a = cutting[i, j]
            earlier = past[now - d - 1] if part > 1e-9 else 0.0
            start -= a @ ((1.0 - part) * past[now - d] + part * earlier)
            end -= a @ ((1.0 - part) * past[now - d + 1] + part * past[now - d])
        state = free[i] @ state + input0[i] @ start + input1[i] @ (end - start)
    rows = [state] + [past[length + count - 1 - k] for k in range(length)]
    return np.concatenate(rows)


def multipliers(
    modes: Modes,
    slopes: CuttingSlopes,
    entry: float,
    leave: float,
    teeth: Teeth,
    speed_rpm: float,
    depth: float,
    intervals: int = 40,
    damping: PloughDamping | None = None,
) -> np.ndarray:
    """Multipliers of the cut, greatest first, over a tooth period with even pitch, else over a turn; see
    :func:`monodromy`."""
    values = np.linalg.eigvals(monodromy(modes, slopes, entry, leave, teeth, speed_rpm, depth, intervals, damping))
    return np.asarray(values[np.argsort(-np.abs(values))])


def axial_limit(
    modes: Modes,
    slopes: CuttingSlopes,
    entry: float,
    leave: float,
    teeth: Teeth,
    speed_rpm: float,
    deepest: float,
    intervals: int = 80,
    damping: PloughDamping | None = None,
    first: float | None = None,
    growth: float = 1.15,
) -> float:
    """The first depth (mm) found unstable going up by ``growth`` from ``first``, then halved to 1e-4; infinite if
    none up to ``deepest``.  A pocket of instability narrower than a step may be passed."""

    def radius(depth: float) -> float:
        args = (modes, slopes, entry, leave, teeth, speed_rpm, depth, intervals, damping)
        return float(abs(multipliers(*args)[0]))

    low, high = 0.0, deepest / 1000.0 if first is None else first
    while radius(high) < 1.0:
        if high >= deepest:
            return math.inf
        low, high = high, min(high * growth, deepest)
    while high - low > 1e-4 * high:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if radius(middle) < 1.0 else (low, middle)
    return 0.5 * (low + high)
