"""Warnings of a reader, gathered: those of one kind only as many as a person reads."""

from __future__ import annotations

from typing import Any

from ..base.words import say
from .moves import Warned

MOST_ALIKE = 100
"""Warnings of one kind that name their place; the rest are counted."""


class Doubts:
    """Warnings with their lines; ``group`` is the group of ``shared/words`` that has their sentences."""

    def __init__(self, group: str) -> None:
        self.group = group
        self.counts: dict[str, int] = {}
        self.listed: list[tuple[int | None, str]] = []

    def add(self, kind: str, line: int | None, /, **fields: Any) -> None:
        """Warn of one place."""
        count = self.counts[kind] = self.counts.get(kind, 0) + 1
        if count <= MOST_ALIKE:
            self.listed.append((line, say(self.group, kind, **fields)))

    def once(self, kind: str, line: int | None, /, **fields: Any) -> None:
        """Warn of the first place only."""
        if kind not in self.counts:
            self.add(kind, line, **fields)

    def all(self) -> tuple[Warned, ...]:
        """All in the order of their lines, those of no line behind them."""
        warned = sorted(self.listed, key=lambda w: (w[0] is None, w[0] or 0))
        more = sum(max(0, count - MOST_ALIKE) for count in self.counts.values())
        return (*warned, *([(None, say("path_warning", "more", count=more))] if more else []))
