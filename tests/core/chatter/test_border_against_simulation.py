"""Points at least 2 % away from the border against the time simulation: many of like speed in one run, and deep
cuts of heavily damped modes, where the spring of the chips is many times the mode's own."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest

from core.chatter.border import border
from core.chatter.directional import CuttingSlopes
from core.chatter.modes import modes_of
from core.chatter.regenerative_cut import RegenerativeCut, regenerative_cut
from core.chatter.stability import chatter_cut
from core.chatter.time_simulation import simulate
from core.setup.setup import Direction, LinearEdge, Mode
from tests.core.chatter.cuts import setup_of
from tests.core.chatter.time_reference import radius_seen


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_points_beside_the_border_agree_with_the_simulation(direction: Direction) -> None:
    rng = np.random.default_rng(15)
    setup = setup_of(direction, 0.1, 3, 9500.0)
    cut = chatter_cut(setup)
    assert cut is not None
    speeds = rng.uniform(9000.0, 12000.0, 10)
    limits = cut.border(speeds).depth_mm
    # Above the border by so little that no second crossing lies between.
    factors = np.where(np.arange(10) % 2 == 0, rng.uniform(0.6, 0.98, 10), rng.uniform(1.02, 1.25, 10))
    factors[:2] = 0.98, 1.02
    found = simulate(regenerative_cut(setup), speeds, limits * factors, turns=24, linear=True)
    assert [v.stable for v in found.verdicts] == (factors < 1.0).tolist()


@dataclass(frozen=True)
class Deep:
    """A cut; frequency, damping ratio and stiffness of a mode on x and of one on y, slopes in N/mm2, the width as a
    share of the diameter."""

    x: tuple[float, float, float]
    y: tuple[float, float, float]
    slopes: CuttingSlopes
    teeth: int
    rpm: float
    direction: Direction
    width: float

    @property
    def cut(self) -> RegenerativeCut:
        """What is simulated."""
        turned = math.acos(1.0 - 2.0 * self.width)
        arc = (math.pi - turned, math.pi) if self.direction == "climb" else (0.0, turned)
        law = LinearEdge(self.slopes.tangential, self.slopes.radial, 0.0, 0.0, 0.0, 0.0)
        return RegenerativeCut((Mode("x", *self.x), Mode("y", *self.y)), self.teeth, *arc, 0.1, law)

    @property
    def limit(self) -> float:
        """Its border, mm."""
        cut, modes = self.cut, modes_of(self.cut.modes)
        assert modes is not None
        return float(border(modes, self.slopes, cut.entry, cut.exit, self.teeth, self.rpm, 400.0).depth_mm[0])


DEEP = {
    "three teeth, 27 mm": Deep(
        (1033.0, 0.241, 5830.0), (1007.4, 0.328, 4500.0), CuttingSlopes(654.0, 637.0), 3, 12_600.0, "climb", 0.292
    ),
    "two teeth, 24 mm": Deep(
        (1028.0, 0.288, 2040.0), (636.0, 0.222, 7750.0), CuttingSlopes(1303.0, 425.0), 2, 8710.0, "climb", 0.0658
    ),
    "one tooth, swelling and shrinking in 56 turns": Deep(
        (1177.0, 0.079, 4980.0), (628.0, 0.0256, 18_200.0), CuttingSlopes(534.0, 434.0), 1, 4713.0, "conventional",
        0.484,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DEEP)
def test_the_spring_of_deep_chips_counts_in_the_step(name: str) -> None:
    """The greatest multiplier of the simulated motion passes 1 at the border: straight between 2 % under and over.

    With steps for the modes alone it passes it over 1 % beside in the first two.  In the last one the growth of the
    amplitude from turn to turn, which the verdict takes, would tell only after hundreds of turns.
    """
    deep, turns, logs = DEEP[name], 15, []
    limit = deep.limit
    assert deep.cut.cutting_stiffness(limit) > min(deep.x[2], deep.y[2])
    for share in (0.98, 1.02):
        record = simulate(deep.cut, deep.rpm, share * limit, turns=turns, linear=True, record=0).record
        assert record is not None
        motion = np.diff(record.displacement.reshape(turns, -1), axis=0)
        logs.append(math.log(radius_seen(motion[3:], 6)))
    under, over = logs
    assert under < 0.0 < over
    assert abs(-0.02 - 0.04 * under / (over - under)) < 0.006
