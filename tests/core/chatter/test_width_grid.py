"""Borders over widths: at each width the axial limit, and the widest cut from it; coarse first."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.chatter import width_grid
from core.chatter.stability import axial_limit
from core.setup.setup import Work
from tests.core.chatter.cuts import setup_of

CUT = setup_of("climb", 0.1, 3, 9000.0, "y")


def test_it_is_the_axial_limit_of_each_width_and_speed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(width_grid, "SPEEDS", 3)
    grids = list(width_grid.width_grid(CUT, 8000.0, 11000.0))
    sizes = [len(grid.width_mm) for grid in grids]
    assert sizes == sorted(sizes) and sizes[-1] == width_grid.WIDTHS and grids[-1].done
    grid = grids[-1]
    assert grid.speed_rpm[grid.here] == 9000.0
    for i in (2, 11):
        wide = CUT.with_keys({"cut.radial_engagement_mm": float(grid.width_mm[i])})
        assert grid.at_own_speed(True)[i] == pytest.approx(axial_limit(wide).depth_mm or np.inf)
        assert grid.at_own_speed(False)[i] == pytest.approx(axial_limit(wide.opposite).depth_mm or np.inf)
    widest, depth = grid.widest(True), CUT.cut.axial_engagement_mm
    between = np.flatnonzero(np.isfinite(widest) & (widest > 0.0))
    assert len(between)
    for k in between:
        # The first width that chatters is the one above it.
        i = int(np.searchsorted(grid.width_mm, widest[k]))
        assert (grid.own[:i, k] > depth).all() and grid.own[i, k] <= depth


def test_what_is_missing_is_said() -> None:
    assert [g.missing for g in width_grid.width_grid(replace(CUT, dynamics=()), 8e3, 9e3)] == ["no_modes"]
    assert [g.missing for g in width_grid.width_grid(replace(CUT, work=Work()), 8e3, 9e3)] == ["no_coefficients"]
    assert [g.missing for g in width_grid.width_grid(CUT, 0.1, 0.2)] == ["beyond"]
