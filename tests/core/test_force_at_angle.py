"""The force at one moment against the strips' curve, the extremes of a turn, and one tooth against all."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings

from core.edge_force import cutter_force, edge_law
from core.engagement import engagement
from core.force_at_angle import force_at_angle
from core.force_turn import force_turn
from core.setup import Cut, Cutter, LinearEdge, Setup, Work
from core.setup_examples import example
from tests.strategies import setups


def test_boss_at_its_peak_is_the_greatest_of_the_turn() -> None:
    setup = example("boss").setup()
    turn = force_turn(setup)
    assert turn is not None
    found = [force_at_angle(setup, phi) for phi in np.radians(np.arange(0.0, 90.0, 0.05))]
    sizes = [f.size for f in found if f is not None]
    assert max(sizes) == pytest.approx(turn.resultant_max, rel=1e-4) and max(sizes) <= turn.resultant_max * (1 + 1e-9)


@settings(max_examples=80)
@given(setups())
def test_the_teeth_add_up_to_the_whole(setup: object) -> None:
    cutter = setup.cutter  # type: ignore[attr-defined]
    first = force_at_angle(setup, 0.7)  # type: ignore[arg-type]
    if first is None:
        assert setup.work.force is None  # type: ignore[attr-defined]
        return
    pitch = 2.0 * math.pi / cutter.teeth
    each = [force_at_angle(setup, 0.7 + k * pitch) for k in range(cutter.teeth)]  # type: ignore[arg-type]
    for whole, part in (("x", "tooth_x"), ("y", "tooth_y")):
        total = sum(getattr(f, part) for f in each)
        assert total == pytest.approx(getattr(first, whole), rel=1e-9, abs=1e-9 * (1.0 + first.size))


def test_a_tooth_in_the_air_has_no_force_and_one_alone_is_the_whole() -> None:
    setup = example("boss").setup().with_keys({"cutter.teeth": 1, "cutter.helix_deg": 0.0})
    e = engagement(setup)
    air, work = force_at_angle(setup, e.entry - 0.2), force_at_angle(setup, e.entry + 0.3)
    assert air is not None and work is not None
    assert (air.x, air.y, air.tooth_x, air.tooth_y) == (0.0, 0.0, 0.0, 0.0)
    assert (work.tooth_x, work.tooth_y) == (work.x, work.y) and work.size > 10.0


def test_the_greatest_force_is_found_on_either_of_two_summits() -> None:
    """Two pieces whose samples are all but equal while their summits are not: the finer look takes both."""
    law = LinearEdge(860.0, 0.0, 0.0, 0.0, 0.03125, 0.0)
    cutter, cut = Cutter(72.0, 6, helix_deg=30.0), Cut("climb", 41.34375, 3.6, 1.125, 1000.0)
    setup = Setup(cutter, cut, Work(force=law))
    found, known = force_turn(setup), edge_law(setup)
    assert found is not None and known is not None
    row = cutter_force(np.linspace(0.0, 2.0 * np.pi / 6.0, 400_001), setup, known)
    assert found.fy.greatest == pytest.approx(float(row[:, 1].max()), rel=1e-9)
    assert found.fy.greatest >= float(row[:, 1].max()) * (1.0 - 1e-12)


def test_a_summit_just_before_a_corner_is_found() -> None:
    law = LinearEdge(0.0, 644.0, 0.0, 26.6875, 27.875, 0.0)
    cutter, cut = Cutter(50.0, 4, cutting_edge_angle_deg=45.0), Cut("climb", 42.5550533803595, 50.0, 0.1, 1000.0)
    setup = Setup(cutter, cut, Work(force=law))
    found, known = force_turn(setup), edge_law(setup)
    assert found is not None and known is not None
    row = cutter_force(np.linspace(0.78, 0.7923105, 400_001), setup, known)
    assert found.fx.least == pytest.approx(float(row[:, 0].min()), rel=1e-10)
