"""The report's ``force.`` and ``wall.``: keys of the setup-and-report document, and a few of our own."""

from __future__ import annotations

from typing import Any

import numpy as np

from .cutter_bending import tip_stiffness
from .force_turn import Spread, force_turn
from .setup import Setup
from .wall import wall_error


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"min": spread.least, "max": spread.greatest, "mean": spread.mean}


def force_section(setup: Setup) -> dict[str, Any]:
    """``force.``: objects ``min``, ``max``, ``mean`` over a turn in N and N m, mean power in kW; null if not known.

    Arc model, without runout.  Added: greatest resultant in the x-y plane, energy of one chip in J.
    """
    found = force_turn(setup)
    if found is None:
        names = ("fx_n", "fy_n", "fz_n", "torque_nm", "power_kw", "resultant_max_n", "chip_energy_j")
        return {"force": dict.fromkeys(names)}
    return {
        "force": {
            "fx_n": _spread(found.fx),
            "fy_n": _spread(found.fy),
            "fz_n": _spread(found.fz),
            "torque_nm": _spread(found.torque),
            "power_kw": found.power_kw,
            "resultant_max_n": found.resultant_max,
            "chip_energy_j": found.chip_energy_j,
        }
    }


def wall_section(setup: Setup) -> dict[str, Any]:
    """``wall.``: movement of the tip in x over a turn and signed error at the tip, mm; null if not known.

    Added: the stiffness taken (N/mm), and the error at full depth, where the edge leaves the wall last.
    """
    found, stiffness = force_turn(setup), tip_stiffness(setup)
    wall: dict[str, Any] = {
        "deflection_mm": None,
        "error_mm": None,
        "error_top_mm": None,
        "stiffness_n_mm": stiffness,
    }
    if found is not None and stiffness is not None:
        wall["deflection_mm"] = {"min": found.fx.least / stiffness, "max": found.fx.greatest / stiffness}
    error = wall_error(np.array([0.0, setup.cut.axial_engagement_mm]), setup)
    if error is not None:
        wall["error_mm"], wall["error_top_mm"] = float(error[0]), float(error[1])
    return {"wall": wall}
