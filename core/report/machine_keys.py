"""The report's ``machine.``, and what it says of the wall over its depth and of its tolerance."""

from __future__ import annotations

from typing import Any

from ..effects.compensation import compensation
from ..effects.cutter_bending import shank_rubs, stiffness_from
from ..effects.machine_limits import power_available, power_check, torque_check, wall_check
from ..effects.spring_pass import spring_pass
from ..effects.wall import no_chip_forms, runout_reach
from ..effects.wall_depth import wall_profile_over_depth
from ..effects.wall_range import wall_range
from ..effects.within_tolerance import feed_within_tolerance, stickout_within_tolerance, width_within_tolerance
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
    """More of ``wall.``: the model of the stiffness in words, the error over the depth, what to do.

    ``error_least_mm``, ``error_greatest_mm``, ``error_size_mm`` (the larger of them without sign), ``taper_um_mm``
    (top less tip, for each mm of depth), ``side`` (text).  ``runout_reach_mm`` is in the error at the tip: the
    deflection is the error and it together.
    For feed, width and stick-out:
    ``*_within_tolerance_mm`` is the greatest for which it and every smaller usable one keep the tolerance,
    ``*_band_mm`` the uppermost unbroken range that does, two figures, ``*_sure_mm`` the greatest of it that keeps it
    over the whole range of the error.  ``compensation_mm`` is how far to move the path toward the wall,
    ``compensated_error_mm`` what remains then, either way; ``spring_pass_*`` is a second pass on the same path:
    ``width_mm`` the stock it meets, ``forms_chip``, ``error_mm`` at the tip after it, ``least_mm``, ``greatest_mm``.
    """
    profile, check = wall_profile_over_depth(setup), wall_check(setup)
    moved, again = compensation(setup), spring_pass(setup)
    kept = {
        "feed": feed_within_tolerance(setup),
        "width": width_within_tolerance(setup),
        "stickout": stickout_within_tolerance(setup),
    }
    wall: dict[str, Any] = {
        "stiffness_from": stiffness_from(setup),
        "shank_rubs": shank_rubs(setup),
        "no_chip_forms": no_chip_forms(setup),
        "error_least_mm": None if profile is None else profile.least,
        "error_greatest_mm": None if profile is None else profile.greatest,
        "error_size_mm": None if profile is None else profile.size,
        "runout_reach_mm": None if profile is None else runout_reach(setup),
        "taper_um_mm": None if profile is None else profile.taper_um_mm,
        "side": None if profile is None else profile.side,
        "compensation_mm": None if moved is None else moved.offset,
        "compensated_error_mm": None if moved is None else moved.remains,
        "spring_pass_width_mm": None if again is None else again.width,
        "spring_pass_forms_chip": None if again is None else again.forms_chip,
        "spring_pass_error_mm": None if again is None else again.error,
        "spring_pass_least_mm": None if again is None else again.least,
        "spring_pass_greatest_mm": None if again is None else again.greatest,
        "tolerance_mm": setup.cut.wall_tolerance_mm,
        "within_tolerance": None if check is None else not check.crossed,
    }
    for name, each in kept.items():
        wall[f"{name}_within_tolerance_mm"] = None if each is None else each.greatest
        wall[f"{name}_band_mm"] = None if each is None else each.band
        wall[f"{name}_sure_mm"] = None if each is None else each.sure
    return {"wall": wall}


def wall_range_keys(setup: Setup) -> dict[str, Any]:
    """``wall.range``: lowest and highest error that the spreads of the inputs allow; null where there is no error.

    ``tip_mm``, ``top_mm``, ``depth_mm`` are two figures each; ``sign_known`` whether the tip's have one sign.
    """
    spread = wall_range(setup)
    if spread is None:
        return {"wall": {"range": None}}
    ends = {"tip_mm": spread.tip, "top_mm": spread.top, "depth_mm": spread.depth, "sign_known": spread.sure}
    return {"wall": {"range": ends}}
