"""Many cuts in one call are the single front's cuts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.base.errors import ChiparcError
from core.cut.chip import chip_summary
from core.cut.engagement import engagement
from core.force.force_turn import force_turn
from core.force.many_cuts import KEYS, many_cuts
from core.setup.setup import LinearEdge, PowerLaw, Work
from tests.usual_setups import STEEL_LAW, boss

LINEAR, POWER = STEEL_LAW, PowerLaw(2200.0, 0.26, 0.4, edge_radius_mm=0.006)
BASE = boss()


def drawn(direction: str, n: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(11)
    d = rng.uniform(4.0, 60.0, n)
    return {
        "cutter.diameter_mm": d,
        "cutter.teeth": rng.integers(1, 9, n),
        "cutter.helix_deg": rng.choice([0.0, 0.0, 12.0, 30.0, 45.0, 70.0], n),
        "cut.radial_engagement_mm": d * (1.0 if direction == "straddling" else rng.uniform(0.01, 0.98, n)),
        "cut.axial_engagement_mm": d * rng.uniform(0.05, 2.0, n),
        "cut.feed_per_tooth_mm": d * rng.uniform(5e-4, 0.02, n),
        "cut.spindle_speed_rpm": rng.uniform(200.0, 20000.0, n),
    }


@pytest.mark.parametrize("law", [LINEAR, POWER], ids=["linear", "power"])
@pytest.mark.parametrize(
    ("direction", "kappa", "radius", "runout"),
    [
        ("climb", 90.0, None, 0.0),
        ("conventional", 60.0, 0.012, 0.0),
        ("straddling", 90.0, None, 0.0),
        ("climb", 90.0, None, 0.01),
    ],
)
def test_the_same_figures_as_one_by_one(
    law: LinearEdge | PowerLaw, direction: str, kappa: float, radius: float | None, runout: float
) -> None:
    base = replace(BASE, work=Work(force=law)).with_keys(
        {
            "cut.direction": direction,
            "cutter.cutting_edge_angle_deg": kappa,
            "cutter.edge_radius_mm": radius,
            "cutter.runout_mm": runout,
        }
    )
    n = 5 if runout else 60
    values = drawn(direction, n)
    found = many_cuts(base, values)
    for i in range(n):
        own = {key: float(v[i]) for key, v in values.items()}
        setup = base.with_keys(own | {"cutter.teeth": int(own["cutter.teeth"])})
        e, turn = engagement(setup), force_turn(setup)
        assert turn is not None
        arc, true = chip_summary(setup, e, "arc"), chip_summary(setup, e, "trochoid")
        assert (found.entry[i], found.exit[i], found.edge_lag[i]) == pytest.approx((e.entry, e.exit, e.edge_lag))
        assert found.teeth_mean[i] == pytest.approx(e.teeth_mean, rel=1e-12)
        assert (found.thickest[i], found.mean_thickness[i]) == pytest.approx((arc.h_max, arc.h_mean), rel=1e-9)
        assert found.true_thickest[i] == pytest.approx(true.h_max, rel=1e-9)
        assert found.true_mean_thickness[i] == pytest.approx(true.h_mean, rel=1e-9)
        assert found.power_kw[i] == pytest.approx(turn.power_kw, rel=1e-9)
        assert found.resultant_max[i] == pytest.approx(turn.resultant_max, rel=1e-9)
        radius_m = setup.cutter.diameter_mm / 2000.0
        for c, spread in enumerate((turn.fx, turn.fy, turn.fz, turn.torque)):
            if spread is None:
                assert np.isnan(found.least[i, c])
                continue
            got = (found.least[i, c], found.greatest[i, c], found.mean[i, c])
            room = 1e-9 * turn.resultant_max * (1.0 if c < 3 else radius_m)
            assert got == pytest.approx((spread.least, spread.greatest, spread.mean), rel=1e-9, abs=room)


def test_a_key_that_cannot_differ_is_refused_and_unknown_forces_stay_unknown() -> None:
    with pytest.raises(ChiparcError, match="cannot differ"):
        many_cuts(BASE, {"cut.direction": [1.0]})
    found = many_cuts(BASE, {"cut.radial_engagement_mm": np.linspace(1.0, 5.0, 7)})
    assert np.isnan(found.power_kw).all() and (found.thickest > 0.0).all() and len(found.exit) == 7
    assert set(KEYS) > {"cut.radial_engagement_mm", "cutter.teeth"}
