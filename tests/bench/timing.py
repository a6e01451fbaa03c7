"""What a benchmark gives: times of ours and of the peer, taken in turn in one run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np


@dataclass(frozen=True, slots=True)
class Timed:
    """Times in ms of each run; ratios are peer over ours, so more is better.

    size : how much there was to do, where a benchmark is run for several amounts.
    """

    name: str
    against: str
    ours: list[float]
    peer: list[float]
    size: int | None = None

    @property
    def ours_ms(self) -> float:
        """Our median."""
        return float(np.median(self.ours))

    @property
    def peer_ms(self) -> float:
        """The peer's median."""
        return float(np.median(self.peer))

    @property
    def p50(self) -> float:
        """Ratio of the medians."""
        return self.peer_ms / self.ours_ms

    @property
    def p99(self) -> float:
        """Ratio of the slowest hundredth."""
        return float(np.percentile(self.peer, 99) / np.percentile(self.ours, 99))

    def data(self) -> dict[str, Any]:
        """The same as plain data."""
        return {
            "name": self.name,
            "against": self.against,
            "p50": self.p50,
            "p99": self.p99,
            "ours_ms": self.ours_ms,
            "peer_ms": self.peer_ms,
        } | ({} if self.size is None else {"size": self.size})
