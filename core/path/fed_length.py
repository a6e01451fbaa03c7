"""Distance along the fed path: which move a distance is on, and the places at joints."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .moves import Moves

Array = NDArray[np.float64]
Index = NDArray[np.int64]

JOINT = 1e-9
"""Distance (mm, and as a share of the length) within which a place is at a joint: rounding of sums."""


@dataclass(frozen=True, eq=False)
class FedLength:
    """Fed moves with a length in XY: move (f,), and the distances (f,) mm where each begins and ends."""

    move: Index
    begin: Array
    end: Array

    @property
    def length(self) -> float:
        """Fed length, mm."""
        return float(self.end[-1]) if len(self.end) else 0.0

    def on(self, s: ArrayLike) -> tuple[Index, Array]:
        """Move and distance along it (m,) at distances ``s`` (m,) mm; at a joint it is the move that begins there."""
        s = np.asarray(s, float)
        near = JOINT * max(1.0, self.length)
        i = np.minimum(np.searchsorted(self.end, s + near, side="right"), len(self.move) - 1)
        return self.move[i], np.clip(s - self.begin[i], 0.0, (self.end - self.begin)[i])

    def multiples(self, spacing: float) -> Array:
        """Every multiple of ``spacing`` mm from 0 to the length."""
        if not len(self.move):
            return np.zeros(0)
        return np.asarray(np.arange(int(np.floor(self.length / spacing * (1.0 + 1e-12) + 1e-9)) + 1) * spacing, float)


def fed_length(moves: Moves) -> FedLength:
    """The fed moves that have a length in the plane, and where along the path they are."""
    move = np.flatnonzero(moves.feed_mask & (moves.length_mm > 0.0))
    end = np.cumsum(moves.length_mm[move])
    return FedLength(move, np.concatenate([[0.0], end[:-1]])[: len(move)], end)
