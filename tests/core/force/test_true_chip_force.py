"""Mean force of the arc model against that over the true chip by scipy; what runout does to the teeth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad_vec

from core.cut.chip import thickness
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.force.edge_force import mean_force
from core.force.edge_law import EdgeLaw, edge_law, edge_width
from core.force.force_turn import force_turn
from core.report.force_keys import each_tooths_peak, force_keys
from core.setup.setup import LinearEdge, PowerLaw, Setup, Work
from core.strips.force_strips import force_strip
from tests.usual_setups import STEEL_LAW, boss

POWER = PowerLaw(1700.0, 0.25, 0.4)
A = boss(law=STEEL_LAW, cutter__runout_angle_deg=35.0)


def test_at_a_small_feed_the_true_chip_gives_the_same_mean() -> None:
    """The two models differ by the share of the feed in the circumference; at a ten-thousandth of D they are one.

    The mean over a turn of a point of the edge is that of the whole edge: the helix only spreads it.
    """
    for model in (STEEL_LAW, POWER):
        setup = replace(A.with_keys({"cut.feed_per_tooth_mm": 0.0012}), work=Work(force=model))
        law, contact = edge_law(setup), arc_results(setup)
        assert law is not None
        teeth, width = setup.cutter.teeth, edge_width(setup)

        def on_true_chip(u: np.ndarray, setup: Setup = setup, law: EdgeLaw = law) -> np.ndarray:
            h = thickness(u, setup, "trochoid", 0)
            return law.on_chip(h, u) * (h > 0.0)[:, None]

        whole = quad_vec(
            lambda u: on_true_chip(np.array([u]))[0], contact.true_entry, contact.true_exit, epsrel=1e-9, limit=2000
        )[0]
        mean = np.asarray(whole) * teeth * width / (2.0 * np.pi)
        assert mean == pytest.approx(mean_force(setup, law), rel=2e-3)
        # The trochoid rubs a little before and after the nominal arc: more edge force, never less.
        assert mean[3] > mean_force(setup, law)[3]


def test_runout_shifts_force_from_tooth_to_tooth_and_keeps_the_cutting_work() -> None:
    sharp = replace(A, work=Work(force=LinearEdge(1800.0, 0.0, 0.0, 0.0, 0.0, 0.0)))
    even, uneven = force_turn(sharp), force_turn(sharp.with_keys({"cutter.runout_mm": 0.02}))
    assert even is not None and uneven is not None
    # Without edge force the work follows the volume, which runout does not change (a wall is cut a little wider).
    assert uneven.torque.mean == pytest.approx(even.torque.mean, rel=0.01)
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


def test_every_tooth_of_many_is_told() -> None:
    many = A.with_keys({"cutter.teeth": 25, "cutter.runout_mm": 0.01})
    assert len(force_keys(many)["force"]["teeth"]) == 25
