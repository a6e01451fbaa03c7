"""Chip, force and bending at many places of a path at once, integrated over all intervals of each place.

The laws are those of one steady cut (:mod:`core.force.edge_law`, with runout :mod:`core.force.runout_force`, whose
chips are worked out over the half turn and cut to each interval).  Along a helical edge the integrals are closed, so
a force costs a few sines whatever the depth.

- **Turn.**  The force repeats every tooth pitch, with runout every turn.  Between the angles where an edge's tip or
  top passes an end of an interval, or of a piece of its chip with runout, it is smooth: 33 samples of each such
  stretch, then 17 about the best of all, then a parabola.
- **Bending.**  That of :mod:`core.effects.edge_bend`, the sum over the intervals.  With runout the tooth that reaches
  furthest makes the wall, as in :mod:`core.effects.wall`.

Many places of a path have the same intervals: each distinct set is computed once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..cut.edges_in_arc import STRAIGHT
from ..effects.cutter_bending import HeldCutter, held_cutter
from ..effects.edge_bend import bend
from ..effects.edge_loads import EdgeLoads, edge_loads
from ..force.edge_law import EdgeLaw, edge_law, edge_width
from ..force.force_turn import INSIDE, NOTHING
from ..force.runout_force import RunoutForce, runout_force
from ..maths.angles import lag
from ..maths.peaks import crown
from ..setup.setup import Setup
from .path_places import Engaged

Array = NDArray[np.float64]
Index = NDArray[np.int64]

MOST = 1_500_000
"""Stretches of edge looked at in one go."""

HEIGHTS = 33
"""Heights at which the error of the wall is looked at."""

_COARSE, _FINE, _TURN = np.linspace(0.0, 1.0, 33), np.linspace(0.0, 1.0, 17), 2.0 * np.pi


@dataclass(frozen=True, eq=False)
class Loads:
    """Loads at m places, nan where not known or not defined.

    fx, fy, fz (N), torque (N m) : (m, 3) least, greatest and mean over a turn.  resultant : (m,) greatest in the
    plane, N.  power : (m,) mean, kW.  bend : (m, 2) least and greatest movement of the tip in x, mm.
    wall : (m, 4) error at the tip, at the top, least and greatest over the depth, mm; + leaves stock.
    """

    fx: Array
    fy: Array
    fz: Array
    torque: Array
    resultant: Array
    power: Array
    bend: Array
    wall: Array


@dataclass(frozen=True, eq=False)
class _Edge:
    """What of a setup, here one with a slot, the sums need: angles in rad, lengths in mm; ``running`` with runout."""

    setup: Setup
    law: EdgeLaw
    lag: float
    width: float
    loads: EdgeLoads
    held: HeldCutter | None
    running: RunoutForce | None

    @property
    def pitch(self) -> float:
        return _TURN / self.setup.cutter.teeth

    @property
    def period(self) -> float:
        """After which the force repeats."""
        return self.pitch if self.running is None else _TURN

    @property
    def offsets(self) -> Array:
        """Tips (t,) of the teeth in one period."""
        return np.asarray(self.pitch * np.arange(1 if self.running is None else self.setup.cutter.teeth), float)

    @property
    def breaks(self) -> Array:
        """Tips (b,) of tooth 0 at which a tooth's tip or top comes to where its chip begins or changes."""
        if self.running is None:
            return np.zeros(0)
        own = [self.running.breaks(j) + at for j, at in enumerate(self.offsets.tolist())]
        return np.concatenate([*own, *(each + self.lag for each in own)])

    def tips(self, phi: Array) -> Array:
        """Tip angles (..., rows) of all edges that may be in the half turn before the cutter, one tip at ``phi``."""
        rows = math.ceil((np.pi + self.lag) / self.pitch) + 1
        return np.asarray((phi % self.pitch)[..., None] + self.pitch * np.arange(rows))

    def force(self, phi: Array, entry: Array, leave: Array) -> Array:
        """Force (n, k, 4), N, with tooth 0's tip at ``phi`` (n, k) and intervals (n, i)."""
        if self.running is not None:
            return self._running_force(self.running, phi, entry, leave)
        tips = self.tips(phi)[..., None]
        entry, leave = entry[:, None, None, :], leave[:, None, None, :]
        if self.lag < STRAIGHT:
            inside = ((tips >= entry) & (tips <= leave)).any(-1)
            parts = self.law.parts_at(np.minimum(tips[..., 0], np.pi)) * inside
            return self.law.mixed(parts.sum(-1), self.width)
        low = np.clip(tips - self.lag, entry, leave)
        high = np.clip(tips, entry, leave)
        return self.law.mixed(self.law.parts_between(low, high).sum((-1, -2)), self.width / self.lag)

    def _running_force(self, running: RunoutForce, phi: Array, entry: Array, leave: Array) -> Array:
        """As :meth:`force`, each tooth on its own chip."""
        teeth = self.setup.cutter.teeth
        total = np.zeros((*phi.shape, 4))
        winds = 1 + int((np.pi + self.lag) / _TURN)
        for tooth in range(teeth):
            first = (phi - self.pitch * tooth) % _TURN
            for tip in (first + _TURN * wind for wind in range(winds)):
                for k in range(entry.shape[1]):
                    a, b = (np.broadcast_to(end[:, k, None], phi.shape) for end in (entry, leave))
                    if self.lag < STRAIGHT:
                        here = (tip >= a) & (tip <= b)
                        total[here] += self.width * running.element(tooth, tip[here])
                        continue
                    low, high = np.clip(tip - self.lag, a, b), np.clip(tip, a, b)
                    here = high > low
                    which = np.full(int(here.sum()), tooth)
                    total[here] += self.width / self.lag * running.between(which, low[here], high[here])
        return total

    def mean(self, entry: Array, leave: Array) -> Array:
        """Mean (n, 4), N, over a turn: a helix does not change it."""
        if self.running is None:
            parts = self.law.parts_between(entry, leave).sum(-1)
            return self.law.mixed(parts, self.setup.cutter.teeth * self.width / _TURN)
        a, b = entry.reshape(-1), leave.reshape(-1)
        every = [self.running.between(np.full(len(a), j), a, b) for j in range(self.setup.cutter.teeth)]
        integral = np.sum(every, axis=0).reshape(*entry.shape, 4).sum(axis=1)
        return np.asarray(self.width / _TURN * integral)

    def movement(self, phi: Array, entry: Array, leave: Array, height: Array) -> Array:
        """Movement in x (n, k), mm, at ``height`` (k,) or (1,) mm, with tooth 0's tip at ``phi`` (n, k)."""
        assert self.held is not None
        at, tip = np.broadcast_to(height, phi.shape).reshape(-1), phi.reshape(-1)
        moved = np.zeros(tip.shape)
        for k in range(entry.shape[1]):
            a, b = (np.repeat(end[:, k], phi.shape[1]) for end in (entry, leave))
            moved += bend(at, tip, a, b, self.setup, self.loads, self.held)
        return moved.reshape(phi.shape)


def _batches(count: int, each: int) -> Iterator[slice]:
    size = max(1, MOST // max(each, 1))
    for start in range(0, count, size):
        yield slice(start, min(start + size, count))


def _stretches(edge: _Edge, entry: Array, leave: Array) -> tuple[Array, Array]:
    """Ends (n, pieces) of the stretches of a period between the angles where the force has a corner or jumps.

    Stretches of no length have their ends at nan.
    """
    n = len(entry)
    meets = np.concatenate([entry, leave, entry + edge.lag, leave + edge.lag], 1)
    meets = (meets[:, :, None] + edge.offsets).reshape(n, -1)
    meets = np.hstack([meets, np.tile(edge.breaks, (n, 1))]) % edge.period
    meets = np.hstack([np.zeros((n, 1)), np.sort(meets, 1), np.full((n, 1), edge.period)])
    low, high = meets[:, :-1] + INSIDE, meets[:, 1:] - INSIDE
    none = high - low <= 2.0 * INSIDE
    return np.where(none, np.nan, low), np.where(none, np.nan, high)


def _take(values: NDArray[Any], at: Index) -> NDArray[Any]:
    return np.asarray(np.take_along_axis(values, at[..., None], -1)[..., 0])


def _greatest(value: Array) -> tuple[Array, Index]:
    """Of samples (..., s) the top by a parabola about the greatest, and where that is."""
    last = value.shape[-1] - 1
    at = np.argmax(value, -1)
    middle = np.clip(at, 1, last - 1)
    top = crown(_take(value, middle - 1), _take(value, middle), _take(value, middle + 1))
    best = np.where((middle == at) | (top > _take(value, at)), top, _take(value, at))
    return np.maximum(best, _take(value, at)), at


def _five(force: Array) -> Array:
    """x, y, axial, tangential, resultant (..., 5)."""
    return np.concatenate([force, np.hypot(force[..., 0], force[..., 1])[..., None]], -1)


def _extremes(edge: _Edge, entry: Array, leave: Array) -> tuple[Array, Array]:
    """Least and greatest over a turn (n, 5) of x, y, axial, tangential force and resultant, N."""
    n = len(entry)
    low, high = _stretches(edge, entry, leave)
    phi = low[..., None] + (high - low)[..., None] * _COARSE
    real = np.nan_to_num(phi, nan=0.0)
    value = _five(edge.force(real.reshape(n, -1), entry, leave)).reshape(*phi.shape, 5)
    value = np.moveaxis(np.concatenate([-value, value], -1), -1, 1)
    value = np.where(np.isnan(phi)[:, None], -np.inf, value)
    with np.errstate(invalid="ignore"):
        estimate, at = _greatest(value)
    # (n, 10, pieces): the piece that has the top, and its best sample.
    estimate = np.where(np.isfinite(estimate), estimate, -np.inf)
    piece = np.argmax(estimate, -1)
    sample, best = _take(at, piece), np.max(value, (-1, -2))
    flat = np.take_along_axis(
        phi.reshape(n, -1),
        np.concatenate([piece * 33 + np.maximum(sample - 1, 0), piece * 33 + np.minimum(sample + 1, 32)], 1),
        1,
    )
    start, end = flat[:, :10], flat[:, 10:]
    fine = start[..., None] + (end - start)[..., None] * _FINE
    near = _five(edge.force(fine.reshape(n, -1), entry, leave)).reshape(n, 10, 17, 5)
    near = np.concatenate([-near, near], -1)
    own = near[:, np.arange(10), :, np.arange(10)].transpose(1, 0, 2)
    top = np.maximum(_greatest(own)[0], best)
    return -top[:, :5], top[:, 5:]


def _bend_extremes(edge: _Edge, entry: Array, leave: Array) -> Array:
    """Least and greatest movement of the tip in x over a turn (n, 2), mm."""
    n = len(entry)
    low, high = _stretches(edge, entry, leave)
    phi = low[..., None] + (high - low)[..., None] * _FINE
    value = edge.movement(np.nan_to_num(phi).reshape(n, -1), entry, leave, np.zeros(1)).reshape(phi.shape)
    ends = []
    for sign in (-1.0, 1.0):
        with np.errstate(invalid="ignore"):
            top = _greatest(np.where(np.isnan(phi), -np.inf, sign * value))[0]
        ends.append(sign * np.max(np.where(np.isfinite(top), top, -np.inf), -1))
    return np.stack(ends, -1)


def _wall_error(edge: _Edge, entry: Array, leave: Array, sign: Array) -> Array:
    """Error at tip, at top, least and greatest (n, 4), mm; sign (n,) +1 conventional, -1 climb, nan neither."""
    errors = np.full((len(entry), 4), np.nan)
    depth = edge.setup.cut.axial_engagement_mm
    height = np.linspace(0.0, depth, HEIGHTS)
    teeth = edge.loads.wall_teeth
    for way, start in ((1.0, INSIDE), (-1.0, np.pi - INSIDE)):
        row = np.flatnonzero(sign == way)
        if row.size:
            phi = np.broadcast_to(start + edge.lag * height / depth, (len(row), HEIGHTS))
            each = []
            for tooth in teeth.tolist():
                moved = edge.movement(phi + edge.pitch * tooth, entry[row], leave[row], height)
                each.append(way * moved - edge.loads.reach[tooth])
            error = np.min(each, axis=0)
            ends = -_greatest(-error)[0], _greatest(error)[0]
            errors[row] = np.stack([error[:, 0], error[:, -1], *ends], -1)
    return errors


def _distinct(rows: Array) -> tuple[Array, Index]:
    """The distinct rows (to 1e-10) and for each row which of them it is."""
    _, first, which = np.unique(np.round(rows, 10), axis=0, return_index=True, return_inverse=True)
    return rows[first], np.asarray(which).reshape(-1)


def _edge(setup: Setup, feed: float, held: HeldCutter | None) -> _Edge | None:
    """What the sums need of a setup with another feed (mm); None without coefficients."""
    cutter, cut = setup.cutter, setup.cut
    keys = {"radial_engagement_mm": cutter.diameter_mm, "direction": "conventional", "feed_per_tooth_mm": feed}
    slot = setup.with_keys({f"cut.{name}": value for name, value in keys.items()})
    law, pressing = edge_law(slot), edge_loads(slot)
    if law is None or pressing is None:
        return None
    trailing = float(lag(cut.axial_engagement_mm, math.radians(cutter.helix_deg), cutter.diameter_mm))
    running = None if pressing.alike else runout_force(slot, law)
    return _Edge(slot, law, trailing, edge_width(setup), pressing, held, running)


def force_over(phi: Array, engaged: Engaged, feed: float, setup: Setup) -> Array | None:
    """Force (n, 2) in x and y, N, at the one place of ``engaged`` with tooth 0's tip at ``phi`` (n,) rad.

    feed : per tooth, mm.  None without coefficients.
    """
    edge = _edge(setup, feed, None)
    if edge is None:
        return None
    if not len(engaged.entry):
        return np.zeros((len(phi), 2))
    return np.asarray(edge.force(phi[None], engaged.entry[None], engaged.exit[None])[0, :, :2])


def loads(engaged: Engaged, feed: Array, speed: Array, side: Array, setup: Setup) -> Loads:
    """Loads at the places of ``engaged``.

    feed : (m,) feed per tooth, mm; speed : (m,) rpm; side : (m,) +1 where the cut is conventional, -1 where it
    climbs, 0 otherwise; setup : cutter, depth and coefficients.
    """
    m = len(feed)
    columns = {"fx": 3, "fy": 3, "fz": 3, "torque": 3, "bend": 2, "wall": 4}
    made = {f.name: np.full((m, columns[f.name]) if f.name in columns else (m,), np.nan) for f in fields(Loads)}
    count = np.diff(engaged.first)
    known = edge_law(setup) is not None
    held = held_cutter(setup)
    if known:
        air = count == 0
        for name in ("fx", "fy", "fz", "torque", "resultant", "power"):
            made[name][air] = 0.0
        if held is not None:
            made["bend"][air] = 0.0
    for number in np.unique(count[count > 0]) if known else ():
        for one in np.unique(feed[count == number]):
            at = np.flatnonzero((count == number) & (feed == one))
            entries = engaged.first[at][:, None] + np.arange(number)
            rows = np.hstack([engaged.entry[entries], engaged.exit[entries], side[at][:, None]])
            rows, which = _distinct(rows)
            edge = _edge(setup, float(one), held)
            assert edge is not None
            for name, value in _of_rows(edge, rows, int(number)).items():
                made[name][at] = value[which]
    # A power law of a straight edge tells no force along the spindle.
    own = edge_law(setup)
    if own is None or not own.has_axial:
        made["fz"][:] = np.nan
    # Of a turn's tangential forces: torque and power.
    made["torque"] *= setup.cutter.diameter_mm / 2000.0
    made["power"] = made["torque"][:, 2] * _TURN * speed / 60_000.0
    return Loads(**made)


def _of_rows(edge: _Edge, rows: Array, number: int) -> dict[str, Array]:
    """Columns of :class:`Loads` for distinct rows of so many entries, exits and the side."""
    columns: dict[str, list[Array]] = {}
    corners = 4 * number * len(edge.offsets) + len(edge.breaks)
    rows_of_edges = math.ceil((np.pi + edge.lag) / edge.pitch + 1)
    stretches = (corners + 1) * 33 * rows_of_edges * number
    for part in _batches(len(rows), 2 * stretches):
        entry, leave, side = rows[part, :number], rows[part, number : 2 * number], rows[part, -1]
        least, greatest = _extremes(edge, entry, leave)
        level = NOTHING * greatest[:, 4:5]
        least, greatest = (np.where(np.abs(v) <= level, 0.0, v) for v in (least, greatest))
        mean = edge.mean(entry, leave)
        new = {
            name: np.stack([least[:, i], greatest[:, i], mean[:, i]], -1)
            for i, name in enumerate(("fx", "fy", "fz", "torque"))
        }
        new["resultant"] = greatest[:, 4]
        if edge.held is not None:
            new["bend"] = _bend_extremes(edge, entry, leave)
            new["wall"] = _wall_error(edge, entry, leave, side)
        for name, value in new.items():
            columns.setdefault(name, []).append(value)
    return {name: np.concatenate(values) for name, values in columns.items()}
