"""The report's ``force.`` and ``wall.``: keys of the setup-and-report document, and a few of our own."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..effects.cutter_bending import tip_stiffness
from ..effects.wall import tip_movement, wall_error
from ..force.force_rise import force_rise
from ..force.force_turn import Spread, force_turn
from ..force.tooth_peaks import tooth_peaks
from ..setup.setup import Setup

FORCE_KEYS = (
    *("fx_n", "fy_n", "fz_n", "torque_nm", "power_kw", "resultant_max_n", "chip_energy_j"),
    *("steepest_rise_n_deg", "steepest_rise_n_ms", "jump_n", "axial"),
)
"""Keys of ``force.``, each null where the coefficients are not known."""


def each_tooths_peak(setup: Setup) -> list[dict[str, float]] | None:
    """Greatest resultant (N) and torque (N m) of each tooth alone, on its own arc-model chip."""
    peaks = tooth_peaks(setup)
    if peaks is None:
        return None
    return [{"tooth": p.tooth, "resultant_max_n": p.resultant, "torque_max_nm": p.torque} for p in peaks]


def axial_word(axial: Spread | None) -> str | None:
    """Which way the cutter is pushed along the spindle: ``pulls``, ``pushes``, ``both``, ``none``, or not known."""
    if axial is None:
        return None
    if axial.least < 0.0 < axial.greatest:
        return "both"
    return "pulls" if axial.greatest > 0.0 else "pushes" if axial.least < 0.0 else "none"


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"min": spread.least, "max": spread.greatest, "mean": spread.mean}


def force_keys(setup: Setup) -> dict[str, Any]:
    """``force.``: objects ``min``, ``max``, ``mean`` over a turn in N and N m, mean power in kW; null if not known.

    Arc model, of the cutter as it runs.  Added: greatest resultant in the x-y plane, energy of one chip in J (mean of
    the teeth), the steepest rise of the resultant over a degree and the greatest jump of a straight edge; ``axial``
    which way the cutter is pushed along the spindle; with runout ``teeth``, each tooth's own greatest resultant and
    torque.
    """
    turn, rise = force_turn(setup), force_rise(setup)
    if turn is None or rise is None:
        return {"force": dict.fromkeys(FORCE_KEYS)}
    own = {"teeth": each_tooths_peak(setup)} if setup.cutter.runout_mm > 0.0 else {}
    return {
        "force": {
            "fx_n": _spread(turn.fx),
            "fy_n": _spread(turn.fy),
            "fz_n": _spread(turn.fz),
            "torque_nm": _spread(turn.torque),
            "power_kw": turn.power_kw,
            "resultant_max_n": turn.resultant_max,
            "chip_energy_j": turn.chip_energy_j,
            "steepest_rise_n_deg": rise.n_per_degree,
            "steepest_rise_n_ms": rise.n_per_ms,
            "jump_n": rise.jump_n,
            "axial": axial_word(turn.fz),
            **own,
        }
    }


def wall_keys(setup: Setup) -> dict[str, Any]:
    """``wall.``: movement of the tip in x over a turn and signed error at the tip, mm; null if not known.

    Every element of the edge bends the cutter from its own height; with runout the tooth that reaches furthest makes
    the wall.  The error is null where no chip forms.  Added: the stiffness against a force at the tip (N/mm), and the
    error at full depth, where the edge leaves the wall last.
    """
    moved, stiffness = tip_movement(setup), tip_stiffness(setup)
    wall: dict[str, Any] = {
        "deflection_mm": None,
        "error_mm": None,
        "error_top_mm": None,
        "stiffness_n_mm": stiffness,
    }
    if moved is not None:
        wall["deflection_mm"] = {"min": moved[0], "max": moved[1]}
    error = wall_error(np.array([0.0, setup.cut.axial_engagement_mm]), setup)
    if error is not None:
        wall["error_mm"], wall["error_top_mm"] = float(error[0]), float(error[1])
    return {"wall": wall}
