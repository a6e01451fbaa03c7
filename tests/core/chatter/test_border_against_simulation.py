"""Points at least 2 % away from the border against the time simulation, many of like speed in one run."""

from __future__ import annotations

import numpy as np
import pytest

from core.chatter.regenerative_cut import regenerative_cut
from core.chatter.stability import chatter_cut
from core.chatter.time_simulation import simulate
from core.setup.setup import Direction
from tests.core.chatter.cuts import setup_of


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_points_beside_the_border_agree_with_the_simulation(direction: Direction) -> None:
    rng = np.random.default_rng(15)
    setup = setup_of(direction, 0.1, 3, 9500.0)
    cut = chatter_cut(setup)
    assert cut is not None
    speeds = rng.uniform(9000.0, 12000.0, 10)
    border = cut.border(speeds).depth_mm
    # Above the border by so little that no second crossing lies between.
    factors = np.where(np.arange(10) % 2 == 0, rng.uniform(0.6, 0.96, 10), rng.uniform(1.04, 1.25, 10))
    found = simulate(regenerative_cut(setup), speeds, border * factors, turns=40, linear=True)
    assert [v.stable for v in found.verdicts] == (factors < 1.0).tolist()
