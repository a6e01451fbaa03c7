"""Between which ends a figure of a report lies, from the keys that tell it."""

from __future__ import annotations

from typing import Any

HEAT_LEVEL = 0.5
"""The level of a rise is within this part of it at best; which of two is hotter is firmer."""

_PAIRS = {
    "wall.error_mm": "wall.range.tip_mm",
    "wall.error_top_mm": "wall.range.top_mm",
    "stability.axial_limit_mm": "stability.range_mm",
    "stability.opposite.axial_limit_mm": "stability.opposite.range_mm",
}
"""The key that has the ends of a figure."""

_USED = {"machine.power_used_share": "force.power_kw", "machine.torque_used_share": "force.torque_nm.max"}
"""What is used of a limit, and the figure that uses it."""


def range_of(key: str, found: dict[str, Any]) -> tuple[float, float] | None:
    """The range of a figure, from the keys that tell it."""
    if key.startswith("force."):
        low, high = (found.get(f"force.range.{key.removeprefix('force.')}.{end}") for end in ("low", "high"))
        return None if low is None or high is None else (low, high)
    if key == "feed.pull_margin_n":
        return _margin_range(found)
    if key == "wall.error_size_mm":
        return _size_range(found)
    if key in _USED:
        return _used_range(key, found)
    if key.startswith("heat.") and key.endswith("_rise_k") and isinstance(rise := found.get(key), float):
        return (1.0 - HEAT_LEVEL) * rise, (1.0 + HEAT_LEVEL) * rise
    pair = found.get(_PAIRS.get(key, ""))
    return (pair[0], pair[1]) if isinstance(pair, tuple) else None


def _used_range(key: str, found: dict[str, Any]) -> tuple[float, float] | None:
    """A used share has the range of the figure that it is a share with."""
    share, value, ends = found.get(key), found.get(_USED[key]), range_of(_USED[key], found)
    if not share or not value or ends is None:
        return None
    return share * ends[0] / value, share * ends[1] / value


def _margin_range(found: dict[str, Any]) -> tuple[float, float] | None:
    """Of what holds the table less what pulls it: the pull has the range of the force along the feed."""
    margin, pull, ends = (
        found.get("feed.pull_margin_n"),
        found.get("force.fy_n.max"),
        range_of("force.fy_n.max", found),
    )
    if margin is None or pull is None or ends is None:
        return None
    holds = margin + pull
    return holds - ends[1], holds - ends[0]


def _size_range(found: dict[str, Any]) -> tuple[float, float] | None:
    """Of the wall's greatest error without sign: not less than at the tip and at the top, nor more than anywhere.

    Where neither of the two is the worst place the low end is lower than it need be.
    """
    anywhere = found.get("wall.range.depth_mm")
    ends = [range_of(key, found) for key in ("wall.error_mm", "wall.error_top_mm")]
    if anywhere is None or None in ends:
        return None
    least = [0.0 if low <= 0.0 <= high else min(abs(low), abs(high)) for low, high in filter(None, ends)]
    return max(least), max(map(abs, anywhere))
