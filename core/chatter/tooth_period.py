"""One tooth period of a cut without helix and with even pitch: which teeth are in cut, piece by piece.

Time starts when a tooth enters.  With an arc of ``m`` pitches and a rest, ``m + 1`` teeth are in cut during the rest
and ``m`` during what remains of the period; with ``m = 0`` that remainder is free flight.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ..maths.arrays import Array
from .directional import CuttingSlopes, direction_matrix, force_direction, outward

SAME = 1e-9
"""Share of a pitch within which an arc counts as a whole number of pitches."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the period with always the same teeth in cut: where the last tooth that entered starts, how far it
    turns (rad), how many teeth are in cut, one ``pitch`` apart."""

    start: float
    span: float
    in_cut: int
    pitch: float

    def angles(self, turned: Array) -> Array:
        """Angles of all teeth in cut, (..., teeth), after ``turned`` (rad, ...) of the piece."""
        return np.asarray(turned[..., None] + self.start + self.pitch * np.arange(self.in_cut))


@dataclass(frozen=True, slots=True)
class ToothPeriod:
    """Pieces of one tooth period in order of time, and the angle of free flight after them, rad."""

    pieces: tuple[Piece, ...]
    free: float
    pitch: float

    @property
    def angle(self) -> float:
        """What the cutter turns in the period, rad."""
        return self.pitch


def tooth_period(entry: float, leave: float, teeth: int, slopes: CuttingSlopes) -> ToothPeriod:
    """The period of ``teeth`` even teeth with the arc from ``entry`` to ``leave`` (rad).

    Pieces also end where the slopes of a power law change fast.
    """
    pitch, arc = 2.0 * math.pi / teeth, leave - entry
    whole = math.floor(arc / pitch + SAME)
    rest = arc - whole * pitch
    if rest < SAME * pitch:
        rest = 0.0
    # How far the tooth that entered last has turned where any tooth passes a break.
    breaks = sorted({(b - entry) % pitch for b in slopes.breaks(entry, leave)})
    pieces: list[Piece] = []
    for start, end, in_cut in ((0.0, rest, whole + 1), (rest, pitch, whole)):
        if in_cut == 0 or end - start <= SAME * pitch:
            continue
        inside = [b for b in breaks if start + SAME * pitch < b < end - SAME * pitch]
        ends = [start, *inside, end]
        pieces += [Piece(entry + a, b - a, in_cut, pitch) for a, b in pairwise(ends)]
    return ToothPeriod(tuple(pieces), 0.0 if whole else pitch - rest, pitch)


def seen_and_pushed(piece: Piece, turned: Array, slopes: CuttingSlopes, axes: tuple[int, ...]) -> tuple[Array, Array]:
    """What the cut sees of the movement and how it pushes back, at ``turned`` (rad, ...): E and D, (..., axes, rank).

    The force for each mm of depth is ``D E^T`` times the movement on ``axes``.  One tooth sees one direction only
    (rank 1); so does a cutter that moves on one axis only.
    """
    teeth = piece.angles(turned)
    chosen = list(axes)
    if piece.in_cut == 1 and len(axes) == 2:
        return outward(teeth[..., 0])[..., None], force_direction(teeth[..., 0], slopes)[..., None]
    summed = direction_matrix(teeth, slopes).sum(-3)[..., chosen, :][..., :, chosen]
    return np.broadcast_to(np.eye(len(axes)), summed.shape), summed
