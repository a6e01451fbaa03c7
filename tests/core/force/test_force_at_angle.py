"""The force at one moment against the strips' curve, the extremes of a turn, and one tooth against all."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings

from core.cut.engagement import engagement
from core.documents.setup_examples import example
from core.force.edge_force import cutter_force, edge_law, tooth_force
from core.force.force_at_angle import force_at_angle
from core.force.force_turn import INSIDE, corners, force_turn
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Work
from tests.strategies import setups


def test_boss_at_its_peak_is_the_greatest_of_the_turn() -> None:
    setup = example("boss").setup()
    turn = force_turn(setup)
    assert turn is not None
    found = [force_at_angle(setup, phi) for phi in np.radians(np.arange(0.0, 90.0, 0.05))]
    sizes = [f.size for f in found if f is not None]
    assert max(sizes) == pytest.approx(turn.resultant_max, rel=1e-4) and max(sizes) <= turn.resultant_max * (1 + 1e-9)


@settings(max_examples=80, deadline=None)
@given(setups())
def test_the_teeth_add_up_to_the_whole(setup: Setup) -> None:
    cutter = setup.cutter
    first = force_at_angle(setup, 0.7)
    if first is None:
        assert setup.work.force is None
        return
    pitch = 2.0 * math.pi / cutter.teeth
    if cutter.runout_mm > 0.0:
        # Each tooth is another: the active one is tooth 0.
        law = edge_law(setup)
        assert law is not None
        assert first.tooth_x == pytest.approx(tooth_force(0.7, setup, law)[0]) and first.x == pytest.approx(
            cutter_force(0.7, setup, law)[0], rel=1e-9, abs=1e-9 * (1.0 + first.size)
        )
        return
    each = [force_at_angle(setup, 0.7 + k * pitch) for k in range(cutter.teeth)]
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


TWO_SUMMITS = Setup(
    Cutter(72.0, 6, helix_deg=30.0),
    Cut("climb", 41.34375, 3.6, 1.125, 1000.0),
    Work(force=LinearEdge(860.0, 0.0, 0.0, 0.0, 0.03125, 0.0)),
)
BEFORE_A_CORNER = Setup(
    Cutter(50.0, 4, cutting_edge_angle_deg=45.0),
    Cut("climb", 42.5550533803595, 50.0, 0.1, 1000.0),
    Work(force=LinearEdge(0.0, 644.0, 0.0, 26.6875, 27.875, 0.0)),
)


def ends_of(values: np.ndarray) -> tuple[int, int]:
    """Where the least and the greatest stand."""
    return int(values.argmin()), int(values.argmax())


@pytest.mark.parametrize("setup", [TWO_SUMMITS, BEFORE_A_CORNER], ids=["two summits", "before a corner"])
def test_extremes_of_the_force_against_a_close_row(setup: Setup) -> None:
    """Samples all but equal on two pieces whose summits are not; a summit within the last look before a corner."""
    found, law = force_turn(setup), edge_law(setup)
    assert found is not None and law is not None
    meets = corners(setup)
    pieces = [np.linspace(a + INSIDE, b - INSIDE, 20_001) for a, b in pairwise(meets)]
    phi = np.concatenate(pieces)
    row = cutter_force(phi, setup, law)
    size = np.abs(row).max()
    for spread, axis in ((found.fx, 0), (found.fy, 1)):
        # About both extremes of every piece once more, a hundred times finer.
        at = [i * 20_001 + end for i in range(len(pieces)) for end in ends_of(row[i * 20_001 :][:20_001, axis])]
        fine = phi[at][:, None] + np.linspace(-1.0, 1.0, 201) * max(p[1] - p[0] for p in pieces)
        low, high = np.repeat([(a + INSIDE, b - INSIDE) for a, b in pairwise(meets)], 2, axis=0).T[..., None]
        column = cutter_force(np.clip(fine, low, high).reshape(-1), setup, law)[:, axis]
        assert spread.least == pytest.approx(float(column.min()), abs=1e-9 * size)
        assert spread.greatest == pytest.approx(float(column.max()), abs=1e-9 * size)
