"""Where to look: the tooth angle at which a reason for a direction is seen best in this cut."""

from __future__ import annotations

import numpy as np

from ..cut.skin import skin_crossing
from ..effects.arc_results import arc_results
from ..effects.edge_temperature import edge_temperature
from ..setup.setup import Setup
from ..strips.force_strips import force_strip

SOON_DEG = 1.0
"""How far inside an end of the arc that end is looked at."""

HAIR = 1e-6
"""As near to an end (rad) that no figure differs, and rounding on the way to degrees and back stays inside."""


def _middle_of_rubbing(setup: Setup) -> float:
    """The middle of the longer rubbing arc; the entry where nothing is known."""
    r = arc_results(setup)
    e = r.engagement
    if np.isnan(r.rub_entry):
        return e.entry
    return e.entry + r.rub_entry / 2.0 if r.rub_entry >= r.rub_exit else e.exit - r.rub_exit / 2.0


def _middle_of_skin(setup: Setup) -> float:
    """The middle of the arc inside the layer."""
    crossing, e = skin_crossing(setup), arc_results(setup).engagement
    if crossing is None or crossing.cross == 0.0:
        return e.entry if setup.cut.direction == "climb" else e.exit
    return e.entry + crossing.entry / 2.0 if crossing.entry >= crossing.exit else e.exit - crossing.exit / 2.0


def _greatest(setup: Setup, curve: int, sign: float) -> float:
    """Where in the arc a force is greatest: 0 across, 1 along; ``sign`` 0 for its size."""
    strip, e = force_strip(setup), arc_results(setup).engagement
    if strip.missing:
        return (e.entry + e.exit) / 2.0
    phi, values = np.radians(strip.curves[curve].phi_deg), strip.curves[curve].values
    inside = (phi >= e.entry) & (phi <= e.exit)
    if not inside.any():
        return (e.entry + e.exit) / 2.0
    told = np.abs(values) if sign == 0.0 else sign * values
    return float(phi[inside][np.argmax(told[inside])])


def best_view_angle(id: str, setup: Setup) -> float:
    """Tip angle (rad) that shows the reason ``id`` of :mod:`.which_way` in the setup's own direction."""
    e = arc_results(setup).engagement
    soon = min(np.radians(SOON_DEG), e.arc / 2.0)
    if id == "rub":
        return _middle_of_rubbing(setup)
    if id == "skin":
        return _middle_of_skin(setup)
    if id == "entry":
        return e.entry + soon
    if id == "exit":
        # The very end, where the plan's words and the reason tell the chip, but still in the work.
        return e.exit - min(HAIR, soon)
    if id == "heat":
        temperature = edge_temperature(setup)
        return e.exit if temperature is None else temperature.peak_at
    if id == "pull":
        return _greatest(setup, 1, 1.0)
    if id in ("thin_wall", "lift"):
        return _greatest(setup, 0, 0.0)
    # The wall is made as the tip passes its side of the cutter.
    return e.entry if setup.cut.direction == "conventional" else e.exit
