"""Root finding in a bracket, against roots that are known and against scipy."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.maths.roots import bisected, close_to_zero, last_good, newton_in_bracket

roots = st.floats(0.001, 0.999)
powers = st.sampled_from((1.0, 3.0, 0.2, 9.0))


@given(roots, powers)
def test_bisection_finds_a_root_to_the_last_digits(root: float, power: float) -> None:
    found = bisected(lambda x: math.copysign(abs(root - x) ** power, root - x), 0.0, 1.0)
    assert found == pytest.approx(root, abs=4e-16)


@given(roots, st.floats(-1.0, 2.0), st.floats(0.1, 8.0))
def test_newton_stays_in_its_bracket_and_finds_the_root(root: float, start: float, steep: float) -> None:
    asked = []

    def lead(x: float) -> tuple[float, float]:
        asked.append(x)
        # Flat far from the root: Newton's own step from there leaves the bracket.
        return math.atan(steep**3 * (x - root)), steep**3 / (1.0 + (steep**3 * (x - root)) ** 2)

    assert newton_in_bracket(lead, start, 0.0, 1.0, 1e-12) == pytest.approx(root, abs=1e-10)
    assert all(0.0 <= x <= 1.0 for x in asked) and len(asked) <= 60


def test_newton_without_a_slope_or_a_finite_value_is_halving() -> None:
    found = newton_in_bracket(lambda x: (-1.0 if x < 0.3 else math.inf, 0.0), 0.9, 0.0, 1.0, 1e-12)
    assert found == pytest.approx(0.3, abs=1e-11)


@given(roots, st.floats(0.1, 8.0), st.floats(1e-9, 1e-2))
def test_the_search_ends_as_soon_as_the_value_is_near_enough(root: float, steep: float, near: float) -> None:
    asked = []

    def curve(x: float) -> float:
        asked.append(x)
        return math.exp(-steep * x) - math.exp(-steep * root)

    ends = (curve(0.0), curve(1.0))
    if min(abs(v) for v in ends) <= near:
        return
    asked.clear()
    found = close_to_zero(curve, 0.0, ends[0], 1.0, ends[1], near, 60)
    assert abs(curve(found)) <= near and all(abs(curve(x)) > near for x in asked[:-2])
    asked.clear()
    close_to_zero(curve, 0.0, ends[0], 1.0, ends[1], 0.0, 3)
    assert len(asked) <= 3
    assert close_to_zero(lambda x: math.nan, 0.0, 1.0, 1.0, -1.0, near, 9) == 0.5


@given(roots, st.booleans(), st.sampled_from(("smooth", "jump", "endless")))
def test_the_last_good_value_is_good_and_near_the_first_bad_one(root: float, up: bool, kind: str) -> None:
    asked = []

    def over(x: float) -> float:
        asked.append(x)
        past = (x - root) if up else (root - x)
        if kind == "smooth":
            return past + 0.3 * past * past
        return past if past <= 0.0 else 1.0 if kind == "jump" else math.inf

    good, bad = (0.0, 1.0) if up else (1.0, 0.0)
    found = last_good(good, bad, over, 1e-6)
    assert over(found) <= 0.0
    assert abs(found - root) <= 1.0001e-6 * max(found, root)
    # Twice the halvings of plain bisection at the most; where it is smooth no more than bisection.
    assert len(asked) <= (20 if kind == "smooth" else 2 * math.log2(1.0 / (1e-6 * root)) + 6)
