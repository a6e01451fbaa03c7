"""The cut that stands beside another one in Pair: the other direction, the mirror image, or another offset."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from core.advice.offsets import beside_in_pair, offset_advice
from core.cut.engagement import engagement
from core.documents.setup_examples import example
from core.setup.setup import Setup
from core.setup.setup_limits import check_setup
from core.strips.offset_strip import at_offsets, room

FACE_MILL = example("facing-wide-steel").setup()


def centred(width_share: float, diameter: float = 160.0, feed: float = 0.2) -> Setup:
    return FACE_MILL.with_keys(
        {
            "cutter.diameter_mm": diameter,
            "cut.radial_engagement_mm": width_share * diameter,
            "cut.feed_per_tooth_mm": feed,
        }
    )


def test_two_directions_are_each_other_and_an_offset_cut_its_mirror_image() -> None:
    climb = example("boss").setup()
    assert beside_in_pair(climb) == climb.opposite and beside_in_pair(climb.opposite) == climb
    aside = FACE_MILL.with_keys({"cut.centre_offset_mm": 3.0})
    assert beside_in_pair(aside).cut.centre_offset_mm == -3.0 and beside_in_pair(beside_in_pair(aside)) == aside


def test_a_slot_has_nothing_beside_it() -> None:
    slot = example("slot-steel").setup()
    assert beside_in_pair(slot) == slot


def test_a_centred_face_mill_stands_beside_itself_half_way_to_the_climb_side() -> None:
    other = beside_in_pair(FACE_MILL)
    assert other.cut.centre_offset_mm == 10.0, "half of the 20 mm of room"
    assert other.with_keys({"cut.centre_offset_mm": 0.0}) == FACE_MILL


def test_where_teeth_leave_over_the_edge_it_is_the_offset_at_which_they_do_not() -> None:
    # So narrow a work that its edge is near the axis: teeth leave at about 101 degrees, with a full chip.
    narrow = centred(0.2)
    assert offset_advice(narrow).over_the_edge
    other = beside_in_pair(narrow)
    assert not offset_advice(other).over_the_edge and 0.0 < abs(other.cut.centre_offset_mm) < room(narrow)


@given(st.floats(0.02, 0.995), st.floats(1.0, 300.0), st.floats(0.01, 0.3))
def test_what_stands_beside_a_centred_cut_is_legal_another_cut_and_leaves_no_thicker(
    share: float, diameter: float, feed_share: float
) -> None:
    setup = centred(share, diameter, min(feed_share, 0.05 * diameter))
    other = beside_in_pair(setup)
    check_setup(other)
    assert 0.0 < abs(other.cut.centre_offset_mm) < room(setup)
    here, there = engagement(setup), engagement(other)
    assert (here.entry, here.exit) != (there.entry, there.exit)
    if other.cut.centre_offset_mm > 0.0:
        at = at_offsets([0.0, other.cut.centre_offset_mm], setup)
        assert at.exit_deg[1] > at.exit_deg[0]
