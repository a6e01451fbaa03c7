"""Loads along a path: those of the report for a straight cut, and quadrature for several intervals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.integrate import quad

from core.cut.engagement import engagement
from core.effects.cutter_bending import held_cutter
from core.effects.wall import tip_movement, wall_error
from core.force.edge_law import edge_law, edge_width
from core.force.force_turn import force_turn
from core.path.loads import Loads, force_over, loads
from core.path.path_places import Engaged
from core.setup.setup import Cut, Cutter, LinearEdge, PowerLaw, Setup, Work
from tests.strategies import setups

LAWS = (LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0), PowerLaw(1700.0, 0.25, 0.4))


def loads_of(pairs: list[tuple[float, float]], setup: Setup, side: float = 0.0) -> Loads:
    """Loads at one place with those intervals, rad."""
    entry, leave = (np.array([pair[i] for pair in pairs]) for i in (0, 1))
    engaged = Engaged(np.array([0, len(pairs)]), entry, leave)
    cut = setup.cut
    feed, speed = np.array([cut.feed_per_tooth_mm]), np.array([cut.spindle_speed_rpm])
    return loads(engaged, feed, speed, np.array([side]), setup)


def milled(law: LinearEdge | PowerLaw, helix: float = 30.0, teeth: int = 4, depth: float = 10.0) -> Setup:
    """A cutter of 12 mm."""
    cutter = Cutter(12.0, teeth, helix_deg=helix, stickout_mm=42.0, youngs_modulus_n_mm2=580_000.0)
    return Setup(cutter, Cut("climb", 4.0, depth, 0.06, 4000.0), Work(force=law))


@pytest.mark.parametrize("runs_true", [True, False])
@given(setup=setups(everyday=True))
@settings(max_examples=15, deadline=None)
def test_a_straight_cut_is_the_reports(runs_true: bool, setup: Setup) -> None:
    if runs_true:
        setup = setup.with_keys({"cutter.runout_mm": 0.0})
    turn = force_turn(setup)
    if turn is None:
        assert np.isnan(loads_of([(0.5, 1.0)], setup).fx).all()
        return
    e = engagement(setup)
    found = loads_of([(e.entry, e.exit)], setup)
    torque = 1000.0 * np.array([turn.torque.least, turn.torque.greatest, turn.torque.mean])
    level = turn.resultant_max
    for got, wanted in ((found.fx, turn.fx), (found.fy, turn.fy), (found.fz, turn.fz)):
        if wanted is not None:
            expected = [wanted.least, wanted.greatest, wanted.mean]
            # Of the axial force the resultant knows nothing.
            size = max(level, *map(abs, expected))
            assert got[0] == pytest.approx(expected, abs=1e-6 * size, rel=1e-6)
    assert 1000.0 * found.torque[0] == pytest.approx(torque, rel=1e-6, abs=1e-6 * level)
    assert found.resultant[0] == pytest.approx(level, rel=1e-6)
    assert found.power[0] == pytest.approx(turn.power_kw, rel=1e-9)


PAIRS = [(0.2, 0.9), (1.3, 1.5), (2.0, 3.0)]


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("helix", [0.0, 30.0, 60.0])
@pytest.mark.parametrize("teeth", [1, 3])
def test_several_intervals_by_slices(law: LinearEdge | PowerLaw, helix: float, teeth: int) -> None:
    """Thin slices of the edge, each straight, over a turn in even steps: what one would first write."""
    setup = milled(law, helix, teeth)
    edge = edge_law(setup)
    assert edge is not None
    # A straight edge jumps: there steps must be fine, and one slice is all.
    depth, count, steps = (10.0, 400, 720) if helix else (10.0, 1, 36_000)
    height = (np.arange(count) + 0.5) * depth / count
    phi = np.arange(steps) * 2 * np.pi / steps + 1e-4
    total = np.zeros((steps, 4))
    for tooth in range(teeth):
        tip = phi + 2 * np.pi * tooth / teeth
        u = (tip[:, None] - 2 * height * math.tan(math.radians(helix)) / 12.0) % (2 * np.pi)
        inside = np.zeros(u.shape, bool)
        for entry, leave in PAIRS:
            inside |= (u >= entry) & (u <= leave)
        total += (edge.at(u) * inside[..., None]).sum(1) * edge_width(setup) / count
    found = loads_of(PAIRS, setup)
    size = np.hypot(total[:, 0], total[:, 1]).max()
    for got, column in ((found.fx, 0), (found.fy, 1)):
        wanted = [total[:, column].min(), total[:, column].max(), total[:, column].mean()]
        assert got[0] == pytest.approx(wanted, abs=0.02 * size)
    assert found.resultant[0] == pytest.approx(size, rel=0.02)
    assert found.torque[0, 2] * 1000.0 / 6.0 == pytest.approx(total[:, 3].mean(), rel=0.01)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize(("side", "pair"), [(1.0, (0.0, 1.1)), (-1.0, (2.0, math.pi))])
def test_wall_error_by_quadrature(law: LinearEdge | PowerLaw, side: float, pair: tuple[float, float]) -> None:
    """The edge at the height that makes the wall, all teeth: force times compliance, integrated by scipy."""
    setup = milled(law)
    edge, held = edge_law(setup), held_cutter(setup)
    assert edge is not None and held is not None
    slope = 2 * math.tan(math.radians(30.0)) / 12.0
    found = loads_of([pair], setup, side)
    for column, y in ((0, 0.0), (1, 10.0)):
        tip = (0.0 if side > 0 else math.pi) + slope * y
        moved = 0.0
        for tooth in range(-4, 5):
            t = tip + math.pi / 2 * tooth
            # Heights at which this tooth's edge is in the interval.
            low, high = (min(max((t - a) / slope, 0.0), 10.0) for a in (pair[1], pair[0]))
            if high > low:
                moved += quad(
                    lambda z, t=t, y=y: float(edge.across(t - slope * z)) * float(held.compliance(y, z)), low, high
                )[0]
        assert found.wall[0, column] == pytest.approx(side * moved, rel=2e-5)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("helix", [0.0, 30.0])
def test_with_runout_wall_and_tip_are_the_reports(law: LinearEdge | PowerLaw, direction: str, helix: float) -> None:
    keys = {"cutter.runout_mm": 0.02, "cutter.runout_angle_deg": 40.0, "cut.direction": direction}
    setup = milled(law, helix).with_keys(keys)
    e = engagement(setup)
    found = loads_of([(e.entry, e.exit)], setup, 1.0 if direction == "conventional" else -1.0)
    ends = wall_error(np.array([0.0, 10.0]), setup)
    moved = tip_movement(setup)
    assert ends is not None and moved is not None
    assert found.wall[0, :2] == pytest.approx(ends, rel=1e-6)
    # Of seventeen samples a stretch and a parabola; a power law is steep where its chip begins.
    close = 1e-6 if isinstance(law, LinearEdge) else 1e-4
    assert found.bend[0] == pytest.approx(moved, abs=close * max(map(abs, moved)))
    true = loads_of([(e.entry, e.exit)], setup.with_keys({"cutter.runout_mm": 0.0}), 1.0)
    assert abs(found.wall[0, 0] - true.wall[0, 0]) > 0.005


def test_air_is_nothing_and_straddling_has_no_wall() -> None:
    setup = milled(LAWS[0])
    air = loads_of([], setup)
    assert air.fx.tolist() == [[0.0, 0.0, 0.0]] and air.power[0] == 0.0
    assert np.isnan(air.wall).all()
    both = loads_of([(0.4, 2.9)], setup)
    assert np.isnan(both.wall).all() and both.bend[0, 0] < both.bend[0, 1]


def test_many_places_are_each_as_if_alone() -> None:
    setup = milled(LAWS[1])
    engaged = Engaged(np.array([0, 1, 3, 3, 4]), np.array([0.0, 0.1, 1.0, 0.0]), np.array([1.0, 0.4, 2.0, 1.0]))
    speed = np.array([4000.0, 3000.0, 3000.0, 2000.0])
    found = loads(engaged, np.array([0.06, 0.06, 0.06, 0.12]), speed, np.array([1.0, 0.0, 0.0, 1.0]), setup)
    assert found.fx[1] == pytest.approx(loads_of([(0.1, 0.4), (1.0, 2.0)], setup).fx[0], rel=1e-9)
    more = setup.with_keys({"cut.feed_per_tooth_mm": 0.12, "cut.spindle_speed_rpm": 2000.0})
    assert found.fx[3] == pytest.approx(loads_of([(0.0, 1.0)], more, 1.0).fx[0], rel=1e-9)
    assert found.power[3] == pytest.approx(loads_of([(0.0, 1.0)], more, 1.0).power[0], rel=1e-9)
    assert found.resultant[2] == 0.0


@pytest.mark.parametrize("runout", [0.0, 0.01])
def test_force_over_the_turn_has_the_extremes_of_the_loads(runout: float) -> None:
    setup = milled(LAWS[0]).with_keys({"cutter.runout_mm": runout})
    pairs = [(0.2, 0.9), (1.3, 2.4)]
    entry, leave = (np.array([pair[i] for pair in pairs]) for i in (0, 1))
    phi = np.linspace(0.0, 2.0 * math.pi, 4001)
    force = force_over(phi, Engaged(np.array([0, 2]), entry, leave), setup.cut.feed_per_tooth_mm, setup)
    assert force is not None
    found = loads_of(pairs, setup)
    for column, extremes in ((0, found.fx[0]), (1, found.fy[0])):
        assert force[:, column].min() == pytest.approx(extremes[0], rel=1e-3, abs=1.0)
        assert force[:, column].max() == pytest.approx(extremes[1], rel=1e-3, abs=1.0)
    none = np.zeros(0)
    assert not np.any(force_over(phi, Engaged(np.array([0, 0]), none, none), 0.06, setup))
    assert force_over(phi, Engaged(np.array([0, 0]), none, none), 0.06, setup.with_keys({"work.force": None})) is None
