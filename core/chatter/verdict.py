"""Whether a simulated cut settles, grows or chatters with the teeth leaving the work: the criterion, in one place."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from ..maths.arrays import Array

State = Literal["settles", "grows", "limited"]

FLOOR = 1e-11
"""Departure in feeds per tooth that is taken for rounding: what came down to it has settled."""

LARGE = 0.02
"""Departure in feeds per tooth from which a steady one may be chatter held in bounds by loss of contact."""

MORE_LOST = 0.005
"""Share of the time in the arc by which loss of contact must have grown since the first turn to be its doing."""

GROWN = 10.0
"""Times its first size that a departure must have had to have grown by chatter: no settling cut swells so far."""

NEVER_TOUCHES = 0.999
"""Share of the time in the arc without contact over which a cutter has thrown itself out of the work."""

HALVED = math.log(2.0)


@dataclass(frozen=True, slots=True)
class Verdict:
    """One point's verdict.  ``growth`` is the factor by which the departure changes in a turn; ``departure`` mm and
    ``lost`` (share of the time in the arc) are those of the last quarter of the turns, ``lost_first`` of the first
    turn.
    """

    state: State
    growth: float
    departure: float
    lost: float
    lost_first: float

    @property
    def stable(self) -> bool:
        """Whether the cut settles into the forced vibration."""
        return self.state == "settles"


def judged(departure: Array, lost: Array, feed: float) -> Verdict:
    """The verdict on one run: ``departure`` (turns,) mm, nan from where it was stopped (and maybe in the first turn);
    ``lost`` (turns,).

    The departure is the amplitude of the difference from one repeat earlier, greatest in each turn.  Growth is the
    slope of its logarithm over the second half of the turns, by least squares.

    - *limited*, chatter that loss of contact bounds: more contact is lost in the last quarter than in the first turn
      (``MORE_LOST``), and the departure was once ``GROWN`` times its first size and large (``LARGE``), or, after a
      hard kick, is large in the last quarter and did not halve over the second half.  Bounded chatter comes in
      bursts, so a fall at the end says nothing once it has grown;
    - else *grows* if it was stopped or the growth is over 1, *settles* if it is not or the departure came down to
      rounding (``FLOOR``).

    A point within a few tenths of a per cent of the limit may fall to either side: the growth says how near it is.
    So may one within some per cent whose departure swells and shrinks over more turns than were run, as it does where
    the period nearly doubles with one tooth, or whose slowest wave the kick hardly wakes.
    """
    live = np.flatnonzero(np.isfinite(departure))
    values = departure[live]
    turns = len(values)
    if not turns:
        return Verdict("grows", math.inf, math.inf, float(lost[0]), float(lost[0]))
    late = slice(turns - max(1, turns // 4), turns)
    end, lost_end = float(values[late].max()), float(lost[live][late].mean())
    first = float(lost[0])
    if live[-1] + 1 < len(departure):
        # Stopped, maybe after a few turns: from there on nothing but growth can be told.
        tail = values[-max(2, turns // 2) :]
        rate = float((tail[-1] / tail[0]) ** (1.0 / (len(tail) - 1))) if len(tail) > 1 else math.inf
        return Verdict("grows", rate, end, lost_end, first)
    if lost_end > NEVER_TOUCHES and float(values.max()) > LARGE * feed:
        # Flung so far out that it meets nothing any more: it comes to rest in the air.
        return Verdict("limited", 0.0, end, lost_end, first)
    half = np.arange(turns // 2, turns)
    above = half[values[half] > FLOOR * feed]
    if len(above) < max(2, len(half) // 2):
        return Verdict("settles", 0.0, end, lost_end, first)
    slope = float(np.polyfit(above, np.log(values[above]), 1)[0])
    halved = slope * (turns - turns // 2) < -HALVED
    state: State = "grows" if slope > 0.0 else "settles"
    greatest = float(values.max())
    grown = greatest > LARGE * feed and greatest > GROWN * float(values[:2].max())
    if lost_end > first + MORE_LOST and (grown or (end > LARGE * feed and not halved)):
        state = "limited"
    return Verdict(state, math.exp(min(slope, 700.0)), end, lost_end, first)
