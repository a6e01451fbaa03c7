"""The time record of a tap test, hammer and accelerometer, from a WAV file or a file of columns; read strictly."""

from __future__ import annotations

import io
import math
import wave
from dataclasses import dataclass

import numpy as np

from ..base.errors import DocumentError
from ..base.file_bytes import too_large
from ..maths.arrays import Array, frozen
from .measured_columns import ColumnReader, require

LARGEST = 60_000_000
"""Bytes of the largest record that is read: some minutes of two channels."""

FEWEST_SAMPLES = 256
GRAVITY = 9.80665
"""m/s2 in one g."""

UNEVEN = 0.02
"""Share of a step by which a sample may stand off its even place, plus the rounding of the printed times."""

CLIPPED_RUN = 3
"""Samples in a row at the very end of the scale from which a WAV channel counts as clipped."""

EXAMPLE = "time [s], force [N], acceleration [m/s2]"

_QUANTITIES = {
    "time": "time", "t": "time",
    "force": "force", "hammer": "force",
    "acceleration": "acceleration", "accelerometer": "acceleration", "accel": "acceleration",
}  # fmt: skip
_FORCES = {"n": 1.0, "kn": 1000.0}
_ACCELERATIONS = {"m/s2": 1.0, "g": GRAVITY}


@dataclass(frozen=True, slots=True)
class TapRecord:
    """Even samples of one or several hits: force (n,) N, acceleration (n,) m/s2, ``step`` s between samples.

    clipped : (n,), whether either channel stands at the end of its scale there.
    """

    force: Array
    acceleration: Array
    step: float
    clipped: np.ndarray
    source: str


def _scale(file: str, name: str, value: float | None) -> float:
    if value is None or not math.isfinite(value) or value == 0.0:
        found = "found no scale factor" if value is None else f"found the scale factor {value:g}"
        allowed = "a number other than 0: the sensor's size in N or m/s2 for one unit of the channel"
        raise DocumentError(file, 0, name, found, allowed)
    return value


def _unclipped(file: str, clipped: np.ndarray, force: Array, acceleration: Array, step: float) -> TapRecord:
    for name, values in (("force channel", force), ("acceleration channel", acceleration)):
        if float(np.ptp(values)) == 0.0:
            raise DocumentError(file, 0, name, "found a channel that stands still", "a measured signal")
    return TapRecord(frozen(force), frozen(acceleration), step, clipped, file)


def read_tap_wav(
    data: bytes,
    file: str,
    *,
    force_scale: float,
    acceleration_scale: float,
    force_channel: int = 1,
    acceleration_channel: int = 2,
) -> TapRecord:
    """The record of a WAV file.  Scales are N and m/s2 at full scale (sample 1.0); channels count from 1.

    Raises DocumentError in words for what is no PCM WAV file, has one channel, or is too short.
    """
    force_scale = _scale(file, "force scale", force_scale)
    acceleration_scale = _scale(file, "acceleration scale", acceleration_scale)
    if len(data) > LARGEST:
        raise too_large(file, LARGEST)
    try:
        with wave.open(io.BytesIO(data), "rb") as stream:
            channels, width, rate = stream.getnchannels(), stream.getsampwidth(), stream.getframerate()
            raw = stream.readframes(stream.getnframes())
    except (wave.Error, EOFError) as error:
        found = f"could not be read as a WAV file ({error or 'it ends too soon'})"
        raise DocumentError(file, 0, "file", found, "WAV, plain PCM of 8, 16, 24 or 32 bit whole numbers") from None
    if channels < 2:
        raise DocumentError(file, 0, "channels", "found one channel", "two: hammer and accelerometer")
    for name, channel in (("force channel", force_channel), ("acceleration channel", acceleration_channel)):
        if not 1 <= channel <= channels:
            raise DocumentError(file, 0, name, f"found {channel}", f"1 to {channels}")
    if force_channel == acceleration_channel:
        raise DocumentError(file, 0, "channels", f"found channel {force_channel} for both", "two different ones")
    if width not in (1, 2, 3, 4) or rate <= 0:
        raise DocumentError(file, 0, "file", f"found samples of {width} bytes at {rate} Hz", "PCM of 8 to 32 bit")
    count = len(raw) // (width * channels)
    if count < FEWEST_SAMPLES:
        raise DocumentError(file, 0, "file", f"found {count} samples", f"{FEWEST_SAMPLES} or more")
    octets = np.frombuffer(raw, np.uint8, count * channels * width).reshape(count, channels, width)
    if width == 1:
        whole, full = octets[..., 0].astype(np.int64) - 128, 128
    else:
        padded = np.zeros((count, channels, 4), np.uint8)
        padded[..., 4 - width :] = octets
        whole, full = padded.view("<i4")[..., 0].astype(np.int64) >> (8 * (4 - width)), 1 << (8 * width - 1)
    chosen = whole[:, [force_channel - 1, acceleration_channel - 1]]
    at_end = (chosen >= full - 1) | (chosen <= -full)
    clipped = np.zeros(count, bool)
    for side in at_end.T:
        run = np.convolve(side.astype(int), np.ones(CLIPPED_RUN, int))[CLIPPED_RUN - 1 :] == CLIPPED_RUN
        for shift in range(CLIPPED_RUN):
            clipped[shift:] |= run[: count - shift]
    values = chosen / float(full)
    return _unclipped(file, clipped, values[:, 0] * force_scale, values[:, 1] * acceleration_scale, 1.0 / rate)


def _decoded(data: bytes | str, file: str) -> str:
    """Text of a record, which may be longer than any document."""
    if isinstance(data, str):
        return data
    if len(data) > LARGEST:
        raise too_large(file, LARGEST)
    if b"\0" in data:
        raise DocumentError(
            file, 0, "file", "found a zero byte, as in a binary file", "a text file of columns in UTF-8"
        )
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"found the byte 0x{data[error.start]:02X}, which is not UTF-8"
        raise DocumentError(file, line, "file", found, "UTF-8 text") from None


def read_tap_columns(
    data: bytes | str,
    file: str,
    *,
    force_scale: float | None = None,
    acceleration_scale: float | None = None,
) -> TapRecord:
    """The record of a file of columns: time, force, acceleration, each with its unit in the heading.

    Units: s or ms; N or kN; m/s2 or g.  A channel in V or without unit needs its scale, N or m/s2 for one of it; a
    channel whose unit says it all may have none.  Raises DocumentError with file, line, column.
    """
    table = ColumnReader(_decoded(data, file), file, _QUANTITIES, EXAMPLE).table(FEWEST_SAMPLES)
    require(table, ("time", "force", "acceleration"), EXAMPLE)
    unit = table.column("time").unit
    if unit not in ("", "s", "ms"):
        raise table.refuse(-1, "time", f'found the unit "{unit}"', "s or ms")
    time = table.of("time") * (1e-3 if unit == "ms" else 1.0)
    steps = np.diff(time)
    back = np.flatnonzero(steps <= 0.0)
    if back.size:
        row = int(back[0]) + 1
        found = f"found {table.of('time')[row]:g} after {table.of('time')[row - 1]:g}"
        raise table.refuse(row, "time", found, "times that rise from row to row")
    step = float(time[-1] - time[0]) / len(steps)
    usual = float(np.median(steps))
    # A printed time is rounded: times that differ by less than that are even.
    rounding = 2.0 * 10.0 ** (-6) * max(abs(float(time[-1])), abs(float(time[0])))
    off = np.flatnonzero(np.abs(steps - usual) > UNEVEN * usual + rounding)
    if off.size:
        row = int(off[0]) + 1
        found = f"found a step of {steps[row - 1]:.4g} s where the usual one is {usual:.4g} s"
        raise table.refuse(row, "time", found, "even steps without gaps")
    channels = []
    for name, units, scale, words in (
        ("force", _FORCES, force_scale, "N, kN, or V with a scale factor in N/V"),
        ("acceleration", _ACCELERATIONS, acceleration_scale, "m/s2, g, or V with a scale factor in m/s2 per V"),
    ):
        found = table.column(name).unit
        if found in units:
            if scale is not None:
                message = f"found the unit {found} and a scale factor of {scale:g}"
                raise table.refuse(-1, name, message, "a scale factor only for a channel in V")
            channels.append(table.of(name) * units[found])
        elif found in ("", "v"):
            if scale is None:
                raise table.refuse(-1, name, "found no unit" if not found else "found V and no scale factor", words)
            channels.append(table.of(name) * _scale(file, f"{name} scale", scale))
        else:
            raise table.refuse(-1, name, f'found the unit "{found}"', words)
    return _unclipped(file, np.zeros(len(time), bool), channels[0], channels[1], step)
