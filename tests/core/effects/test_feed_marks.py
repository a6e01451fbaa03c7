"""Feed marks: the figures of the notes, all true paths drawn by brute force, the border of one mark, limits."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from core.effects.feed_marks import FeedMarks, feed_marks, marked_wall
from core.effects.wall_marks import wall_profile
from core.report.report import report
from core.report.text_report import text_report
from core.report.wall_rows import wall_rows
from core.setup.setup import Setup
from tests.usual_setups import boss


def marks(setup: Setup) -> FeedMarks:
    found = feed_marks(setup)
    assert found is not None
    return found


COARSE: dict[str, Any] = {"cutter__diameter_mm": 10.0, "cutter__teeth": 3, "cut__feed_per_tooth_mm": 0.5}
THROWN: dict[str, Any] = {"cutter__runout_mm": 0.01, "cutter__runout_angle_deg": 35.0}


@pytest.mark.parametrize(
    ("values", "up", "down", "digit", "teeth"),
    [({}, 0.07405, 0.07596, 5e-6, 4), (COARSE, 5.696, 6.898, 5e-4, 3), (THROWN, 1.183, 1.214, 5e-4, 1)],
)
def test_the_figures_of_the_notes(values: dict[str, Any], up: float, down: float, digit: float, teeth: int) -> None:
    """Own figures, recomputed independently: exact paths of the opening setup, a coarse feed, a thrown cutter."""
    for direction, height in (("conventional", up), ("climb", down)):
        wall = report(boss(direction, **values))["wall"]
        assert wall["feed_mark_um"] == pytest.approx(height, abs=digit)
        assert wall["marks_per_turn"] == teeth


@pytest.mark.parametrize(
    ("values", "parabola", "martellotti", "simple"),
    [({}, (0.07405, 0.07596), (0.07406, 0.07597), 0.07500), (COARSE, (5.693, 6.892), (5.705, 6.910), 6.250)],
)
def test_the_approximations_of_the_notes(
    values: dict[str, Any], parabola: Any, martellotti: Any, simple: float
) -> None:
    """Martellotti 1941, 1945 (from memory): fz^2 / (8 (R +- fz z / pi)); the exact figure lies near all of them."""
    setup = boss(**values)
    r, z, feed = setup.cutter.diameter_mm / 2, setup.cutter.teeth, setup.cut.feed_per_tooth_mm
    for k, (direction, side) in enumerate((("conventional", 1.0), ("climb", -1.0))):
        c = side * feed * z / (2 * math.pi)
        by_parabola = 1000 * feed**2 * r / (8 * (r + c) ** 2)
        by_martellotti = 1000 * feed**2 / (8 * (r + 2 * c))
        digit = 5e-6 if simple < 1 else 5e-4
        assert (by_parabola, by_martellotti) == pytest.approx((parabola[k], martellotti[k]), abs=digit)
        assert 1000 * marks(boss(direction, **values)).height == pytest.approx(by_parabola, rel=2e-3)
        assert 1000 * marks(boss(direction, **values)).height == pytest.approx(by_martellotti, rel=2e-3)
    assert 1000 * feed**2 / (8 * r) == pytest.approx(simple, abs=5e-6)


def drawn(setup: Setup) -> tuple[float, set[int]]:
    """Peak to valley and the teeth seen on the wall: every tip's path over three turns, largest reach kept.

    Polylines of 60000 pieces each; the deepest valleys are looked at again three thousand times finer.
    """
    c, cut = setup.cutter, setup.cut
    side = 1.0 if cut.direction == "conventional" else -1.0
    z, feed = c.teeth, cut.feed_per_tooth_mm
    lam, each = math.radians(c.runout_angle_deg), feed * z / (2 * math.pi)
    radii = [c.diameter_mm / 2 + c.runout_mm * math.cos(lam + 2 * math.pi * j / z) for j in range(z)]
    widest = min(1.2, 4.0 * feed * z / min(radii))
    u = np.linspace(-widest, widest, 60_001)

    def reach(y: np.ndarray) -> np.ndarray:
        rows = []
        for j in range(z):
            path_y, path_x = radii[j] * np.sin(u) + side * each * u + j * feed, radii[j] * np.cos(u)
            assert np.all(np.diff(path_y) > 0)
            rows.append(np.max([np.interp(y, path_y + k * z * feed, path_x, 0.0, 0.0) for k in (-1, 0, 1)], axis=0))
        return np.array(rows)

    y = np.linspace(0.0, z * feed, 6_001)
    wall = reach(y)
    top = wall.max(axis=0)
    # The raster misses the bottom of a narrow valley: every one that could be the deepest is looked at again.
    slack = 0.1 * (max(radii) - float(top.min()))
    lows = 1 + np.flatnonzero((top[1:-1] <= top[:-2]) & (top[1:-1] <= top[2:]) & (top[1:-1] <= top.min() + slack))
    lowest = {int(top.argmin()), *(int(i) for i in lows)}
    fine = np.concatenate([y[i] + np.linspace(-1.0, 1.0, 6_001) * z * feed / 6_000 for i in sorted(lowest)])
    return max(radii) - float(reach(fine).max(axis=0).min()), {int(j) for j in wall.argmax(axis=0)}


DRAWN = [
    boss(direction, **values)
    for direction in ("climb", "conventional")
    for values in (
        {},
        COARSE,
        THROWN,
        {"cutter__runout_mm": 0.0004, "cutter__runout_angle_deg": 20.0},
        {"cutter__runout_mm": 0.0007, "cutter__runout_angle_deg": 100.0},
        {"cutter__runout_mm": 0.003, "cutter__runout_angle_deg": 180.0, "cutter__teeth": 7},
        COARSE | {"cutter__runout_mm": 0.02, "cutter__runout_angle_deg": -77.0},
        {"cutter__runout_mm": 0.001, "cutter__runout_angle_deg": 45.0, "cutter__teeth": 2},
        {"cutter__runout_mm": 0.05, "cutter__teeth": 1, "cut__feed_per_tooth_mm": 0.3},
    )
]


@pytest.mark.parametrize("setup", DRAWN, ids=range(len(DRAWN)))
def test_every_tooths_true_path_drawn(setup: Setup) -> None:
    height, teeth = drawn(setup)
    found = marks(setup)
    assert found.height == pytest.approx(height, rel=1e-5)
    assert found.teeth == len(teeth)


@settings(max_examples=25)
@given(
    st.sampled_from(("climb", "conventional")),
    st.integers(1, 9),
    st.floats(0.01, 0.3),
    st.floats(0.0, 3.0),
    st.floats(-180.0, 180.0),
)
def test_any_runout_against_drawn_paths(direction: str, teeth: int, feed: float, share: float, angle: float) -> None:
    """Runout as a part of the height at which only one tooth is left to mark the wall."""
    border = (teeth**2) * feed**2 / 12.0
    setup = boss(
        direction,
        cutter__teeth=teeth,
        cut__feed_per_tooth_mm=feed,
        cutter__runout_mm=share * border,
        cutter__runout_angle_deg=angle,
    )
    height, seen = drawn(setup)
    found = marks(setup)
    assert found.height == pytest.approx(height, rel=1e-5)
    # A mark narrower than the drawing's raster is not seen there.
    assert len(seen) <= found.teeth <= len(seen) + 2
    profile = marked_wall(setup, 2000)
    assert profile is not None and found.teeth == len(set(profile.tooth.tolist()))


@pytest.mark.parametrize("teeth", [2, 3, 4, 6])
@pytest.mark.parametrize(("direction", "side"), [("climb", -1.0), ("conventional", 1.0)])
def test_the_runout_at_which_only_one_tooth_marks(direction: str, side: float, teeth: int) -> None:
    """e (1 - cos(2 pi/z)) = (z-1) fz^2 / (2R) with (R +- rf)^2 / R in place of R; z^2 times as high then."""
    feed, z = 0.06, teeth
    flat = (6.0 + side * feed * z / (2 * math.pi)) ** 2 / 6.0
    border = (z - 1) * feed**2 / (2 * flat) / (1 - math.cos(2 * math.pi / z))
    if teeth == 4:
        assert (z - 1) * feed**2 / 12.0 == pytest.approx(0.0009, rel=1e-12)  # 0.9 micrometres in the notes
    below = marks(boss(direction, cutter__teeth=z, cutter__runout_mm=0.99 * border))
    above = marks(boss(direction, cutter__teeth=z, cutter__runout_mm=1.01 * border))
    assert below.teeth > 1 and above.teeth == 1
    equal = marks(boss(direction, cutter__teeth=z)).height
    assert above.height == pytest.approx(z**2 * equal, rel=2e-3)


def test_up_is_always_the_finer() -> None:
    for values in ({}, COARSE, THROWN, {"cutter__teeth": 1}):
        assert marks(boss("conventional", **values)).height < marks(boss("climb", **values)).height


@settings(max_examples=30)
@given(st.floats(1e-9, 1e-7), st.floats(-180.0, 180.0), st.integers(2, 12))
def test_hardly_any_runout_is_none(runout: float, angle: float, teeth: int) -> None:
    for direction in ("climb", "conventional"):
        equal, bent = (
            marks(boss(direction, cutter__teeth=teeth, cutter__runout_mm=e, cutter__runout_angle_deg=angle))
            for e in (0.0, runout)
        )
        assert bent.height == pytest.approx(equal.height, abs=4 * runout)
        assert bent.teeth == equal.teeth == teeth


def test_turning_the_runout_by_a_tooth_changes_nothing() -> None:
    for direction in ("climb", "conventional"):
        a, b = (
            marks(boss(direction, cutter__runout_mm=0.0005, cutter__runout_angle_deg=angle))
            for angle in (17.0, 107.0)
        )
        assert a.height == pytest.approx(b.height, rel=1e-9) and a.teeth == b.teeth


def test_straddling_has_no_wall_and_a_left_hand_cutter_the_same() -> None:
    wall = report(boss("straddling"))["wall"]
    assert wall["feed_mark_um"] is None and wall["marks_per_turn"] is None
    assert marked_wall(boss("straddling")) is None
    assert marks(boss(**THROWN)) == marks(boss(cutter__hand="left", **THROWN))


def test_a_feed_that_leaves_stock_between_its_marks_has_none() -> None:
    """Climb, 5 mm a tooth of 12: R sin u - c u never comes to half a feed, the paths do not meet at the wall."""
    feed, c = 5.0, 5.0 * 4 / (2 * math.pi)
    u = math.acos(c / 6.0)
    assert 6.0 * math.sin(u) - c * u < feed / 2
    for runout in (0.0, 0.01):
        wild = boss(cut__feed_per_tooth_mm=feed, cutter__runout_mm=runout)
        assert feed_marks(wild) is None and marked_wall(wild) is None
        assert feed_marks(wild.opposite) is not None
    # Where the axis outruns the tips there is no peak at all.
    assert feed_marks(boss(cut__feed_per_tooth_mm=6.0, cutter__teeth=100, cutter__runout_mm=0.1)) is None


@pytest.mark.parametrize("setup", DRAWN, ids=range(len(DRAWN)))
def test_the_profile_is_the_wall(setup: Setup) -> None:
    profile, found = marked_wall(setup), marks(setup)
    assert profile is not None
    turn = setup.cutter.teeth * setup.cut.feed_per_tooth_mm
    assert profile.y[0] == 0.0 and profile.y[-1] == pytest.approx(turn, rel=1e-14) and np.all(np.diff(profile.y) > 0)
    assert profile.height.shape == profile.tooth.shape == profile.y.shape
    assert profile.height.max() == pytest.approx(found.height, rel=1e-6)
    assert profile.height.min() == pytest.approx(0.0, abs=1e-15)
    assert profile.height[0] == pytest.approx(profile.height[-1], rel=1e-6, abs=1e-12)
    assert len(set(profile.tooth.tolist())) == found.teeth
    # Each place anew from the tooth that is said to have made it, by a scipy root.
    side = 1.0 if setup.cut.direction == "conventional" else -1.0
    c, lam = side * turn / (2 * math.pi), math.radians(setup.cutter.runout_angle_deg)
    z, e = setup.cutter.teeth, setup.cutter.runout_mm
    longest = max(e * math.cos(lam + 2 * math.pi * j / z) for j in range(z))
    for y, height, tooth in list(zip(profile.y, profile.height, profile.tooth, strict=True))[::13]:
        out = e * math.cos(lam + 2 * math.pi * int(tooth) / z)
        r = setup.cutter.diameter_mm / 2 + out
        off = (y - tooth * setup.cut.feed_per_tooth_mm + turn / 2) % turn - turn / 2
        u = brentq(lambda u: r * math.sin(u) + c * u - off, -1.2, 1.2, xtol=1e-15)  # noqa: B023
        assert height == pytest.approx(longest - out + r * (1 - math.cos(u)), rel=1e-5, abs=1e-13)


def test_the_profile_of_equal_teeth_is_that_of_the_loupe() -> None:
    for direction, side in (("climb", -1), ("conventional", 1)):
        profile = marked_wall(boss(direction))
        assert profile is not None
        assert profile.height == pytest.approx(wall_profile(profile.y, boss(direction), side), rel=1e-9, abs=1e-18)
        middles = (profile.y % 0.06 > 0.0301) | (profile.y % 0.06 < 0.0299)
        assert np.all((profile.tooth == np.floor(profile.y / 0.06 + 0.5).astype(int) % 4)[middles])


def test_the_text_tells_it() -> None:
    rows = dict(wall_rows(boss(**THROWN), report(boss(**THROWN)), "metric"))
    assert rows["feed marks, peak to valley"] == "1.21 µm, left by 1 of 4 teeth"
    assert "deflection, chatter and tearing are left out" in " ".join(text_report(boss()).split())
    assert "feed marks" not in text_report(boss("straddling"))
