"""The steady cut that has the same arc, feed and speed as a place of a path: what the Arc page shows of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..setup.setup import Direction, Setup
from .engagement_along import PathEngagement
from .samples import SIDE, WAYS, Samples, feed_per_tooth


@dataclass(frozen=True, slots=True)
class PlaceSetup:
    """The setup of a place; ``several`` : its arc has gaps, the setup's runs from first entry to last exit."""

    setup: Setup
    several: bool


def setup_at(path: PathEngagement, samples: Samples, i: int, setup: Setup) -> PlaceSetup | None:
    """The setup with direction, width, offset, feed and speed of sample ``i``; None in the air."""
    first, last = int(samples.engaged.first[i]), int(samples.engaged.first[i + 1])
    if last == first:
        return None
    entry, leave = float(samples.engaged.entry[first]), float(samples.engaged.exit[last - 1])
    r = path.radius
    x1, x2 = -r * math.cos(entry), -r * math.cos(leave)
    way = WAYS[int(samples.way[i])]
    direction: Direction = "climb" if way == "climb" else "conventional" if way == "conventional" else "straddling"
    if entry < SIDE and leave > math.pi - SIDE:
        x1, x2 = -r, r
    feed, speed = feed_per_tooth(path.moves, samples.places.move[i : i + 1], setup)
    keys = {
        "cut.direction": direction,
        "cut.radial_engagement_mm": min(x2 - x1, 2.0 * r),
        "cut.centre_offset_mm": 0.5 * (x1 + x2) if direction == "straddling" else 0.0,
        "cut.feed_per_tooth_mm": float(feed[0]),
        "cut.spindle_speed_rpm": float(speed[0]),
    }
    return PlaceSetup(setup.with_keys(keys), last - first > 1)
