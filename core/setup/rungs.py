"""The questions of "which way", by their names: what a person may switch off or ask in another order."""

from __future__ import annotations

RUNGS = ("machine", "part", "edge", "finish", "custom")
"""Can the machine take it; does the part come right; does the edge live; cooler and finer; what is the custom.

The place in this row, from 1 on, is the number by which a report tells a rung.
"""

RUNG_WORDS = f"a list of rungs, each at most once: {', '.join(RUNGS)}"


def rungs_problem(names: object) -> str:
    """What is wrong with a list of rungs, in words that begin with "found"; empty if nothing is."""
    if not isinstance(names, list | tuple):
        return "found no list"
    for i, name in enumerate(names):
        if name not in RUNGS:
            return f'found "{name}"' if isinstance(name, str) else f"found {name!r}"
        if name in names[:i]:
            return f'found "{name}" twice'
    return ""
