"""The modal fit against responses in closed form: exact without noise, right within its own errors with it."""

from __future__ import annotations

import numpy as np
import pytest

from core.base.errors import ChiparcError
from core.chatter.frequency_response import FrequencyResponse
from core.chatter.modal_fit import fit_modes

from .measured_reference import MODES, response

F = np.arange(150.0, 2200.0, 5.0)


def measured(noise: float, seed: int = 0, f: np.ndarray = F) -> FrequencyResponse:
    h = response(f) + 2e-5 - 1e-5 * (500.0 / f) ** 2
    rng = np.random.default_rng(seed)
    spread = noise * np.abs(h).max() / np.sqrt(2.0)
    return FrequencyResponse(f, h + spread * (rng.normal(size=len(f)) + 1j * rng.normal(size=len(f))))


def test_without_noise_the_modes_are_exact() -> None:
    fit = fit_modes(measured(0.0), 3)
    got = [[m.frequency_hz, m.damping_ratio, m.stiffness_n_mm] for m in fit.modes]
    assert np.array(got) == pytest.approx(MODES, rel=1e-6)
    assert fit.explained == pytest.approx(1.0, abs=1e-9) and not any(m.doubtful for m in fit.modes)
    assert fit.upper == pytest.approx(2e-5, rel=1e-4)
    assert fit.lower * (fit.reference / 500.0) ** 2 == pytest.approx(1e-5, rel=1e-3)
    assert np.abs(fit.at(F) - fit.curve).max() < 1e-12


def test_errors_are_those_that_repeated_measurements_show() -> None:
    """Five noisy responses: the number of modes is found, and each figure is off by about its standard error."""
    off = []
    for seed in range(5):
        fit = fit_modes(measured(0.03, seed))
        assert len(fit.modes) == 3
        for mode, true in zip(fit.modes, MODES, strict=True):
            got = np.array([mode.frequency_hz, mode.damping_ratio, mode.stiffness_n_mm])
            off.append((got - true) / [mode.frequency_error, mode.damping_error, mode.stiffness_error])
        noise = 0.03 * np.abs(measured(0.0).compliance).max() / np.sqrt(2.0)
        assert fit.scatter == pytest.approx(noise, rel=0.15)
    z = np.array(off)
    # 45 figures of standard deviation 1; those of one mode go together, so the bounds are wide.
    assert 0.65 < z.std() < 1.4 and np.abs(z).max() < 4.5


def test_close_modes_and_a_small_one_are_told_apart() -> None:
    modes = np.array([[500.0, 0.03, 1e4], [530.0, 0.025, 1.4e4], [1200.0, 0.02, 2e5]])
    rng = np.random.default_rng(5)
    h = response(F, modes)
    h = h + 2e-3 * np.abs(h).max() * (rng.normal(size=len(F)) + 1j * rng.normal(size=len(F)))
    fit = fit_modes(FrequencyResponse(F, h))
    assert [m.frequency_hz for m in fit.modes] == pytest.approx(modes[:, 0], rel=5e-3)
    assert [m.stiffness_n_mm for m in fit.modes] == pytest.approx(modes[:, 2], rel=0.12)


def test_band_and_number_can_be_chosen() -> None:
    fit = fit_modes(measured(0.01), low=1100.0, high=1900.0)
    assert len(fit.modes) == 1 and fit.modes[0].frequency_hz == pytest.approx(1450.0, rel=2e-3)
    assert fit.modes[0].stiffness_n_mm == pytest.approx(9e3, rel=0.05)
    assert fit.frequency[0] >= 1100.0 and fit.frequency[-1] <= 1900.0
    # Asked for more than there are, it gives them and says which are doubtful.
    five = fit_modes(measured(0.03), 5)
    assert len(five.modes) == 5 and any(m.doubtful for m in five.modes)
    assert [number for number, _ in five.tried] == [1, 2, 3, 4, 5]


def test_coherence_keeps_noisy_lines_from_counting() -> None:
    """Noise of an accelerometer, over f^2: with the coherence that goes with it the modes are found all the same."""
    h = response(F)
    spread = 4e-4 * (480.0 / F) ** 4
    coherence = np.abs(h) ** 2 / (np.abs(h) ** 2 + spread**2)
    rng = np.random.default_rng(2)
    noisy = h + spread / np.sqrt(2.0) * (rng.normal(size=len(F)) + 1j * rng.normal(size=len(F)))
    response_with = FrequencyResponse(F, noisy, coherence)
    fit = fit_modes(response_with, 3)
    assert [m.frequency_hz for m in fit.modes] == pytest.approx(MODES[:, 0], rel=0.02)
    plain = fit_modes(response_with, 3, by_coherence=False)
    assert np.abs(np.array([m.frequency_hz for m in plain.modes]) - MODES[:, 0]).max() > 40.0


def test_refusals() -> None:
    for count in (0, 9):
        with pytest.raises(ChiparcError, match="1 to 8"):
            fit_modes(measured(0.0), count)
    with pytest.raises(ChiparcError, match="found 4 lines"):
        fit_modes(measured(0.0), 1, low=400.0, high=418.0)
    rng = np.random.default_rng(1)
    with pytest.raises(ChiparcError, match="found no mode"):
        fit_modes(FrequencyResponse(F, rng.normal(size=len(F)) + 1j * rng.normal(size=len(F))))
