"""A simulated tap test comes back as the response that it was made from; what is wrong with one is told."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.base.errors import ChiparcError, DocumentError
from core.chatter.modal_fit import fit_modes
from core.chatter.tap_record import TapRecord, read_tap_columns, read_tap_wav
from core.chatter.tap_test import tap_response

from .measured_reference import MODES, response, tap, wav

CLEAN = tap()
RATE = 12_800


def test_clean_hits_give_the_response_back() -> None:
    got = tap_response(CLEAN)
    f, h = got.response.frequency, response(got.response.frequency)
    assert len(got.hits) == 3 and not got.left_out and not got.cut_off and not got.turned
    assert f[0] >= 50.0 and 1800.0 < f[-1] < 3000.0
    assert np.abs(got.response.compliance - h).max() < 5e-3 * np.abs(h).max()
    assert got.response.coherence is not None and got.response.coherence.min() > 0.999
    # The impulse of a half sine is 2 F T / pi; its spectrum falls with frequency.
    assert got.force_spectrum[0] == pytest.approx(2.0 / np.pi * 6e-4 * 170.0, rel=0.02)
    assert (np.diff(got.force_spectrum) < 0.0).mean() > 0.95


def test_noisy_hits_give_the_modes_within_their_errors() -> None:
    got = tap_response(tap((0.05, 0.75, 1.4, 2.05, 2.7), 3.4, noise=1.0))
    assert got.response.coherence is not None and got.response.coherence.min() < 0.9
    fit = fit_modes(got.response)
    assert len(fit.modes) == 3
    for mode, true in zip(fit.modes, MODES, strict=True):
        assert abs(mode.frequency_hz - true[0]) < 5.0 * mode.frequency_error + 0.002 * true[0]
        assert mode.damping_ratio == pytest.approx(true[1], rel=0.12)
        assert mode.stiffness_n_mm == pytest.approx(true[2], rel=0.1)


def test_signs_are_found() -> None:
    h = tap_response(CLEAN).response.compliance
    against = tap_response(replace(CLEAN, acceleration=-CLEAN.acceleration))
    assert against.turned and against.response.compliance == pytest.approx(h)
    below = tap_response(replace(CLEAN, force=-CLEAN.force))
    assert below.response.compliance == pytest.approx(h)
    said = tap_response(replace(CLEAN, acceleration=-CLEAN.acceleration), turned=False)
    assert said.response.compliance == pytest.approx(-h)


def test_one_hit_has_no_coherence_and_hits_that_fail_are_named() -> None:
    assert tap_response(tap((0.05,), 1.0)).response.coherence is None
    double = tap((0.05, 0.75, 0.79, 1.4), 2.2)
    got = tap_response(double, window=0.6)
    assert len(got.hits) == 2
    assert [hit.why for hit in got.left_out] == ["a second blow falls into its window"]
    assert got.left_out[0].time == pytest.approx(0.7503, abs=1e-3)
    clipped = CLEAN.clipped.copy()
    clipped[int(1.45 * RATE)] = True
    got = tap_response(replace(CLEAN, clipped=clipped))
    assert [hit.why for hit in got.left_out] == ["a channel is clipped"] and len(got.hits) == 2
    early = tap((0.001, 0.8), 1.6)
    assert [hit.why for hit in tap_response(early).left_out] == ["it begins too soon in the record"]


def test_a_ring_down_that_is_cut_off_is_told_and_reads_too_much_damping() -> None:
    """Less than CUT_OFF left costs no more than some thousandths of the damping, a fifth left some per cent."""
    one = tap((0.05,), 0.4, modes=MODES[:1])
    for window, cut_off, low, high in ((0.02, True, 1.02, 1.08), (0.06, False, 0.997, 1.003)):
        got = tap_response(one, window=window, low=100.0, high=1000.0)
        assert got.cut_off is cut_off
        assert low < fit_modes(got.response, 1).modes[0].damping_ratio / MODES[0, 1] < high


def test_what_is_wrong_with_the_hits_is_told() -> None:
    with pytest.raises(ChiparcError, match="the other way round"):
        tap_response(replace(CLEAN, force=CLEAN.acceleration, acceleration=CLEAN.force))
    with pytest.raises(ChiparcError, match="no hit that can be used: a channel is clipped"):
        tap_response(replace(CLEAN, clipped=np.ones(len(CLEAN.force), bool)))
    with pytest.raises(ChiparcError, match="lines or more"):
        tap_response(CLEAN, low=1000.0, high=1010.0)
    with pytest.raises(ChiparcError, match="ring down before the next"):
        tap_response(CLEAN, window=1e-4)


@pytest.mark.parametrize("width", [2, 3, 4])
def test_wav_of_any_width_is_the_record(width: int) -> None:
    scaled = np.stack([CLEAN.acceleration / 4000.0, CLEAN.force / 300.0], -1)
    got = read_tap_wav(
        wav(scaled, width, RATE),
        "tap.wav",
        force_scale=300.0,
        acceleration_scale=4000.0,
        force_channel=2,
        acceleration_channel=1,
    )
    rounding = 0.51 / (1 << (8 * width - 1))
    assert np.abs(got.force - CLEAN.force).max() <= 300.0 * rounding + 1e-6
    assert np.abs(got.acceleration - CLEAN.acceleration).max() <= 4000.0 * rounding + 1e-5
    assert got.step == 1.0 / RATE and not got.clipped.any()
    h = tap_response(got).response
    assert np.abs(h.compliance - response(h.frequency)).max() < 0.02 * np.abs(response(h.frequency)).max()


def test_wav_that_reaches_the_end_of_the_scale_is_clipped() -> None:
    scaled = np.stack([CLEAN.force / 100.0, CLEAN.acceleration / 4000.0], -1)
    got = read_tap_wav(wav(scaled, 2, RATE), "loud.wav", force_scale=100.0, acceleration_scale=4000.0)
    assert got.clipped.sum() >= 9
    with pytest.raises(ChiparcError, match="a channel is clipped"):
        tap_response(got)


def test_wavs_that_are_refused() -> None:
    scaled = np.stack([CLEAN.force / 300.0, CLEAN.acceleration / 4000.0], -1)
    good = wav(scaled, 2, RATE)
    scales: dict[str, Any] = {"force_scale": 300.0, "acceleration_scale": 4000.0}
    floats = bytearray(good)
    floats[20] = 3
    for data, words in (
        (b"no wav at all", "could not be read as a WAV file"),
        (good[:30], "could not be read as a WAV file"),
        (bytes(floats), "plain PCM"),
        (wav(scaled[:, :1], 2, RATE), "found one channel"),
        (wav(scaled[:100], 2, RATE), "found 100 samples"),
        (wav(scaled * [1.0, 0.0], 2, RATE), "acceleration channel: found a channel that stands still"),
    ):
        with pytest.raises(DocumentError, match=words):
            read_tap_wav(data, "tap.wav", **scales)
    with pytest.raises(DocumentError, match="force channel: found 3; allowed: 1 to 2"):
        read_tap_wav(good, "tap.wav", force_channel=3, **scales)
    with pytest.raises(DocumentError, match="two different ones"):
        read_tap_wav(good, "tap.wav", acceleration_channel=1, **scales)
    with pytest.raises(DocumentError, match="force scale: found the scale factor 0"):
        read_tap_wav(good, "tap.wav", force_scale=0.0, acceleration_scale=1.0)


def table(heading: str, record: TapRecord, force: float = 1.0, acceleration: float = 1.0, rows: int = 2000) -> str:
    """A file of columns with times to 7 digits."""
    lines = [
        f"{n * record.step:.7g},{record.force[n] / force:.9g},{record.acceleration[n] / acceleration:.9g}"
        for n in range(rows)
    ]
    return "\n".join([heading, *lines])


def test_columns_are_the_record_in_any_unit() -> None:
    for heading, f, a, scales in (
        ("time [s],force [N],acceleration [m/s2]", 1.0, 1.0, {}),
        ("t,hammer_kN,accel (g)", 1000.0, 9.80665, {}),
        ("time,force [V],acceleration", 44.0, 98.0, {"force_scale": 44.0, "acceleration_scale": 98.0}),
    ):
        got = read_tap_columns(table(heading, CLEAN, f, a), "tap.csv", **scales)
        assert got.force == pytest.approx(CLEAN.force[:2000], abs=1e-5)
        assert got.acceleration == pytest.approx(CLEAN.acceleration[:2000], abs=1e-4)
        assert got.step == pytest.approx(CLEAN.step, rel=1e-6)


def test_columns_that_are_refused() -> None:
    good = table("time [s],force [N],acceleration [m/s2]", CLEAN)
    lines = good.split("\n")
    for text, at, words in (
        (good.replace("force [N]", "force [V]"), 1, "found V and no scale factor"),
        (good.replace("[m/s2]", "[m/s]"), 1, 'found the unit "m/s"'),
        (good.replace("force [N],", "").replace(",acc", "acc"), 1, "heading"),
        ("\n".join(lines[:600] + lines[700:]), 601, "even steps without gaps"),
        ("\n".join(lines[:600] + lines[598:]), 601, "rise from row to row"),
        ("\n".join(lines[:100]), 100, "256 rows or more"),
    ):
        with pytest.raises(DocumentError) as refused:
            read_tap_columns(text, "tap.csv")
        assert refused.value.line == at and words in str(refused.value), str(refused.value)
    with pytest.raises(DocumentError, match="a scale factor only for a channel in V"):
        read_tap_columns(good, "tap.csv", force_scale=2.0)
    with pytest.raises(DocumentError, match="zero byte"):
        read_tap_columns(b"RIFF\0\0", "tap.csv")
