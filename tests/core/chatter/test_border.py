"""The border: symmetries, convergence, every smaller depth stable, pockets, no limit, one against many."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.chatter import characteristic, first_crossing, period_matrix
from core.chatter.border import border
from core.chatter.characteristic import stable
from core.chatter.directional import CuttingSlopes
from core.chatter.modes import Modes, modes_of
from core.chatter.semi_discretisation import even_teeth, multipliers
from core.chatter.spectral_map import LARGEST, smallest_zero, spectral_map
from core.chatter.stability import ChatterCut
from core.chatter.tooth_period import tooth_period
from core.chatter.zeroth_order import zeroth_order
from core.setup.setup import Mode
from tests.core.chatter.cuts import SLOPES, arc, chatter_cut, plant

SPEEDS = np.linspace(2600.0, 17000.0, 25)
TWO = modes_of([Mode("x", 810.0, 0.02, 9800.0), Mode("y", 950.0, 0.018, 11000.0)])
STEEL = CuttingSlopes(1800.0, 700.0)
STEEL_BY_POWER = CuttingSlopes(1850.0, 740.0, 0.26, 0.06, 6e-5)


def test_feed_and_normal_swap_with_climb_and_conventional_at_half_immersion() -> None:
    one = chatter_cut("y", "climb half", 3).border(SPEEDS)
    other = chatter_cut("x", "conventional half", 3).border(SPEEDS)
    np.testing.assert_allclose(one.depth_mm, other.depth_mm, rtol=1e-7)
    np.testing.assert_allclose(one.angle, other.angle, atol=1e-6)
    assert np.abs(one.depth_mm / chatter_cut("x", "climb half", 3).border(SPEEDS).depth_mm - 1.0).max() > 0.2


@pytest.mark.parametrize("width", ["half", "tenth"])
def test_two_equal_modes_give_the_same_both_ways(width: str) -> None:
    both = [chatter_cut("xy", f"{way} {width}", 2).border(SPEEDS).depth_mm for way in ("climb", "conventional")]
    np.testing.assert_allclose(both[0], both[1], rtol=1e-6)


def test_a_quarter_turn_of_the_arc_swaps_the_axes() -> None:
    """A quarter turn takes the radius (-cos, sin) to (sin, cos): y for x, and -x for y."""
    m = Modes(np.array([0, 1]), 2 * np.pi * np.array([600.0, 900.0]), np.array([0.02, 0.04]), np.array([5e3, 8e3]))
    turned = Modes(np.array([1, 0]), m.omega, m.damping, m.stiffness)
    one = border(m, STEEL, 0.2, 1.3, 3, SPEEDS, 100.0).depth_mm
    other = border(turned, STEEL, 0.2 + math.pi / 2, 1.3 + math.pi / 2, 3, SPEEDS, 100.0).depth_mm
    np.testing.assert_allclose(one, other, rtol=1e-5)


@pytest.mark.parametrize("slopes", [STEEL, STEEL_BY_POWER], ids=["linear-edge", "power-law"])
@pytest.mark.parametrize(("entry", "leave", "teeth"), [(2.7, math.pi, 4), (0.0, math.pi, 3), (0.4, 2.0, 5)])
def test_shorter_panels_and_more_nodes_change_nothing(
    monkeypatch: pytest.MonkeyPatch, slopes: CuttingSlopes, entry: float, leave: float, teeth: int
) -> None:
    assert TWO is not None
    usual = border(TWO, slopes, entry, leave, teeth, SPEEDS, 120.0).depth_mm
    for name in ("PHASE", "GROWTH", "SPAN"):
        monkeypatch.setattr(period_matrix, name, getattr(period_matrix, name) / 4.0)
    monkeypatch.setattr(characteristic, "SAMPLES", (64, 128))
    np.testing.assert_allclose(border(TWO, slopes, entry, leave, teeth, SPEEDS, 120.0).depth_mm, usual, rtol=1e-4)


def test_fewer_nodes_are_too_few(monkeypatch: pytest.MonkeyPatch) -> None:
    """The convergence test can fail: with three nodes on the same panels the border is elsewhere."""
    usual = chatter_cut("y", "slot", 2).border(SPEEDS).depth_mm
    c, b, s = period_matrix._rule(3)
    for name, value in (("NODES", 3), ("_C", c), ("_B", b), ("_S", s)):
        monkeypatch.setattr(period_matrix, name, value)
    assert np.abs(chatter_cut("y", "slot", 2).border(SPEEDS).depth_mm / usual - 1.0).max() > 0.01


@pytest.mark.parametrize(
    ("axes", "cut", "teeth"),
    [("y", "climb tenth", 2), ("xy", "climb twentieth", 4), ("x", "slot", 3), ("xy", "conventional half", 7)],
)
def test_every_smaller_depth_is_stable_and_just_above_is_not(axes: str, cut: str, teeth: int) -> None:
    c = chatter_cut(axes, cut, teeth)
    found = c.border(SPEEDS)
    for n, depth in zip(SPEEDS, found.depth_mm, strict=True):
        shares = np.concatenate([np.linspace(0.02, 0.98, 25), [0.997, 1.003]])
        radius = c.spectral_map([n], depth * shares).radius[0]
        assert (radius[:-1] < 1.0).all()
        assert radius[-1] > 1.0


def test_small_width_has_flip_and_the_zeroth_order_misses_it_by_far() -> None:
    c = chatter_cut("y", "climb hundredth", 2, 500.0)
    n = np.linspace(4000.0, 30000.0, 60)
    found = c.border(n)
    plain = zeroth_order(c.modes, c.slopes, c.entry, c.leave, 2, n, 500.0).depth_mm
    assert found.flip.any() and not found.flip.all()
    assert (plain / found.depth_mm).max() > 4.0
    # Period doubling: the frequencies are odd multiples of half the tooth passing.
    i = int(np.flatnonzero(found.flip)[0])
    halves = found.chatter_hz(3)[i] / (found.tooth_passing_hz[i] / 2.0)
    np.testing.assert_allclose(np.sort(halves), [1, 1, 3, 3, 5, 5, 7], atol=1e-4)


def test_no_limit_where_the_cut_only_stiffens() -> None:
    """Radial force alone, mode across a thin climb cut: a push outward is answered by a push back."""
    found = border(plant("x"), CuttingSlopes(0.0, 200.0), 3.0, math.pi, 2, [60000.0], 5.0)
    assert np.isinf(found.depth_mm).all() and np.isnan(found.angle).all() and not found.flip.any()
    assert np.isinf(border(plant("x"), CuttingSlopes(0.0, 0.0), 0.0, 3.0, 2, [6000.0], 5.0).depth_mm).all()


def test_deepest_ends_the_search() -> None:
    c = chatter_cut("y", "climb tenth", 2)
    free = c.border(SPEEDS).depth_mm
    held = border(c.modes, c.slopes, c.entry, c.leave, 2, SPEEDS, 2.0).depth_mm
    np.testing.assert_array_equal(np.isinf(held), free > 2.0)
    np.testing.assert_allclose(held[free <= 2.0], free[free <= 2.0], rtol=1e-6)


def test_one_speed_is_as_many() -> None:
    c = chatter_cut("xy", "climb twentieth", 3)
    single = [c.border(n).depth_mm[0] for n in SPEEDS[::6]]
    np.testing.assert_allclose(single, c.border(SPEEDS).depth_mm[::6], rtol=1e-5)


def test_both_forms_of_the_polynomial_are_the_same() -> None:
    assert TWO is not None
    entry, leave = arc("climb half")
    s = period_matrix.structure(TWO, STEEL, tooth_period(entry, leave, 4, STEEL))
    speed, top, x = np.array([300.0, 900.0]), np.array([0.4, 0.8]), np.array([0.4, 0.9])
    fits, lost = characteristic.fitted(s, speed, top)
    assert not len(lost)
    for fit in fits:
        direct = characteristic.Direct(fit.index, fit.top, s, speed[fit.index])
        at = x[fit.index]
        one, other = fit.coefficients(at), direct.coefficients(at)
        # The slopes of the direct form are differences.
        for a, b, nearly in ((one, other, 1e-5), (fit.slopes(at, one), direct.slopes(at, other), 1e-3)):
            length = min(a.shape[1], b.shape[1])
            np.testing.assert_allclose(a[:, :length], b[:, :length], atol=nearly)


def zeros_inside(cut: ChatterCut, rpm: float, depth: float) -> float:
    """Multipliers outside the unit circle by the argument principle, from determinants alone: no polynomial."""
    s = period_matrix.structure(cut.modes, cut.slopes, tooth_period(cut.entry, cut.leave, cut.teeth, cut.slopes))
    speed, nu = np.array([rpm * math.pi / 30.0]), np.exp(1j * np.linspace(0.0, np.pi, 2049))
    panels = period_matrix.panels_needed(s, speed, np.array([2.0 * depth]))[:, 0]
    matrices = np.moveaxis(period_matrix.period_matrices(s, speed, depth * (1.0 - nu)[None], panels)[:, :, 0], -1, 0)
    signs = np.linalg.slogdet(np.eye(s.states) - nu[:, None, None] * matrices)[0]
    turned = np.angle(signs[1:] / signs[:-1])
    assert np.abs(turned).max() < 1.0
    return float(turned.sum() / np.pi)


def test_a_soft_slow_mode_beside_a_fast_one_that_fades_at_once() -> None:
    """The fast modes fade by e^90 to e^180 in a tooth period, and the wave outgrows all floats in a deep cut."""
    deepest = 3e4
    slow = [Mode("x", 60.0, 0.3, 2000.0), Mode("y", 62.0, 0.3, 2200.0)]
    four = modes_of([*slow, Mode("x", 4700.0, 0.3, 2e4), Mode("y", 4800.0, 0.3, 2e4)])
    assert four is not None
    cut = ChatterCut(four, SLOPES, *arc("conventional half"), 3, deepest)
    found = cut.border(1000.0)
    depth = float(found.depth_mm[0])
    assert zeros_inside(cut, 1000.0, 0.98 * depth) == pytest.approx(0.0, abs=1e-6)
    assert zeros_inside(cut, 1000.0, 1.02 * depth) > 0.5
    s = period_matrix.structure(four, SLOPES, tooth_period(cut.entry, cut.leave, 3, SLOPES))
    far, speed = np.array([deepest]), np.array([1000.0 * math.pi / 30.0])
    panels = period_matrix.panels_needed(s, speed, 2.0 * far)[:, 0]
    with np.errstate(all="ignore"):
        outgrown = period_matrix.period_matrices(s, speed, np.array([[deepest * (1.0 - 1j)]]), panels)
    assert not np.isfinite(outgrown).any()
    groups, lost = characteristic.fitted(s, speed, far)
    assert not groups and lost.tolist() == [0]
    direct = characteristic.Direct(lost, far, s, speed)
    assert not characteristic.stable(direct.coefficients(np.array([1.0]))).any()


def test_the_direct_form_finds_the_same_border(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the polynomial in kappa would lose its digits, as at low speeds, the search goes on without it."""
    usual = chatter_cut("xy", "climb tenth", 3).border(SPEEDS[::12]).depth_mm
    monkeypatch.setattr(characteristic, "GREATEST", 0.0)
    direct = chatter_cut("xy", "climb tenth", 3).border(SPEEDS[::12]).depth_mm
    np.testing.assert_allclose(direct, usual, rtol=1e-4)


def test_a_low_speed_against_the_plain_method() -> None:
    """Twenty-five waves in a tooth period."""
    assert TWO is not None
    entry, rpm = math.pi - 0.9, 60.0 * 950.0 / 25.0 / 4.0
    depth = float(border(TWO, STEEL, entry, math.pi, 4, rpm, 120.0).depth_mm[0])
    for share, unstable in ((0.97, False), (1.03, True)):
        radius = abs(multipliers(TWO, STEEL, entry, math.pi, even_teeth(4), rpm, depth * share, 250)[0])
        assert (radius > 1.0) == unstable


def test_results_are_read_only() -> None:
    found = chatter_cut("y", "slot", 2).border([5000.0])
    with pytest.raises(ValueError):
        found.depth_mm[0] = 1.0


def test_schur_cohn_agrees_with_the_roots() -> None:
    rng = np.random.default_rng(2)
    c = rng.normal(size=(300, 9)) * 0.75 ** np.arange(9)
    c[:, 0] = 1.0
    inside = np.array([np.abs(np.roots(row[::-1])).min() <= 1.0 for row in c])
    np.testing.assert_array_equal(stable(c), ~inside)
    assert 50 < inside.sum() < 250


def test_root_squaring_agrees_with_the_roots() -> None:
    rng = np.random.default_rng(4)
    c = rng.normal(size=(200, 15)) * 0.8 ** np.arange(15)
    smallest = [np.abs(np.roots(row[::-1])).min() for row in c]
    np.testing.assert_allclose(smallest_zero(c), smallest, rtol=4e-3)


def test_a_map_tells_no_radius_beyond_its_largest() -> None:
    found = spectral_map(plant("xy"), SLOPES, *arc("slot"), 2, [3000.0, 5000.0], [0.02, 0.5, 30.0])
    assert found.radius.max() == LARGEST
    assert (found.radius[:, 0] < 1.0).all()


def test_shorter_steps_find_the_same_border(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = chatter_cut("xy", "climb tenth", 2).border(SPEEDS).depth_mm
    monkeypatch.setattr(first_crossing, "STEP", 0.3)
    monkeypatch.setattr(first_crossing, "LEAST_STEP", 0.001)
    np.testing.assert_allclose(chatter_cut("xy", "climb tenth", 2).border(SPEEDS).depth_mm, usual, rtol=1e-3)
