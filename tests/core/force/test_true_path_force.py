"""Force over the true chip and with runout against quadrature along the edge by scipy, and against the arc model."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import bisect

from core.cut.chip import thickness
from core.cut.engagement import engagement
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.force.edge_force import edge_law, mean_force
from core.force.true_path_force import MOST_TEETH, true_force
from core.report.force_keys import each_tooths_peak, force_keys
from core.setup.setup import LinearEdge, PowerLaw, Setup, Work
from core.strips.force_strips import force_strip
from tests.usual_setups import STEEL_LAW, boss

POWER = PowerLaw(1700.0, 0.25, 0.4)
A = boss(law=STEEL_LAW, cutter__runout_angle_deg=35.0)

NODES, WEIGHTS = np.polynomial.legendre.leggauss(4)


def by_quadrature(tooth: int, tip: float, setup: Setup) -> np.ndarray:
    """All components (4,) of one tooth's force along the edge, on the thickness of ``core.chip``.

    Gauss rules on 1500 pieces, so short that a corner of the chip does not count; where the chip comes to nothing the
    edge force jumps, so that each such place, found by scipy, is an end of a piece.
    """
    e, law, r = engagement(setup), edge_law(setup), arc_results(setup)
    assert law is not None
    kappa = np.radians(setup.cutter.cutting_edge_angle_deg)
    low = r.true_entry - (0.3 if e.entry < 1e-9 and setup.cutter.runout_mm else 0.0)
    high = r.true_exit + (0.3 if e.exit > np.pi - 1e-9 and setup.cutter.runout_mm else 0.0)

    def cuts(u: float) -> float:
        return 1.0 if float(thickness(u, setup, "trochoid", tooth)) > 0.0 else -1.0

    total = np.zeros(4)
    for turn in (0.0, 2.0 * np.pi):
        a, b = max(tip + turn - e.edge_lag, low), min(tip + turn, high)
        if b > a:
            ends = np.linspace(a, b, 1501)
            inside = thickness(ends, setup, "trochoid", tooth) > 0.0
            jumps = [
                bisect(cuts, ends[i], ends[i + 1], xtol=1e-12) for i in np.flatnonzero(inside[1:] != inside[:-1])
            ]
            ends = np.sort(np.concatenate([ends, jumps]))
            u = (ends[:-1, None] + np.diff(ends)[:, None] * (NODES + 1.0) / 2.0).reshape(-1)
            weights = (np.diff(ends)[:, None] * WEIGHTS / 2.0).reshape(-1)
            h = thickness(u, setup, "trochoid", tooth)
            total += (weights * (h > 0.0)) @ law.on_chip(h, u)
    return np.asarray(total * setup.cut.axial_engagement_mm / float(np.sin(kappa)) / e.edge_lag)


CASES = [
    A,
    A.opposite,
    replace(A, work=Work(force=POWER)),
    A.with_keys({"cut.feed_per_tooth_mm": 1.5, "cutter.teeth": 2}),
    A.with_keys(
        {"cutter.cutting_edge_angle_deg": 45.0, "cut.direction": "straddling", "cut.radial_engagement_mm": 8.0}
    ),
    A.with_keys({"cutter.runout_mm": 0.02}),
    A.opposite.with_keys({"cutter.runout_mm": 0.06, "cutter.teeth": 3}),
    replace(A.with_keys({"cutter.runout_mm": 0.015}), work=Work(force=POWER)),
]


@pytest.mark.parametrize("setup", CASES)
@pytest.mark.parametrize("tip", [0.35, 1.9, 2.6, 3.3])
def test_one_tooth_is_the_integral_along_its_edge(setup: Setup, tip: float) -> None:
    found = true_force(setup)
    assert found is not None
    for tooth in (0, setup.cutter.teeth - 1):
        got = found.tooth(tooth, np.array([tip]))[0]
        wanted = by_quadrature(tooth, tip, setup)
        assert got == pytest.approx(wanted, rel=2e-6, abs=2e-6 * max(1.0, float(np.abs(wanted).max())))


def test_the_mean_is_that_of_a_turn_and_power_comes_with_it() -> None:
    for setup in CASES:
        found = true_force(setup)
        assert found is not None
        turn = np.linspace(0.0, 2.0 * np.pi, 7201)[:-1]
        assert found.mean == pytest.approx(found.cutter(turn).mean(axis=0), rel=2e-4, abs=1e-3)


def test_at_a_small_feed_it_is_the_arc_model() -> None:
    """The two models differ by the share of the feed in the circumference; at a ten-thousandth of D they are one."""
    setup = A.with_keys({"cut.feed_per_tooth_mm": 0.0012})
    law, found = edge_law(setup), true_force(setup)
    assert law is not None and found is not None
    assert found.mean == pytest.approx(mean_force(setup, law), rel=2e-3)
    # The trochoid rubs a little before and after the nominal arc: more edge force, never less.
    assert found.mean[3] > mean_force(setup, law)[3]


def test_runout_shifts_force_from_tooth_to_tooth_and_keeps_the_cutting_work() -> None:
    sharp = replace(A, work=Work(force=LinearEdge(1800.0, 0.0, 0.0, 0.0, 0.0, 0.0)))
    even, uneven = true_force(sharp), true_force(sharp.with_keys({"cutter.runout_mm": 0.02}))
    assert even is not None and uneven is not None
    # Without edge force the work follows the volume, which runout does not change (a wall is cut a little wider).
    assert uneven.mean[3] == pytest.approx(even.mean[3], rel=0.01)
    peaks = each_tooths_peak(sharp.with_keys({"cutter.runout_mm": 0.02}))
    assert peaks is not None
    each = [p["resultant_max_n"] for p in peaks]
    assert max(each) > 1.2 * min(each)


def test_a_tooth_that_misses_has_no_force() -> None:
    setup = resolved(example("runout-two-teeth").setup()).with_keys({"cutter.runout_mm": 0.2})
    peaks = each_tooths_peak(setup)
    assert peaks is not None and sorted(p["resultant_max_n"] > 0.0 for p in peaks) == [False, True]


def test_report_and_strip_tell_of_runout_only_where_there_is_some() -> None:
    assert "teeth" not in force_keys(A)["force"]
    uneven = A.with_keys({"cutter.runout_mm": 0.02})
    assert [t["tooth"] for t in force_keys(uneven)["force"]["teeth"]] == [0, 1, 2, 3]
    assert [c.id for c in force_strip(A).curves] == ["fx", "fy"]
    without = force_strip(uneven).curves[2]
    assert without.role == "second"
    assert without.values == pytest.approx(force_strip(A).curves[0].values)
    assert force_strip(uneven).curves[0].values.max() > without.values.max() + 1.0


def test_many_teeth_with_runout_are_left_out_and_unknown_stays_unknown() -> None:
    many = A.with_keys({"cutter.teeth": MOST_TEETH + 1, "cutter.runout_mm": 0.01})
    assert true_force(many) is None and len(force_keys(many)["force"]["teeth"]) == MOST_TEETH + 1
    assert true_force(A.with_keys({"work.force": None})) is None
