"""Refined peaks and quadrature rules, against closed answers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.maths.gauss import gauss, gauss_crowded, gauss_panels, legendre
from core.maths.peaks import crown, crown_of_row, greatest_between, refined_peaks

shares = st.floats(0.0, 1.0)


@given(st.lists(shares, min_size=1, max_size=6), st.sampled_from(("smooth", "corner")))
def test_peaks_of_many_curves_with_or_without_a_corner(tops: list[float], kind: str) -> None:
    at = np.array(tops)[:, None]

    def curves(x: np.ndarray) -> np.ndarray:
        return np.asarray(2.0 - np.abs(x - at) if kind == "corner" else 1.0 + np.cos(x - at))

    places = np.linspace(0.0, 1.0, 12)
    found, height = refined_peaks(curves, places, curves(np.broadcast_to(places, (len(tops), 12))), 6)
    assert found == pytest.approx(at[:, 0], abs=1e-7)
    assert height == pytest.approx(np.full(len(tops), 2.0), abs=1e-7 if kind == "corner" else 1e-14)


@given(st.floats(-0.99, 0.99), st.floats(0.1, 10.0), st.floats(-5.0, 5.0))
def test_the_crown_of_a_parabola_is_exact(at: float, bend: float, top: float) -> None:
    row = [top - bend * (x - at) ** 2 for x in (-1.0, 0.0, 1.0)]
    best = int(np.argmax(row))
    assert float(crown(*(np.array(v) for v in row))) == pytest.approx(max(top, row[1]), abs=1e-12 + 1e-12 * abs(top))
    assert crown_of_row(row, best, 2) == pytest.approx(top, abs=1e-11)
    assert crown_of_row([-v for v in row], best, 2, -1.0) == pytest.approx(top, abs=1e-11)


def test_no_crown_beyond_the_samples_or_where_it_is_hollow() -> None:
    assert crown_of_row([0.0, 1.0, 2.0 - 1e-3], 2, 2) == 2.0 - 1e-3
    assert crown_of_row([1.0, 0.0, 0.5], 0, 2) == 1.0
    assert float(crown(np.array(1.0), np.array(0.0), np.array(0.5))) == 0.0


def test_the_greatest_between_corners_is_found_on_either_side_of_a_jump() -> None:
    def curves(x: np.ndarray) -> np.ndarray:
        return np.stack([np.where(x < 0.4, x, 0.1), np.sin(3.0 * x)])

    top = greatest_between(curves, np.array([0.0, 0.4, 1.0]), 1e-12)
    assert top == pytest.approx(np.array([0.4, 1.0]), abs=1e-8)


@pytest.mark.parametrize("count", [1, 5, 16, 24])
def test_rules_are_exact_for_polynomials_shared_and_read_only(count: int) -> None:
    for nodes, weights in (gauss(count), gauss_panels(count, 7), gauss_crowded(max(count, 3))):
        assert (np.diff(nodes) > 0.0).all() and nodes[0] > 0.0 and nodes[-1] < 1.0
        for power in range(min(2 * count, 12)) if nodes is not gauss_crowded(max(count, 3))[0] else (0,):
            assert weights @ nodes**power == pytest.approx(1.0 / (power + 1), rel=1e-13)
        with pytest.raises(ValueError, match="read-only"):
            nodes[0] = 0.0
        with pytest.raises(ValueError, match="read-only"):
            weights *= 2.0
    assert gauss(count)[0] is gauss(count)[0] and legendre(count)[1].sum() == pytest.approx(2.0)


def test_crowded_nodes_are_far_better_for_a_broken_power() -> None:
    for power in (0.4, 0.74, 0.86):
        (s, w), (t, v) = gauss_crowded(14), gauss(14)
        exact = 1.0 / (power + 1.0)
        assert abs(w @ s**power - exact) < 1e-6 and abs(w @ s**power - exact) < 0.05 * abs(v @ t**power - exact)
