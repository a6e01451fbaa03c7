"""Intervals of engagement against closed references, against distances, and against polygons."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.path.engagement_along import PathEngagement
from core.path.fed_length import fed_length
from core.path.levels import levels
from core.path.moves import LINE, RAPID, Loop, Moves, Stock
from core.path.path_places import Engaged, places_on
from tests.bench.pocket import in_short_moves, pocket
from tests.core.path.engagement_reference import (
    arc,
    block,
    cells,
    chain,
    free_by_distance,
    line,
    moves_of,
    random_moves,
    wide_stock,
)

R = 6.0


def intervals(path: PathEngagement, move: int, along: float) -> list[list[float]]:
    """Intervals at one place, degrees."""
    found = path.at([move], [along])
    return np.degrees(np.stack([found.entry, found.exit], 1)).tolist()


def degrees_off(found: Engaged, i: int, phi: np.ndarray, cuts: np.ndarray) -> float:
    """Sum of the angles, in degrees, on which the intervals of place i and a reference differ."""
    mine = np.zeros(len(phi), bool)
    for k in range(found.first[i], found.first[i + 1]):
        mine |= (phi > found.entry[k]) & (phi < found.exit[k])
    return float((mine != cuts).mean() * 180.0)


def everywhere(points: Any) -> Any:
    """Stock without end."""
    return np.ones(len(points), bool)


HOLED = Stock(
    (
        Loop(np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 20.0], [0.0, 20.0]]), np.array([0.0, 0.3, 0.0, -0.2])),
        Loop(np.array([[8.0, 8.0], [8.0, 12.0], [12.0, 12.0]]), np.array([0.0, -0.5, 0.0]), True, 0),
    )
)
"""A block with a bulged and a hollow side, and a hole."""


@pytest.mark.parametrize("width", [0.01, 1.0, 4.0, 6.0, 11.0])
def test_a_straight_cut_is_the_textbooks(width: float) -> None:
    moves = chain([(0, 0), (100, 0)])
    on_the_left = Stock((block(-50, R - width, 150, 50),))
    on_the_right = Stock((block(-50, -50, 150, width - R),))
    arc_of = math.degrees(math.acos(1.0 - width / R))
    assert intervals(PathEngagement(moves, on_the_left, R), 0, 50.0) == [pytest.approx([0.0, arc_of], abs=1e-6)]
    climb = [pytest.approx([180.0 - arc_of, 180.0], abs=1e-6)]
    assert intervals(PathEngagement(moves, on_the_right, R), 0, 50.0) == climb


def test_a_slot_and_the_stepover_beside_it() -> None:
    moves = moves_of([line((0, 0), (100, 0)), line((100, 0), (100, 4), kind=RAPID), line((100, 4), (0, 4))])
    path = PathEngagement(moves, wide_stock(), R)
    assert intervals(path, 0, 40.0) == [[0.0, 180.0]]
    # Back along the slot, new stock on the right: climb.
    entry = math.degrees(math.acos(2 * 4.0 / 12.0 - 1.0))
    assert intervals(path, 2, 40.0) == [pytest.approx([entry, 180.0], abs=1e-6)]


@pytest.mark.parametrize("width", [0.5, 2.0, 3.0, 5.0])
def test_an_inside_corner_takes_a_right_angle_more(width: float) -> None:
    before = [(-60, 0), (0, 0), (0, 60)]
    now = [(-60, -width), (width, -width), (width, 60)]
    rows = [line(a, b) for a, b in itertools.pairwise(before)]
    rows += [line(a, b) for a, b in itertools.pairwise(now)]
    path = PathEngagement(moves_of(rows), wide_stock(), R)
    plain = math.degrees(math.acos(1.0 - width / R))
    assert math.degrees(path.at([2], [30.0]).arc[0]) == pytest.approx(plain, abs=1e-6)
    # Just before the corner all of the right side ahead is in stock, too.
    assert math.degrees(path.at([2], [60.0 + width]).arc[0]) == pytest.approx(plain + 90.0, abs=1e-6)
    assert math.degrees(path.at([3], [0.0]).arc[0]) == pytest.approx(plain, abs=1e-6)


@pytest.mark.parametrize("rho", [2.0, 6.0, 15.0, 200.0])
@pytest.mark.parametrize("inside", [True, False])
def test_ring_after_ring(rho: float, inside: bool) -> None:
    """Stepping outwards (internal arc) or inwards (external) by 1 mm: law of cosines, and the area of the ring."""
    step = 1.0 if inside else -1.0
    earlier = rho - step
    rows = [arc((earlier, 0), (0, 0), 2 * np.pi), line((earlier, 0), (rho, 0)), arc((rho, 0), (0, 0), 2 * np.pi)]
    path = PathEngagement(moves_of(rows), wide_stock(), R)
    found = path.at([2], [rho * 3.0])
    edge = earlier + R if inside else earlier - R
    if not inside and rho < R - 1.0:
        assert found.arc[0] == 0.0
        return
    angle = math.degrees(math.acos((edge**2 - rho**2 - R**2) / (2 * rho * R)))
    # Counter-clockwise: what is outside lies on the right and climbs.
    wanted = [180.0 - angle, 180.0] if inside else [0.0, 180.0 - angle]
    assert np.degrees([found.entry[0], found.exit[0]]).tolist() == pytest.approx(wanted, abs=1e-6)
    beyond = rho + R if inside else rho - R
    assert found.width(R)[0] == pytest.approx(abs(edge**2 - beyond**2) / (2 * rho), rel=1e-9)


def test_a_full_circle_comes_round_to_its_own_beginning() -> None:
    rows = [line((0, 0), (3, 0)), arc((3, 0), (0, 0), 2 * np.pi)]
    moves = moves_of(rows)
    path = PathEngagement(moves, wide_stock(), R)
    along = np.linspace(0.0, 6 * np.pi, 9)
    found = path.at(np.full(9, 1), along)
    for i in range(9):
        phi = cells(36_000)
        cuts = free_by_distance(moves, everywhere, R, False, 1, float(along[i]), phi)
        assert degrees_off(found, i, phi, cuts) < 0.02
    assert found.arc[-1] == 0.0
    assert 0.0 < found.arc[-2] < found.arc[1]


def test_hole_and_island_give_several_intervals() -> None:
    hole = Loop(np.array([[-2.0, 0.0], [2.0, 0.0]]), np.array([-1.0, -1.0]), True, 0)
    island = Loop(np.array([[-1.0, 0.0], [1.0, 0.0]]), np.array([1.0, 1.0]), False, 1)
    stock = Stock((block(-50, -50, 50, 50), hole, island))
    found = intervals(PathEngagement(chain([(0, -40), (0, 40)]), stock, R), 0, 40.0 - R)
    # The tooth's circle runs through the middle of hole and island: chords of 2 and 1 mm from there.
    out, in_ = (2 * math.degrees(math.asin(c / (2 * R))) for c in (2.0, 1.0))
    wanted = [[0.0, 90 - out], [90 - in_, 90 + in_], [90 + out, 180.0]]
    assert found == [pytest.approx(pair, abs=1e-6) for pair in wanted]


def test_a_touch_is_no_cut() -> None:
    stock = Stock((block(0, -20, 40, 20),))
    path = PathEngagement(chain([(-20, 4), (20, 4)]), stock, R)
    assert intervals(path, 0, 20.0 - R) == []
    assert intervals(path, 0, 20.0 - R - 1e-6) == []
    w = math.degrees(math.acos(1.0 - 0.1 / R))
    assert intervals(path, 0, 20.1 - R) == [pytest.approx([90 - w, 90 + w], abs=1e-6)]


def test_the_same_path_twice_is_air() -> None:
    ring = [arc((9, 0), (0, 0), 2 * np.pi)]
    rows = [line((0.1, 0.3), (7.7, 3.1)), line((7.7, 3.1), (0.1, 0.3)), line((0.1, 0.3), (7.7, 3.1))]
    path = PathEngagement(moves_of(rows), wide_stock(), R)
    assert path.at([1, 1, 2, 2], [0.0, 4.0, 0.0, 4.0]).arc.max() == 0.0
    path = PathEngagement(moves_of(ring * 3), wide_stock(), R)
    assert path.at([1, 1, 2, 2], [0.0, 4.0, 0.0, 51.3]).arc.max() == 0.0


def test_what_runs_to_and_fro_a_thousand_times_looks_at_one_pass() -> None:
    ends = [(0.0, 0.0), (40.0, 3.0)]
    rows = [line(ends[i % 2], ends[(i + 1) % 2]) for i in range(1000)]
    ring = arc((70, 0), (60, 0), 2 * np.pi)
    rows += [line(ends[0], (70, 0)), ring, arc((70, 0), (60, 0), -2 * np.pi), ring]
    path = PathEngagement(moves_of(rows), wide_stock(), R)
    _, count = path.index.lookup(np.array([[20.0, 1.5], [60.0, 10.0]]))
    assert count.max() <= 3
    arcs = np.degrees(path.at([0, 1, 999, 1002, 1003], [20.0] * 5).arc)
    assert arcs.tolist() == pytest.approx([180.0, 0.0, 0.0, 0.0, 0.0], abs=1e-3)


def test_each_depth_is_a_level_of_its_own() -> None:
    deep, shallow = -4.0, -2.0
    pass_ = [line((0, 0), (100, 0), shallow), line((0, 0), (100, 0), deep), line((0, 0), (100, 0), shallow)]
    moves = moves_of(pass_)
    path = PathEngagement(moves, wide_stock(), R)
    arcs = np.degrees(path.at([0, 1, 2], [50.0, 50.0, 50.0]).arc)
    # A deep cut clears what is above it, a shallow one nothing below it.
    assert arcs.tolist() == pytest.approx([180.0, 180.0, 0.0])


def test_a_ramp_removes_only_where_its_tip_has_got_there() -> None:
    down = (LINE, (0, 0, 0.0), (100, 0, -4.0), None, 0.0, False)
    back = (LINE, (100, 0, -2.0), (0, 0, -2.0), None, 0.0, False)
    lift = (RAPID, (100, 0, -4.0), (100, 0, -2.0), None, 0.0, False)
    path = PathEngagement(moves_of([down, lift, back]), wide_stock(), R)
    # The ramp passes -2 in its middle: before that it has removed nothing at this height.
    found = np.degrees(path.at([2, 2, 2], [30.0, 50.0, 70.0]).arc)
    assert found.tolist() == pytest.approx([0.0, 180.0, 180.0], abs=1e-6)
    assert path.at([0], [0.0]).arc[0] == 0.0


@given(st.integers(0, 10_000), st.booleans(), st.booleans())
@settings(max_examples=25, deadline=None)
def test_random_paths_against_distances(seed: int, depths: bool, left: bool) -> None:
    rng = np.random.default_rng(seed)
    radius = rng.uniform(0.5, 6.0)
    moves = random_moves(rng, 10, depths)
    path = PathEngagement(moves, HOLED, radius, left)
    fed = fed_length(moves).move
    if not len(fed):
        return
    move = rng.choice(fed, 6)
    along = rng.uniform(0.0, 1.0, 6) * moves.length_mm[move]
    along[0], along[1] = 0.0, moves.length_mm[move[1]]
    found, air = path.at(move, along), places_on(moves, move, along).air
    for i in range(6):
        phi = cells(9_000)
        cuts = free_by_distance(moves, path.edge.inside, radius, left, int(move[i]), float(along[i]), phi)
        # Cells of 0.02 degrees, two to each interval.
        ends = 2 * (found.first[i + 1] - found.first[i]) + 1
        assert degrees_off(found, i, phi, cuts & ~air[i]) <= 0.02 * ends


def test_random_paths_against_polygons() -> None:
    """The same by areas of shapely: the stock less all discs of the path so far, drawn finely."""
    from shapely import LineString, Point, Polygon, contains_xy

    from core.path.levels import stock_polygon

    rng, worst = np.random.default_rng(7), 0.0
    for _ in range(6):
        radius, points = rng.uniform(1.0, 5.0), rng.uniform(0.0, 20.0, (7, 2))
        path = PathEngagement(chain(points), HOLED, radius)
        along = float(rng.uniform(0.2, 0.8) * path.moves.length_mm[-1])
        place = places_on(path.moves, [5], [along])
        done = LineString([*points[:6], place.place[0]]).buffer(radius, 4096)
        left: Any = stock_polygon(HOLED, 1e-7).difference(done.difference(Point(place.place[0]).buffer(1e-9)))
        assert isinstance(left, Polygon) or left.geom_type == "MultiPolygon"
        phi = cells(36_000)
        turned = place.heading[0] + np.pi / 2 - phi
        # A hair further out, because the swept area's own edge is the circle.
        tip = place.place[0] + radius * (1.0 + 1e-7) * np.stack([np.cos(turned), np.sin(turned)], 1)
        cuts = contains_xy(left, tip[:, 0], tip[:, 1])
        worst = max(worst, degrees_off(path.at([5], [along]), 0, phi, cuts))
    assert worst < 0.02


@given(st.integers(0, 10_000))
@settings(max_examples=10, deadline=None)
def test_a_left_hand_cutter_is_the_mirror_image(seed: int) -> None:
    rng = np.random.default_rng(seed)
    moves = random_moves(rng, 8, True)
    flip = np.array([-1.0, 1.0, 1.0])
    mirrored = Moves(
        moves.kind,
        moves.start_mm * flip,
        moves.end_mm * flip,
        moves.centre_mm * flip[:2],
        -moves.sweep_rad,
        moves.feed_mm_min,
        moves.speed_rpm,
        moves.line,
        moves.clear,
    )
    loops = tuple(Loop(lo.points_mm * flip[:2], -lo.bulge, lo.hole, lo.inside) for lo in HOLED.loops)
    fed = fed_length(moves)
    if not len(fed.move):
        return
    move, along = fed.on(np.linspace(0.0, fed.length, 40))
    one = PathEngagement(moves, HOLED, 3.0).at(move, along)
    two = PathEngagement(mirrored, Stock(loops), 3.0, left=True).at(move, along)
    assert one.arc == pytest.approx(two.arc, abs=2e-4)
    assert one.width(3.0, 0.0, np.pi / 2) == pytest.approx(two.width(3.0, 0.0, np.pi / 2), abs=1e-3)


def test_area_is_the_sum_of_width_along_the_path() -> None:
    moves, stock = pocket(250.0, 4.0, 3.0, R)
    for one in (moves, in_short_moves(moves, 0.1)):
        fed = fed_length(one)
        step = fed.length / 8_000
        width = PathEngagement(one, stock, R).at(*fed.on((np.arange(8_000) + 0.5) * step)).width(R)
        removed = levels(one, stock, R)[0].removed
        # The path begins with the cutter in the stock: its disc is gone before anything is fed.
        assert width.sum() * step + np.pi * R * R == pytest.approx(removed, rel=2e-4)


def test_good_to_a_hundredth_of_a_degree_after_ten_thousand_moves() -> None:
    turn = np.zeros(12_001)
    pitch = 4.0 / (2 * np.pi)
    for i in range(12_000):
        turn[i + 1] = turn[i] + 0.1 / math.hypot(pitch * turn[i] + 0.5, pitch)
    rho = pitch * turn + 0.5
    moves = chain(np.stack([rho * np.cos(turn), rho * np.sin(turn)], 1))
    path = PathEngagement(moves, wide_stock(), R)
    move = np.array([500, 4_000, 9_000, 11_000, 11_999])
    along = moves.length_mm[move] * np.array([0.0, 0.3, 1.0, 0.5, 0.9])
    found, places = path.at(move, along), places_on(moves, move, along)
    for i in range(len(move)):
        # Only moves within reach of the circle, for the slow reference's sake; the last is the place's own.
        off = moves.start_mm[: move[i] + 1, :2] - places.place[i]
        near = np.flatnonzero(np.hypot(off[:, 0], off[:, 1]) < 2.0 * R + 1.0)
        part = Moves(*(getattr(moves, name)[near] for name in Moves.__dataclass_fields__))
        ends = slice(found.first[i], found.first[i + 1])
        entry, leave, hair = found.entry[ends], found.exit[ends], np.radians(0.01)
        within = np.concatenate([entry + hair, leave - hair, 0.5 * (entry + leave)])
        without = np.concatenate([entry - hair, leave + hair])
        without = without[(without > 0.0) & (without < np.pi)]
        for phi, wanted in ((within, True), (without, False)):
            cuts = free_by_distance(part, everywhere, R, False, len(near) - 1, float(along[i]), phi)
            assert (cuts == wanted).all()
        phi = cells(720)
        cuts = free_by_distance(part, everywhere, R, False, len(near) - 1, float(along[i]), phi)
        assert degrees_off(found, i, phi, cuts) <= 0.25 * 2 * len(entry)


def test_the_same_path_as_short_moves_is_as_engaged() -> None:
    """Short straight moves are joined or bundled: neither may show."""
    moves, stock = pocket(160.0, 4.0, 3.0, R)
    fine = in_short_moves(moves, 0.02)
    s = np.linspace(20.0, 150.0, 60)
    one = PathEngagement(moves, stock, R).at(*fed_length(moves).on(s))
    two = PathEngagement(fine, stock, R).at(*fed_length(fine).on(s))
    assert np.abs(np.sort(one.width(R) - two.width(R))[5:-5]).max() < 0.02


def test_the_plain_way_of_the_bench_sees_the_same_arcs() -> None:
    """What the benchmark compares with does the same job, if not as exactly."""
    from shapely import Polygon

    from tests.bench.path import all_places, plain_step

    moves, stock = pocket(60.0, 4.0, 3.0, R)
    move, along = all_places(moves, 600)
    places = places_on(moves, move, along)
    exact = np.degrees(PathEngagement(moves, stock, R).at(move, along).arc)
    remaining, arcs = Polygon(stock.loops[0].points_mm), []
    for k in range(600):
        remaining, found = plain_step(remaining, places.place[k], float(places.heading[k]))
        arcs.append(found)
    # Its discs are polygons and its circle is of chords: where a cut grazes, degrees.
    assert np.median(np.abs(exact - arcs)) < 3.0
    assert np.abs(exact - arcs)[5:].max() < 25.0
