"""The time record of a tap test, hammer and accelerometer, from a WAV file or a file of columns; read strictly."""

from __future__ import annotations

import io
import math
import wave
from dataclasses import dataclass

import numpy as np

from ..base.errors import DocumentError
from ..base.file_bytes import too_large
from ..base.refused import refused
from ..base.words import say
from ..documents.document_text import decoded
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


def _scale(file: str, channel: str, value: float) -> float:
    if not math.isfinite(value) or value == 0.0:
        raise _refused(file, f"{channel}_scale", "scale", value=value)
    return value


def _refused(file: str, place: str, id: str, /, **fields: object) -> DocumentError:
    return DocumentError(file, 0, say("refused_place", place), *refused("tap_refused", id, **fields))


def _unclipped(file: str, clipped: np.ndarray, force: Array, acceleration: Array, step: float) -> TapRecord:
    for name, values in (("force_channel", force), ("acceleration_channel", acceleration)):
        if float(np.ptp(values)) == 0.0:
            raise _refused(file, name, "still")
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
    force_scale = _scale(file, "force", force_scale)
    acceleration_scale = _scale(file, "acceleration", acceleration_scale)
    if len(data) > LARGEST:
        raise too_large(file, LARGEST)
    try:
        with wave.open(io.BytesIO(data), "rb") as stream:
            channels, width, rate = stream.getnchannels(), stream.getsampwidth(), stream.getframerate()
            raw = stream.readframes(stream.getnframes())
    except (wave.Error, EOFError) as error:
        why = str(error) or say("tap_refused", "cut_off")
        raise _refused(file, "file", "no_wav", why=why) from None
    if channels < 2:
        raise _refused(file, "channels", "one_channel")
    for name, channel in (("force_channel", force_channel), ("acceleration_channel", acceleration_channel)):
        if not 1 <= channel <= channels:
            raise _refused(file, name, "channel", channel=channel, channels=channels)
    if force_channel == acceleration_channel:
        raise _refused(file, "channels", "same_channel", channel=force_channel)
    if width not in (1, 2, 3, 4) or rate <= 0:
        raise _refused(file, "file", "width", width=width, rate=rate)
    count = len(raw) // (width * channels)
    if count < FEWEST_SAMPLES:
        raise _refused(file, "file", "samples", count=count, fewest=FEWEST_SAMPLES)
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


def _unit_words(unit: str, allowed: str) -> tuple[str, str]:
    """A unit that is not read, and those that are."""
    return say("typed", "found_unit", unit=unit), say("tap_refused", allowed)


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
    text = decoded(data, file, say("read_file", "columns"), LARGEST)
    table = ColumnReader(text, file, _QUANTITIES, EXAMPLE).table(FEWEST_SAMPLES)
    require(table, ("time", "force", "acceleration"), EXAMPLE)
    unit = table.column("time").unit
    if unit not in ("", "s", "ms"):
        raise table.refuse(-1, "time", *_unit_words(unit, "time_units_allowed"))
    time = table.of("time") * (1e-3 if unit == "ms" else 1.0)
    steps = np.diff(time)
    back = np.flatnonzero(steps <= 0.0)
    if back.size:
        row = int(back[0]) + 1
        value, before = table.of("time")[row], table.of("time")[row - 1]
        found = say("measured_refused", "falls", value=value, before=before)
        raise table.refuse(row, "time", found, say("measured_refused", "times_allowed"))
    step = float(time[-1] - time[0]) / len(steps)
    usual = float(np.median(steps))
    # A printed time is rounded: times that differ by less than that are even.
    rounding = 2.0 * 10.0 ** (-6) * max(abs(float(time[-1])), abs(float(time[0])))
    off = np.flatnonzero(np.abs(steps - usual) > UNEVEN * usual + rounding)
    if off.size:
        row = int(off[0]) + 1
        raise table.refuse(row, "time", *refused("tap_refused", "step", step=steps[row - 1], usual=usual))
    channels = []
    for name, units, scale in (
        ("force", _FORCES, force_scale),
        ("acceleration", _ACCELERATIONS, acceleration_scale),
    ):
        named = table.column(name).unit
        if named in units:
            if scale is not None:
                raise table.refuse(-1, name, *refused("tap_refused", "unit_and_scale", unit=named, scale=scale))
            channels.append(table.of(name) * units[named])
        elif named in ("", "v"):
            if scale is None:
                lacks = say("tap_refused", "volts") if named else say("measured_refused", "no_unit")
                raise table.refuse(-1, name, lacks, say("tap_refused", f"{name}_units"))
            channels.append(table.of(name) * _scale(file, name, scale))
        else:
            raise table.refuse(-1, name, *_unit_words(named, f"{name}_units"))
    return _unclipped(file, np.zeros(len(time), bool), channels[0], channels[1], step)
