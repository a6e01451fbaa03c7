"""The report's keys of what follows from a cut: rubbing, skin, entry, exit, feed marks, table pull."""

from __future__ import annotations

import math
from typing import Any

from ..cut.skin import skin_crossing
from ..effects.entry_exit import first_contact, last_contact
from ..effects.feed_marks import feed_marks
from ..effects.rubbing import published_arcs, rubbing
from ..force.table_pull import table_pull
from ..setup.setup import Setup


def rubbing_keys(setup: Setup) -> dict[str, Any]:
    """``rubbing.``: arcs in degrees with a chip under ``h_min``, sliding in mm; null without an edge radius.

    ``feed_for_chip_mm`` is the feed per tooth at which the thickest chip is ``h_min``: under it no chip forms in one
    pass.  ``published_deg`` is the arc at the published ratios, least and greatest: the band of what is known of k.
    ``tooth`` is the one that all this holds for, the one that cuts most; null without runout, where all are alike.
    """
    found, band = rubbing(setup), published_arcs(setup)
    if found is None or band is None:
        names = ("h_min_um", "entry_deg", "exit_deg", "arc_deg", "share", "sliding_mm", "passes", "work_share")
        return {"rubbing": dict.fromkeys((*names, "teeth_per_chip", "feed_for_chip_mm", "published_deg", "tooth"))}
    return {
        "rubbing": {
            "h_min_um": 1000.0 * found.h_min,
            "entry_deg": math.degrees(found.entry),
            "exit_deg": math.degrees(found.exit),
            "arc_deg": math.degrees(found.arc),
            "share": found.arc_share,
            "sliding_mm": found.sliding,
            "passes": found.passes,
            "work_share": found.work_share,
            "teeth_per_chip": found.teeth_per_chip,
            "feed_for_chip_mm": found.feed_for_chip,
            "published_deg": [math.degrees(arc) for arc in band],
            "tooth": found.tooth,
        }
    }


def skin_keys(setup: Setup) -> dict[str, Any]:
    """``skin.``: arc in degrees inside the layer, sliding in mm, ``h`` there, which face; null without a layer."""
    found = skin_crossing(setup)
    if found is None:
        names = ("entry_deg", "exit_deg", "cross_deg", "arc_share", "sliding_mm", "h_mm", "met")
        return {"skin": dict.fromkeys(names)}
    return {
        "skin": {
            "entry_deg": math.degrees(found.entry),
            "exit_deg": math.degrees(found.exit),
            "cross_deg": math.degrees(found.cross),
            "arc_share": found.arc_share,
            "sliding_mm": found.sliding,
            "h_mm": found.h,
            "met": found.met,
        }
    }


def entry_exit_keys(setup: Setup) -> dict[str, Any]:
    """``entry.`` and ``exit.``: sections in mm2, angles in degrees, the drop in N; null where not known."""
    first, last = first_contact(setup), last_contact(setup)
    return {
        "entry": {
            "area_1deg_mm2": first.area_1deg,
            "attitude_deg": first.attitude_deg,
            "contact": first.contact,
        },
        "exit": {"area_1deg_mm2": last.area_1deg, "wedge_deg": last.wedge_deg, "drop_n": last.drop},
    }


def feed_marks_keys(setup: Setup) -> dict[str, Any]:
    """More of ``wall.``: peak to valley over a turn in micrometres, teeth that leave a mark; null when straddling."""
    found = feed_marks(setup)
    return {
        "wall": {
            "feed_mark_um": None if found is None else 1000.0 * found.height,
            "marks_per_turn": None if found is None else found.teeth,
        }
    }


def table_pull_keys(setup: Setup) -> dict[str, Any]:
    """``feed.``: part of a turn with a pull, margin in N, neutral angle in degrees; null where not known.

    ``jump_chip_ratio`` is how many times thicker a chip may be after the table has jumped by its lost motion.
    """
    found = table_pull(setup)
    if found is None:
        return {"feed": dict.fromkeys(("pull_share", "pull_margin_n", "neutral_deg", "jump_chip_ratio"))}
    return {
        "feed": {
            "pull_share": found.share,
            "pull_margin_n": found.margin,
            "neutral_deg": None if found.neutral is None else math.degrees(found.neutral),
            "jump_chip_ratio": found.jump,
        }
    }
