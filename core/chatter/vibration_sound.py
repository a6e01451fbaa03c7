"""A vibration made audible: a displacement or force record as a WAV file, slowed, loudness evened out.

The loudness says nothing of the size of the vibration: every sound is brought to the same peak.  What the sound
tells is pitch (tooth passing, chatter) and whether it swells or dies away.  A caller writes ``data`` with the safe
writer.
"""

from __future__ import annotations

import io
import math
import wave
from dataclasses import dataclass

import numpy as np

from ..base.errors import ChiparcError
from ..base.refused import refused
from ..base.words import say
from ..maths.arrays import Array

RATE = 22_050
"""Samples a second of the file."""

PEAK = 0.8
"""Share of the full scale that the loudest sample has."""

FADE = 0.01
"""Seconds over which the sound comes and goes, so that its ends do not click."""

LONGEST = 120.0
"""Seconds of the longest sound that is made."""


@dataclass(frozen=True, slots=True)
class Sound:
    """A WAV file: ``data`` its bytes, ``seconds`` its length, ``slowed`` how many times slower than the cut it runs.

    ``full_scale`` is the size, in the record's own unit, that the full scale of this file stands for.
    """

    data: bytes
    seconds: float
    slowed: float
    full_scale: float


def resampled(values: Array, count: int) -> Array:
    """``values`` (n,) at ``count`` even places over the same time, band-limited: nothing above either half rate.

    By the Fourier series of the record, faded to its ends beforehand by the caller, as it is taken for periodic.
    """
    lines = np.fft.rfft(values)
    kept = np.zeros(count // 2 + 1, complex)
    both = min(len(lines), len(kept)) - 1  # the last line of either is half of a pair: left out
    kept[:both] = lines[:both]
    return np.asarray(np.fft.irfft(kept, count) * (count / len(values)))


def _refused(id: str, /, **fields: float) -> ChiparcError:
    return ChiparcError(say("refused_place", "sound"), *refused("sound_refused", id, **fields))


def sound(values: Array, step: float, *, slowed: float = 1.0, rate: int = RATE) -> Sound:
    """The record ``values`` (n,), one each ``step`` seconds, as mono 16-bit WAV played ``slowed`` times slower.

    The mean is taken out: a steady push is no sound.  Raises ChiparcError for a silent, too short or too long record.
    """
    values = np.asarray(values, float)
    if not (slowed > 0.0 and math.isfinite(slowed)):
        raise _refused("slowed", slowed=slowed)
    seconds = len(values) * step * slowed
    if not 2.0 * FADE <= seconds <= LONGEST:
        raise _refused("length", seconds=seconds, least=2.0 * FADE, most=LONGEST)
    if not np.isfinite(values).all():
        raise _refused("gaps")
    moving = values - values.mean()
    size = float(np.abs(moving).max())
    if size <= 1e-12 * float(np.abs(values).max()):
        raise _refused("silent")
    place = (np.arange(len(values)) + 0.5) * (step * slowed)
    fade = np.minimum(np.minimum(place, seconds - place) / FADE, 1.0)
    samples = resampled(moving * np.sin(0.5 * np.pi * fade) ** 2, max(2, round(seconds * rate)))
    loudest = float(np.abs(samples).max())
    if loudest <= 1e-9 * size:
        raise _refused("too_high")
    whole = np.round(samples * (PEAK * 32767.0 / loudest)).astype("<i2")
    stream = io.BytesIO()
    with wave.open(stream, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(whole.tobytes())
    return Sound(stream.getvalue(), len(whole) / rate, slowed, loudest / PEAK)
