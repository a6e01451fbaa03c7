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

from ..base.refused import refused
from ..base.words import say
from ..documents.document_text import decoded
from ..maths.arrays import Array, frozen
from .measured_columns import ColumnReader, Table, plain_unit, require

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


def _unit(table: Table, quantity: str, chosen: str | None, allowed: dict[str, float]) -> float:
    """What one of the column's unit is, by the heading or by choice."""
    named = table.column(quantity).unit
    if named and named not in allowed:
        units = _unit_words(allowed)
        if allowed is UNITS:
            units = say("measured_refused", "response_unit_allowed", units=units)
        raise table.refuse(-1, quantity, say("typed", "found_unit", unit=named), units)
    if chosen is not None and named and allowed[plain_unit(chosen)] != allowed[named]:
        told = refused("measured_refused", "unit_twice", named=named, chosen=chosen)
        raise table.refuse(-1, quantity, *told)
    if not named and chosen is None:
        told = refused("measured_refused", "no_unit", units=_unit_words(allowed))
        raise table.refuse(-1, quantity, *told)
    return allowed[named or plain_unit(chosen or "")]


def _unit_words(allowed: dict[str, float]) -> str:
    """The units that are read, in words."""
    return say("measured_refused", "response_units" if allowed is UNITS else "phase_units")


def _frequencies(table: Table) -> Array:
    """The frequencies in Hz, refused unless they ascend from 0 or more without gaps."""
    f = table.of("frequency")
    unit = table.column("frequency").unit
    if unit not in ("", "hz"):
        raise table.refuse(-1, "frequency", say("typed", "found_unit", unit=unit), "Hz")
    for row, value in enumerate(f):
        if value < 0.0:
            raise table.refuse(row, "frequency", *refused("measured_refused", "below_0", value=value))
        if value > LARGEST_HZ:
            allowed = say("measured_refused", "frequency_allowed", most=LARGEST_HZ)
            raise table.refuse(row, "frequency", say("measured_refused", "value", value=value), allowed)
        if row and value <= f[row - 1]:
            told = refused("measured_refused", "falls", value=value, before=f[row - 1])
            raise table.refuse(row, "frequency", *told)
    steps = np.diff(f)
    beside = np.concatenate([steps[1:2], steps[:-1]])
    gaps = np.flatnonzero(steps > GAP * beside)
    if gaps.size:
        row = int(gaps[0]) + 1
        fields = {"low": f[row - 1], "high": f[row], "step": beside[row - 1], "most": GAP}
        raise table.refuse(row, "frequency", *refused("measured_refused", "gap", **fields))
    return f


def _polar(table: Table, unit: str | None, phase_unit: str | None) -> np.ndarray:
    """Complex response of magnitude and phase, mm/N."""
    scale = _unit(table, "magnitude", unit, UNITS)
    turn = _unit(table, "phase", phase_unit, PHASES)
    magnitude, phase = table.of("magnitude"), table.of("phase")
    below = np.flatnonzero(magnitude < 0.0)
    if below.size:
        found = say("measured_refused", "below_0", value=magnitude[below[0]])
        raise table.refuse(int(below[0]), "magnitude", found, say("measured_refused", "size_allowed"))
    largest = int(np.argmax(np.abs(phase)))
    if turn == 1.0 and abs(phase[largest]) > 8.0 * math.pi:
        raise table.refuse(largest, "phase", *refused("measured_refused", "turns", phase=phase[largest]))
    if turn != 1.0 and abs(phase[largest]) < 2.0 * math.pi + 1e-6 and np.ptp(phase) > 1.0:
        told = refused("measured_refused", "radians", low=phase.min(), high=phase.max())
        raise table.refuse(largest, "phase", *told)
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
    text = decoded(data, file, say("read_file", "columns"))
    table = ColumnReader(text, file, _QUANTITIES, EXAMPLE).table(FEWEST_ROWS)
    require(table, ("frequency",), EXAMPLE)
    if table.has("magnitude") or table.has("phase"):
        require(table, ("magnitude", "phase"), EXAMPLE_POLAR)
        if table.has("real") or table.has("imaginary"):
            name = "real" if table.has("real") else "imaginary"
            raise table.refuse(-1, name, *refused("measured_refused", "two_pairs"))
        frequency = _frequencies(table)
        main, response = "magnitude", _polar(table, unit, phase_unit)
    else:
        require(table, ("real", "imaginary"), EXAMPLE)
        frequency = _frequencies(table)
        main = "imaginary"
        response = np.asarray(
            _unit(table, "real", unit, UNITS) * table.of("real")
            + 1j * _unit(table, "imaginary", unit, UNITS) * table.of("imaginary")
        )
    coherence = None
    if table.has("coherence"):
        coherence = table.of("coherence")
        off = np.flatnonzero((coherence < 0.0) | (coherence > 1.0 + 1e-6))
        if off.size:
            found = say("measured_refused", "value", value=coherence[off[0]])
            raise table.refuse(int(off[0]), "coherence", found, say("measured_refused", "coherence_allowed"))
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
        raise table.refuse(at, main, *refused("measured_refused", "nothing"))
    low, high = PLAUSIBLE
    if not low <= size[at] <= high:
        found = say("measured_refused", "size", size=size[at] * 1e3)
        allowed = say("measured_refused", "plausible_allowed", low=low * 1e3, high=high * 1e3)
        raise table.refuse(at, main, found, allowed)
    if response[at].imag > 0.0:
        raise table.refuse(at, main, *refused("measured_refused", "sign"))
