"""Where in one small step an edge cuts, and the force over that step, when contact begins or ends inside it.

Over a step the chip along an edge runs straight from h0 to h1.  The edge cuts where the step lies in the arc and
the chip is above 0; that piece (low, high) of the step is found exactly, so that neither the ends of the arc nor
loss of contact have to fall on a step.  The force over the piece is then replaced by the straight line over the
whole step that has the same impulse and the same first moment: the error of a step with an end in it is of the
third order in the step's length, as in a step without, and the method stays of second order.
"""

from __future__ import annotations

import numpy as np

from ..maths.arrays import Array


def contact_piece(h0: Array, h1: Array, low: Array | float, high: Array) -> tuple[Array, Array]:
    """The piece of the step in which the chip is not below 0, inside ``low`` to ``high`` (0 to 1); empty: high <=
    low.

    h0, h1 : chip at both ends of the step, any shape.  A chip of exactly 0 counts as contact.
    """
    fall = h0 - h1
    # Not np.clip: for arrays as short as these that takes twice as long.
    crossing = np.minimum(np.maximum(h0 / np.where(fall == 0.0, 1e-300, fall), -1.0), 2.0)
    low = np.where(h0 < 0.0, np.maximum(low, crossing), low)
    high = np.where(h1 < 0.0, np.minimum(high, crossing), high)
    return low, high


def step_weights(low: Array | float, high: Array) -> Array:
    """What the force at both ends of a piece counts in :func:`step_force`: (start and end of the step, low and high
    end of the piece, ...).

    With the impulse I and the first moment M of the piece the line over the step is 4 I - 6 M at its start and
    6 M - 2 I at its end.
    """
    span = np.maximum(high - low, 0.0)
    first, last = span * (2.0 * low + high), span * (low + 2.0 * high)
    return np.array([[2.0 * span - first, 2.0 * span - last], [first - span, last - span]])


def step_force(low: Array | float, high: Array, at_low: Array, at_high: Array) -> tuple[Array, Array]:
    """Start and end (each as ``at_low``) of the straight force over a step with the impulse of a piece of it.

    The force runs straight from ``at_low`` to ``at_high`` (c, ...) over the piece ``low`` to ``high`` (...) and is 0
    in the rest of the step; an empty piece gives 0.
    """
    start, end = step_weights(low, high)
    return start[0] * at_low + start[1] * at_high, end[0] * at_low + end[1] * at_high
