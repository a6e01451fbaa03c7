"""Direction, feed and chip at places of a path."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.path.engagement_along import PathEngagement
from core.path.fed_length import fed_length
from core.path.moves import RAPID, Moves, Stock
from core.path.path_places import Engaged
from core.path.samples import WAYS, direction, feed_per_tooth, samples, thickest
from tests.core.path.engagement_reference import block, line, moves_of
from tests.usual_setups import boss

SETUP = boss(cutter__helix_deg=0.0)


def engaged(*places: list[tuple[float, float]]) -> Engaged:
    """Intervals in degrees, a list for each place."""
    first = np.cumsum([0, *map(len, places)])
    pairs = np.radians(np.array([pair for place in places for pair in place]).reshape(-1, 2))
    return Engaged(first, pairs[:, 0], pairs[:, 1])


def test_direction_is_told_by_the_first_entry_and_the_last_exit() -> None:
    found = engaged(
        [],
        [(0, 70)],
        [(110, 180)],
        [(0, 180)],
        [(20, 160)],
        [(0, 10), (90, 170)],
        [(5, 9), (170, 180)],
        [(0, 2), (3, 180)],
    )
    ways = [WAYS[k] for k in direction(found)]
    assert ways[:5] == ["air", "conventional", "climb", "straddling", "straddling"]
    assert ways[5:] == ["conventional", "climb", "straddling"]


def test_widths_on_either_side_of_the_feed_add_up() -> None:
    found = engaged([(20, 50), (60, 100), (130, 180)])
    left, right = found.width(6.0, 0.0, math.pi / 2)[0], found.width(6.0, math.pi / 2, math.pi)[0]
    c = [math.cos(math.radians(a)) for a in (20, 50, 60, 100, 130, 180)]
    assert left == pytest.approx(6.0 * (c[0] - c[1] + c[2]))
    assert right == pytest.approx(6.0 * (-c[3] + c[4] - c[5]))
    assert found.width(6.0)[0] == pytest.approx(left + right)


def test_chip_is_thickest_where_nearest_to_the_feed() -> None:
    found = engaged([(0, 30)], [(100, 120), (150, 180)], [(80, 100)], [])
    h = thickest(found, np.full(4, 0.1), math.radians(45.0))
    wanted = 0.1 * math.sin(math.radians(45.0)) * np.sin(np.radians([30.0, 100.0, 90.0]))
    assert h[:3] == pytest.approx(wanted) and np.isnan(h[3])


def with_feeds(feeds: list[float], speeds: list[float]) -> Moves:
    """Moves in a row along x, 10 mm each, with those feeds and speeds."""
    plain = moves_of([line((10 * i, 0), (10 * i + 10, 0)) for i in range(len(feeds))])
    columns = {name: getattr(plain, name) for name in Moves.__dataclass_fields__}
    return Moves(**{**columns, "feed_mm_min": np.array(feeds), "speed_rpm": np.array(speeds)})


def test_feed_per_tooth_is_the_programs_else_the_setups() -> None:
    nan = math.nan
    moves = with_feeds([800.0, nan, 800.0, nan], [2000.0, 2000.0, nan, nan])
    feed, speed = feed_per_tooth(moves, np.arange(4), SETUP)
    assert feed == pytest.approx([0.1, 0.06, 0.05, 0.06])
    assert speed.tolist() == [2000.0, 2000.0, 4000.0, 4000.0]


def test_length_counts_feed_in_the_plane_only_and_a_joint_belongs_to_what_begins() -> None:
    rows = [
        line((0, 0), (10, 0)),
        (1, (10, 0, -1.0), (10, 0, -3.0), None, 0.0, False),
        line((10, 0), (10, 7), -3.0, RAPID),
        (1, (10, 7, -3.0), (40, 7, -5.0), None, 0.0, False),
    ]
    fed = fed_length(moves_of(rows))
    assert fed.length == 40.0
    move, along = fed.on(np.array([0.0, 9.9, 10.0, 40.0]))
    assert move.tolist() == [0, 0, 3, 3]
    assert along == pytest.approx([0.0, 9.9, 0.0, 30.0])
    assert fed.multiples(10.0).tolist() == [0.0, 10.0, 20.0, 30.0, 40.0]
    # A tenth has no exact double: the last multiple must be there all the same.
    assert len(fed.multiples(0.1)) == 401


def test_a_ramp_tells_its_height_and_mean_thickness_is_by_angle() -> None:
    rows = [(1, (0, 0, 0.0), (30, 0, -3.0), None, 0.0, False)]
    stock = Stock((block(-50, -50, 80, -2.0),))
    path = PathEngagement(moves_of(rows), stock, 6.0)
    found = samples(path, fed_length(path.moves), np.array([0.0, 15.0]), SETUP)
    assert found.places.z.tolist() == [0.0, -1.5]
    assert [WAYS[k] for k in found.way] == ["air", "climb"]
    assert found.width[1] == pytest.approx(4.0)
    arc = math.acos(1.0 - 4.0 / 6.0)
    assert found.h_mean[1] == pytest.approx(0.06 * 4.0 / 6.0 / arc)
