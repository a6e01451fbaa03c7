"""The report's axial limit against the delay equation stepped in time: within 2 %, in every kind of cut.

Among them thin cuts in a pocket of period doubling, where the zeroth order is wrong by a factor of four and more.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from core.chatter.stability import axial_limit, chatter_cut
from core.setup.setup import Setup
from tests.core.chatter.cuts import setup_of
from tests.core.chatter.time_reference import Cuts, radius_seen, snapshots

RIGID = 1e9
"""N/mm of an axis without a mode."""


def straddling(width: float, offset: float, rpm: float) -> Setup:
    """A cut about the feed line, its width a share of the diameter of 10 mm."""
    setup = setup_of("climb", 0.5, 3, rpm)
    cut = replace(setup.cut, direction="straddling", radial_engagement_mm=10.0 * width, centre_offset_mm=offset)
    return replace(setup, cut=cut)


CASES = {
    "thin climb, flip": setup_of("climb", 0.02, 2, 18_200.0, "y"),
    "thin conventional, flip, two modes": setup_of("conventional", 0.05, 2, 18_700.0),
    "thin conventional, far under the zeroth order": setup_of("conventional", 0.1, 2, 18_500.0, "x"),
    "climb half": setup_of("climb", 0.5, 4, 5000.0),
    "conventional": setup_of("conventional", 0.3, 3, 9000.0, "x"),
    "straddling": straddling(0.4, 1.0, 8000.0),
    "slot": straddling(1.0, 0.0, 9000.0),
}
OFF = (0.98, 1.02)


def limits() -> list[float]:
    """The limit of each case, as the report has it."""
    found = [axial_limit(setup).depth_mm for setup in CASES.values()]
    assert None not in found
    return [depth for depth in found if depth is not None]


def stepped() -> Cuts:
    """Every case a little under and a little over its limit."""
    rows = []
    for setup, limit in zip(CASES.values(), limits(), strict=True):
        cut = chatter_cut(setup)
        assert cut is not None
        stiff = [RIGID, RIGID]
        for axis, k in zip(cut.modes.axis, cut.modes.stiffness, strict=True):
            stiff[int(axis)] = float(k)
        speed = setup.cut.spindle_speed_rpm * math.pi / 30.0
        plain = (cut.slopes.tangential, cut.slopes.radial, cut.entry, cut.leave, float(cut.teeth), speed)
        both = (float(cut.modes.omega[0]), float(cut.modes.damping[0]))
        rows += [(*both, *stiff, *plain, share * limit) for share in OFF]
    omega, damping, kx, ky, kt, kr, entry, leave, teeth, speeds, depth = np.array(rows).T
    omega, damping = (np.stack([column, column], 1) for column in (omega, damping))
    stiffness = np.stack([kx, ky], 1)
    return Cuts(omega, damping, stiffness, kt, kr, entry, leave, teeth.astype(int), speeds, depth)


def test_the_limit_is_within_two_per_cent_of_the_truth() -> None:
    motion = snapshots(stepped(), periods=40, steps=64)
    radii = np.array([radius_seen(motion[12:, i]) for i in range(2 * len(CASES))]).reshape(-1, 2)
    for name, (under, over) in zip(CASES, radii, strict=True):
        assert under < 1.0 < over, name


def test_the_zeroth_order_is_far_off_in_thin_cuts_and_the_period_doubles_there() -> None:
    for name in list(CASES)[:3]:
        found = axial_limit(CASES[name])
        assert found.kind == "flip" and found.depth_mm is not None
        assert found.zeroth_order_mm is None or found.zeroth_order_mm > 4.0 * found.depth_mm
    slot = axial_limit(CASES["slot"])
    assert slot.depth_mm is not None and slot.zeroth_order_mm == pytest.approx(slot.depth_mm, rel=0.3)
