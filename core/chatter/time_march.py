"""A turn of a time simulation, step by step: what chip the edges take, what it pushes and how the modes move on.

:mod:`time_simulation` says what is simulated and why; here is how one turn of a group of points is run.  A step of a
few points costs as many calls of numpy as it has: so edges out of the arc are left out, and a force that is straight
in the chip is one sum.
"""

from __future__ import annotations

import math

import numpy as np

from ..maths.arrays import Array
from .chip_contact import contact_piece, step_weights
from .mode_transition import ModeTransition, free_motion
from .turn_grid import Grid, Step

Tips = tuple[Array, Array]
"""Of every tooth's tip in a turn: path, surface before it, each (steps, teeth, P) mm; nan out of the arc."""


class March:
    """One run of a group of points, step by step."""

    def __init__(self, grid: Grid, motion: ModeTransition, turn_seconds: Array) -> None:
        self.grid, self.motion, self.turn_seconds = grid, motion, turn_seconds
        self.states = states = motion.place.shape[1]
        # State, then force x, y at the start and at the end of the step: one column for each point.
        self.inputs = np.zeros((grid.points, states + 4, 1))
        self.state = self.inputs[:, :states, 0]
        self.forces = np.moveaxis(self.inputs[:, states:, 0].reshape(-1, 2, 2), 0, 2)
        self.moves = np.ascontiguousarray(motion.step[:, :states])
        now = np.zeros((grid.points, 2, states + 2))
        now[:, :, :states] = motion.place
        # To x, y now and to those at the end of the step if the force stood still.
        self.ends = np.concatenate([now, motion.held], 1)
        self.surface = np.full(grid.surface_size, -np.inf)
        shaped = self.surface.reshape(grid.slices, grid.last + 3, grid.points)
        shaped[:, grid.last + 1 :] = 0.0
        self.lost = np.zeros(grid.points)

    def rest(self, points: Array) -> None:
        """Put the chosen points (P,) back to rest on a round surface."""
        self.inputs[points] = 0.0
        self.surface.reshape(-1, self.grid.points)[:, points] = 0.0

    def turn(self, rigid: bool, tips: list[Tips] | None = None) -> tuple[Array, Array]:
        """States at the start of each step, (steps, 2 m, P) mm, and mean forces in it, (steps, 2, P) N.

        rigid : take the chip of the rigid cutter, whatever the vibration is.  tips : receives those of the turn.
        """
        grid, states, inputs, forces = self.grid, self.states, self.inputs, self.forces
        passed, pushed = np.empty((grid.steps, grid.points, states)), np.zeros((grid.steps, 2, 2, grid.points))
        kept = None if tips is None else np.full((2, grid.steps, grid.cut.teeth, grid.points), np.nan)
        self.lost = np.zeros(grid.points)
        for n in range(grid.steps):
            passed[n] = self.state
            at = grid.at(n)
            if at is None:
                forces[:] = 0.0
            else:
                path, before = self._paths(at)
                if kept is not None:
                    kept[:, n, at.tip_teeth] = path[0, at.tips], before[0, at.tips]
                forces[:] = pushed[n] = self._force(at, at.rigid if rigid else self._chip(path, before))
            self.state[:] = np.matmul(self.moves, inputs)[..., 0]
            # The force at the start of the next step is, but for an edge that comes or goes, that at the end of this.
            forces[0] = forces[1]
        self.lost /= grid.arc_steps
        if tips is not None and kept is not None:
            tips.append((kept[0], kept[1]))
        return passed.transpose(0, 2, 1), pushed.mean(1)

    def _paths(self, at: Step) -> tuple[Array, Array]:
        """How far out the edges run and the surface before them, less the feed, (2, E, P) mm; leaves the new one."""
        ends = np.matmul(self.ends, self.inputs[:, : self.states + 2])[..., 0].T.reshape(2, 2, 1, -1)
        path = at.sine * ends[:, 1]
        path += at.reach
        path -= at.cosine * ends[:, 0]
        before = self.surface.take(at.place)
        before -= at.feed
        self.surface[at.begin] = path[0] if self.grid.linear else np.maximum(before[0] - at.forgets, path[0])
        return path, before

    def _chip(self, path: Array, before: Array) -> Array:
        """Chip (2, E, P) mm across the edge, below 0 where it passes over the surface."""
        chip = path - before
        chip *= math.sin(self.grid.cut.kappa)
        return chip

    def _force(self, at: Step, h: Array) -> Array:
        """Force x, y, (2, 2, P) N, at the start and the end of a step with the chips ``h``; adds up lost contact."""
        cut, grid = self.grid.cut, self.grid
        in_contact = grid.linear or h.min() >= 0.0
        if in_contact and at.push is not None:
            return np.asarray((np.add.reduce(at.push * h, (2, 3)) + at.edge_push) * grid.width)
        rise = h[1] - h[0]
        if in_contact:
            # Not np.stack: for arrays as short as these that takes four times as long.
            weights, chips = at.weights, np.array([h[0], h[0] + rise * at.high])
        else:
            low, high = contact_piece(h[0], h[1], 0.0, at.high)
            weights = step_weights(low, high)
            chips = np.array([h[0] + rise * low, h[0] + rise * high])
            self.lost += np.add.reduce(at.high - np.maximum(high - low, 0.0), 0)
        per_width = cut.force_per_width(np.maximum(chips, 0.0, out=chips))
        both = weights[:, 0, None] * per_width[:, 0] + weights[:, 1, None] * per_width[:, 1]
        return np.asarray(np.add.reduce(both[:, None] * at.turned, (2, 3)) * grid.width)

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
        self.turn(rigid=True)
        self.state[:, m:] += kick
