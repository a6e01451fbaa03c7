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
    rub, band = rubbing(setup), published_arcs(setup)
    if rub is None or band is None:
        names = ("h_min_um", "entry_deg", "exit_deg", "arc_deg", "share", "sliding_mm", "passes", "work_share")
        return {"rubbing": dict.fromkeys((*names, "teeth_per_chip", "feed_for_chip_mm", "published_deg", "tooth"))}
    return {
        "rubbing": {
            "h_min_um": 1000.0 * rub.h_min,
            "entry_deg": math.degrees(rub.entry),
            "exit_deg": math.degrees(rub.exit),
            "arc_deg": math.degrees(rub.arc),
            "share": rub.arc_share,
            "sliding_mm": rub.sliding,
            "passes": rub.passes,
            "work_share": rub.work_share,
            "teeth_per_chip": rub.teeth_per_chip,
            "feed_for_chip_mm": rub.feed_for_chip,
            "published_deg": [math.degrees(arc) for arc in band],
            "tooth": rub.tooth,
        }
    }


def skin_keys(setup: Setup) -> dict[str, Any]:
    """``skin.``: arc in degrees inside the layer, sliding in mm, ``h`` there, which face; null without a layer."""
    crossing = skin_crossing(setup)
    if crossing is None:
        names = ("entry_deg", "exit_deg", "cross_deg", "arc_share", "sliding_mm", "h_mm", "met")
        return {"skin": dict.fromkeys(names)}
    return {
        "skin": {
            "entry_deg": math.degrees(crossing.entry),
            "exit_deg": math.degrees(crossing.exit),
            "cross_deg": math.degrees(crossing.cross),
            "arc_share": crossing.arc_share,
            "sliding_mm": crossing.sliding,
            "h_mm": crossing.h,
            "met": crossing.met,
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
    marks = feed_marks(setup)
    return {
        "wall": {
            "feed_mark_um": None if marks is None else 1000.0 * marks.height,
            "marks_per_turn": None if marks is None else marks.teeth,
        }
    }


def table_pull_keys(setup: Setup) -> dict[str, Any]:
    """``feed.``: part of a turn with a pull, margin in N, neutral angle in degrees; null where not known.

    ``jump_chip_ratio`` is how many times thicker a chip may be after the table has jumped by its lost motion.
    """
    pull = table_pull(setup)
    if pull is None:
        return {"feed": dict.fromkeys(("pull_share", "pull_margin_n", "neutral_deg", "jump_chip_ratio"))}
    return {
        "feed": {
            "pull_share": pull.share,
            "pull_margin_n": pull.margin,
            "neutral_deg": None if pull.neutral is None else math.degrees(pull.neutral),
            "jump_chip_ratio": pull.jump,
        }
    }
