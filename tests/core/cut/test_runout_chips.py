"""Each tooth's own chip: against the one-tooth formula and against cuts laid over one another in turn."""

from __future__ import annotations

import numpy as np
import pytest

from core.cut.chip import chip_summary, thickness
from core.cut.engagement import engagement
from core.cut.runout_chips import each_tooths_thickness, runout_chips, tooth_radii
from core.setup.setup import Cut, Cutter, Setup
from tests.arrays import all_near


def worn(z: int, fz: float, e: float, at: float = 23.0, ae: float = 7.0) -> Setup:
    """A cutter of 12 mm with runout in a climb cut past its centre."""
    return Setup(Cutter(12.0, z, runout_mm=e, runout_angle_deg=at), Cut("climb", ae, 10.0, fz, 4000.0))


CASES = [worn(1, 0.05, 0.02), worn(2, 0.04, 0.012), worn(4, 0.06, 0.1, 0.0), worn(5, 0.02, 0.3), worn(12, 0.05, 0.05)]
LOOPS = worn(60, 1.0, 0.05)


@pytest.mark.parametrize("setup", [*CASES, LOOPS], ids=lambda s: f"z={s.cutter.teeth}")
@pytest.mark.parametrize("model", ["arc", "trochoid"])
def test_all_teeth_at_once_are_each_tooth_alone(setup: Setup, model: str) -> None:
    phi = np.linspace(0.0, np.pi, 73)
    at_once = each_tooths_thickness(phi, setup, model)  # type: ignore[arg-type]
    for j in range(0, setup.cutter.teeth, 7 if setup is LOOPS else 1):
        alone = thickness(phi, setup, model, j)  # type: ignore[arg-type]
        assert at_once[j] == pytest.approx(alone, abs=1e-13)


@pytest.mark.parametrize("setup", CASES, ids=lambda s: f"z={s.cutter.teeth}")
def test_the_summaries_are_those_of_each_tooth_alone(setup: Setup) -> None:
    arc = engagement(setup)
    for chip in runout_chips(setup):
        for model, ours in (("arc", chip.arc), ("trochoid", chip.trochoid)):
            alone = chip_summary(setup, arc, model, chip.tooth)  # type: ignore[arg-type]
            assert [ours.h_entry, ours.h_exit] == pytest.approx([alone.h_entry, alone.h_exit], abs=1e-14)
            assert ours.h_max == pytest.approx(alone.h_max, abs=1e-7)
            # Corners of the curve cost the quadrature some digits.
            assert ours.h_mean == pytest.approx(alone.h_mean, abs=2e-6)


@pytest.mark.parametrize("setup", CASES, ids=lambda s: f"z={s.cutter.teeth}")
def test_missing_and_double_against_cuts_laid_over_one_another(setup: Setup) -> None:
    """Arc model as a simulation: the front of the work at each angle, moved by one feed a tooth, cut in turn."""
    z, feed = setup.cutter.teeth, setup.cut.feed_per_tooth_mm
    e = engagement(setup)
    phi = np.linspace(e.entry, e.exit, 721)
    radii = tooth_radii(setup)
    # Distance from the axis, on each radius, at which the work begins.
    front = np.full(phi.shape, radii.max())
    taken = np.zeros((z, phi.size))
    for passing in range(200 * z):
        j = passing % z
        front = front - feed * np.sin(phi)
        taken[j] = np.maximum(radii[j] - front, 0.0)
        front = np.maximum(front, radii[j])
    chips = runout_chips(setup)
    assert all_near(each_tooths_thickness(phi, setup, "arc"), taken, abs=1e-11)
    for j, chip in enumerate(chips):
        assert chip.misses == (taken[j].max() < 1e-11)
        assert chip.cuts_double == (taken[j].max() > 1e-11 and taken[j - 1].max() < 1e-11)
        assert chip.arc.h_max == pytest.approx(taken[j].max(), abs=2e-5)


def test_what_the_teeth_take_in_a_turn_is_the_feed_of_a_turn() -> None:
    """Whatever the runout, all teeth together take z fz sin(phi) where any of them cuts."""
    setup = CASES[2]
    phi = np.linspace(0.2, 2.9, 50)
    turn = each_tooths_thickness(phi, setup, "arc").sum(axis=0)
    assert turn == pytest.approx(4 * 0.06 * np.sin(phi), rel=1e-12)
