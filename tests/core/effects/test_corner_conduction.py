"""Heat in the corner of the edge: closed forms, pulse trains, and the sum over all earlier turns."""

from __future__ import annotations

import math
from itertools import pairwise

import mpmath
import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import erf as reference

from core.effects.corner_conduction import (
    FAR,
    SERIES_END,
    SERIES_ERROR,
    diffusivity,
    earlier_turns,
    effusivity,
    lasting_rise,
    patch_response,
)
from core.setup.setup import Thermal
from tests.core.effects import heat_reference

CARBIDE = Thermal(80.0, 14500.0, 220.0)
FLUX = 1e8
PULSE, TURN = 2.5e-3, 15e-3
WIDE = 1000.0
"""Metres: a patch so large that the corner is a flat wall."""

CHECKS = "physics note, section 2, table of checks (computed there with mpmath; carbide 80/14500/220, 1e8 W/m2)"

_X, _W = np.polynomial.legendre.leggauss(24)


def lasted(start: float, end: float, length: float, width: float) -> float:
    """Rise by constant flux from ``start`` to ``end`` seconds ago, K: Gauss points over the logarithm of the lag."""
    low = max(start, 1e-16 * end)
    edges = np.linspace(math.log(low), math.log(end), 30)
    half = np.diff(edges)[:, None] / 2.0
    s = np.exp(edges[:-1, None] + half + half * _X)
    total = float(np.sum(half * _W * s * patch_response(s, length, width, CARBIDE)))
    # Under the least lag the response is that of a flat wall.
    rest = 2.0 * math.sqrt(low) / (math.sqrt(math.pi) * effusivity(CARBIDE)) if start == 0.0 else 0.0
    return FLUX * (total + rest)


def train(pulses: int, length: float, width: float) -> float:
    """Rise at the end of the last of so many pulses."""
    return sum(lasted(n * TURN, n * TURN + PULSE, length, width) for n in range(pulses))


@pytest.mark.parametrize(
    ("start", "end", "printed"), [(0.0, PULSE, 353.2), (PULSE, 2 * PULSE, 146.3), (5 * PULSE, 6 * PULSE, 75.37)]
)
def test_flat_wall(start: float, end: float, printed: float) -> None:
    # A pulse of 2.5 ms at its end, at 5 ms, at 15 ms.
    found = lasted(start, end, WIDE, WIDE)
    assert found == pytest.approx(printed, abs=0.05 if printed > 100 else 0.005), CHECKS
    closed = 2.0 * FLUX / (math.sqrt(math.pi) * effusivity(CARBIDE)) * (math.sqrt(end) - math.sqrt(start))
    assert found == pytest.approx(closed, rel=1e-9)


@pytest.mark.parametrize(("pulses", "printed"), [(1, 353.2), (2, 422.5), (10, 686.7), (100, 1679.0), (1000, 4799.0)])
def test_flat_wall_pulse_train_grows_without_end(pulses: int, printed: float) -> None:
    assert train(pulses, WIDE, WIDE) == pytest.approx(printed, abs=0.5 if printed > 1000 else 0.05), CHECKS


@pytest.mark.parametrize(("t", "printed"), [(0.0, -97.06), (1.25e-3, 144.5), (PULSE, 240.4), (5e-3, 19.46)])
def test_settled_train_less_its_mean_is_hurwitz_zeta(t: float, printed: float) -> None:
    scale = 2.0 * FLUX * math.sqrt(TURN / math.pi) / effusivity(CARBIDE)
    ago = (t - PULSE) / TURN
    zeta = [mpmath.zeta(-0.5, x) for x in (t / TURN if t else mpmath.mpf(0), ago if ago >= 0.0 else 1.0 + ago)]
    closed = scale * float(zeta[0] - zeta[1])
    assert closed == pytest.approx(printed, abs=0.05 if abs(printed) > 100 else 0.005), CHECKS
    # A patch of 2 x 4 cm is a flat wall within many turns; over all of them it settles.
    length, width = 0.02, 0.04
    ends = [max(t - PULSE, 0.0), t]
    now = lasted(ends[0], ends[1], length, width) if t > 0.0 else 0.0
    tau = PULSE * (1.0 + _X) / 2.0
    before = earlier_turns(t - tau, np.array([length]), width, TURN, CARBIDE)[0] @ _W * PULSE / 2.0 * FLUX
    mean = FLUX * PULSE / TURN * float(lasting_rise(length, width, CARBIDE))
    assert now + before - mean == pytest.approx(closed, abs=0.02)


@pytest.mark.parametrize(
    ("time", "printed"),
    [(1e-5, 22.34), (1e-4, 68.25), (1e-3, 149.7), (2.5e-3, 185.3), (0.1, 331.3), (10.0, 431.9)],
)
def test_patch_of_a_tenth_by_ten_millimetres(time: float, printed: float) -> None:
    assert lasted(0.0, time, 1e-4, 1e-2) == pytest.approx(printed, abs=0.005 if printed < 100 else 0.05), CHECKS


def test_patch_for_ever_and_its_pulse_train() -> None:
    for_ever = FLUX * float(lasting_rise(1e-4, 1e-2, CARBIDE))
    assert for_ever == pytest.approx(446.0, abs=0.05), CHECKS
    assert for_ever * PULSE / TURN == pytest.approx(74.34, abs=0.005), CHECKS
    for pulses, printed in ((1, 185.3), (2, 191.5), (10, 203.1), (100, 214.0)):
        assert train(pulses, 1e-4, 1e-2) == pytest.approx(printed, abs=0.05), CHECKS


@pytest.mark.parametrize(("length", "width"), [(1e-6, 1e-2), (1e-4, 1e-4), (5e-3, 1e-3), (1e-2, 0.2)])
def test_lasting_rise_is_the_response_over_all_time(length: float, width: float) -> None:
    def part(u: float) -> float:
        s = math.exp(u)
        return s * float(patch_response(s, length, width, CARBIDE))

    edges = np.linspace(-45.0, 45.0, 19)
    total = sum(quad(part, a, b, epsrel=1e-10)[0] for a, b in pairwise(edges))
    assert float(lasting_rise(length, width, CARBIDE)) == pytest.approx(total, rel=1e-8)


@pytest.mark.parametrize(("length", "width"), [(1e-6, 1e-3), (1e-4, 1e-2), (2e-3, 0.1), (0.02, 0.1), (1e-3, 1e-7)])
@pytest.mark.parametrize("turn", [1e-3, 15e-3, 1.0])
def test_earlier_turns_one_by_one(length: float, width: float, turn: float) -> None:
    since = turn * np.array([-0.5, -0.1, 0.0, 0.4, 0.99])
    # The frame that the independent sum wants: only its material, width and turn matter.
    plain = heat_reference.Case(0.0, 1.0, turn, 1.0, width, 0.1, heat_reference.BARE)
    each = since + turn * np.arange(1, 3000)[:, None]
    summed = patch_response(each, length, width, CARBIDE).sum(axis=0)
    summed += heat_reference.far_tail(since, np.array([length]), plain, 3000)
    found = earlier_turns(since, np.array([length]), width, turn, CARBIDE)
    assert found.shape == (1, 5)
    assert found[0] == pytest.approx(summed, rel=3e-5)


@pytest.mark.parametrize("argument", [1e-9, 3e-5, 0.01, 0.1, 0.3, 0.7, 1.0, 1.5, 1.999, 0.9999 * SERIES_END])
@pytest.mark.parametrize("width", [1e-5, 1e-2])
def test_series_of_short_contacts_is_the_error_function(argument: float, width: float) -> None:
    since = TURN * np.array([-0.5, 0.0, 0.3, 0.99])
    # The soonest of all is the turn before, half a turn ago.
    length = argument * 2.0 * math.sqrt(diffusivity(CARBIDE) * TURN / 2.0)
    short = length * np.array([1.0, 0.5, 1e-3, 0.0])
    by_series = earlier_turns(since, short, width, TURN, CARBIDE)
    # Beside one that is far too long for the series all go by the error function, in every turn that counts.
    long = 1e6 * SERIES_END / argument * length
    by_erf = earlier_turns(since, np.append(short, long), width, TURN, CARBIDE)[:-1]
    assert by_series == pytest.approx(by_erf, rel=2.0 * SERIES_ERROR, abs=0.0)
    assert np.all(by_series[-1] == 0.0) and np.all(by_series[:-1] > 0.0)


@pytest.mark.parametrize("argument", [0.9999, 1.0001, 1.5, 4.0, 20.0])
def test_at_the_end_of_the_series_and_beyond(argument: float) -> None:
    """Some turns go by the series, some by the error function: against turns one by one."""
    since = TURN * np.array([-0.5, 0.0, 0.99])
    length = argument * SERIES_END * 2.0 * math.sqrt(diffusivity(CARBIDE) * TURN / 2.0)
    plain = heat_reference.Case(0.0, 1.0, TURN, 1.0, 1e-3, 0.1, heat_reference.BARE)
    summed = patch_response(since + TURN * np.arange(1, 3000)[:, None], length, 1e-3, CARBIDE).sum(axis=0)
    summed += heat_reference.far_tail(since, np.array([length]), plain, 3000)
    found = earlier_turns(since, np.array([length]), 1e-3, TURN, CARBIDE)
    assert found[0] == pytest.approx(summed, rel=3e-5)


def test_a_contact_that_is_not_known_leaves_the_others_alone() -> None:
    since = TURN * np.array([-0.2, 0.5])
    known = earlier_turns(since, np.array([1e-4]), 1e-2, TURN, CARBIDE)
    found = earlier_turns(since, np.array([math.nan, 1e-4]), 1e-2, TURN, CARBIDE)
    assert np.all(np.isnan(found[0])) and found[1] == pytest.approx(known[0], rel=2.0 * SERIES_ERROR)


@pytest.mark.parametrize("argument", [0.01, 1.0, 0.9999 * FAR, FAR, 1.0001 * FAR, 10.0])
def test_narrow_and_wide_edges(argument: float) -> None:
    since, length = PULSE * np.array([0.01, 0.5, 1.0]), np.array([1e-5, 1e-4, 1e-3])
    way = 2.0 * np.sqrt(diffusivity(CARBIDE) * since)
    # What decides is the latest: there the ends are nearest.
    width = 2.0 * argument * way[-1]
    wall = 1.0 / (math.sqrt(math.pi) * effusivity(CARBIDE) * np.sqrt(since))
    wanted = reference(length / way) * reference(width / 2.0 / way) * wall
    assert patch_response(since, length, width, CARBIDE) == pytest.approx(wanted, rel=2e-8)
    assert float(patch_response(since[1], length[1], width, CARBIDE)) == pytest.approx(wanted[1], rel=2e-8)


def test_a_time_that_is_not_known() -> None:
    found = patch_response(np.array([math.nan, PULSE]), 1e-4, WIDE, CARBIDE)
    assert np.isnan(found).tolist() == [True, False]
