"""The bounds of the pull lie on either side of the force over a turn, and what they decide is what it decides."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice.draws import as_told
from core.advice.within_limits import pulls_over
from core.force.force_turn import force_turn
from core.force.pull_bounds import least_pull, most_pull
from core.setup.setup import LinearEdge, PowerLaw, Setup, Work
from tests.strategies import shop_setups
from tests.usual_setups import STEEL_LAW, boss, edged

SHARP = PowerLaw(1700.0, 0.25, 0.45, edge_radius_mm=0.02)
"""A power law that was measured with a blunter edge than the cutter's."""


@settings(max_examples=80)
@given(shop_setups(), st.sampled_from((0.0, 0.3, 0.99, 1.01, 3.0)))
def test_the_greatest_pull_lies_between_its_bounds_and_is_over_what_they_say(setup: Setup, share: float) -> None:
    turn, least, most = force_turn(setup), least_pull(setup), most_pull(setup)
    limit = 1.0 if turn is None else share * max(turn.fy.greatest, 0.0)
    over = pulls_over(setup, np.array([limit]), as_told())
    if turn is None:
        assert least is None and most is None and over is None
        return
    assert least is not None and most is not None and over is not None
    rounding = 1e-8 * turn.resultant_max
    assert least <= max(turn.fy.greatest, 0.0) * (1.0 + 1e-8) + rounding
    assert turn.fy.greatest <= most * (1.0 + 1e-8) + rounding
    assert bool(over[0]) is (turn.fy.greatest > limit)


@pytest.mark.parametrize("law", [STEEL_LAW, PowerLaw(1700.0, 0.25, 0.45), SHARP], ids=["linear", "power", "sharp"])
@pytest.mark.parametrize("helix", [0.0, 30.0, 60.0])
def test_bounds_of_climbed_sides_are_near_and_no_wide_cut_is_beyond_them(
    law: LinearEdge | PowerLaw, helix: float
) -> None:
    for width in (0.4, 4.0, 9.0, 12.0):
        setup = edged("climb", law, cut__radial_engagement_mm=width, cutter__helix_deg=helix)
        for each in (setup, setup.opposite):
            turn, least, most = force_turn(each), least_pull(each), most_pull(each)
            assert turn is not None and least is not None and most is not None
            pull = max(turn.fy.greatest, 0.0)
            assert least <= pull * (1.0 + 1e-9) and pull <= most * (1.0 + 1e-9)
            if each is setup and width <= 4.0:
                assert least > 0.95 * pull and most < 1.25 * pull


def test_a_conventional_cut_up_to_the_middle_never_pulls_with_runout_either() -> None:
    wobbling = edged("conventional", cutter__runout_mm=0.02)
    assert most_pull(wobbling) == least_pull(wobbling) == 0.0
    assert most_pull(wobbling.facing("climb")) == math.inf
    # A force that draws the edge into the work may pull anywhere.
    drawing = replace(wobbling, work=Work(force=LinearEdge(300.0, -2000.0, 0.0, 0.0, 0.0, 0.0)))
    assert most_pull(drawing) == math.inf and (least_pull(drawing) or 0.0) > 100.0


def test_without_coefficients_nothing_is_known_of_the_pull() -> None:
    assert least_pull(boss()) is None and most_pull(boss()) is None
    assert pulls_over(boss(), np.array([10.0]), as_told()) is None
