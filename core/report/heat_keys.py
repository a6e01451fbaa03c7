"""The report's ``heat.``: how hot the edge gets, when, and where the heat comes from."""

from __future__ import annotations

import math
from typing import Any

from ..effects.edge_temperature import edge_temperature
from ..setup.setup import Setup

KEYS = (
    "entry_rise_k",
    "peak_rise_k",
    "exit_rise_k",
    "mean_rise_k",
    "peak_deg",
    "swing_k",
    "tool_share",
    "edge_share",
    "left_share",
)


def heat_keys(setup: Setup) -> dict[str, Any]:
    """``heat.``: rises of the edge over its surroundings in K, the peak's tip angle in degrees, shares 0 to 1.

    At entry, greatest, at exit, mean over a turn; ``swing_k`` is peak less entry; ``tool_share`` the part of the
    arc's cutting work that enters the tool, ``edge_share`` the part of it that is due to the edge force,
    ``left_share`` what does not enter the tool: chip and work take it, most of it the chip.  Null
    where the force is not known; the shares also where no work is done.
    """
    found = edge_temperature(setup)
    if found is None:
        return {"heat": dict.fromkeys(KEYS)}
    values = (
        found.entry,
        found.peak,
        found.exit,
        found.mean,
        math.degrees(found.peak_at),
        found.swing,
        found.tool_share,
        found.edge_share,
        1.0 - found.tool_share,
    )
    return {"heat": dict(zip(KEYS, values, strict=True))}
