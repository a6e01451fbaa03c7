"""The steps of a turn in a time simulation: where every edge stands, what surface it meets, how its force pushes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..maths.arrays import Array
from ..setup.setup import LinearEdge
from .chip_contact import step_weights
from .regenerative_cut import RegenerativeCut

SLICE_LAG = math.radians(4.0)
"""Lag of the edge in one slice of a helical cutter; at most ``MOST_SLICES`` slices are taken."""

MOST_SLICES = 32

KEPT = 2_000_000
"""Figures (edges x points x steps of a turn) up to which the places of a turn are worked out once and kept."""


class Grid:
    """The steps of a turn, the edges and what is known of every step beforehand.

    Positions count from the entry: 0 to ``last`` lie in the arc, ``last + 1`` stands for everywhere else.
    """

    def __init__(self, cut: RegenerativeCut, depths: Array, steps: int, linear: bool) -> None:
        self.cut, self.steps, self.points, self.linear = cut, steps, len(depths), linear
        angle = 2.0 * math.pi / steps
        self.angle = angle
        inside = (cut.exit - cut.entry) / angle
        self.last = max(1, math.ceil(inside - 1e-9))
        phi = cut.entry + angle * np.arange(self.last + 3, dtype=float)
        self.phi = phi
        high = np.clip(inside - np.arange(self.last + 3), 0.0, 1.0)
        high[self.last :] = 0.0
        sine, cosine = np.sin(phi + angle / 2.0), np.cos(phi + angle / 2.0)
        # At the very ends of a half turn the feed takes nothing off: an old wave would stand there for ever, and the
        # chip of the whole end step would hang on it.  There only the last passage is remembered.
        forgets = np.where(np.sin(phi) < math.sin(angle / 2.0), np.inf, 0.0)
        # (start and end of the step, positions), then force x, y out of tangential, inward in the middle of the step.
        self.out = np.array([[np.sin(phi), np.sin(phi + angle)], [np.cos(phi), np.cos(phi + angle)]])
        self.turned = np.array([[-sine, cosine], [-cosine, -sine]])
        self.high, self.forgets = high, forgets

        whole_lag = 2.0 * depths * math.tan(cut.helix) / cut.diameter
        self.slices = min(MOST_SLICES, max(1, math.ceil(float(whole_lag.max()) / SLICE_LAG)))
        height = (np.arange(self.slices) + 0.5) / self.slices
        # Without helix one column serves all points.
        lag = height[:, None] * (whole_lag if cut.helix else whole_lag[:1] * 0.0)
        offset = np.round(cut.behind[:, None, None] / angle) + np.round(lag / angle)
        self.offset = offset.reshape(cut.teeth * self.slices, -1).astype(np.int64)
        tooth, piece = np.divmod(np.arange(cut.teeth * self.slices), self.slices)
        self.tooth, self.piece = tooth, piece
        self.reach, self.feed = cut.reach[tooth][:, None], cut.feeds[tooth][:, None]
        width = self.last + 3
        self.base = (piece[:, None] * width) * self.points + np.arange(self.points)
        self.surface_size = self.slices * width * self.points
        self.width = depths / math.sin(cut.kappa) / self.slices
        self.rigid = math.sin(cut.kappa) * cut.rigid_chip(phi)
        self.arc_steps = float(high.sum()) * cut.teeth * self.slices

        self.known: dict[int, Step | None] | None = {} if self.base.size * steps <= KEPT else None

    def at(self, step: int) -> Step | None:
        """Where the edges in the arc stand at a step of the turn; None if there are none."""
        if self.known is None:
            return self._step(step)
        if step not in self.known:
            self.known[step] = self._step(step)
        return self.known[step]

    def tip_positions(self) -> NDArray[np.int64]:
        """Position of every tooth's tip at each step of the turn, (steps, teeth, P) or (steps, teeth, 1)."""
        turned = np.arange(self.steps)[:, None, None] - self.offset[self.piece == 0]
        return np.minimum(turned % self.steps, self.last + 1)

    def _step(self, step: int) -> Step | None:
        everywhere = np.minimum((step - self.offset) % self.steps, self.last + 1)
        edges = np.flatnonzero((everywhere <= self.last).any(1))
        if not edges.size:
            return None
        position, tooth = everywhere[edges], self.tooth[edges]
        place = position * self.points + self.base[edges]
        sine, cosine = self.out[:, :, position]
        turned, high = self.turned[:, :, position], self.high[position]
        weights = step_weights(0.0, high)
        rigid = np.array([self.rigid[tooth[:, None], position], self.rigid[tooth[:, None], position + 1]])
        push = edge_push = None
        if self.linear or isinstance(self.cut.law, LinearEdge):
            push, edge_push = self._push(rigid, high, weights, turned)
        tips = np.flatnonzero(self.piece[edges] == 0)
        return Step(
            np.array([place, place + self.points]),
            place,
            sine,
            cosine,
            self.reach[edges],
            self.feed[edges] * sine,
            turned,
            high,
            weights,
            self.forgets[position],
            rigid,
            push,
            edge_push,
            tips,
            tooth[tips],
        )

    def _push(self, rigid: Array, high: Array, weights: Array, turned: Array) -> tuple[Array, Array]:
        """``push`` and ``edge_push`` of :class:`Step`."""
        settled = np.array([rigid[0], rigid[0] + (rigid[1] - rigid[0]) * high])
        without = self.cut.linear_force_per_width(np.zeros(settled.shape), settled)
        slope = self.cut.linear_force_per_width(np.ones(settled.shape), settled) - without
        # The chip at the low end of the piece is that at the start; at its high end it is shared by both ends.
        low, top = (weights[:, end, None, None] * (turned * slope[:, end]) for end in (0, 1))
        push = np.array([low + top * (1.0 - high), top * high]).sum(3)
        by_edge = weights[:, 0, None, None] * (turned * without[:, 0]) + weights[:, 1, None, None] * (
            turned * without[:, 1]
        )
        return np.moveaxis(push, 0, 2), by_edge.sum((2, 3))


@dataclass(frozen=True, slots=True)
class Step:
    """The edges (E) that are in the arc in one step: columns are points, or one for all; a leading 2 is the start and
    the end of the step.

    place : (2, E, P) in the surface, begin the first of it; sine, cosine, feed (taken off since the tooth before),
    rigid (chip of the rigid cutter) : (2, E, .); reach : (E, 1), how far out the tooth runs; turned : (2, 2, E, .),
    force x, y of tangential, inward; high : (E, .), the part of the step in the arc; weights : (2, 2, E, .), those of
    a force over all of that part; forgets : (E, .), inf where the surface keeps no older passage.

    push : (2, 2, 2, E, .), force x, y at start and end for each mm of width and of chip at start and end, where the
    force is straight in the chip and nothing leaves the work, edge_push : (2, 2, .) what it is for a chip of 0; None
    where the force is not straight.  tips, tip_teeth : which edges are tips, and of which teeth.
    """

    place: NDArray[np.int64]
    begin: NDArray[np.int64]
    sine: Array
    cosine: Array
    reach: Array
    feed: Array
    turned: Array
    high: Array
    weights: Array
    forgets: Array
    rigid: Array
    push: Array | None
    edge_push: Array | None
    tips: NDArray[np.int64]
    tip_teeth: NDArray[np.int64]
