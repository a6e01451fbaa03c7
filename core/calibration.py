"""Force coefficients from a person's own measured mean forces against feed: a straight line, term by term.

The published procedure of average-force calibration: Y. Altintas, Manufacturing Automation, 2012,
pp. 46-47, eq. 2.89 on; Schmitz and Smith, Machining Dynamics, 2009, p. 165 (both named by the measured data
they are checked with, pages from there).  Mean force over a turn is linear in feed per tooth,
``F = slope fz + intercept``; the slopes give ``ktc, krc, kac``, the intercepts ``kte, kre, kae``.  Written
here for any arc, not only a slot, in this project's frame (forces of the work on the cutter).
"""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass

import numpy as np

from .angles import Array
from .arc_results import frozen
from .engagement import engagement
from .errors import DocumentError
from .setup import LinearEdge, Setup

COLUMNS = ("feed_per_tooth_mm", "mean_fx_n", "mean_fy_n")
AXIAL = "mean_fz_n"


@dataclass(frozen=True, slots=True)
class MeanForces:
    """Measured means over whole turns: feed per tooth (n,) mm; forces (n, 3) N on the cutter, z maybe nan."""

    feed: Array
    forces: Array


@dataclass(frozen=True, slots=True)
class Calibration:
    """The fit: coefficients, three lines (slope N/mm, intercept N), residuals (n, 3) N, r squared (3,)."""

    coefficients: LinearEdge
    slopes: Array
    intercepts: Array
    residuals: Array
    r_squared: Array
    measured: MeanForces

    def line(self, feed: Array) -> Array:
        """Fitted mean forces (n, 3) N at feeds (n,) mm."""
        return self.slopes * np.asarray(feed, float)[:, None] + self.intercepts


def read_mean_forces(text: str, file: str, *, on_work: bool = False) -> MeanForces:
    """Mean forces from CSV with a heading ``feed_per_tooth_mm,mean_fx_n,mean_fy_n[,mean_fz_n]``.

    Comma, semicolon or tab between columns; ``#`` begins a comment line; a point or, between semicolons or
    tabs, a comma as decimal mark.  on_work : the rig measured the force on the work, signs are turned.
    Raises DocumentError with the line.
    """
    lines = [(n, line) for n, line in enumerate(text.lstrip("\ufeff").splitlines(), 1)]
    lines = [(n, line) for n, line in lines if line.strip() and not line.lstrip().startswith("#")]
    if not lines:
        raise DocumentError(file, 0, "file", "no line with figures", f"a heading {','.join(COLUMNS)} and rows")
    delimiter = next((d for d in (";", "\t") if d in lines[0][1]), ",")

    def cells(line: str) -> list[str]:
        return [c.strip() for c in next(csv.reader(io.StringIO(line), delimiter=delimiter))]

    heading = [c.lower() for c in cells(lines[0][1])]
    for name in COLUMNS:
        if name not in heading:
            found = ", ".join(heading)
            raise DocumentError(
                file, lines[0][0], "heading", f"no column {name} among: {found}", ", ".join((*COLUMNS, AXIAL))
            )
    for name in heading:
        if name not in (*COLUMNS, AXIAL):
            raise DocumentError(
                file, lines[0][0], "heading", f'unknown column "{name}"', ", ".join((*COLUMNS, AXIAL))
            )
    if len(set(heading)) != len(heading):
        raise DocumentError(file, lines[0][0], "heading", "a column stands twice", "each column once")
    rows: list[list[float]] = []
    for number, line in lines[1:]:
        row = cells(line)
        if len(row) != len(heading):
            raise DocumentError(file, number, "row", f"{len(row)} cells", f"{len(heading)} as in the heading")
        figures = []
        for name, cell in zip(heading, row, strict=True):
            try:
                value = float(cell.replace(",", ".") if delimiter != "," else cell)
            except ValueError:
                value = math.nan
            if not math.isfinite(value) or (name == COLUMNS[0] and value <= 0):
                allowed = "a number over 0" if name == COLUMNS[0] else "a finite number"
                raise DocumentError(file, number, name, f'found "{cell}"', allowed)
            figures.append(value)
        rows.append(figures)
    table = np.array(rows).reshape(-1, len(heading))
    feed = table[:, heading.index(COLUMNS[0])]
    if len(np.unique(feed)) < 2:
        raise DocumentError(
            file, 0, COLUMNS[0], f"{len(np.unique(feed))} different feed", "at least two different feeds"
        )
    axial = table[:, heading.index(AXIAL)] if AXIAL in heading else np.full(len(feed), np.nan)
    forces = np.stack([table[:, heading.index(COLUMNS[1])], table[:, heading.index(COLUMNS[2])], axial], -1)
    return MeanForces(frozen(feed), frozen(-forces if on_work else forces))


def arc_integrals(entry: float, leave: float) -> tuple[float, float, float, float]:
    """Integrals over the arc (rad) of sin^2, sin cos, sin, cos."""
    arc = leave - entry
    return (
        arc / 2.0 - (math.sin(2.0 * leave) - math.sin(2.0 * entry)) / 4.0,
        (math.sin(leave) ** 2 - math.sin(entry) ** 2) / 2.0,
        math.cos(entry) - math.cos(leave),
        math.sin(leave) - math.sin(entry),
    )


def calibrate(measured: MeanForces, setup: Setup) -> Calibration:
    """Least-squares lines through the mean forces, and the coefficients that they mean at this engagement.

    The setup gives cutter, width, depth and direction; its own feed and coefficients are not used.  A mean
    does not depend on the helix.  Without axial forces ``kac`` and ``kae`` are 0 (not known).
    """
    e = engagement(setup)
    sin_kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    ss, sc, s, c = arc_integrals(e.entry, e.exit)
    design = np.stack([measured.feed, np.ones_like(measured.feed)], -1)
    solution, *_ = np.linalg.lstsq(design, measured.forces, rcond=None)
    slopes, intercepts = solution
    scale = 2.0 * math.pi / (setup.cutter.teeth * setup.cut.axial_engagement_mm)
    ktc, krc = np.linalg.solve([[-ss, sc], [-sc, -ss]], slopes[:2] * scale)
    kte, kre = np.linalg.solve([[-s, c], [-c, -s]], intercepts[:2] * scale) * sin_kappa
    axial = bool(np.isfinite(slopes[2]))
    kac = float(slopes[2] * scale / s) if axial else 0.0
    kae = float(intercepts[2] * scale / e.arc * sin_kappa) if axial else 0.0
    residuals = measured.forces - (slopes * measured.feed[:, None] + intercepts)
    spread = np.sum((measured.forces - measured.forces.mean(0)) ** 2, 0)
    with np.errstate(invalid="ignore", divide="ignore"):
        r_squared = 1.0 - np.sum(residuals**2, 0) / spread
    return Calibration(
        LinearEdge(float(ktc), float(krc), kac, float(kte), float(kre), kae),
        frozen(slopes),
        frozen(intercepts),
        frozen(residuals),
        frozen(r_squared),
        measured,
    )
