"""The bounds of a wall's size against the wall over its depth, and a tolerance's answer by them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice.draws import as_told
from core.advice.within_limits import wall_kept
from core.effects.wall_bounds import least_size, most_size
from core.effects.wall_depth import wall_profile_over_depth
from core.setup.setup import LinearEdge, PowerLaw
from tests.usual_setups import STEEL_LAW, held

LAWS = (
    STEEL_LAW,
    LinearEdge(900.0, -300.0, 200.0, 0.0, 60.0, -5.0),
    PowerLaw(2220.0, 0.26, 0.4, edge_radius_mm=0.01),
)


@settings(max_examples=60)
@given(
    direction=st.sampled_from(["climb", "conventional"]),
    law=st.sampled_from(LAWS),
    width=st.floats(0.01, 11.9),
    depth=st.floats(0.2, 24.0),
    teeth=st.integers(1, 8),
    helix=st.sampled_from([0.0, 0.5, 15.0, 30.0, 45.0, 60.0]),
    angle=st.sampled_from([90.0, 60.0, 20.0]),
    runout=st.sampled_from([0.0, 0.0, 0.004, 0.05]),
    holding=st.sampled_from([{}, {"cutter__flute_length_mm": 26.0, "cutter__holder_stiffness_n_mm": 9e3}]),
    share=st.floats(0.3, 3.0),
)
def test_the_size_of_a_wall_lies_between_its_bounds(
    direction: str,
    law: LinearEdge | PowerLaw,
    width: float,
    depth: float,
    teeth: int,
    helix: float,
    angle: float,
    runout: float,
    holding: dict[str, float],
    share: float,
) -> None:
    """What is found by bounds that are clear is what the whole wall says, at tolerances on either side of it."""
    setup = held(
        direction,
        law,
        cut__radial_engagement_mm=width,
        cut__axial_engagement_mm=depth,
        cutter__teeth=teeth,
        cutter__helix_deg=helix,
        cutter__cutting_edge_angle_deg=angle,
        cutter__runout_mm=runout,
        **holding,
    )
    profile, most, least = wall_profile_over_depth(setup), most_size(setup), least_size(setup)
    assert profile is not None and most is not None and least is not None
    assert profile.size <= most * (1.0 + 1e-9)
    assert least <= profile.size * (1.0 + 1e-4)
    for tolerance in (share * profile.size, 0.9999 * profile.size, 1.0001 * profile.size):
        if tolerance > 0.0:
            kept = wall_kept(setup, tolerance, as_told())
            assert kept is not None and kept.tolist() == [profile.size <= tolerance]


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_the_bounds_of_an_ordinary_wall_are_near_enough_to_be_of_use(direction: str) -> None:
    setup = held(direction)
    profile, most, least = wall_profile_over_depth(setup), most_size(setup), least_size(setup)
    assert profile is not None and most is not None and least is not None
    assert 0.95 * profile.size < least and most < 5.0 * profile.size


def test_without_a_wall_there_are_no_bounds() -> None:
    """Where no chip forms, or the force is not known."""
    blunt = held(cutter__edge_radius_mm=0.25)
    for setup in (blunt, held(law=None)):
        assert wall_profile_over_depth(setup) is most_size(setup) is least_size(setup) is None
        assert wall_kept(setup, 0.05, as_told()) is None
