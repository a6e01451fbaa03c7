"""The report's ``stability.``: how deep this cut may go before it chatters, in its direction and in the other."""

from __future__ import annotations

from typing import Any

from ..base.words import say
from ..chatter.both_ways import Holding, both_ways
from ..chatter.usual_draws import DRAWS
from ..setup.setup import Setup


def _figures(holding: Holding) -> dict[str, Any]:
    """One direction's figures."""
    limit = holding.limit
    return {
        "direction": holding.direction,
        "axial_limit_mm": limit.depth_mm,
        "range_mm": None if holding.stable_draws is None else [holding.low_mm, holding.high_mm],
        "stable": holding.stable,
        "stable_draws": holding.stable_draws,
        "kind": None if limit.kind is None else say("stability", limit.kind),
        "chatter_hz": limit.chatter_hz,
        "zeroth_order_mm": limit.zeroth_order_mm,
    }


def method_words(holding: Holding) -> str:
    """How the limit was found and what it leaves out, or why there is none."""
    limit = holding.limit
    if limit.outcome in ("no modes", "no coefficients", "beyond"):
        return say("stability", limit.outcome.replace(" ", "_"))
    words = [say("stability", "method")]
    if limit.outcome == "no limit":
        words.insert(0, say("stability", "no_limit"))
    if limit.slow:
        words.append(say("stability", "slow"))
    words.append(say("stability", "no_range" if holding.stable_draws is None else "range", draws=DRAWS))
    return " ".join(words)


def stability_keys(setup: Setup) -> dict[str, Any]:
    """``stability.``: of the setup's own direction, and under ``opposite`` of the other.

    ``axial_limit_mm``: the depth under which every smaller one is stable at this speed; null without modes or
    coefficients, and where there is no limit up to 10 D (``method`` says which).  ``range_mm``: the same under which
    a tenth and nine tenths of 64 draws lie, an end null without a limit; ``stable``: the setup's depth is under the
    limit; ``stable_draws``: in how many draws it is.  ``kind`` (text): how the cut turns unstable there;
    ``chatter_hz``: the main chatter frequency; ``zeroth_order_mm``: the zeroth-order limit.  ``tooth_passing_hz``.
    """
    own, other = both_ways(setup)
    return {
        "stability": {
            **_figures(own),
            "method": method_words(own),
            "tooth_passing_hz": setup.cut.spindle_speed_rpm * setup.cutter.teeth / 60.0,
            "opposite": _figures(other),
        }
    }
