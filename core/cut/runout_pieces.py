"""Runout: each tooth's arc-model chip as pieces of the arc, in each of which it is ``a + b sin(phi)``, closed.

``h = sin(kappa_r) min over k = 1..z of (k fz sin(phi) + R_j - R_(j-k))``: a lower envelope of straight lines over the
sine.  All of them rise, so that the envelope does, and the tooth touches the work beyond one sine only.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ..maths.arrays import Array, frozen


@dataclass(frozen=True, slots=True, eq=False)
class ToothPieces:
    """One tooth's chip along the arc: ends (m + 1,) rad ascending; between them ``offset + slope sin(phi)`` mm.

    ``touches`` (m,): whether the tooth is in contact there; where it is not, offset and slope are 0.
    """

    ends: Array
    offset: Array
    slope: Array
    touches: NDArray[np.bool_]

    def thickness(self, phi: Array) -> Array:
        """Thickness (mm), never below 0, at angles (...) rad; 0 beyond the arc."""
        i = np.clip(np.searchsorted(self.ends, phi, side="right") - 1, 0, len(self.offset) - 1)
        inside = (phi >= self.ends[0]) & (phi <= self.ends[-1])
        return np.where(inside, np.maximum(self.offset[i] + self.slope[i] * np.sin(phi), 0.0), 0.0)

    def touched(self, phi: Array) -> Array:
        """Thickness (mm) at angles (...) rad; nan where the tooth does not touch the work.

        Angles beyond the arc count as those of its ends.
        """
        phi = np.clip(phi, self.ends[0], self.ends[-1])
        i = np.clip(np.searchsorted(self.ends, phi, side="right") - 1, 0, len(self.offset) - 1)
        return np.where(self.touches[i], np.maximum(self.offset[i] + self.slope[i] * np.sin(phi), 0.0), np.nan)


def bounding_lines(radii: Array, tooth: int) -> list[tuple[int, float]]:
    """Of the earlier teeth that can bound this tooth's chip: places before it, and ``R_j - R_(j-k)`` in mm.

    An earlier tooth that is no longer than one that came after it lies inside that one's cut and is left out.
    """
    z, lines, longest = len(radii), [], -math.inf
    for k in range(1, z + 1):
        other = float(radii[(tooth - k) % z])
        if other > longest:
            lines.append((k, float(radii[tooth]) - other))
            longest = other
    return lines


def reached(lines: list[tuple[int, float]], feed: float, level: float) -> float:
    """Sine at which the envelope reaches ``level`` (mm, before the lead angle); infinite where it never does."""
    if feed <= 0.0:
        return 0.0 if min(d for _, d in lines) >= level else math.inf
    return max([(level - d) / (k * feed) for k, d in lines])


def _envelope(lines: list[tuple[int, float]], feed: float) -> list[tuple[float, int, float]]:
    """From which sine on which line is the least: ``(sine, k, offset)``, ascending from 0."""
    current = len(lines) - 1
    found = [(0.0, *lines[current])]
    while current > 0 and feed > 0.0:
        k, d = lines[current]
        meets = [((other - d) / ((k - m) * feed), i) for i, (m, other) in enumerate(lines[:current])]
        sine, current = min(meets)
        if sine >= 1.0:
            break
        found.append((sine, *lines[current]))
    return found


def tooth_pieces(
    radii: Array, tooth: int, feed: float, sine_kappa: float, entry: float, leave: float, level: float = 0.0
) -> ToothPieces:
    """The pieces of one tooth's chip between two angles (rad, 0 to pi).

    radii : (z,) mm; feed : per tooth, mm, 0 and above; level : another thickness (mm) at which a piece must end.
    """
    lines = bounding_lines(radii, tooth)
    touch, envelope = reached(lines, feed, 0.0), _envelope(lines, feed)
    sines = {touch, *(sine for sine, *_ in envelope)}
    if level > 0.0:
        sines.add(reached(lines, feed, level / sine_kappa))
    rising = [math.asin(s) for s in sines if 0.0 < s < 1.0]
    between = [a for u in rising for a in (u, math.pi - u) if entry < a < leave]
    ends = np.array([entry, *sorted(between), leave])
    starts = [sine for sine, *_ in envelope]
    offset, slope, touches = [], [], []
    for low, high in pairwise(ends.tolist()):
        sine = math.sin(0.5 * (low + high))
        _, k, d = envelope[int(np.searchsorted(starts, sine, side="right")) - 1]
        touching = sine >= touch
        offset.append(d * sine_kappa if touching else 0.0)
        slope.append(k * feed * sine_kappa if touching else 0.0)
        touches.append(touching)
    return ToothPieces(frozen(ends), frozen(np.array(offset)), frozen(np.array(slope)), np.array(touches))
