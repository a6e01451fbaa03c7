"""A measured frequency response of displacement over force, read strictly from a file of columns.

Columns: frequency, and either real and imaginary or magnitude and phase, in any order; coherence if there is one.
The unit of the response (m/N, mm/N, um/N) and of the phase (deg, rad) stand in the heading, or are chosen by the
person where the heading has none.  Here it is always mm/N.  Sign: force and movement counted in the same direction
and ``exp(+i w t)``, so that the phase falls from 0 through -90 degrees at a mode and the imaginary part is below 0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..documents.document_text import decoded
from ..maths.arrays import Array, frozen
from .measured_columns import ColumnReader, Table, plain_unit, require

WANTED = "a text file of columns in UTF-8"
EXAMPLE = "frequency [Hz], real [um/N], imaginary [um/N]"
EXAMPLE_POLAR = "frequency [Hz], magnitude [um/N], phase [deg]"
UNITS = {"m/n": 1e3, "mm/n": 1.0, "um/n": 1e-3}
"""mm/N in one of each unit that is read."""

PHASES = {"deg": math.pi / 180.0, "degree": math.pi / 180.0, "degrees": math.pi / 180.0, "rad": 1.0, "radians": 1.0}

FEWEST_ROWS = 16
LARGEST_HZ = 1e6
PLAUSIBLE = (2e-6, 0.5)
"""mm/N between which the greatest response of a held cutter lies; common practice, no source, and wide on purpose.

A response a thousand times too small or too large, the mark of a wrong unit, mostly falls outside.
"""

GAP = 3.5
"""Times the step before it that a step in frequency may have; more is a gap in the measurement."""

_QUANTITIES = {
    "frequency": "frequency", "freq": "frequency", "f": "frequency",
    "real": "real", "re": "real", "real part": "real",
    "imaginary": "imaginary", "imag": "imaginary", "im": "imaginary", "imaginary part": "imaginary",
    "magnitude": "magnitude", "mag": "magnitude", "amplitude": "magnitude",
    "phase": "phase",
    "coherence": "coherence", "coh": "coherence",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class FrequencyResponse:
    """Displacement over force at one place: frequency (n,) Hz ascending, compliance (n,) complex mm/N.

    coherence : (n,) 0 to 1, None if it was not measured.  ``source`` is the file or record it comes from.
    """

    frequency: Array
    compliance: np.ndarray
    coherence: Array | None = None
    source: str = ""

    def within(self, low: float, high: float) -> FrequencyResponse:
        """The part from ``low`` to ``high`` Hz."""
        kept = (self.frequency >= low) & (self.frequency <= high)
        coherence = None if self.coherence is None else self.coherence[kept]
        return FrequencyResponse(self.frequency[kept], self.compliance[kept], coherence, self.source)

    @property
    def softest(self) -> tuple[float, float]:
        """Frequency (Hz) of the greatest response and its size (mm/N)."""
        at = int(np.argmax(np.abs(self.compliance)))
        return float(self.frequency[at]), float(np.abs(self.compliance[at]))


def _unit(table: Table, quantity: str, chosen: str | None, allowed: dict[str, float], words: str) -> float:
    """What one of the column's unit is, by the heading or by choice."""
    named = table.column(quantity).unit
    if named and named not in allowed:
        hint = ""
        if quantity not in ("phase", "frequency"):
            hint = " (displacement over force; turn a response of velocity or acceleration into it first)"
        raise table.refuse(-1, quantity, f'found the unit "{named}"', words + hint)
    if chosen is not None and named and allowed[plain_unit(chosen)] != allowed[named]:
        raise table.refuse(-1, quantity, f"found the unit {named} and {chosen} chosen", "one unit in both places")
    if not named and chosen is None:
        raise table.refuse(-1, quantity, "found no unit", f"{words} in the heading, or chosen beside the file")
    return allowed[named or plain_unit(chosen or "")]


def _frequencies(table: Table) -> Array:
    """The frequencies in Hz, refused unless they ascend from 0 or more without gaps."""
    f = table.of("frequency")
    unit = table.column("frequency").unit
    if unit not in ("", "hz"):
        raise table.refuse(-1, "frequency", f'found the unit "{unit}"', "Hz")
    for row, value in enumerate(f):
        if value < 0.0:
            raise table.refuse(row, "frequency", f"found {value:g}, below 0", "frequencies from 0 up")
        if value > LARGEST_HZ:
            raise table.refuse(row, "frequency", f"found {value:g}", f"up to {LARGEST_HZ:g} Hz")
        if row and value <= f[row - 1]:
            found = f"found {value:g} after {f[row - 1]:g}"
            raise table.refuse(row, "frequency", found, "frequencies that rise from row to row")
    steps = np.diff(f)
    beside = np.concatenate([steps[1:2], steps[:-1]])
    gaps = np.flatnonzero(steps > GAP * beside)
    if gaps.size:
        row = int(gaps[0]) + 1
        found = f"found a gap from {f[row - 1]:g} to {f[row]:g} Hz beside a step of {beside[row - 1]:g} Hz"
        raise table.refuse(row, "frequency", found, f"no step over {GAP:g} times the one beside it")
    return f


def _polar(table: Table, unit: str | None, phase_unit: str | None) -> np.ndarray:
    """Complex response of magnitude and phase, mm/N."""
    scale = _unit(table, "magnitude", unit, UNITS, "m/N, mm/N or um/N")
    turn = _unit(table, "phase", phase_unit, PHASES, "deg or rad")
    magnitude, phase = table.of("magnitude"), table.of("phase")
    below = np.flatnonzero(magnitude < 0.0)
    if below.size:
        found = f"found {magnitude[below[0]]:g}, below 0"
        raise table.refuse(int(below[0]), "magnitude", found, "sizes from 0 up; decibels are not read")
    largest = int(np.argmax(np.abs(phase)))
    if turn == 1.0 and abs(phase[largest]) > 8.0 * math.pi:
        found = f"found {phase[largest]:g} rad, many turns"
        raise table.refuse(largest, "phase", found, "radians, or the unit deg if these are degrees")
    if turn != 1.0 and abs(phase[largest]) < 2.0 * math.pi + 1e-6 and np.ptp(phase) > 1.0:
        found = f"found phases of {phase.min():.3g} to {phase.max():.3g} degrees, no more than radians have"
        raise table.refuse(largest, "phase", found, "degrees, or the unit rad if these are radians")
    return np.asarray(scale * magnitude * np.exp(1j * turn * phase))


def read_frequency_response(
    data: bytes | str,
    file: str,
    *,
    unit: str | None = None,
    phase_unit: str | None = None,
    turned: bool = False,
) -> FrequencyResponse:
    """The response of a file; ``file`` is its name for the errors.

    unit : m/N, mm/N or um/N, phase_unit : deg or rad, where the heading does not say; turned : force and movement
    were counted in opposite directions.  Raises DocumentError with file, line, column, what was found, what is
    allowed.
    """
    table = ColumnReader(decoded(data, file, WANTED), file, _QUANTITIES, EXAMPLE).table(FEWEST_ROWS)
    require(table, ("frequency",), EXAMPLE)
    if table.has("magnitude") or table.has("phase"):
        require(table, ("magnitude", "phase"), EXAMPLE_POLAR)
        if table.has("real") or table.has("imaginary"):
            name = "real" if table.has("real") else "imaginary"
            raise table.refuse(-1, name, "found beside magnitude and phase", "one pair of the two")
        frequency = _frequencies(table)
        main, response = "magnitude", _polar(table, unit, phase_unit)
    else:
        require(table, ("real", "imaginary"), EXAMPLE)
        frequency = _frequencies(table)
        words = "m/N, mm/N or um/N"
        main = "imaginary"
        response = np.asarray(
            _unit(table, "real", unit, UNITS, words) * table.of("real")
            + 1j * _unit(table, "imaginary", unit, UNITS, words) * table.of("imaginary")
        )
    coherence = None
    if table.has("coherence"):
        coherence = table.of("coherence")
        off = np.flatnonzero((coherence < 0.0) | (coherence > 1.0 + 1e-6))
        if off.size:
            raise table.refuse(int(off[0]), "coherence", f"found {coherence[off[0]]:g}", "0 to 1")
        coherence = frozen(np.minimum(coherence, 1.0))
    if turned:
        response = -response
    _check_size(table, main, response)
    response.setflags(write=False)
    return FrequencyResponse(frozen(frequency.copy()), response, coherence, file)


def _check_size(table: Table, main: str, response: np.ndarray) -> None:
    """Refuse a response that no held cutter has: wrong unit, wrong sign, nothing at all."""
    size = np.abs(response)
    at = int(np.argmax(size))
    if size[at] == 0.0:
        raise table.refuse(at, main, "found a response of 0 everywhere", "a measured response")
    low, high = PLAUSIBLE
    if not low <= size[at] <= high:
        found = f"found a greatest response of {size[at] * 1e3:.3g} um/N, which no held cutter has"
        raise table.refuse(at, main, found, f"{low * 1e3:g} to {high * 1e3:g} um/N: check the unit")
    if response[at].imag > 0.0:
        found = "found an imaginary part above 0 where the response is greatest"
        allowed = "below 0, a phase that falls through -90 degrees: turn the sign of one channel, or of the phase"
        raise table.refuse(at, main, found, allowed)
