"""The simulation in time against closed forms, an independent integrator and what energy and symmetry demand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from numpy.typing import ArrayLike
from scipy.integrate import solve_ivp

from core.base.errors import ChiparcError
from core.chatter.mode_transition import mode_transition
from core.chatter.regenerative_cut import RegenerativeCut, regenerative_cut
from core.chatter.time_record import spectrum, waves
from core.chatter.time_simulation import simulate
from core.setup.setup import Cut, Cutter, LinearEdge, Mode, PowerLaw, Setup, Work

FEED_MODE = Mode("y", 922.0, 0.011, 1340.0497)
NORMAL_MODE = replace(FEED_MODE, axis="x")
PLAIN = LinearEdge(600.0, 200.0, 0.0, 0.0, 0.0, 0.0)
SLOT_2 = RegenerativeCut((FEED_MODE,), 2, 0.0, math.pi, 0.1, PLAIN)
STIFF = (Mode("x", 900.0, 0.05, 1e9), Mode("y", 900.0, 0.05, 1e9))


@cache
def slot_limit(mode: Mode, krc: float, rpm: float, teeth: int = 4) -> float:
    """Limit (mm) of a slot with four teeth and one mode: ``-1/(2 krc Re G)`` at ``T w = 2 pi j + 3 pi + 2 arg G``.

    Tlusty and Polacek 1963; Altintas and Budak, CIRP Annals 44 (1995) 357; formulas from memory.  For four teeth in a
    slot the summed direction matrix is ``(2 krc / pi) (pi / 2) = krc`` on the diagonal at all times.
    """
    w = 2.0 * np.pi * mode.frequency_hz * np.linspace(1.0 + 1e-9, 1.6, 400_001)
    r = w / (2.0 * np.pi * mode.frequency_hz)
    g = 1.0 / (mode.stiffness_n_mm * (1.0 - r * r + 2j * mode.damping_ratio * r))
    phase = (60.0 / (rpm * teeth) * w - 3.0 * np.pi - 2.0 * np.angle(g)) / (2.0 * np.pi)
    cross = np.flatnonzero(np.floor(phase[1:]) != np.floor(phase[:-1]))
    share = (np.floor(phase[cross + 1]) - phase[cross]) / (phase[cross + 1] - phase[cross])
    depths = -1.0 / (2.0 * krc * (g.real[cross] + share * (g.real[cross + 1] - g.real[cross])))
    return float(depths[depths > 0.0].min())


def growth(cut: RegenerativeCut, *points: ArrayLike, **how: Any) -> np.ndarray:
    """Growth in a turn of each point."""
    return np.array([verdict.growth for verdict in simulate(cut, *points, **how).verdicts])


def test_closed_form_is_that_of_the_published_table() -> None:
    for rpm, limit in ((2500, 0.184960), (4000, 0.284704), (7000, 1.036439), (12000, 2.425265)):
        assert slot_limit(FEED_MODE, 200.0, rpm) == pytest.approx(limit, rel=2e-4)


@pytest.mark.parametrize("mode", [FEED_MODE, NORMAL_MODE], ids=["feed", "normal"])
@pytest.mark.parametrize("linear", [True, False], ids=["linear", "teeth leave the work"])
def test_settles_just_below_the_limit_and_grows_just_above(mode: Mode, linear: bool) -> None:
    cut = RegenerativeCut((mode,), 4, 0.0, math.pi, 0.1, PLAIN)
    speeds = np.array([6000.0, 9000.0, 12000.0])
    limits = np.array([slot_limit(mode, 200.0, rpm) for rpm in speeds])
    points = np.tile(speeds, 2), np.concatenate([0.985 * limits, 1.015 * limits])
    # Loss of contact shows late; a wave that is bound by nothing grows evenly from the first turns on.
    got = simulate(cut, *points, turns=16 if linear else 30, linear=linear)
    assert [v.stable for v in got.verdicts] == [True] * 3 + [False] * 3
    assert all(v.growth < 1.0 for v in got.verdicts[:3]) and all(v.growth > 1.0 for v in got.verdicts[3:])


def test_growth_is_the_published_multiplier() -> None:
    """Slot, two teeth, 5000/min: |mu| of a tooth passage, converged (section 6b of the check values)."""
    depths, wanted = [0.2, 0.5, 0.7, 1.0], [0.819743, 1.073976, 1.221556, 1.406474]
    coarse, fine = (
        np.sqrt(growth(SLOT_2, 5000.0, depths, turns=20, linear=True, steps_per_turn=n)) for n in (264, 528)
    )
    assert fine == pytest.approx(wanted, abs=2.5e-3)
    # Of second order: a step half as long leaves a quarter of the error, and the two together leave next to none.
    errors = (coarse - wanted) / (fine - wanted)
    assert (errors > 3.3).all() and (errors < 5.5).all()
    assert fine + (fine - coarse) / 3.0 == pytest.approx(wanted, abs=1e-3)


def test_quarter_turn_and_mirror_swap_the_axes() -> None:
    """Feed and normal mode swap when climb and conventional do (half immersion)."""
    half = math.pi / 2.0
    conventional = replace(SLOT_2, entry=0.0, exit=half, modes=(FEED_MODE,))
    climb = replace(SLOT_2, entry=half, exit=math.pi, modes=(NORMAL_MODE,))
    depths = [0.24, 0.28]
    one, other = (simulate(cut, 5000.0, depths, turns=12, linear=True) for cut in (conventional, climb))
    assert [v.state for v in one.verdicts] == ["settles", "grows"]
    for a, b in zip(one.verdicts, other.verdicts, strict=True):
        assert a.growth == pytest.approx(b.growth, rel=1e-6)


def test_modes_take_a_step_as_an_independent_integrator_does() -> None:
    modes = (Mode("x", 310.0, 0.03, 800.0), Mode("y", 922.0, 0.4, 1340.0), Mode("x", 1500.0, 0.004, 9000.0))
    seconds, begin, end = np.array([1.3e-4, 2.1e-3]), np.array([130.0, -40.0]), np.array([90.0, 75.0])
    state = np.array([0.01, -0.02, 0.003, 0.02, 0.01, -0.004])
    motion = mode_transition(modes, seconds)
    got = motion.step @ np.concatenate([state, begin, end])
    for p, length in enumerate(seconds):
        for i, mode in enumerate(modes):
            w, axis = 2.0 * np.pi * mode.frequency_hz, "xy".index(mode.axis)

            def slope(
                t: float, y: np.ndarray, w: float = w, axis: int = axis, i: int = i, length: float = length
            ) -> Any:
                force = begin[axis] + (end[axis] - begin[axis]) * t / length
                pull = force / modes[i].stiffness_n_mm - y[0] - 2.0 * modes[i].damping_ratio * y[1]
                return [w * y[1], w * pull]

            true = solve_ivp(slope, (0.0, length), [state[i], state[3 + i]], rtol=1e-11, atol=1e-14).y[:, -1]
            assert got[p, [i, 3 + i]] == pytest.approx(true, rel=1e-7, abs=1e-11)
    assert got[:, 6] == pytest.approx(got[:, 0] + got[:, 2]) and got[:, 7] == pytest.approx(got[:, 1])
    held = motion.held @ np.concatenate([state, begin])
    assert held == pytest.approx((motion.step @ np.concatenate([state, begin, begin]))[:, 6:])


def test_forced_vibration_is_that_of_an_independent_integrator() -> None:
    """Far below the limit the cut is the rigid chip's force on the modes: scipy integrates it from the same place."""
    law = LinearEdge(600.0, 200.0, 0.0, 12.0, 9.0, 0.0)
    cut = RegenerativeCut((Mode("x", 400.0, 0.05, 2000.0), Mode("y", 700.0, 0.04, 3000.0)), 3, 0.5, 1.9, 0.1, law)
    rpm, depth = 2600.0, 1e-3
    record = simulate(cut, rpm, depth, turns=4, kick=0.0, record=0).record
    assert record is not None
    speed = rpm * 2.0 * np.pi / 60.0

    def force(t: float) -> np.ndarray:
        phi = (cut.entry + speed * t - 2.0 * np.pi * np.arange(3) / 3.0) % (2.0 * np.pi)
        phi = phi[(phi >= cut.entry) & (phi <= cut.exit)]
        ft, fr = depth * (600.0 * 0.1 * np.sin(phi) + 12.0), depth * (200.0 * 0.1 * np.sin(phi) + 9.0)
        return np.array([np.sum(fr * np.cos(phi) - ft * np.sin(phi)), np.sum(-ft * np.cos(phi) - fr * np.sin(phi))])

    def slope(t: float, y: np.ndarray) -> list[float]:
        out, pushed = [], force(t)
        for i, mode in enumerate(cut.modes):
            w = 2.0 * np.pi * mode.frequency_hz
            place, velocity = y[2 * i : 2 * i + 2]
            pull = w * w * (pushed[i] / mode.stiffness_n_mm - place) - 2.0 * mode.damping_ratio * w * velocity
            out += [velocity, pull]
        return out

    # The state at the start is not told, but that it repeats with every tooth: so integrate from rest until it does.
    period = 60.0 / rpm / 3.0
    y = np.zeros(4)
    wanted = []
    for _ in range(9):
        # Smooth pieces: the arc, and the air behind it.
        for a, b in ((0.0, (cut.exit - cut.entry) / speed), ((cut.exit - cut.entry) / speed, period)):
            y = solve_ivp(slope, (a + 1e-12, b - 1e-12), y, "DOP853", rtol=1e-7, atol=1e-12).y[:, -1]
        wanted.append(y[[0, 2]])
    steady = wanted[-1]
    got = record.displacement[:: record.steps_per_turn // 3]
    assert np.abs(got - steady).max() < 2e-3 * np.abs(record.displacement).max()


def test_without_regeneration_displacement_is_force_over_stiffness() -> None:
    """Modes far faster than the teeth: the cutter stands where the static force of four teeth in a slot puts it."""
    law = LinearEdge(600.0, 200.0, 0.0, 20.0, 10.0, 0.0)
    fast = (Mode("x", 2000.0, 0.3, 5e5), Mode("y", 2000.0, 0.3, 8e5))
    cut = RegenerativeCut(fast, 4, 0.0, math.pi, 0.1, law)
    record = simulate(cut, 60.0, 0.5, turns=4, kick=0.0, steps_per_turn=1440, record=0).record
    assert record is not None
    # Two teeth always cut, at phi and phi + 90 degrees: 0.5 mm (600 h + 20) and so on.
    phi = (record.angle[1440:] % (np.pi / 2.0))[:, None] + [0.0, np.pi / 2.0] + np.pi / 1440.0
    ft, fr = 0.5 * (60.0 * np.sin(phi) + 20.0), 0.5 * (20.0 * np.sin(phi) + 10.0)
    in_x, in_y = fr * np.cos(phi) - ft * np.sin(phi), -ft * np.cos(phi) - fr * np.sin(phi)
    force = np.stack([in_x.sum(1), in_y.sum(1)], -1)
    away = np.abs((phi[:, 0] % (np.pi / 2.0)) - np.pi / 4.0) < 0.7
    # The tooth that leaves and the one that comes ring for a moment; in between it is static.
    quiet = np.abs((phi[:, 0] % (np.pi / 2.0)) - np.pi / 4.0) < 0.3
    assert record.force[1440:][away] == pytest.approx(force[away], rel=0.02, abs=0.3)
    static = record.force[1440:] / [5e5, 8e5]
    assert record.displacement[1440:][quiet] == pytest.approx(static[quiet], rel=0.01, abs=2e-7)


def test_rigid_cutter_has_the_static_chip_and_runout_comes_once_a_turn() -> None:
    cut = RegenerativeCut(STIFF, 3, 0.3, 2.0, 0.1, PLAIN, runout=0.012, runout_angle=0.7)
    record = simulate(cut, 3000.0, 1.0, turns=4, kick=0.0, record=0).record
    assert record is not None
    radii = 0.012 * np.cos(0.7 + 2.0 * np.pi * np.arange(3) / 3.0)
    n = record.steps_per_turn
    for tooth in range(3):
        phi = (record.angle - 2.0 * np.pi * tooth / 3.0) % (2.0 * np.pi)
        inside = np.isfinite(record.path[:, tooth])
        wanted = np.min([k * 0.1 * np.sin(phi) + radii[tooth] - radii[(tooth - k) % 3] for k in (1, 2, 3)], axis=0)
        assert record.chip[inside, tooth] == pytest.approx(np.maximum(wanted[inside], 0.0), abs=1e-6)
        assert (phi[inside] > 0.3 - 1e-9).all() and (phi[inside] < 2.0 + 1e-9).all()
        assert (record.chip[~inside, tooth] == 0.0).all()
    # It repeats with the turn and not with the tooth.
    assert record.force[n : 2 * n] == pytest.approx(record.force[2 * n : 3 * n], abs=0.02)
    passing = n // 3
    assert np.abs(record.force[n : 2 * n] - record.force[n + passing : 2 * n + passing]).max() > 1.0


def test_runout_makes_a_settled_cut_move_once_a_turn() -> None:
    cut = replace(SLOT_2, runout=0.01)
    got = simulate(cut, 5000.0, 0.15, turns=22, record=0)
    assert got.repeats == "turn" and got.verdicts[0].stable and got.record is not None
    points = got.record.once_a_turn()
    assert np.ptp(points[-4:], axis=0).max() < 1e-3 * np.abs(points[-1]).max()
    s = spectrum(got.record, turns=16)
    turn = 5000.0 / 60.0
    line = s.amplitude[np.argmin(np.abs(s.frequency - turn)), 1]
    between = s.amplitude[np.argmin(np.abs(s.frequency - 1.5 * turn)), 1]
    assert line > 1e-3 * np.abs(got.record.displacement).max() > 20.0 * between


def test_energy_that_the_force_puts_in_is_what_damping_takes_out() -> None:
    """Over whole turns of a settled cut: work of the force = integral of c v^2 = 2 zeta k / w v^2, of every mode."""
    cut = RegenerativeCut((FEED_MODE, replace(NORMAL_MODE, frequency_hz=700.0)), 4, 0.4, 2.2, 0.1, PLAIN)
    record = simulate(cut, 5000.0, 0.03, turns=4, kick=0.0, record=0, steps_per_turn=1200).record
    assert record is not None
    n, dt = record.steps_per_turn, record.time[1]
    last = np.concatenate([record.displacement[-n:], record.displacement[-2 * n : -2 * n + 1]])
    put_in = np.sum(record.force[-n:] * np.diff(last, axis=0), 0)
    velocity = np.diff(last, axis=0) / dt
    for axis, mode in ((1, cut.modes[0]), (0, cut.modes[1])):
        damper = 2.0 * mode.damping_ratio * mode.stiffness_n_mm / (2.0 * np.pi * mode.frequency_hz)
        assert put_in[axis] == pytest.approx(damper * np.sum(velocity[:, axis] ** 2) * dt, rel=0.02)


def test_loss_of_contact_bounds_the_chatter_and_its_frequency_is_told() -> None:
    got = simulate(SLOT_2, 5000.0, 0.6, turns=36, kick=0.1, record=0, steps_per_turn=264)
    verdict, record = got.verdicts[0], got.record
    assert verdict.state == "limited" and not verdict.stable and record is not None
    assert verdict.lost > verdict.lost_first + 0.05 and np.isfinite(got.departure).all()
    late = got.departure[-10:, 0]
    assert late.max() < 2.0 * late.min() and late.max() > 0.2 * SLOT_2.feed
    assert (record.chip >= 0.0).all() and record.chip.max() > 1.5 * SLOT_2.feed
    s = spectrum(record)
    # Hopf: the line off the tooth-passing ones lies above the mode, within its first ten per cent.
    assert 922.0 < s.chatter < 1015.0 and s.chatter_amplitude > 0.01
    assert s.tooth_passing[:3] == pytest.approx([5000 / 30, 5000 / 15, 500.0])
    # The same point without loss of contact outgrows all bounds, and is stopped there.
    free = simulate(SLOT_2, 5000.0, 3.0, turns=20, linear=True, steps_per_turn=200)
    assert free.verdicts[0].state == "grows" and np.isnan(free.departure[-1, 0])


def test_a_cut_that_outgrows_the_floats_is_stopped_and_leaves_the_others_alone() -> None:
    both = simulate(SLOT_2, 900.0, [0.05, 50.0], turns=4, linear=True, steps_per_turn=600)
    alone = simulate(SLOT_2, 900.0, 0.05, turns=4, linear=True, steps_per_turn=600)
    assert [v.state for v in both.verdicts] == ["settles", "grows"] and both.verdicts[1].growth > 1e6
    assert both.departure[:, 0] == pytest.approx(alone.departure[:, 0], rel=1e-9)


def test_waves_of_the_tooth_before_stand_on_the_surface() -> None:
    record = simulate(SLOT_2, 5000.0, 0.8, turns=16, kick=0.1, record=0).record
    assert record is not None
    w = waves(record, tooth=1)
    assert w.phi[0] == pytest.approx(0.0) and w.phi[-1] == pytest.approx(np.pi, abs=0.02)
    assert w.chip == pytest.approx(np.maximum(w.path - w.before, 0.0))
    assert w.rigid == pytest.approx(0.1 * np.sin(w.phi)) and np.abs(w.left_behind).max() > 0.02
    # What this tooth meets is what the tooth before left, or an older wave further out where that missed the work.
    half = record.steps_per_turn // 2
    met, left = record.before[half:, 1], record.path[:-half, 0]
    fresh = left - 0.1 * np.sin(record.angle[half:] - np.pi)
    cut_it = record.chip[:-half, 0] > 1e-9
    both = np.isfinite(met) & np.isfinite(fresh)
    assert met[both & cut_it] == pytest.approx(fresh[both & cut_it], abs=1e-12)
    missed = both & ~cut_it & (np.sin(record.angle[half:] - np.pi) > 0.01)
    assert missed.sum() > 100 and (met[missed] > fresh[missed]).all()


def test_power_law_is_linear_for_small_waves() -> None:
    """A small wave on the power law grows as on the law linearised at the chip without vibration."""
    law = PowerLaw(1500.0, 0.25, 0.4)
    cut = RegenerativeCut((FEED_MODE,), 2, 0.6, 2.2, 0.1, law)
    real, linear = (simulate(cut, 5200.0, [0.08, 0.25], turns=10, kick=1e-5, linear=flag) for flag in (False, True))
    for a, b in zip(real.verdicts, linear.verdicts, strict=True):
        assert a.growth == pytest.approx(b.growth, rel=2e-3)
    assert [v.stable for v in real.verdicts] == [True, False]


def test_helix_and_unequal_pitch() -> None:
    """Many slices of no helix at all are one; three unequal pitches that are equal are equal; and both do matter."""
    cut = RegenerativeCut((FEED_MODE,), 3, 0.0, 1.9, 0.1, PLAIN)
    turn = 2.0 * math.pi
    how = {"turns": 6, "linear": True, "steps_per_turn": 300}
    plain = growth(cut, 5000.0, 0.5, **how)
    even = replace(cut, pitch=(turn / 3,) * 3)
    assert not even.alike and growth(even, 5000.0, 0.5, **how) == pytest.approx(plain, rel=0.02)
    slight = replace(cut, helix=math.radians(1.0), diameter=50.0)
    assert growth(slight, 5000.0, 0.5, **how) == pytest.approx(plain, rel=0.01)
    # A steep edge has its own lag at every depth; a point beside it changes nothing.
    steep = replace(cut, helix=math.radians(40.0))
    pair = simulate(steep, 5000.0, [0.5, 3.0], turns=4, linear=True, steps_per_turn=120, record=1)
    alone = simulate(steep, 5000.0, 3.0, turns=4, linear=True, steps_per_turn=120, record=0)
    assert pair.record is not None and alone.record is not None
    assert pair.record.displacement == pytest.approx(alone.record.displacement, rel=1e-9, abs=1e-15)
    uneven = replace(cut, pitch=(0.8 * turn / 3, 1.1 * turn / 3, 1.1 * turn / 3))
    assert abs(growth(uneven, 5000.0, 0.5, **how) - plain) > 0.01
    rigid = replace(cut, modes=STIFF, pitch=uneven.pitch)
    record = simulate(rigid, 3000.0, 0.5, turns=4, steps_per_turn=360, record=0).record
    assert record is not None
    greatest = record.chip[-720:].max(0) / 0.1
    assert greatest == pytest.approx([1.1, 0.8, 1.1], rel=1e-3)


def test_setup_gives_its_cut_and_what_is_missing_is_told() -> None:
    setup = Setup(
        Cutter(12.0, 4, helix_deg=30.0, runout_mm=0.01),
        Cut("climb", 4.0, 2.0, 0.06, 4000.0),
        Work(force=PLAIN),
        dynamics=(FEED_MODE,),
    )
    cut = regenerative_cut(setup)
    assert math.degrees(cut.entry) == pytest.approx(109.4712206) and cut.exit == pytest.approx(math.pi)
    assert cut.runout == 0.01 and cut.helix == 0.0 and regenerative_cut(setup, with_helix=True).helix > 0.5
    with pytest.raises(ChiparcError, match="no mode of vibration"):
        regenerative_cut(replace(setup, dynamics=()))
    with pytest.raises(ChiparcError, match="no force coefficients"):
        regenerative_cut(replace(setup, work=Work()))
    cases: tuple[tuple[dict[str, Any], str], ...] = (
        ({"turns": 2}, "4 or more"),
        ({"steps_per_turn": 50}, "multiple of the 4 teeth"),
    )
    for wrong, words in cases:
        with pytest.raises(ChiparcError, match=words):
            simulate(cut, 4000.0, 1.0, **wrong)
    with pytest.raises(ChiparcError, match="too fast"):
        simulate(cut, 0.5, 1.0)
