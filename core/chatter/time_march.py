"""The steps of a time simulation: where every edge stands, what surface it meets, and how the modes move on.

:mod:`time_simulation` says what is simulated and why; here is how one turn of a group of points is run.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..maths.arrays import Array
from ..setup.setup import LinearEdge
from .chip_contact import contact_piece, step_weights
from .mode_transition import ModeTransition, free_motion
from .regenerative_cut import RegenerativeCut

SLICE_LAG = math.radians(4.0)
"""Lag of the edge in one slice of a helical cutter; at most ``MOST_SLICES`` slices are taken."""

MOST_SLICES = 32

KEPT = 2_000_000
"""Figures (edges x points x steps of a turn) up to which the places of a turn are worked out once and kept."""

Tips = tuple[NDArray[np.int64], Array, Array]
"""Of every tooth's tip at one step: position, path, surface before it, each (teeth, P), or (teeth, 1)."""


class Grid:
    """The steps of a turn, the edges and what is known of every step beforehand.

    Positions count from the entry: 0 to ``last`` lie in the arc, ``last + 1`` stands for everywhere else.
    """

    def __init__(self, cut: RegenerativeCut, depths: Array, steps: int) -> None:
        self.cut, self.steps, self.points = cut, steps, len(depths)
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
        self.tooth, self.tip = tooth, np.flatnonzero(piece == 0)
        self.reach, self.feed = cut.reach[tooth][:, None], cut.feeds[tooth][:, None]
        width = self.last + 3
        self.base = (piece[:, None] * width) * self.points + np.arange(self.points)
        self.surface_size = self.slices * width * self.points
        self.width = depths / math.sin(cut.kappa) / self.slices
        self.rigid = math.sin(cut.kappa) * cut.rigid_chip(phi)
        self.arc_steps = float(high.sum()) * cut.teeth * self.slices

        self.known: dict[int, Step] | None = {} if self.base.size * steps <= KEPT else None

    def at(self, step: int) -> Step:
        """Where the edges stand at a step of the turn."""
        if self.known is not None and step in self.known:
            return self.known[step]
        position = np.minimum((step - self.offset) % self.steps, self.last + 1)
        flat = position * self.points + self.base
        tooth = self.tooth[:, None]
        sine, cosine = self.out[:, :, position]
        moment = Step(
            position,
            np.array([flat, flat + self.points]),
            sine,
            cosine,
            self.feed * sine,
            self.turned[:, :, position],
            self.high[position],
            step_weights(0.0, self.high[position]),
            self.forgets[position],
            np.array([self.rigid[tooth, position], self.rigid[tooth, position + 1]]),
        )
        if self.known is not None:
            self.known[step] = moment
        return moment


@dataclass(frozen=True, slots=True)
class Step:
    """The edges (E) in one step: columns are points, or one for all; a leading 2 is the start and the end of the
    step.

    position : (E, .); place : (2, E, P) in the surface; sine, cosine, feed (taken off since the tooth before),
    rigid (chip of the rigid cutter) : (2, E, .); turned : (2, 2, E, .), force x, y of tangential, inward; high :
    (E, .), the part of the step in the arc; weights : (2, 2, E, .), those of a force over all of that part; forgets :
    (E, .), inf where the surface keeps no older passage.
    """

    position: NDArray[np.int64]
    place: NDArray[np.int64]
    sine: Array
    cosine: Array
    feed: Array
    turned: Array
    high: Array
    weights: Array
    forgets: Array
    rigid: Array


class March:
    """One run of a group of points, step by step."""

    def __init__(self, grid: Grid, motion: ModeTransition, linear: bool, turn_seconds: Array) -> None:
        self.grid, self.motion, self.linear, self.turn_seconds = grid, motion, linear, turn_seconds
        states = motion.place.shape[1]
        self.inputs = np.zeros((grid.points, states + 4, 1))
        self.state = self.inputs[:, :states, 0]
        self.place = np.zeros((2, grid.points))
        self.surface = np.full(grid.surface_size, -np.inf)
        shaped = self.surface.reshape(grid.slices, grid.last + 3, grid.points)
        shaped[:, grid.last + 1 :] = 0.0
        self.lost = np.zeros(grid.points)

    def rest(self, points: Array) -> None:
        """Put the chosen points (P,) back to rest on a round surface."""
        self.inputs[points] = 0.0
        self.place[:, points] = 0.0
        self.surface.reshape(-1, self.grid.points)[:, points] = 0.0

    def turn(self, rigid: bool, tips: list[Tips] | None = None) -> tuple[Array, Array]:
        """States at the start of each step, (steps, 2 m, P) mm, and mean forces in it, (steps, 2, P) N.

        rigid : take the chip of the rigid cutter, whatever the vibration is.  tips : receives for each step position,
        path and earlier surface of every tooth's tip.
        """
        grid, cut, motion, surface = self.grid, self.grid.cut, self.motion, self.surface
        kappa, states = math.sin(cut.kappa), motion.place.shape[1]
        straight = isinstance(cut.law, LinearEdge)
        passed, forces = np.empty((grid.steps, states, grid.points)), np.empty((grid.steps, 2, grid.points))
        self.lost = np.zeros(grid.points)
        inputs = self.inputs[:, states:, 0].T.reshape(2, 2, grid.points)
        ends = np.empty((2, 2, 1, grid.points))
        for n in range(grid.steps):
            at = grid.at(n)
            passed[n], ends[0, :, 0] = self.state.T, self.place
            ends[1, :, 0] = np.matmul(motion.held, self.inputs[:, : states + 2])[..., 0].T
            path = at.sine * ends[:, 1] + grid.reach - at.cosine * ends[:, 0]
            before = surface[at.place] - at.feed
            h = at.rigid if rigid else kappa * (path - before)
            if tips is not None:
                tips.append((at.position[grid.tip], path[0, grid.tip], before[0, grid.tip]))
            surface[at.place[0]] = path[0] if self.linear else np.maximum(before[0] - at.forgets, path[0])
            rise = h[1] - h[0]
            if self.linear:
                weights = at.weights
                # Not np.stack: for arrays as short as these that takes four times as long.
                chips = np.array([h[0], h[0] + rise * at.high])
                if straight:
                    force = cut.force_per_width(chips)
                else:
                    settled = np.array([at.rigid[0], at.rigid[0] + (at.rigid[1] - at.rigid[0]) * at.high])
                    force = cut.linear_force_per_width(chips, settled)
            else:
                low, high = contact_piece(h[0], h[1], 0.0, at.high)
                weights = step_weights(low, high)
                chips = np.array([h[0] + rise * low, h[0] + rise * high])
                force = cut.force_per_width(np.maximum(chips, 0.0, out=chips))
                self.lost += np.add.reduce(at.high - np.maximum(high - low, 0.0), 0)
            both = weights[:, 0, None] * force[:, 0] + weights[:, 1, None] * force[:, 1]
            inputs[:] = np.add.reduce(both[:, None] * at.turned, (2, 3)) * grid.width
            self.inputs[:, states:, 0] = inputs.reshape(4, -1).T
            forces[n] = 0.5 * (inputs[0] + inputs[1])
            moved = np.matmul(motion.step, self.inputs)[..., 0]
            self.state[:] = moved[:, :states]
            self.place = moved[:, states:].T
            # The force at the start of the next step is, but for an edge that comes or goes, that at the end of this.
            self.inputs[:, states : states + 2, 0] = inputs[1].T
        self.lost /= grid.arc_steps
        return passed, forces

    def start_settled(self, kick: float) -> None:
        """Put the cutter into its forced vibration, with its surfaces, and kick each mode to an amplitude of
        ``kick``."""
        modes = self.grid.cut.modes
        self.turn(rigid=True)
        after = self.state.copy()
        m = len(modes)
        seconds = self.turn_seconds
        for i, mode in enumerate(modes):
            # A turn takes z to free z + after, so the state that repeats is (1 - free)^-1 after.
            free = free_motion(mode.damping_ratio, 2.0 * np.pi * mode.frequency_hz * seconds)
            rows = [i, m + i]
            self.state[:, rows] = np.linalg.solve(np.eye(2) - free, after[:, rows, None])[..., 0]
        self.place = self.motion.place @ self.state.T
        self.turn(rigid=True)
        self.state[:, m:] += kick
        self.place = self.motion.place @ self.state.T
