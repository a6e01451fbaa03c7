"""Areas of each depth, and the ridges that a stepover leaves."""

from __future__ import annotations

import numpy as np
import pytest

from core.path.levels import levels
from core.path.moves import Loop, Moves, Stock
from tests.core.path.engagement_reference import arc, block, line, moves_of, wide_stock

R = 6.0


def two_slots(apart: float, z: float = -1.0) -> Moves:
    """Slots of 100 mm right across a block of 60 mm."""
    lift = (0, (80, 0, 5.0), (-20, apart, 5.0), None, 0.0, True)
    return moves_of([line((-20, 0), (80, 0), z), lift, line((-20, apart), (80, apart), z)])


def test_a_ridge_between_two_slots() -> None:
    stock = Stock((block(0, -30, 60, 40),))
    found = levels(two_slots(2 * R + 1.5), stock, R)
    assert len(found) == 1
    (ridge,) = found[0].ridges
    assert ridge.area == pytest.approx(1.5 * 60.0, rel=1e-4)
    assert ridge.width == pytest.approx(1.5, rel=0.02)
    assert (0 < ridge.x < 60) and ridge.y == pytest.approx(R + 0.75, abs=0.05)
    assert found[0].removed == pytest.approx(2 * 12.0 * 60.0, rel=1e-5)
    assert found[0].remaining == pytest.approx(60 * 70 - 2 * 12.0 * 60.0, rel=1e-5)
    assert found[0].length == 200.0
    # Wider than half the cutter it is a wall; overlapping slots leave nothing between them.
    assert levels(two_slots(3 * R + 0.1), stock, R)[0].ridges == ()
    assert levels(two_slots(2 * R - 1.0), stock, R)[0].ridges == ()


def test_the_square_corner_of_a_part_is_no_ridge() -> None:
    found = levels(moves_of([line((-20, 0), (80, 0))]), Stock((block(0, -30, 60, 30),)), R)
    assert found[0].ridges == ()


def test_deeper_cuts_clear_the_depths_above_them() -> None:
    rows = [line((0, 0), (50, 0), -1.0), (1, (50, 0, -1.0), (50, 0, -3.0), None, 0.0, False)]
    rows += [line((50, 0), (100, 0), -3.0)]
    top, deep = levels(moves_of(rows), wide_stock(), R)
    assert (top.z, deep.z) == (-1.0, -3.0)
    assert (top.length, deep.length) == (50.0, 50.0)
    disc = np.pi * R * R
    assert top.removed == pytest.approx(12.0 * 100.0 + disc, rel=1e-4)
    assert deep.removed == pytest.approx(12.0 * 50.0 + disc, rel=1e-4)


def test_arcs_holes_and_ramps() -> None:
    hole = Loop(np.array([[-5.0, 0.0], [5.0, 0.0]]), np.array([-1.0, -1.0]), True, 0)
    stock = Stock((block(-50, -50, 50, 50), hole))
    found = levels(moves_of([arc((20, 0), (0, 0), 2 * np.pi)]), stock, R)[0]
    assert found.removed == pytest.approx(np.pi * (26.0**2 - 14.0**2), rel=1e-4)
    assert found.remaining == pytest.approx(100.0**2 - np.pi * 25.0 - np.pi * (26.0**2 - 14.0**2), rel=1e-4)
    ramp = (1, (0, 0, 0.0), (100, 0, -4.0), None, 0.0, False)
    flat = line((100, 0), (120, 0), -4.0)
    top = line((120, 100), (130, 100), -2.0)
    lift = (0, (120, 0, -4.0), (120, 100, -2.0), None, 0.0, True)
    at_two = levels(moves_of([ramp, flat, lift, top]), wide_stock(), R)[0]
    # The ramp is at -2 from its middle on.
    assert at_two.removed == pytest.approx(12.0 * 70.0 + 12.0 * 10.0 + 2 * np.pi * R * R, rel=1e-3)
