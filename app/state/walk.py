"""A walk through scenes: what a clicker's two keys do.  Forward first shows what a scene hides, then goes on."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Walk:
    """So many scenes, the one that is shown (-1 before the first), and whether what it hides has been shown.

    >>> Walk(2).forward(asks=False).forward(asks=True)
    Walk(count=2, at=0, answered=True)
    """

    count: int
    at: int = -1
    answered: bool = False

    def forward(self, *, asks: bool) -> Walk:
        """The next step; ``asks``: the scene that is shown hides something until it is asked for."""
        if asks and self.at >= 0 and not self.answered:
            return replace(self, answered=True)
        return self.to(self.at + 1)

    def back(self) -> Walk:
        """The step before: what was shown is hidden again, then the scene before."""
        return replace(self, answered=False) if self.answered else self.to(self.at - 1)

    def to(self, at: int) -> Walk:
        """Another scene, the first or the last where there is none so far on; the same one stays as it is."""
        at = min(max(at, 0), self.count - 1)
        return self if at == self.at else Walk(self.count, at)
