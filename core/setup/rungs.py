"""The questions of "which way", by their names: what a person may switch off or ask in another order."""

from __future__ import annotations

from .name_list import NameList

RUNGS = ("machine", "part", "edge", "finish", "custom")
"""Can the machine take it; does the part come right; does the edge live; cooler and finer; what is the custom.

The place in this row, from 1 on, is the number by which a report tells a rung.
"""

RUNG_LIST = NameList("rungs", RUNGS)
"""What ``advice.order`` and ``advice.off`` may be."""
