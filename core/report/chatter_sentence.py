"""Where this cut chatters, in shop words, both ways, and which speed holds more."""

from __future__ import annotations

import math

from ..base.language import in_language
from ..base.quantities import QUANTITIES, Units, clear_figure, figure, number, told_figure
from ..base.words import say
from ..chatter.both_ways import Holding
from ..chatter.cut_history import CutHistory
from ..chatter.speed_depth import SpeedDepth
from ..chatter.usual_draws import DRAWS
from ..chatter.why_direction import WhyDirection


def speed_words(rpm: float) -> str:
    """A speed with its unit: ``4200 /min``."""
    return figure(rpm, "spindle_speed")


def depth_words(depth: float, units: Units) -> str:
    """A depth of two figures."""
    q = QUANTITIES["depth"]
    return f"{in_language(f'{q.shown(depth, units):.2g}')} {q.unit_in(units)}"


def _limit(holding: Holding, units: Units) -> str:
    """From which depth a direction chatters, with its range."""
    depth = holding.limit.depth_mm
    if depth is None:
        return say("chatter", "no_depth" if holding.limit.outcome == "no limit" else "not_known")
    if holding.low_mm is None or holding.high_mm is None:
        return say("chatter", "deep", limit=clear_figure(depth, "depth", units))
    return say("chatter", "deep", limit=told_figure(depth, holding.low_mm, holding.high_mm, "depth", units))


def _here(holding: Holding, units: Units) -> str:
    """Whether the cut as it is holds: unsure where fewer than nine of ten draws agree."""
    depth = clear_figure(holding.depth_mm, "depth", units)
    if holding.stable is None or (holding.sure is None and holding.stable_draws is not None):
        return say("chatter", "here_unsure", depth=depth, count=holding.stable_draws, draws=DRAWS)
    return say("chatter", "here_stable" if holding.stable else "here_chatters", depth=depth)


def chatter_sentence(chart: SpeedDepth, units: Units) -> str:
    """The sentence, as far as the chart has been worked out."""
    if chart.missing or chart.holdings is None:
        return say("chatter", f"missing_{chart.missing}" if chart.missing else "working")
    own, other = chart.holdings
    speed = speed_words(chart.setup.cut.spindle_speed_rpm)
    fields = {"speed": speed, "here": _here(own, units), "own_limit": _limit(own, units)}
    if own.direction == other.direction:
        words = [say("chatter", "told_one", **fields)]
    else:
        fields |= {
            "own": say("way", own.direction),
            "other": say("way", other.direction),
            "other_limit": _limit(other, units),
        }
        words = [say("chatter", "told", **fields)]
    if chart.offers:
        best = max(chart.offers, key=lambda o: o.gain)
        held = {
            "speed": speed_words(best.speed_rpm),
            "depth": depth_words(best.depth_mm, units),
        }
        words.append(say("chatter", "offer", both=say("chatter", "both") if best.both else "", **held))
    if chart.estimated:
        words.insert(0, say("chatter", "estimated"))
    return " ".join(words)


def history_words(history: CutHistory, units: Units) -> str:
    """What a simulated cut did, in shop words, or how far it is worked out."""
    if history.missing == "too_long":
        return say("chatter_time", "too_long")
    if history.missing:
        return say("chatter", f"missing_{history.missing}")
    cut = history.setup.cut
    fields = {
        "speed": speed_words(cut.spindle_speed_rpm),
        "depth": clear_figure(cut.axial_engagement_mm, "depth", units),
        "way": say("way", cut.direction),
        "how": say("way_how", cut.direction),
    }
    found, lines = history.verdict, history.lines
    if found is None or lines is None:
        return say("chatter_time", "working", turn=history.turn, turns=history.turns, **fields)
    words = [say("chatter_time", found.state, **fields)]
    if not found.stable and math.isfinite(lines.chatter):
        words.append(say("chatter_time", "with", hz=f"{lines.chatter:.0f}"))
    return " ".join([*words, say("chatter_time", "limits")])


def why_words(why: WhyDirection | None, units: Units) -> str:
    """Why one direction is steadier, by how its force lies to the softer axis, and where that turns."""
    if why is None:
        return say("chatter_why", "working")
    if why.missing == "straddling":
        return say("chatter_why", "straddling")
    if why.missing:
        return say("chatter", f"missing_{why.missing}")
    if why.steadier is None:
        return say("chatter_why", "alike")
    axis = int(why.soft[1] > why.soft[0])
    climb, conventional = why.ways
    factors = {way.direction: number(abs(float(way.back[axis])), 2) for way in why.ways}
    depths = {
        f"{way.direction}_depth": clear_figure(way.least_mm, "depth", units)
        if math.isfinite(way.least_mm)
        else say("stability", "none_up_to")
        for way in (climb, conventional)
    }
    fields = {"axis": "xy"[axis], "across": say("chatter_why", "xy"[axis]), "steadier": say("way", why.steadier)}
    steadier = climb if why.steadier == climb.direction else conventional
    # With modes of like frequency the movement along one axis comes back along the other as well.
    alone = abs(float(steadier.back[axis])) == min(abs(float(way.back[axis])) for way in why.ways)
    words = [say("chatter_why", "told" if alone else "told_both", **fields, **factors, **depths)]
    if why.turns_at is not None:
        word = "turns_stiffer" if why.turns_at > 1.0 else "turns_softer"
        times = why.turns_at if why.turns_at > 1.0 else 1.0 / why.turns_at
        words.append(say("chatter_why", word, times=in_language(f"{times:.2g}"), **fields))
    words.append(say("chatter_why", "limits"))
    return " ".join(words)
