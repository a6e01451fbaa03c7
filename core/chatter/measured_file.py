"""A measured file as a person has it: a frequency response or a tap test turned into one, and its modal fit."""

from __future__ import annotations

from dataclasses import dataclass

from ..base.errors import DocumentError
from ..base.refused import refused
from ..base.words import say
from ..setup.setup import Mode
from .frequency_response import FrequencyResponse, read_frequency_response
from .modal_fit import ModalFit, fit_modes
from .tap_record import read_tap_columns, read_tap_wav
from .tap_test import TapTest, tap_response

FIGURES = 4
"""Figures that a fitted mode is written with: its errors are larger than the next one."""


@dataclass(frozen=True, slots=True)
class Reading:
    """How a person says that a file is to be read, where the file does not: units of the response and the phase; N
    and m/s2 at full scale of a sound file (or for one volt); turned: hammer and sensor point in opposite directions
    (None: found for a tap test, no for a response)."""

    unit: str | None = None
    phase_unit: str | None = None
    force_scale: float | None = None
    acceleration_scale: float | None = None
    turned: bool | None = None


@dataclass(frozen=True, slots=True)
class Measured:
    """A file's response, the tap test that it comes from (None for a response that was read), and the modal fit."""

    name: str
    response: FrequencyResponse
    tap: TapTest | None
    fit: ModalFit


def _is_record(data: bytes) -> bool:
    """Whether a text has a column of times: the first line with letters names the columns."""
    for line in data[:4096].decode("utf-8", "replace").splitlines():
        text = line.strip().lower()
        if text and not text.startswith("#") and any(c.isalpha() for c in text):
            return text.split(",")[0].split(";")[0].split("\t")[0].strip(' "').startswith("t")
    return False


def read_measured(data: bytes, name: str, reading: Reading | None = None) -> Measured:
    """The measurement in a file and its fit.  A file that begins as WAV, or has a column of times, is a tap test.

    Raises DocumentError or ChiparcError in words: where, what was found, what is allowed.
    """
    how = reading or Reading()
    if data[:4] == b"RIFF" or name.lower().endswith(".wav"):
        if how.force_scale is None or how.acceleration_scale is None:
            raise DocumentError(name, 0, say("refused_place", "scales"), *refused("tap_refused", "no_scales"))
        record = read_tap_wav(data, name, force_scale=how.force_scale, acceleration_scale=how.acceleration_scale)
    elif _is_record(data):
        record = read_tap_columns(data, name, force_scale=how.force_scale, acceleration_scale=how.acceleration_scale)
    else:
        response = read_frequency_response(
            data, name, unit=how.unit, phase_unit=how.phase_unit, turned=bool(how.turned)
        )
        return Measured(name, response, None, fit_modes(response))
    tap = tap_response(record, turned=how.turned)
    return Measured(name, tap.response, tap, fit_modes(tap.response))


def blocks(fit: ModalFit, axis: str) -> tuple[Mode, ...]:
    """The fitted modes as ``[[dynamics]]`` blocks on ``"x"``, ``"y"`` or ``"xy"``: both."""
    made = []
    for one in axis:
        for mode in fit.modes:
            figures = (mode.frequency_hz, mode.damping_ratio, mode.stiffness_n_mm)
            made.append(Mode("x" if one == "x" else "y", *(float(f"{v:.{FIGURES}g}") for v in figures)))
    return tuple(made)


def with_blocks(before: tuple[Mode, ...], fit: ModalFit, axis: str) -> tuple[Mode, ...]:
    """Blocks with those on the measured axis replaced by the fitted ones, others as they were."""
    return (*(mode for mode in before if mode.axis not in axis), *blocks(fit, axis))
