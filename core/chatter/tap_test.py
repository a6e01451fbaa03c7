"""From the hits of a tap test to the frequency response of the tool's tip, with coherence.

Each hit is cut out of the record with its ring-down; ``H1 = S_fa / S_ff`` from the spectra averaged over all hits,
which noise in the acceleration does not bias (Bendat and Piersol, Random Data, from memory); displacement is
acceleration over ``-(2 pi f)^2``.  Coherence is the share of the acceleration that the force explains, and needs
two hits or more.  No exponential window is laid on, so no damping is added; a ring-down that is cut off is told
instead.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..base.errors import ChiparcError
from ..base.refused import refused, refused_count
from ..base.words import say
from ..maths.arrays import Array, frozen
from .frequency_response import FrequencyResponse
from .tap_record import TapRecord

HIT_SHARE = 0.25
"""Share of the record's greatest force from which a rise counts as a hit."""

DOUBLE_SHARE = 0.04
"""Share of a hit's own force, and over six times the noise before it, from which a later rise is a second blow."""

BEFORE_SHARE = 0.03
"""Share of the window that stands before the hit."""

GOOD_FORCE_DB = 20.0
"""How far the hammer's spectrum may fall below its greatest before a frequency counts as not excited."""

CUT_OFF = 0.03
"""Ring-down left at the end of the window, as a share of its greatest, from which it counts as cut off."""

LEAST_HZ = 50.0
"""Band's lower end unless given: below it displacement is a little noise over f^2; common practice, no source."""

FEWEST_LINES = 16


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A hit that was not used: when (s) and why, in words."""

    time: float
    why: str


@dataclass(frozen=True, slots=True)
class TapTest:
    """The response of a tap test over the band that the hammer excited.

    hits : times (s) of the hits used; left_out : the others; force_spectrum : (n,) N s, mean size at each line of
    the response; ring_left : greatest share of a ring-down left at the end of its window, over ``CUT_OFF`` cut off,
    so that damping reads some per cent too high; window : s; turned : whether the accelerometer was taken to point
    against the hammer.
    """

    response: FrequencyResponse
    force_spectrum: Array
    hits: tuple[float, ...]
    left_out: tuple[LeftOut, ...]
    ring_left: float
    window: float
    turned: bool

    @property
    def cut_off(self) -> bool:
        """Whether a ring-down is cut off by the end of its window."""
        return self.ring_left > CUT_OFF


def _pulse_end(force: Array, peak: int) -> int:
    """First sample after the peak at which the force is down to a twentieth."""
    below = np.flatnonzero(force[peak:] < 0.05 * force[peak])
    return peak + (int(below[0]) if below.size else len(force) - peak)


def _peaks(force: Array) -> list[int]:
    """Sample of each hit's greatest force; a rise within one pulse is one hit."""
    peaks: list[int] = []
    above = np.flatnonzero(force >= HIT_SHARE * force.max())
    at = 0
    while at < len(above):
        start = int(above[at])
        # The pulse runs on from here until the force has come down for good.
        end = start + 1
        while end < len(force) and force[end] >= 0.05 * force[start : end + 1].max():
            end += 1
        peaks.append(start + int(np.argmax(force[start:end])))
        at = int(np.searchsorted(above, end))
    return peaks


def tap_response(
    record: TapRecord,
    *,
    window: float | None = None,
    low: float | None = None,
    high: float | None = None,
    turned: bool | None = None,
) -> TapTest:
    """The response from the record's hits.

    window : length of the piece of each hit, s (None: as long as the hits' distance leaves, 2 s at most); low, high
    : the band in Hz (None: from 8 lines or ``LEAST_HZ`` up to where the hammer's spectrum is ``GOOD_FORCE_DB``
    down); turned : hammer and accelerometer point in opposite directions (None: found, as energy must go from the
    hammer into the tool).  Raises ChiparcError in words where no hit can be used.
    """
    where = record.source
    force = record.force - float(np.median(record.force))
    if -float(force.min()) > float(force.max()):
        force = -force  # a hammer that reads a push as below 0
    acceleration = record.acceleration - float(np.median(record.acceleration))
    for_force, for_motion = _duration(force), _duration(acceleration)
    if for_force > for_motion:
        raise ChiparcError(where, *refused("tap_refused", "swapped"))
    peaks = _peaks(force)
    n = len(force)
    groups = _hits_apart(peaks, record.step)
    firsts = [group[0] for group in groups]
    if window is None:
        apart = min(np.diff([*firsts, n]).tolist())
        window = min(2.0, record.step * apart * (1.0 - 2.0 * BEFORE_SHARE))
    samples = int(window / record.step)
    if samples < 2 * FEWEST_LINES:
        raise ChiparcError(where, *refused("tap_refused", "close", apart=window))
    before = max(4, int(BEFORE_SHARE * samples))

    used, left_out, cross, of_force, of_motion, ring_left = [], [], [], [], [], 0.0
    for group in groups:
        peak = group[0]
        start, end = peak - before, peak - before + samples
        why = _why_not(record, force, group, start, end, before)
        if why:
            left_out.append(LeftOut(peak * record.step, why))
            continue
        f, a = force[start:end].copy(), acceleration[start:end].copy()
        quiet = slice(0, max(2, before // 2))
        f, a = f - f[quiet].mean(), a - a[quiet].mean()
        # After the pulse the hammer touches nothing: what its channel shows there is noise alone.
        f[min(samples, _pulse_end(f, before) + max(4, before // 8)) :] = 0.0
        tail = max(4, samples // 20)
        ring_left = max(ring_left, float(np.abs(a[-tail:]).max() / max(float(np.abs(a).max()), 1e-300)))
        spectrum_f, spectrum_a = np.fft.rfft(f), np.fft.rfft(a)
        cross.append(np.conj(spectrum_f) * spectrum_a)
        of_force.append(np.abs(spectrum_f) ** 2)
        of_motion.append(np.abs(spectrum_a) ** 2)
        used.append(peak * record.step)
    if not used:
        reasons = "; ".join(sorted({hit.why for hit in left_out}))
        raise ChiparcError(where, *refused("tap_refused", "no_hit", reasons=reasons))

    s_fa, s_ff, s_aa = np.mean(cross, 0), np.mean(of_force, 0), np.mean(of_motion, 0)
    frequency = np.asarray(np.fft.rfftfreq(samples, record.step), float)
    if low is None:
        low = max(LEAST_HZ, float(frequency[min(8, len(frequency) - 1)]))
    if high is None:
        weak = np.flatnonzero(s_ff < 10.0 ** (-GOOD_FORCE_DB / 10.0) * s_ff.max())
        high = float(frequency[int(weak[0]) - 1 if weak.size and weak[0] > 0 else -1])
    kept = (frequency >= max(low, 1e-9)) & (frequency <= high)
    if int(kept.sum()) < FEWEST_LINES:
        ends = {"low": low, "high": high, "fewest": FEWEST_LINES}
        raise ChiparcError(where, *refused_count("tap_refused", "lines", int(kept.sum()), **ends))
    f_kept = frequency[kept]
    # m/s2 per N over -(2 pi f)^2 is m/N; a thousand times that is mm/N.
    accelerance = s_fa[kept] / s_ff[kept]
    if turned is None:
        # Of displacement the imaginary part is below 0 at every mode, so of acceleration it is above.
        turned = float(np.sum(accelerance.imag)) < 0.0
    compliance = (1000.0 if turned else -1000.0) * accelerance / (2.0 * np.pi * f_kept) ** 2
    compliance.setflags(write=False)
    coherence = None
    if len(used) > 1:
        bound = np.maximum(s_ff[kept] * s_aa[kept], 1e-300)
        coherence = frozen(np.minimum(np.abs(s_fa[kept]) ** 2 / bound, 1.0))
    response = FrequencyResponse(frozen(f_kept), compliance, coherence, where)
    size = frozen(np.sqrt(s_ff[kept]) * record.step)
    return TapTest(response, size, tuple(used), tuple(left_out), ring_left, samples * record.step, turned)


def _duration(values: Array) -> float:
    """Samples over which a signal's energy is spread: (sum of squares)^2 over the sum of fourth powers."""
    squares = (values / max(float(np.abs(values).max()), 1e-300)) ** 2
    return float(squares.sum() ** 2 / max(float((squares**2).sum()), 1e-300))


def _hits_apart(peaks: list[int], step: float) -> list[list[int]]:
    """Peaks in groups: those closer than 50 ms belong to one blow, no hand taps faster (common practice, no
    source)."""
    groups: list[list[int]] = []
    for peak in peaks:
        if groups and (peak - groups[-1][-1]) * step < 0.05:
            groups[-1].append(peak)
        else:
            groups.append([peak])
    return groups


def _why_not(record: TapRecord, force: Array, group: list[int], start: int, end: int, before: int) -> str:
    """Why a hit cannot be used, in words; "" if it can."""
    peak = group[0]
    if start < 0:
        return say("hit_left_out", "too_soon")
    if end > len(force):
        return say("hit_left_out", "too_late")
    if record.clipped[start:end].any():
        return say("hit_left_out", "clipped")
    noise = float(force[start : start + max(2, before // 2)].std())
    after = force[_pulse_end(force, peak) : end]
    if len(group) > 1 or float(after.max()) > DOUBLE_SHARE * float(force[peak]) + 6.0 * noise:
        return say("hit_left_out", "second_blow")
    return ""
