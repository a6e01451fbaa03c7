"""The sound of a vibration: a plain WAV of the right pitch and length, as loud for a small one as for a large."""

from __future__ import annotations

import io
import wave
from pathlib import Path

import numpy as np
import pytest

from core.base.errors import ChiparcError
from core.base.safe_write import write_bytes
from core.chatter.vibration_sound import PEAK, RATE, resampled, sound

STEP = 2.5e-5
TIME = np.arange(40_000) * STEP


def played(data: bytes) -> np.ndarray:
    with wave.open(io.BytesIO(data), "rb") as stream:
        assert (stream.getnchannels(), stream.getsampwidth(), stream.getframerate()) == (1, 2, RATE)
        return np.frombuffer(stream.readframes(stream.getnframes()), "<i2").astype(float)


@pytest.mark.parametrize("slowed", [1.0, 4.0, 0.5])
def test_pitch_and_length_follow_the_slowing(slowed: float) -> None:
    got = sound(7.0 + 1e-3 * np.sin(2.0 * np.pi * 922.0 * TIME), STEP, slowed=slowed)
    samples = played(got.data)
    assert got.seconds == pytest.approx(len(TIME) * STEP * slowed, rel=1e-3) and got.slowed == slowed
    assert len(samples) == round(got.seconds * RATE)
    lines = np.abs(np.fft.rfft(samples))
    assert np.argmax(lines) / got.seconds == pytest.approx(922.0 / slowed, abs=2.0)
    assert np.abs(samples).max() == pytest.approx(PEAK * 32767.0, abs=1.0)
    assert got.full_scale * PEAK == pytest.approx(1e-3, rel=0.02)
    # It comes and goes softly, so that nothing clicks.
    assert np.abs(samples[:5]).max() < 0.02 * 32767 and np.abs(samples[-5:]).max() < 0.02 * 32767


def test_size_does_not_change_the_sound_and_nothing_folds_back() -> None:
    wave_form = np.sin(2.0 * np.pi * 700.0 * TIME) * np.exp(2.0 * TIME)
    assert sound(1e-6 * wave_form, STEP).data == sound(1e6 * wave_form, STEP).data
    high = np.sin(2.0 * np.pi * 15_000.0 * TIME) + 0.01 * np.sin(2.0 * np.pi * 500.0 * TIME)
    samples = played(sound(high, STEP).data)
    assert np.argmax(np.abs(np.fft.rfft(samples))) * RATE / len(samples) == pytest.approx(500.0, abs=2.0)


def test_resampling_is_exact_for_what_both_rates_carry() -> None:
    def wave_at(x: np.ndarray) -> np.ndarray:
        return 1.5 + np.sin(2.0 * np.pi * 3.0 * x) - 0.3 * np.cos(2.0 * np.pi * 11.0 * x)

    for count in (60, 61, 400):
        got = resampled(wave_at(np.arange(100) / 100.0), count)
        assert got == pytest.approx(wave_at(np.arange(count) / count), abs=1e-12)


def test_it_is_written_by_the_safe_writer(tmp_path: Path) -> None:
    got = sound(np.sin(2.0 * np.pi * 400.0 * TIME), STEP)
    write_bytes(tmp_path / "chatter.wav", got.data)
    assert played((tmp_path / "chatter.wav").read_bytes()).size == round(got.seconds * RATE)


def test_refusals() -> None:
    wave_form = np.sin(2.0 * np.pi * 400.0 * TIME)
    cases: tuple[tuple[np.ndarray, float, str], ...] = (
        (wave_form, 0.0, "a factor over 0"),
        (wave_form, 1e6, "s of sound"),
        (wave_form[:100], 1.0, "s of sound"),
        (np.full(len(TIME), 3.0), 1.0, "does not move"),
        (np.where(TIME > 0.5, np.nan, wave_form), 1.0, "gaps"),
        (np.sin(2.0 * np.pi * 400.0 * TIME), 0.02, "this rate can carry"),
    )
    for values, slowed, words in cases:
        with pytest.raises(ChiparcError, match=words):
            sound(values, STEP, slowed=slowed)
