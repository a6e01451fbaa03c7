"""Time simulation of milling with regeneration and loss of contact, many points of speed and depth side by side.

Method.  The turn is divided into even steps.  The modes take each step exactly (``mode_transition``) under a force
that runs straight over it; the force of each edge follows from the chip at both ends of the step, the far end with
the place that the modes would reach if the force stood still (one correction is enough: the place depends on the
force at the far end only in the order of dt^2 / m).  The surface is remembered at every step of the arc as the
outermost of all earlier passages, less the feed since, so that a tooth that lost contact cuts later what others
left (Tlusty and Ismail 1981, from memory).  The whole is of second order in the step.

Start.  The cutter begins in the forced vibration that it would have if no chatter arose, with the surfaces that
belong to it, solved exactly for the periodic force of the rigid cutter's chip, and every mode gets one small kick.
So what grows or settles is the departure from the forced vibration, from a known size, and loss of contact cannot
be an accident of the start.  Chatter that a hard shock would keep alive below the limit (the cut is bistable there,
Stepan and Insperger, from memory) is seen only with a large kick.

Verdict.  See :func:`judged`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Generator
from dataclasses import dataclass, replace
from typing import ParamSpec, TypeVar

import numpy as np
from numpy.typing import ArrayLike

from ..base.errors import ChiparcError
from ..base.refused import refused
from ..base.words import say
from ..maths.arrays import Array, frozen
from .mode_transition import mode_transition
from .regenerative_cut import RegenerativeCut
from .time_march import March, Tips
from .time_record import TimeRecord
from .turn_grid import Grid
from .verdict import Verdict, judged

STEPS_PER_PERIOD = 36
"""Steps in a period of the highest mode, as the cut stiffens it.

A wave that is drawn straight between steps loses (w dt)^2 / 12 of its size, so that 36 put the limit about 0.25 % too
high; measured against the closed form of a slot with four teeth.  The place at the far end of a step is corrected
once only, so the spring of the chips must be resolved as well: in deep cuts of well damped modes it is many times the
mode's own.
"""

STEPS_IN_ARC = 40
"""Least number of steps in the arc of engagement."""

MOST_STEPS = 4_000_000
"""Steps of one run beyond which it is refused: a mode too fast for the speed would take minutes."""

ESCAPED = 1e6
"""Departure, in feeds per tooth, at which a point is stopped: it has outgrown any sense.

Besides waves without loss of contact this is reached by a cut so deep that it pulls the cutter into the work faster
than the tooth leaves it, far beyond any depth that can be cut.
"""

_How = ParamSpec("_How")
_Found = TypeVar("_Found")


@dataclass(frozen=True, slots=True)
class TimeSimulation:
    """What P points did; ``speeds`` rpm, ``depths`` mm, both (P,).

    departure : (turns, P) mm, greatest amplitude in each turn of the difference from one tooth (or one turn, where
    teeth differ: ``repeats`` says which) earlier, over all modes, sqrt(q^2 + (q'/w)^2); nan in a first turn that
    has nothing before it and once a run was stopped.  lost : (turns, P), share of the time in the arc without
    contact.  verdicts : one for each point.  record : the full history of the one point that was asked for, else
    None.
    """

    cut: RegenerativeCut
    speeds: Array
    depths: Array
    steps_per_turn: int
    repeats: str
    linear: bool
    departure: Array
    lost: Array
    verdicts: tuple[Verdict, ...]
    record: TimeRecord | None


def steps_for(cut: RegenerativeCut, slowest_rpm: float, deepest: float) -> int:
    """Steps per turn, a multiple of the teeth, that resolve the arc and the highest mode with the spring that a cut
    of ``deepest`` mm adds to it."""
    spring = cut.cutting_stiffness(deepest)
    highest = max(mode.frequency_hz * math.sqrt(1.0 + spring / mode.stiffness_n_mm) for mode in cut.modes)
    wanted = max(
        STEPS_PER_PERIOD * highest * 60.0 / slowest_rpm,
        STEPS_IN_ARC * 2.0 * math.pi / (cut.exit - cut.entry),
        8.0 * cut.teeth,
    )
    return cut.teeth * math.ceil(wanted / cut.teeth)


def turn_by_turn(
    cut: RegenerativeCut,
    speeds: ArrayLike,
    depths: ArrayLike,
    *,
    turns: int = 60,
    kick: float = 1e-3,
    linear: bool = False,
    steps_per_turn: int | None = None,
    record: int | None = None,
) -> Generator[int, None, TimeSimulation]:
    """Simulate the points ``speeds`` rpm and ``depths`` mm, (P,) or broadcast to it, side by side, for ``turns``
    turns; yields how many are done after each, so that it can be given up in between.

    kick : amplitude in feeds per tooth that every mode gets at the start.  linear : the chip may be below 0 and
    still cuts, as linear stability has it, and runout is left out; else teeth lose contact.  record : index of the
    point whose full history is kept.  One run has one number of steps per turn, so points of like speed and depth
    belong together.  Raises ChiparcError for a mode too fast to be resolved at the slowest speed.
    """
    speed, depth = (np.array(v, float).ravel() for v in np.broadcast_arrays(speeds, depths))
    if linear:
        cut = replace(cut, runout=0.0)
    if not (speed.size and (speed > 0.0).all() and (depth > 0.0).all()):
        raise ChiparcError(say("refused_place", "points"), *refused("chatter_refused", "points"))
    if turns < 4:
        raise ChiparcError(say("refused_place", "turns"), *refused("chatter_refused", "turns", turns=turns))
    steps = steps_for(cut, float(speed.min()), float(depth.max())) if steps_per_turn is None else steps_per_turn
    if steps < cut.teeth or steps % cut.teeth:
        told = refused("chatter_refused", "steps", steps=steps, teeth=cut.teeth)
        raise ChiparcError(say("refused_place", "steps_per_turn"), *told)
    if steps * (turns + 2) > MOST_STEPS:
        fields = {"steps": steps * (turns + 2), "speed": float(speed.min()), "most": MOST_STEPS}
        raise ChiparcError("dynamics.frequency_hz", *refused("chatter_refused", "too_fast", **fields))
    grid = Grid(cut, depth, steps, linear)
    march = March(grid, mode_transition(cut.modes, 60.0 / (speed * steps)), 60.0 / speed)
    march.start_settled(kick * cut.feed)

    repeat = steps // cut.teeth if cut.alike else steps
    earlier: Array | None = None
    departure, lost = np.full((turns, speed.size), np.nan), np.zeros((turns, speed.size))
    stopped = np.zeros(speed.size, bool)
    kept: list[tuple[Array, Array]] = []
    tips: list[Tips] | None = None if record is None else []
    for turn in range(turns):
        # A wave may outgrow the floats within one turn: such a point is stopped, not warned of.
        with np.errstate(over="ignore", invalid="ignore"):
            passed, forces = march.turn(rigid=False, tips=tips)
            whole = passed if earlier is None else np.concatenate([earlier, passed])
            differs = whole[repeat:] - whole[:-repeat] if len(whole) > repeat else whole
            moved = np.sqrt(np.sum(differs**2, 1)).max(0)
        if len(whole) > repeat:
            departure[turn] = np.where(stopped | ~np.isfinite(moved), np.nan, moved)
        lost[turn], earlier = march.lost, passed[-repeat:]
        if record is not None:
            kept.append((passed[:, :, record] @ march.motion.place.T, forces[:, :, record]))
        # A stopped point begins again from rest, turn after turn, so that it does not overflow.
        out = ~(moved <= ESCAPED * cut.feed)
        if out.any():
            stopped |= out
            march.rest(out)
            earlier = np.where(out, 0.0, earlier)
        yield turn + 1
    verdicts = tuple(judged(departure[:, p], lost[:, p], cut.feed) for p in range(speed.size))
    history = None
    if record is not None and tips is not None:
        history = _history(grid, float(speed[record]), float(depth[record]), kept, tips, record)
    return TimeSimulation(
        cut,
        frozen(speed),
        frozen(depth),
        steps,
        "tooth" if cut.alike else "turn",
        linear,
        frozen(departure),
        frozen(lost),
        verdicts,
        history,
    )


def _to_its_end(turns: Callable[_How, Generator[int, None, _Found]]) -> Callable[_How, _Found]:
    """The same call, run to its end."""

    def whole(*args: _How.args, **how: _How.kwargs) -> _Found:
        run = turns(*args, **how)
        while True:
            try:
                next(run)
            except StopIteration as end:
                result: _Found = end.value
                return result

    return whole


simulate = _to_its_end(turn_by_turn)
"""As :func:`turn_by_turn`, all turns at once."""


def _history(
    grid: Grid,
    speed: float,
    depth: float,
    kept: list[tuple[Array, Array]],
    tips: list[Tips],
    point: int,
) -> TimeRecord:
    """The record of one point out of what its turns left."""
    # One column stands for all points, or each has its own.
    where = grid.tip_positions()
    position = np.tile(where[:, :, min(point, where.shape[2] - 1)], (len(tips), 1))
    phi = grid.cut.entry + grid.angle * position
    inside = (position <= grid.last) & (phi <= grid.cut.exit + 1e-9)
    path, before = (np.where(inside, np.concatenate([one[i][:, :, point] for one in tips]), np.nan) for i in (0, 1))
    steps = np.arange(len(position), dtype=float)
    return TimeRecord(
        grid.cut,
        speed,
        depth,
        grid.steps,
        frozen(steps * (60.0 / speed / grid.steps)),
        frozen(grid.cut.entry + steps * grid.angle),
        frozen(np.concatenate([places for places, _ in kept])),
        frozen(np.concatenate([forces for _, forces in kept])),
        frozen(path),
        frozen(before),
    )
