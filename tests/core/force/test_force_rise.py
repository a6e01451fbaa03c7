"""The steepest rise of the force against differences of a fine grid, and the jump of a straight edge by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings

from core.cut.engagement import engagement
from core.documents.setup_examples import example
from core.force.edge_force import cutter_force, edge_law
from core.force.force_rise import force_rise
from core.setup.setup import Setup
from tests.strategies import shop_setups

A = example("boss").setup()


SETUPS = [
    A,
    A.opposite,
    A.with_keys({"cutter.teeth": 2, "cutter.helix_deg": 45.0}),
    A.with_keys({"cutter.runout_mm": 0.01}),
    A.with_keys({"cutter.helix_deg": 0.0}),
]


@pytest.mark.parametrize("setup", SETUPS)
def test_against_the_differences_over_a_degree_of_a_fine_grid(setup: Setup) -> None:
    law, found = edge_law(setup), force_rise(setup)
    assert law is not None and found is not None
    phi = np.radians(np.arange(36_100) / 100.0 + 0.003)
    size = np.hypot(*cutter_force(phi, setup, law)[:, :2].T)
    steepest = float((size[100:] - size[:-100]).max())
    assert found.n_per_degree == pytest.approx(steepest, rel=3e-3) and found.n_per_degree >= steepest * (1 - 1e-9)
    assert (found.jump_n > 0.0) == (setup.cutter.helix_deg == 0.0)
    assert found.n_per_ms == pytest.approx(found.n_per_degree * 360.0 * setup.cut.spindle_speed_rpm / 60_000.0)


def test_a_straight_edge_jumps_by_its_whole_force_at_entry() -> None:
    """One tooth, climb: at entry h = fz sin(phi_en), the resultant is hypot(ktc h + kte, krc h + kre) ap."""
    setup = A.with_keys({"cutter.helix_deg": 0.0, "cutter.teeth": 1})
    e, found = engagement(setup), force_rise(setup)
    h = 0.06 * math.sin(e.entry)
    by_hand = math.hypot(1800.0 * h + 22.0, 700.0 * h + 35.0) * 10.0
    assert found is not None and found.jump_n == pytest.approx(by_hand, rel=1e-9)
    # Beyond the entry the chip only gets thinner: the jump is all of the rise.
    assert found.n_per_degree == pytest.approx(by_hand, rel=1e-9)
    # In conventional milling the same edge begins with its edge force only: a far smaller jump.
    other = force_rise(setup.opposite)
    assert other is not None and other.jump_n == pytest.approx(math.hypot(22.0, 35.0) * 10.0, rel=1e-6)


@pytest.mark.parametrize("teeth", [1, 4])
def test_a_helix_that_goes_to_nothing_rises_as_a_straight_edge(teeth: int) -> None:
    steepest = []
    for helix in (0.0, 1e-9, 1e-5, 1e-3, 0.01):
        found = force_rise(A.with_keys({"cutter.helix_deg": helix, "cutter.teeth": teeth}))
        assert found is not None
        steepest.append(found.n_per_degree)
    assert steepest[1:4] == pytest.approx([steepest[0]] * 3, rel=2e-3)
    assert steepest[4] == pytest.approx(steepest[0], rel=2e-2)


@pytest.mark.parametrize("helix", [0.0, 20.0, 35.0])
def test_no_jump_on_the_way_through_half_the_diameter(helix: float) -> None:
    """Where the exit of conventional milling passes 90 degrees the force is continuous; so is its rise."""
    base = A.opposite.with_keys({"cutter.helix_deg": helix, "cutter.teeth": 3})
    widths = 6.0 + np.array([-1e-3, -1e-6, -1e-9, 0.0, 1e-9, 1e-6, 1e-3])
    found = [force_rise(base.with_keys({"cut.radial_engagement_mm": float(w)})) for w in widths]
    steepest = [f.n_per_degree for f in found if f is not None]
    assert len(steepest) == 7 and steepest == pytest.approx([steepest[3]] * 7, rel=2e-3)


@settings(max_examples=60)
@given(shop_setups())
def test_never_negative_and_in_step_with_the_speed(setup: Setup) -> None:
    found = force_rise(setup)
    if found is None:
        assert setup.work.force is None
        return
    assert found.n_per_degree >= 0.0 and found.jump_n >= 0.0 and math.isfinite(found.n_per_ms)
    faster = force_rise(
        setup.with_keys({"cut.spindle_speed_rpm": 2.0 * setup.cut.spindle_speed_rpm, "machine": None})
        if setup.machine is None
        else setup
    )
    assert faster is not None
    assert faster.n_per_degree == pytest.approx(found.n_per_degree, rel=1e-9, abs=1e-12)
