"""The strips' curves: on one grid, nothing in the air, the ends of the arc on the curve."""

from __future__ import annotations

import numpy as np
import pytest

from core.cut.engagement import engagement
from core.effects.arc_results import arc_results, paired_angle
from core.effects.wall import wall_maker
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Skin, Work
from core.strips.strip_curves import DOMAIN_DEG, STRIPS, chip_thickness_strip

CLIMB = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0))


@pytest.mark.parametrize(
    "setup", [CLIMB, CLIMB.opposite, CLIMB.with_keys({"cut": Cut("straddling", 12.0, 1, 0.06, 1e3)})]
)
def test_chip_strip_is_the_report_at_the_ends_and_nothing_in_the_air(setup: Setup) -> None:
    strip, r = chip_thickness_strip(setup), arc_results(setup)
    true, nominal = strip.curves
    for curve, summary in ((true, r.trochoid), (nominal, r.arc)):
        at = np.interp(
            np.degrees([r.engagement.entry, r.engagement.exit]), curve.phi_deg, np.nan_to_num(curve.values)
        )
        assert at == pytest.approx([summary.h_entry, summary.h_exit], abs=2e-6)
        assert np.nanmax(curve.values) <= summary.h_max + 1e-12
        assert np.nanmax(curve.values) == pytest.approx(summary.h_max, rel=1e-4)
    inside = np.isfinite(nominal.values)
    assert inside.any() and not inside.all()
    band = strip.bands[0]
    assert np.all((nominal.phi_deg[inside] >= band.from_deg - 1e-9) & (nominal.phi_deg[inside] <= band.to_deg + 1e-9))


def test_true_contact_passes_the_nominal_ends_on_its_own_side() -> None:
    climb, conventional = arc_results(CLIMB), arc_results(CLIMB.opposite)
    assert climb.true_entry == climb.engagement.entry and climb.true_exit > climb.engagement.exit
    assert conventional.true_entry < 0.0 and conventional.true_exit == conventional.engagement.exit
    assert np.isnan(chip_thickness_strip(CLIMB).curves[0].values[-1])


def test_every_strip_shares_the_axis_and_is_read_only() -> None:
    for build in STRIPS.values():
        strip = build(CLIMB)
        for curve in strip.curves:
            assert curve.phi_deg[0] == DOMAIN_DEG[0] and curve.phi_deg[-1] == DOMAIN_DEG[1]
            assert np.all(np.diff(curve.phi_deg) > 0)
            assert curve.phi_deg.shape == curve.values.shape
            with pytest.raises(ValueError, match="read-only"):
                curve.values[0] = 1.0


@pytest.mark.parametrize("phi_deg", np.linspace(-90.0, 269.0, 25))
def test_paired_angle_goes_there_and_back(phi_deg: float) -> None:
    here, there = engagement(CLIMB), engagement(CLIMB.opposite)
    back = paired_angle(paired_angle(np.radians(phi_deg), here, there), there, here)
    assert np.exp(1j * back) == pytest.approx(np.exp(1j * np.radians(phi_deg)), abs=1e-9)


def test_rubbing_and_skin_are_bands_at_the_ends_where_they_are() -> None:
    """1.7191 degrees rub, 5.1531 lie in half a millimetre of skin: climb strikes it and slides out at the wall."""
    assert [band.kind for band in chip_thickness_strip(CLIMB).bands] == ["cut"]
    setup = CLIMB.with_values(cutter__edge_radius_mm=0.006).with_keys({"work.skin": Skin(0.5)})
    climb, conventional = (chip_thickness_strip(s).bands[1:] for s in (setup, setup.opposite))
    assert [band.kind for band in climb] == ["rub", "skin"] == [band.kind for band in conventional]
    ends = [(b.from_deg, b.to_deg) for b in (*climb, *conventional)]
    wanted = [(178.2809, 180.0), (109.4712, 114.6244), (0.0, 1.7191), (65.3756, 70.5288)]
    assert np.array(ends) == pytest.approx(np.array(wanted), abs=1e-4)
    slot = Setup(CLIMB.cutter, Cut("straddling", 12.0, 1, 0.06, 1e3), Work(skin=Skin(0.5)))
    assert [band.kind for band in chip_thickness_strip(slot).bands] == ["cut"]
    both = slot.with_values(cut__radial_engagement_mm=10.0, cutter__edge_radius_mm=0.3)
    assert [band.kind for band in chip_thickness_strip(both).bands] == ["cut", "rub", "rub", "skin", "skin"]


@pytest.mark.parametrize("teeth", [1, 3, 4, 7])
@pytest.mark.parametrize("runout", [0.0, 0.02])
@pytest.mark.parametrize("helix", [0.0, 35.0])
def test_the_tip_moves_at_each_angle_as_when_it_is_asked_for_alone(teeth: int, runout: float, helix: float) -> None:
    bending = {
        "cutter.stickout_mm": 40.0,
        "cutter.youngs_modulus_n_mm2": 5.8e5,
        "work": Work(force=LinearEdge(1800, 700, 300, 22, 35, 3)),
    }
    cutter = {"cutter.teeth": teeth, "cutter.runout_mm": runout, "cutter.helix_deg": helix}
    setup = CLIMB.with_keys({**bending, **cutter})
    curve, maker = STRIPS["movement"](setup).curves[0], wall_maker(setup)
    assert maker is not None and np.ptp(curve.values) > 0.0
    alone = maker.tip_movement(np.radians(curve.phi_deg))
    np.testing.assert_allclose(curve.values, alone, rtol=1e-9, atol=1e-12 * np.abs(alone).max())
