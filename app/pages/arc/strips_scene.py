"""What the strips show: the curves of one cut, or of both directions, on kept ranges, with the active angle."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from app.kit.readable_ranges import AxisRange, kept_range
from app.pages.arc.pair import other_angle, other_results
from app.pages.arc.pinned import ghost_results
from core.base.quantities import QUANTITIES, Quantity, Units
from core.cut.strip_angles import DOMAIN_DEG
from core.effects.arc_results import ArcResults
from core.strips.strip_curves import STRIPS, StripBuilder
from core.strips.strip_frame import Curve, Limit, StripCurves


@dataclass(frozen=True, slots=True)
class Trace:
    """The strips of one direction: results, curves by strip id, the angle (degrees) of its active tooth.

    ``read`` is the id of the curve whose value is told at the line, on a strip that has it; elsewhere the main one's.
    """

    results: ArcResults
    strips: tuple[StripCurves, ...]
    angle_deg: float
    read: str = ""

    @property
    def conventional(self) -> bool:
        """Conventional is dashed, climb solid, everywhere."""
        return self.results.setup.cut.direction == "conventional"

    def value_at(self, strip: StripCurves) -> float:
        """Value of the curve that is read at the active tooth; nan in the air."""
        curve, angle = strip.curves[0], self.angle_deg
        if self.read:
            curve = next((c for c in strip.curves if c.id == self.read), curve)
        places, values = curve.phi_deg, curve.values
        last = len(places) - 1
        # Single figures out of arrays by item: Python's own numbers, several times faster to reckon with.
        if not places.item(0) <= angle <= places.item(last):
            return float("nan")
        i = min(max(int(places.searchsorted(angle)), 1), last)
        a, b, x0, x1 = values.item(i - 1), values.item(i), places.item(i - 1), places.item(i)
        if math.isnan(a) or math.isnan(b):
            return float(b if abs(x1 - angle) < 1e-9 else a if abs(x0 - angle) < 1e-9 else "nan")
        straight = float(a + (b - a) * (angle - x0) / (x1 - x0))
        # A third sample on the same smooth piece takes the curve's bend in; beside a corner there is none.
        for k in (i + 1, i - 2):
            if 0 <= k <= last:
                x2, c = places.item(k), values.item(k)
                apart = min(abs(x2 - x0), abs(x2 - x1))
                if math.isfinite(c) and 0.5 * (x1 - x0) < apart < 2.0 * (x1 - x0):
                    bend = ((c - a) / (x2 - x0) - (b - a) / (x1 - x0)) / (x2 - x1)
                    return straight + float(bend * (angle - x0) * (angle - x1))
        return straight


WHOLE = AxisRange(*DOMAIN_DEG, 30.0)
"""The axis from 9 o'clock to 3 o'clock, and a little beyond either."""

ANGLE_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0)
"""Readable steps of an axis of tooth angles, degrees: from two to twenty minutes of the clock, and hours."""

BESIDE_ARC = 0.08
"""What an axis of the arc alone shows on either side of it, as a part of it."""


def arc_angles(traces: list[Trace], kept: AxisRange | None, *, settled: bool) -> AxisRange:
    """The axis that shows the arcs alone, out to whole steps; while nobody has let go it only grows."""
    low = min(math.degrees(t.results.true_entry) for t in traces)
    high = max(math.degrees(t.results.true_exit) for t in traces)
    if kept is not None and not settled:
        if kept.low <= low and high <= kept.high:
            return kept
        low, high = min(low, kept.low), max(high, kept.high)
    beside = BESIDE_ARC * (high - low)
    low, high = max(low - beside, WHOLE.low), min(high + beside, WHOLE.high)
    step = next((s for s in ANGLE_STEPS if (high - low) / s <= 6.0), ANGLE_STEPS[-1])
    return AxisRange(low, high, step)


@dataclass(frozen=True, slots=True)
class StripsScene:
    """All strips: the setup's own trace, the other one in Pair, ranges by strip id in shown units.

    ``top`` is the thickness (mm) at the end of the scale of colours, as on the plan; 0 takes the cut's own.
    ``figures`` : the values at the line are told.  ``ghosts`` : the pinned cut beside each trace, none where nothing
    is pinned.  ``angles`` : the tooth angles (degrees) that the axis shows.  ``traces`` : own and, in Pair, other.
    """

    own: Trace
    other: Trace | None
    ranges: Mapping[str, AxisRange]
    units: Units = "metric"
    top: float = 0.0
    figures: bool = True
    ghosts: tuple[Trace, ...] = ()
    angles: AxisRange = WHOLE
    traces: tuple[Trace, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Every painter asks for the traces."""
        object.__setattr__(self, "traces", (self.own,) if self.other is None else (self.own, self.other))

    def dotted(self, trace: Trace) -> bool:
        """Whether it is the other one of a straddling pair, which no direction tells from the first."""
        return trace is self.other and trace.results.setup.cut.direction == "straddling"

    def limits(self, strip: StripCurves) -> tuple[Limit, ...]:
        """The levels of a strip; in Pair one for both directions, crossed where either crosses it."""
        found: dict[float, Limit] = {}
        for limit in (limit for t in self.traces for s in t.strips if s.id == strip.id for limit in s.limits):
            kept = found.setdefault(limit.value, limit)
            label = kept.label if kept.label == limit.label else limit.shared
            found[limit.value] = replace(kept, label=label, crossed=kept.crossed or limit.crossed)
        return tuple(found.values())

    def quantity(self, strip: StripCurves) -> Quantity:
        """The quantity on the strip's axis."""
        return QUANTITIES[strip.quantity]


@dataclass(slots=True)
class RangeKeeper:
    """Ranges kept between scenes, so that axes stand still while a value is dragged."""

    kept: dict[str, AxisRange] = field(default_factory=dict)
    units: str = "metric"

    def update(self, traces: list[Trace], units: Units, settled: bool) -> dict[str, AxisRange]:
        """The ranges for these traces, kept where they still hold."""
        if units != self.units:
            self.kept, self.units = {}, units
        for i, strip in enumerate(traces[0].strips):
            low, high = extent([trace.strips[i] for trace in traces])
            q = QUANTITIES[strip.quantity]
            low, high = q.shown(low, units), q.shown(high, units)
            self.kept[strip.id] = kept_range(self.kept.get(strip.id), low, high, 4, settled=settled)
        return dict(self.kept)


def extent(strips: list[StripCurves]) -> tuple[float, float]:
    """Least and greatest value of the curves and limits shown, house units."""
    values = [v for strip in strips for curve in strip.curves for v in _ends(curve)]
    values += [limit.value for strip in strips for limit in strip.limits if limit.crossed]
    finite = [v for v in values if math.isfinite(v)]
    return (min(finite), max(finite)) if finite else (0.0, 0.0)


def _ends(curve: Curve) -> tuple[float, float]:
    # nan only where there is nothing but nan.
    return float(np.fmin.reduce(curve.values)), float(np.fmax.reduce(curve.values))


def trace(
    results: ArcResults,
    ids: tuple[str, ...],
    angle_deg: float,
    registry: Mapping[str, StripBuilder] = STRIPS,
    read: str = "",
) -> Trace:
    """The strips of these ids for these results, with the value of the curve ``read`` at the line."""
    return Trace(results, (*[registry[id](results.setup) for id in ids],), angle_deg, read)


def page_traces(
    results: ArcResults,
    ids: tuple[str, ...],
    angle_deg: float,
    *,
    pair: bool,
    pin: ArcResults | None = None,
    registry: Mapping[str, StripBuilder] = STRIPS,
    read: str = "",
) -> tuple[Trace, Trace | None, tuple[Trace, ...]]:
    """The trace of a cut, in Pair that of its other direction, and beside each that of the pinned cut."""
    own, other = trace(results, ids, angle_deg, registry, read), None
    if pair and (there := other_results(results)) is not None:
        other = trace(there, ids, other_angle(angle_deg, results, there), registry, read)
    ghosts: list[Trace] = []
    for shown in (own, other):
        if pin is not None and shown is not None:
            pinned = ghost_results(pin, shown.results, pair=pair, second=shown is other)
            ghosts.append(trace(pinned, ids, shown.angle_deg, registry, read))
    return own, other, tuple(ghosts)
