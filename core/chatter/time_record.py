"""The history of one simulated point: displacement, chip, force, once-a-turn samples, spectrum, waves on the
surface."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..maths.arrays import Array, frozen
from .regenerative_cut import RegenerativeCut

ON_LINE = 1.0
"""Widths of a spectrum's line within which a peak counts as lying on a tooth-passing line."""


@dataclass(frozen=True, slots=True)
class TimeRecord:
    """History of one point over n even steps, in the frame of the project.

    time : (n,) s; angle : (n,) rad of tooth 0's tip; displacement : (n, 2) mm of the cutter, x and y; force : (n,
    2) N on the cutter, mean over the step that begins then.  Of every tooth's tip, nan outside the arc, mm along
    the radius from the nominal circle, + outward: path : (n, teeth) where it runs, before : (n, teeth) the surface
    that it meets.
    """

    cut: RegenerativeCut
    speed: float
    depth: float
    steps_per_turn: int
    time: Array
    angle: Array
    displacement: Array
    force: Array
    path: Array
    before: Array

    @property
    def chip(self) -> Array:
        """Chip of each tooth's tip (n, teeth), mm; 0 outside the arc and where the tooth lost contact."""
        kappa = math.sin(self.cut.kappa)
        return np.where(np.isnan(self.path), 0.0, np.maximum(kappa * (self.path - self.before), 0.0))

    @property
    def turns(self) -> int:
        """Whole turns of the record."""
        return len(self.time) // self.steps_per_turn

    def once_a_turn(self) -> Array:
        """Displacement (turns, 2), mm, each time that tooth 0's tip enters the arc: points that a settled cut
        repeats."""
        return self.displacement[:: self.steps_per_turn]

    def tooth_passing(self, up_to: float) -> Array:
        """Tooth-passing frequency and its multiples up to ``up_to``, Hz."""
        passing = self.speed / 60.0 * self.cut.teeth
        return passing * np.arange(1.0, math.floor(up_to / passing + 1e-9) + 1.0)


@dataclass(frozen=True, slots=True)
class Spectrum:
    """Amplitude (lines, 2) mm of displacement in x and y against frequency (lines,) Hz.

    tooth_passing : multiples of the tooth-passing frequency in this band, Hz.  chatter : frequency of the greatest
    line that lies on none of them (where teeth differ, on no multiple of a turn), Hz, and its amplitude in mm, nan
    without.
    """

    frequency: Array
    amplitude: Array
    tooth_passing: Array
    chatter: float
    chatter_amplitude: float


def spectrum(record: TimeRecord, *, turns: int | None = None, highest: float | None = None) -> Spectrum:
    """Spectrum of the last ``turns`` whole turns (all but the first quarter of them), up to ``highest`` Hz.

    Hann window, amplitudes corrected for it: a sine between two lines reads up to 15 % low (Harris 1978, from
    memory).  Whole turns put every multiple of the turn on a line.  ``highest`` is 4 times the highest mode unless
    given.
    """
    turns = max(1, record.turns - record.turns // 4) if turns is None else min(turns, record.turns)
    kept = record.displacement[-turns * record.steps_per_turn :]
    n = len(kept)
    window = 0.5 - 0.5 * np.cos(2.0 * np.pi * np.arange(n) / n)
    amplitude = np.abs(np.fft.rfft((kept - kept.mean(0)) * window[:, None], axis=0)) * (4.0 / n)
    turn = record.speed / 60.0
    frequency = np.arange(len(amplitude)) * turn / turns
    if highest is None:
        highest = max(4.0 * max(m.frequency_hz for m in record.cut.modes), 1.5 * turn * record.cut.teeth)
    within = frequency <= highest
    frequency, amplitude = frequency[within], amplitude[within]
    repeat = turn * record.cut.teeth if record.cut.alike else turn
    both = np.hypot(amplitude[:, 0], amplitude[:, 1])
    from_line = np.abs(frequency / repeat - np.round(frequency / repeat)) * repeat
    # The window spreads a sine over the lines on both sides of it.
    off = from_line > (ON_LINE + 0.5) * turn / turns
    at = int(np.argmax(np.where(off, both, -1.0)))
    chatters = bool(off.any())
    return Spectrum(
        frozen(frequency),
        frozen(amplitude),
        frozen(record.tooth_passing(highest)),
        float(frequency[at]) if chatters else math.nan,
        float(both[at]) if chatters else math.nan,
    )


@dataclass(frozen=True, slots=True)
class Waves:
    """One passage of a tooth's tip through the arc, as its chip strip shows it.

    phi : (n,) rad; before : (n,) mm, the surface that it meets, path : (n,) mm, its own way, both + outward from
    the nominal circle, seen from the cutter's axis as it is then; chip : (n,) mm; rigid : (n,) mm, chip without
    vibration.
    """

    phi: Array
    before: Array
    path: Array
    chip: Array
    rigid: Array

    @property
    def left_behind(self) -> Array:
        """Waviness (n,) mm of the surface that the teeth before left: its departure from a rigid cutter's surface."""
        return self.path - self.before - self.rigid


def waves(record: TimeRecord, tooth: int = 0, passage: int = -1) -> Waves:
    """The waves that ``tooth`` meets in one whole ``passage`` through the arc (-1: the last), counted from 0."""
    steps = record.steps_per_turn
    inside = np.isfinite(record.path[:, tooth])
    edges = np.diff(np.concatenate([[False], inside, [False]]).astype(int))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    # The first and the last may be cut off by the ends of the record.
    length = int((ends - starts).max())
    whole = np.flatnonzero(ends - starts == length)
    start = int(starts[whole[passage]])
    row = slice(start, start + length)
    phi = record.cut.entry + 2.0 * np.pi / steps * np.arange(length, dtype=float)
    kappa = math.sin(record.cut.kappa)
    path, before = record.path[row, tooth], record.before[row, tooth]
    chip = np.maximum(kappa * (path - before), 0.0)
    return Waves(frozen(phi), before, path, frozen(chip), frozen(record.cut.rigid_chip(phi)[tooth]))
