"""Root finding in a bracket, which once found is never lost.

All of these keep a sign change between their two ends, so that none can run away, whatever the curve.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np


def bisected(curve: Callable[[float], float], low: float, high: float, halvings: int = 54) -> float:
    """Where ``curve``, above 0 at ``low`` and not at ``high``, changes its sign; 54 halvings use up the digits.

    For a curve with a kink or a pole at an end, where every faster step would be checked again and again.
    """
    for _ in range(halvings):
        middle = (low + high) / 2.0
        low, high = (middle, high) if curve(middle) > 0.0 else (low, middle)
    return (low + high) / 2.0


def newton_in_bracket(
    lead: Callable[[float], tuple[float, float]], start: float, low: float, high: float, near: float
) -> float:
    """Where ``lead`` (value, slope), below 0 at ``low`` and rising to ``high``, passes 0; to ``near``.

    Newton's method, quadratic near the root; a step that leaves the bracket, or a value or slope that is of no use,
    is replaced by halving.
    """
    at = min(max(start, low), high)
    for _ in range(200):
        value, slope = lead(at)
        low, high = (at, high) if value < 0.0 else (low, at)
        new = at - value / slope if slope > 0.0 and math.isfinite(value) else low
        if not low < new < high:
            new = (low + high) / 2.0
        moved, at = abs(new - at), new
        if moved <= near:
            break
    return at


def close_to_zero(
    curve: Callable[[float], float], low: float, at_low: float, high: float, at_high: float, near: float, tries: int
) -> float:
    """A place between ``low`` and ``high`` at which ``curve`` is within ``near`` of 0; nan counts as near.

    at_low, at_high : its values there, above and below 0, which are known already.  Illinois variant of false
    position: the weight of an end that stays twice running is halved, so that both ends close in (order about 1.44:
    Dowell and Jarratt, A modified regula falsi method for computing the root of an equation, BIT 11 (1971) 168, from
    memory).  For a curve that costs so much that it is left as soon as its value is near enough; at the latest after
    ``tries``.
    """
    at, side = high, 0
    for _ in range(tries):
        at = (low * at_high - high * at_low) / (at_high - at_low)
        value = curve(at)
        if not abs(value) > near:
            break
        if value > 0.0:
            low, at_low = at, value
            at_high *= 0.5 if side > 0 else 1.0
            side = 1
        else:
            high, at_high = at, value
            at_low *= 0.5 if side < 0 else 1.0
            side = -1
    return at


def last_good(good: float, bad: float, over: Callable[[float], float], near: float) -> float:
    """The last good value between a good and a bad one, to ``near`` of its size, never on the bad side.

    over : above 0 where bad, perhaps infinite, perhaps with a jump.  For a curve that costs so much that each of its
    evaluations counts: regula falsi aimed a little to either side of the crossing, so that both ends close in, after
    about a dozen evaluations for six digits; halving where that has not paid, as at a jump, so that no bracket needs
    more than twice the evaluations of bisection.
    """
    at_good, at_bad, halve = over(good), over(bad), False
    for _ in range(100):
        width, aim = abs(bad - good), near * max(abs(good), abs(bad))
        if width <= aim:
            break
        share = 0.5
        if not halve and math.isfinite(at_bad):
            # On the good side of the crossing first; once the good end is near, on the bad side.
            guess, step = -at_good / max(at_bad - at_good, 1e-300), 0.4 * aim / width
            share = float(np.clip(guess + (step if guess < 2.0 * step else -step), step, 1.0 - step))
        middle = good + share * (bad - good)
        found = over(middle)
        if found <= 0.0:
            good, at_good = middle, found
        else:
            bad, at_bad = middle, found
        halve = not halve and abs(bad - good) > 0.25 * width
    return good
