"""The report's ``heat.``: how hot the edge gets, when, and where the heat comes from."""

from __future__ import annotations

import math
from typing import Any

from ..base.words import say
from ..effects.edge_flux import contact_is_assumed
from ..effects.edge_temperature import EdgeTemperature, edge_temperature
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
    *("end", "end_rise_k", "solidus_c", "properties", "work_c", "tooth", "contact_assumed"),
)


def end_words(temperature: EdgeTemperature) -> str | None:
    """Why there is no figure of the peak: the model's end; None where it has one."""
    solidus = temperature.flux.solidus_c
    return say("report", "heat_end") if temperature.at_end and solidus is not None else None


def heat_keys(setup: Setup) -> dict[str, Any]:
    """``heat.``: rises of the edge over its surroundings in K, the peak's tip angle in degrees, shares 0 to 1.

    At entry, greatest, at exit, mean over a turn; ``swing_k`` is peak less entry; ``tool_share`` the part of the
    arc's cutting work that enters the tool, ``edge_share`` the part of it that is due to the edge force,
    ``left_share`` what does not enter the tool: chip and work take it, most of it the chip.  Null
    where the force is not known; the shares also where no work is done.

    ``end`` is text where the edge comes within a fifth of the solidus of the work (``solidus_c``; from
    ``end_rise_k`` on): the model is at its end there and rises beyond it are null.  ``properties`` is the law by
    which conductivity and specific heat of the work follow temperature, ``constant`` where there is none; taken are
    their means up to ``work_c``, the mean temperature of the edge in the arc.  ``tooth`` is the one that cuts most,
    null without runout; ``contact_assumed`` whether the contact of the edge is, its radius not being given.
    """
    temperature = edge_temperature(setup)
    if temperature is None:
        return {"heat": dict.fromkeys(KEYS)}
    flux = temperature.flux

    def known(rise: float) -> float | None:
        return rise if rise <= temperature.end_rise else None

    values = (
        known(temperature.entry),
        known(temperature.peak),
        known(temperature.exit),
        known(temperature.mean),
        math.degrees(temperature.peak_at),
        None if temperature.at_end else temperature.swing,
        temperature.tool_share,
        temperature.edge_share,
        1.0 - temperature.tool_share,
        end_words(temperature),
        temperature.end_rise if math.isfinite(temperature.end_rise) else None,
        flux.solidus_c,
        flux.work_law or "constant",
        temperature.work_c,
        None if flux.tooth is None else flux.tooth.tooth,
        contact_is_assumed(setup),
    )
    return {"heat": dict(zip(KEYS, values, strict=True))}
