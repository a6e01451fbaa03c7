"""The report's ``machine.``, and what it says of the wall over its depth and of its tolerance."""

from __future__ import annotations

from typing import Any

from ..effects.cutter_bending import stiffness_from
from ..effects.machine_limits import power_available, power_check, torque_check, wall_check
from ..effects.wall_depth import wall_profile_over_depth
from ..effects.within_tolerance import feed_within_tolerance, width_within_tolerance
from ..setup.setup import Setup


def machine_keys(setup: Setup) -> dict[str, Any]:
    """``machine.``: power (kW) and torque (N m) that the spindle gives at this speed, and the parts used.

    ``power_used_share`` is mean power, ``torque_used_share`` peak torque, each divided by what there is; null where
    the setup does not tell.  Efficiency is not assumed.
    """
    power, torque = power_check(setup), torque_check(setup)
    return {
        "machine": {
            "power_available_kw": power_available(setup),
            "power_used_share": None if power is None else power.share,
            "torque_available_nm": None if setup.machine is None else setup.machine.torque_nm,
            "torque_used_share": None if torque is None else torque.share,
        }
    }


def wall_depth_keys(setup: Setup) -> dict[str, Any]:
    """More of ``wall.``: the model of the stiffness in words, the error over the whole depth, the tolerance.

    ``error_least_mm``, ``error_greatest_mm``, ``taper_um_mm`` (top less tip, for each mm of depth), ``side`` (text)
    are by the tip's bend; ``local_less_tip_mm`` is the greatest difference where each height bends by its own.
    ``feed_within_tolerance_mm``, ``width_within_tolerance_mm``: the greatest for which it and every smaller one keep
    the tolerance; ``feed_band_mm``, ``width_band_mm``: the uppermost unbroken range that does, two figures.
    """
    found, check = wall_profile_over_depth(setup), wall_check(setup)
    feed, width = feed_within_tolerance(setup), width_within_tolerance(setup)
    return {
        "wall": {
            "stiffness_from": stiffness_from(setup),
            "error_least_mm": None if found is None else found.least,
            "error_greatest_mm": None if found is None else found.greatest,
            "taper_um_mm": None if found is None else found.taper_um_mm,
            "side": None if found is None else found.side,
            "local_less_tip_mm": None if found is None else found.local_less_tip,
            "tolerance_mm": setup.cut.wall_tolerance_mm,
            "within_tolerance": None if check is None else not check.crossed,
            "feed_within_tolerance_mm": None if feed is None else feed.greatest,
            "feed_band_mm": None if feed is None else feed.band,
            "width_within_tolerance_mm": None if width is None else width.greatest,
            "width_band_mm": None if width is None else width.band,
        }
    }
