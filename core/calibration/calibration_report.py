"""What a calibration found: plain data for a program, and a text of 80 columns for a reader."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from ..base.quantities import QUANTITIES, Units, clear_figure, figure, number
from ..base.words import say
from ..cut.engagement import engagement
from ..maths.angles import clock
from ..maths.arrays import Array
from ..report.report import plain
from ..report.text_layout import aligned, wrapped
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES
from .calibrated_blocks import (
    HEADER,
    NAMES,
    NewMaterial,
    beyond_limits,
    force_block,
    material_block,
    written_figures,
)
from .calibration import LEAST_ROWS, Calibration

FORCES = ("Fx", "Fy", "Fz")
_FEED, _FX, _WIDE = 14, 14, 26


def unit_of(name: str) -> str:
    """The quantity of a coefficient: on the chip section or on the edge length."""
    return "edge_force" if name.endswith("e") else "stress"


def coefficient_text(fit: Calibration, name: str, units: Units = "metric") -> str:
    """A coefficient with its standard error as a person reads it; a dash where it was not measured."""
    value, error = getattr(fit.coefficients, name), getattr(fit.standard_errors, name)
    if name in ("kac", "kae") and not fit.measured.axial:
        return figure(None, unit_of(name), units)
    q = QUANTITIES[unit_of(name)]
    shown, spread = q.shown(value, units), q.shown(error, units)
    # As many decimals as its error has figures that count, two of them; the usual ones without an error.
    decimals = q.decimals_in(units)
    if math.isfinite(error) and spread > 0.0:
        decimals = min(max(1 - math.floor(math.log10(spread)), 0), 4)
    text = number(shown, decimals)
    if math.isfinite(error):
        text = say("calibration", "with_error", value=text, error=number(spread, decimals))
    return f"{text} {q.unit_in(units)}"


def notes(fit: Calibration) -> list[str]:
    """What a person has to know of this fit, in sentences."""
    rows = []
    if len(fit.measured.feed) < LEAST_ROWS:
        rows.append(say("calibration", "few_rows"))
    if not fit.measured.axial:
        rows.append(say("calibration", "no_axial"))
    for name in beyond_limits(fit):
        value = clear_figure(written_figures(fit)[name], unit_of(name))
        limits = RANGES[f"work.force.{name}"].words
        rows.append(say("calibration", "beyond", name=name, value=value, limits=limits))
    return [*rows, say("calibration", "method")]


def calibration_report(fit: Calibration, setup: Setup, file: str, new: NewMaterial | None = None) -> dict[str, Any]:
    """The fit as nested plain data: N, mm, N/mm2, N/mm, degrees; None where a figure is not known.

    ``work_force_toml`` is a block for a setup, ``materials_toml`` one for a file of own materials (with
    ``new``); both None where no setup may have such coefficients.
    """
    measured, axial, e = fit.measured, fit.measured.axial, engagement(setup)
    known = [name for name in NAMES if axial or name not in ("kac", "kae")]
    axes = {
        f"{axis.lower()}_n": {
            "measured": measured.forces[:, i],
            "fitted": fit.line(measured.feed)[:, i],
            "residual": fit.residuals[:, i],
            "slope_n_mm": fit.slopes[i],
            "intercept_n": fit.intercepts[i],
            "scatter": fit.scatter[i],
            "r_squared": fit.r_squared[i],
        }
        for i, axis in enumerate(FORCES)
    }
    report: dict[str, Any] = {
        "format": "chiparc calibration",
        "version": 1,
        "file": file,
        "engagement": {
            "direction": setup.cut.direction,
            "entry_deg": math.degrees(e.entry),
            "exit_deg": math.degrees(e.exit),
            "arc_deg": math.degrees(e.arc),
        },
        "coefficients": {name: getattr(fit.coefficients, name) if name in known else None for name in NAMES},
        "standard_errors": {name: getattr(fit.standard_errors, name) for name in NAMES},
        "feed_per_tooth_mm": measured.feed,
        "mean_force": axes if axial else {**axes, "fz_n": None},
        "notes": notes(fit),
        "work_force_toml": force_block(fit),
        "materials_toml": material_block(fit, setup, file, new) if new else None,
    }
    data: dict[str, Any] = plain(report)
    return data


def _columns(values: Array, decimals: int) -> str:
    return "".join(f"{number(float(v), decimals):>{_FX}}" for v in values)


def _decimals(values: Array) -> int:
    """Decimals that leave the greatest of some figures four that count, zero to six."""
    finite = np.abs(values[np.isfinite(values)])
    most = float(finite.max()) if len(finite) else 0.0
    return min(max(3 - math.floor(math.log10(most)), 0), 6) if most > 0.0 else 1


def _table(fit: Calibration, units: Units) -> list[str]:
    force, feed = QUANTITIES["force"], QUANTITIES["feed_per_tooth"]
    scale, length = force.shown(1.0, units), QUANTITIES["length"]
    unit = force.unit_in(units)
    per = scale / length.shown(1.0, units)
    lines = [f"  {'':<{_WIDE}}" + "".join(f"{name:>{_FX}}" for name in FORCES)]
    rows = (
        (f"{say('calibration', 'slope')}, {unit}/{length.unit_in(units)}", fit.slopes * per),
        (f"{say('calibration', 'intercept')}, {unit}", fit.intercepts * scale),
        (f"{say('calibration', 'scatter')}, {unit}", fit.scatter * scale),
    )
    lines += [f"  {label:<{_WIDE}}" + _columns(values, _decimals(values)) for label, values in rows]
    lines.append(f"  {say('calibration', 'r_squared'):<{_WIDE}}" + _columns(fit.r_squared, 5))
    lines += ["", f"{say('calibration', 'residuals')}, {unit}"]
    heading = f"{feed.symbol}, {feed.unit_in(units)}"
    lines.append(f"  {heading:<{_WIDE}}" + "".join(f"{name:>{_FX}}" for name in FORCES))
    decimals = _decimals(fit.measured.forces * scale)
    for at, residual in zip(fit.measured.feed, fit.residuals, strict=True):
        text = number(feed.shown(float(at), units), feed.decimals_in(units))
        lines.append(f"  {text:<{_WIDE}}" + _columns(residual * scale, decimals))
    return lines


def calibration_text(
    fit: Calibration, setup: Setup, file: str, units: Units = "metric", new: NewMaterial | None = None
) -> str:
    """The fit for a reader; what is to be pasted is metric as every document is."""
    cutter, cut, feeds = setup.cutter, setup.cut, fit.measured.feed
    e = engagement(setup)
    low, high = (clear_figure(float(f), "feed_per_tooth", units) for f in (feeds.min(), feeds.max()))
    diameter = clear_figure(cutter.diameter_mm, "diameter", units)
    data = [
        (say("calibration", "file"), file),
        ("", say("calibration", "rows", count=len(feeds), low=low, high=high)),
        (say("row", "diameter"), f"{diameter}, {cutter.teeth}"),
        (say("calibration", "edge_angle"), clear_figure(cutter.cutting_edge_angle_deg, "helix")),
        (say("row", "direction"), say("direction", cut.direction)),
        (say("row", "radial_width"), clear_figure(cut.radial_engagement_mm, "radial_width", units)),
        (say("row", "depth"), clear_figure(cut.axial_engagement_mm, "depth", units)),
        (say("row", "entry"), clock(math.degrees(e.entry), cutter.hand)),
        (say("row", "exit"), clock(math.degrees(e.exit), cutter.hand)),
    ]
    lines = [say("calibration", "title"), "", say("calibration", "data"), *aligned(data), ""]
    lines += [say("calibration", "coefficients")]
    lines += aligned([(name, coefficient_text(fit, name, units)) for name in NAMES])
    lines += ["", say("calibration", "lines"), *_table(fit, units)]
    for note in notes(fit):
        lines += ["", *wrapped(note)]
    block = force_block(fit)
    if block is not None:
        lines += ["", say("calibration", "setup"), "", block.rstrip()]
    entry = material_block(fit, setup, file, new) if new else None
    if entry is not None:
        one, other = HEADER.split("\n")[:2]
        header = say("calibrated", "header", one=one, other=other)
        lines += ["", *wrapped(say("calibration", "materials", header=header)), "", entry.rstrip()]
    return "\n".join(lines) + "\n"


__all__ = ["FORCES", "calibration_report", "calibration_text", "coefficient_text", "notes", "unit_of"]
