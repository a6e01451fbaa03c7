"""Synthetic measurements that the tests of measured responses share: closed-form responses and simulated taps."""

from __future__ import annotations

import io
import wave

import numpy as np

from core.chatter.tap_record import TapRecord

MODES = np.array([[480.0, 0.030, 12e3], [610.0, 0.025, 20e3], [1450.0, 0.018, 9e3]])
"""Frequency Hz, damping ratio, stiffness N/mm of three modes."""


def response(f: np.ndarray, modes: np.ndarray = MODES) -> np.ndarray:
    """Closed form of displacement over force (mm/N) at f (n,) Hz: sum of (1/k) / (1 - r^2 + 2 i zeta r)."""
    total = np.zeros(len(f), complex)
    for frequency, zeta, k in modes:
        r = f / frequency
        total += (1.0 / k) / (1.0 - r * r + 2j * zeta * r)
    return total


def tap(
    hits: tuple[float, ...] = (0.05, 0.75, 1.4),
    seconds: float = 2.2,
    rate: float = 12_800.0,
    modes: np.ndarray = MODES,
    noise: float = 0.0,
    seed: int = 3,
) -> TapRecord:
    """Half-sine blows of 0.6 ms and the tip's acceleration (m/s2), as sums of the modes' free vibrations.

    The acceleration is the exact convolution of the modes' impulse responses with the sampled force, done on a grid
    eight times finer than the record, so that it knows nothing of the transform under test.
    """
    fine = 8
    step = 1.0 / (rate * fine)
    time = np.arange(int(seconds * rate) * fine) * step
    force = np.zeros_like(time)
    for number, start in enumerate(hits):
        inside = (time >= start) & (time < start + 6e-4)
        force[inside] = (150.0 + 20.0 * number) * np.sin(np.pi * (time[inside] - start) / 6e-4)
    # Impulse response of displacement, mm per N s: (w / (k sqrt(1 - z^2))) exp(-z w t) sin(w_d t).
    impulse = np.zeros_like(time)
    for frequency, zeta, k in modes:
        w = 2.0 * np.pi * frequency
        damped = w * np.sqrt(1.0 - zeta**2)
        impulse += w * w / (k * damped) * np.exp(-zeta * w * time) * np.sin(damped * time)
    padded = 2 * len(time)
    place = np.fft.irfft(np.fft.rfft(impulse, padded) * np.fft.rfft(force, padded), padded)[: len(time)] * step
    acceleration = np.gradient(np.gradient(place, step), step) / 1000.0
    # As a recorder's filter does: nothing above half the rate may fold back.
    count = len(time) // fine
    force, acceleration = (
        np.fft.irfft(np.fft.rfft(v)[: count // 2 + 1] * (np.arange(count // 2 + 1) < 0.45 * count), count) / fine
        for v in (force, acceleration)
    )
    rng = np.random.default_rng(seed)
    force = force + noise * 1.0 * rng.normal(size=len(force))
    acceleration = acceleration + noise * float(np.abs(acceleration).max()) * 0.01 * rng.normal(size=len(force))
    return TapRecord(force, acceleration, 1.0 / rate, np.zeros(len(force), bool), "tap")


def wav(channels: np.ndarray, width: int, rate: int) -> bytes:
    """PCM bytes of (n, channels) in -1..1 with ``width`` bytes a sample."""
    full = 1 << (8 * width - 1)
    whole = np.clip(np.round(channels * full), -full, full - 1).astype("<i8")
    octets = (whole + (128 if width == 1 else 0)).view(np.uint8).reshape(*whole.shape, 8)[..., :width]
    stream = io.BytesIO()
    with wave.open(stream, "wb") as out:
        out.setnchannels(channels.shape[1])
        out.setsampwidth(width)
        out.setframerate(rate)
        out.writeframes(octets.tobytes())
    return stream.getvalue()
