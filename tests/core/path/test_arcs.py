"""Arcs: by centre, by radius, whole turns; rounded ends; and random programs that come back as they were."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from core.path.moves import ARC, LINE, RAPID, Moves
from core.path.program import read_program
from core.path.sides import between

HEAD = "G21 G90 G0 X0 Y0 Z5\nS1000 F100 G1 Z-1\n"


def arc(text: str) -> tuple[float, float, float]:
    """Centre and sweep in degrees of the last move."""
    moves = read_program((HEAD + text).encode(), "a.nc").moves
    assert moves.kind[-1] == ARC
    return (*moves.centre_mm[-1].tolist(), degrees(moves.sweep_rad[-1]))


@pytest.mark.parametrize(
    ("text", "centre", "sweep"),
    [
        ("G3 X10 Y10 I0 J10", (0, 10), 90),
        ("G2 X10 Y10 I0 J10", (0, 10), -270),
        ("G2 X10 Y10 I10 J0", (10, 0), -90),
        ("G3 X10 Y10 I10", (10, 0), 270),
        ("G3 X10 Y10 R10", (0, 10), 90),
        ("G3 X10 Y10 R-10", (10, 0), 270),
        ("G2 X10 Y10 R10", (10, 0), -90),
        ("G2 X10 Y10 R-10", (0, 10), -270),
        ("G3 X10 R5", (5, 0), 180),
        ("G2 X10 R5", (5, 0), -180),
        ("G2 X10 R-5", (5, 0), -180),
        ("G3 I5", (5, 0), 360),
        ("G2 I3 J4", (3, 4), -360),
        ("G2 X0 Y0 I3 J4", (3, 4), -360),
        ("G3 J-2", (0, -2), 360),
        ("G91 G3 X10 Y10 J10", (0, 10), 90),
        ("G3 X10 R4.9995", (5, 0), 180),
    ],
)
def test_senses_and_sides(text: str, centre: tuple[float, float], sweep: float) -> None:
    assert arc(text) == pytest.approx((*centre, sweep), abs=1e-9)


def test_i_and_j_count_from_the_start_in_absolute_too() -> None:
    assert arc("X20 Y5\nG90 G3 X30 Y15 J10") == pytest.approx((20, 15, 90))


def test_a_helix_keeps_its_heights() -> None:
    moves = read_program((HEAD + "G3 I5 Z-3\n").encode(), "a.nc").moves
    assert moves.start_mm[-1].tolist() == [0, 0, -1] and moves.end_mm[-1].tolist() == [0, 0, -3]
    assert moves.length_mm[-1] == pytest.approx(10 * pi) and not moves.clear[-1]


def test_an_arc_before_any_place_is_passed_over_with_a_warning() -> None:
    program = read_program(b"G21 G2 X5 Y5 I5 F100\nG1 X9\n", "a.nc")
    assert program.moves.kind.tolist() == [LINE] and program.moves.start_mm[0, :2].tolist() == [5, 5]
    assert program.warnings[0][0] == 1 and "no start" in program.warnings[0][1]


def test_rounded_ends_are_kept_and_the_centre_moves_the_least() -> None:
    moves = read_program((HEAD + "G3 X10.004 Y10 I0 J10\n").encode(), "a.nc").moves
    (x, y), end = moves.centre_mm[-1], moves.end_mm[-1]
    assert end[:2].tolist() == [10.004, 10.0]
    assert hypot(x, y) == pytest.approx(hypot(end[0] - x, end[1] - y), rel=1e-14)
    # Of all places equally far from both ends none is nearer to the centre as written.
    middle, way = np.array([5.002, 5.0]), np.array([-10.0, 10.004]) / hypot(10, 10.004)
    line = middle + np.linspace(0, 20, 20001)[:, None] * way
    assert hypot(x, y - 10) <= np.hypot(line[:, 0], line[:, 1] - 10).min() + 1e-12


def test_a_rounded_arc_that_comes_out_bent_is_warned_of() -> None:
    # 350 degrees of a circle of 20 mm: 0.006 mm off at its end moves the far side by more than that.
    end = 20.006 * sin(radians(350)), 20 - 20.006 * cos(radians(350))
    program = read_program(f"{HEAD}G3 X{end[0]:.6f} Y{end[1]:.6f} J20\n".encode(), "a.nc")
    assert program.moves.sweep_rad[-1] == pytest.approx(radians(350), abs=0.01)
    assert program.warnings[0][0] == 3 and "fit no circle" in program.warnings[0][1]


_SIZE = st.floats(0.05, 500.0)
_ANGLE = st.floats(-pi, pi)


@given(_SIZE, _ANGLE, st.floats(0.02, 2 * pi - 0.02), st.booleans())
def test_centre_and_radius_tell_the_same_arc(radius: float, first: float, sweep: float, ccw: bool) -> None:
    # At half a turn the sign of R flips and rounding of the ends decides how far the centre lies off the chord.
    assume(abs(sweep - pi) > 1e-3)
    cx, cy = -radius * cos(first), -radius * sin(first)
    last = first + (sweep if ccw else -sweep)
    end = f"X{cx + radius * cos(last):.9f} Y{cy + radius * sin(last):.9f}"
    word = "G3" if ccw else "G2"
    by_centre = arc(f"{word} {end} I{cx:.9f} J{cy:.9f}")
    by_radius = arc(f"{word} {end} R{radius if sweep < pi else -radius:.9f}")
    assert by_centre == pytest.approx((cx, cy, degrees(sweep if ccw else -sweep)), abs=1e-4)
    assert by_radius == pytest.approx(by_centre, abs=2e-3)


@given(_SIZE, _ANGLE, st.floats(0.02, 2 * pi), st.booleans(), st.floats(-0.009, 0.009))
@example(50.0, 0.0, 0.02, True, 0.009)
def test_ends_are_always_kept_and_as_far_from_the_centre(
    radius: float, first: float, sweep: float, ccw: bool, off: float
) -> None:
    cx, cy = -radius * cos(first), -radius * sin(first)
    last = first + (sweep if ccw else -sweep)
    x, y = round(cx + (radius + off) * cos(last), 9), round(cy + (radius + off) * sin(last), 9)
    text = f"{HEAD}{'G3' if ccw else 'G2'} X{x:.9f} Y{y:.9f} I{cx:.9f} J{cy:.9f}\n"
    try:
        moves = read_program(text.encode(), "a.nc").moves
    except Exception as error:
        assert "no circle near it" in str(error) or radius <= 0.06
        return
    (sx, sy, _), (ex, ey, _), (mx, my) = moves.start_mm[-1], moves.end_mm[-1], moves.centre_mm[-1]
    assert (sx, sy) == (0, 0) and hypot(ex - x, ey - y) < 2e-6
    assert hypot(mx - sx, my - sy) == pytest.approx(hypot(mx - ex, my - ey), rel=1e-9, abs=1e-9)
    assert (moves.sweep_rad[-1] > 0) == ccw and abs(moves.sweep_rad[-1]) <= 2 * pi


@given(st.floats(-100, 100), st.floats(-100, 100), st.floats(-50, 50))
@example(10.0, 0.0, 1.0)
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_sweep(x: float, y: float, bulge: float) -> None:
    assume(hypot(x, y) > 0.01 and abs(bulge) > 1e-3)
    side = between(0.0, 0.0, x, y, bulge)
    start, end = atan2(-side.cy, -side.cx), atan2(y - side.cy, x - side.cx)
    assert hypot(side.cx, side.cy) == pytest.approx(hypot(x - side.cx, y - side.cy))
    assert cos(end - start - side.sweep) == pytest.approx(1.0)
    rise = bulge * hypot(x, y) / 2.0  # the middle of the arc lies so far to the right of the chord
    radius = hypot(side.cx, side.cy)
    assert radius - copysign_of(bulge) * sqrt(max(0.0, radius**2 - (x * x + y * y) / 4)) == pytest.approx(
        abs(rise), rel=1e-6, abs=1e-6
    )


def copysign_of(bulge: float) -> float:
    """1 where the arc is up to half a turn, -1 where it is longer."""
    return 1.0 if abs(bulge) <= 1.0 else -1.0


_NUMBER = st.integers(-99_999, 99_999).map(lambda n: n / 1000.0)


@st.composite
def programs(draw: st.DrawFn) -> tuple[str, list[tuple[float, ...]]]:
    """A program and its moves: kind, end, centre (0, 0 of a line), F, S, line."""
    lines = ["G21 G90 G0 X0 Y0 Z0"]
    moves: list[tuple[float, ...]] = []
    x = y = z = 0.0
    feed, speed = 100.0, 1000.0
    lines.append("F100 S1000")
    for _ in range(draw(st.integers(1, 12))):
        kind = draw(st.sampled_from([RAPID, LINE, ARC]))
        words = []
        if draw(st.booleans()):
            feed = draw(st.integers(1, 9_999)) / 10.0
            words.append(f"F{feed}")
        if draw(st.booleans()):
            speed = float(draw(st.integers(1, 40_000)))
            words.append(f"S{speed:.0f}")
        if kind == ARC:
            i, j = draw(_NUMBER), draw(_NUMBER)
            assume(hypot(i, j) > 0.01)
            ccw = draw(st.booleans())
            words += [f"G{3 if ccw else 2}", f"I{i}", f"J{j}"]
            moves.append((kind, x, y, z, x + i, y + j, 2 * pi if ccw else -2 * pi, feed, speed))
        else:
            x1, y1, z1 = draw(_NUMBER), draw(_NUMBER), draw(_NUMBER)
            assume((x, y, z) != (x1, y1, z1))
            x, y, z = x1, y1, z1
            words += [f"G{kind}", f"X{x}", f"Y{y}", f"Z{z}"]
            moves.append((kind, x, y, z, 0.0, 0.0, 0.0, feed, speed))
        lines.append(" ".join(draw(st.permutations(words))))
        if draw(st.booleans()):
            lines.append(draw(st.sampled_from(["", "(c)", "; c", "N7", "G4 P1", "M8"])))
        moves[-1] = (*moves[-1], float(len(lines) - (lines[-1] in ("", "(c)", "; c", "N7", "G4 P1", "M8"))))
    return "\n".join(lines), moves


@given(programs())
def test_random_programs_come_back_as_they_were_made(made: tuple[str, list[tuple[float, ...]]]) -> None:
    text, wanted = made
    moves: Moves = read_program(text.encode(), "a.nc").moves
    got = np.column_stack(
        [
            moves.kind,
            moves.end_mm,
            np.nan_to_num(moves.centre_mm),
            moves.sweep_rad,
            moves.feed_mm_min,
            moves.speed_rpm,
            moves.line,
        ]
    )
    np.testing.assert_allclose(got, np.array(wanted), rtol=0, atol=1e-9)
    np.testing.assert_array_equal(moves.start_mm[1:], moves.end_mm[:-1])
