"""Ranges and ticks that people can read (1-2-5), and that keep still while a value is dragged."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from core.maths.arrays import Array


@dataclass(frozen=True, slots=True)
class AxisRange:
    """An axis from ``low`` to ``high`` with a tick every ``step``."""

    low: float
    high: float
    step: float

    def ticks(self) -> Array:
        """Places of the ticks."""
        first = math.ceil(self.low / self.step - 1e-9)
        last = math.floor(self.high / self.step + 1e-9)
        return np.asarray(np.arange(first, last + 1) * self.step, float)

    @property
    def decimals(self) -> int:
        """Decimals that tell two ticks apart."""
        return max(0, -math.floor(math.log10(self.step) + 1e-9))


def readable_step(span: float, wanted: int) -> float:
    """A step of 1, 2 or 5 times a power of ten that divides a span about ``wanted`` times."""
    raw = span / max(wanted, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    for m in (1.0, 2.0, 5.0, 10.0):
        if raw <= m * power * (1.0 + 1e-9):
            return m * power
    return 10.0 * power


def readable_range(low: float, high: float, wanted: int = 4) -> AxisRange:
    """The range about the data, with zero in it, out to whole steps."""
    low, high = min(low, 0.0), max(high, 0.0)
    if not high > low:
        return AxisRange(0.0, 1.0, 0.5)
    step = readable_step(high - low, wanted)
    return AxisRange(math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step, step)


def kept_range(kept: AxisRange | None, low: float, high: float, wanted: int, *, settled: bool) -> AxisRange:
    """The range to show: the kept one while the data are in it, else a new one about both.

    settled : nobody is dragging; then a range much too large is taken in again.
    """
    if kept is None:
        return readable_range(low, high, wanted)
    inside = kept.low <= min(low, 0.0) + 1e-12 and high <= kept.high * (1 + 1e-9) + 1e-12
    if not settled:
        return kept if inside else readable_range(min(low, kept.low), max(high, kept.high), wanted)
    fresh = readable_range(low, high, wanted)
    return kept if inside and (fresh.low, fresh.high) == (kept.low, kept.high) else fresh
