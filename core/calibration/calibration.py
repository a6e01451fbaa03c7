"""Force coefficients from a person's own measured mean forces against feed: a straight line, term by term.

The published procedure of average-force calibration: Y. Altintas, Manufacturing Automation, 2012,
pp. 46-47, eq. 2.89 on; Schmitz and Smith, Machining Dynamics, 2009, p. 165 (both named by the measured data
they are checked with, pages from there).  Mean force over a turn is linear in feed per tooth,
``F = slope fz + intercept``; the slopes give ``ktc, krc, kac``, the intercepts ``kte, kre, kae``.  Written
here for any arc, not only a slot, in this project's frame (forces of the work on the cutter).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..cut.engagement import engagement
from ..maths.arrays import Array, frozen
from ..setup.setup import LinearEdge, Setup

LEAST_ROWS = 3
"""Rows from which a scatter can be computed: two points always lie on a line."""


@dataclass(frozen=True, slots=True)
class MeanForces:
    """Measured means over whole turns: feed per tooth (n,) mm; forces (n, 3) N on the cutter, z maybe nan."""

    feed: Array
    forces: Array

    @property
    def axial(self) -> bool:
        """Whether the force along the spindle was measured."""
        return bool(np.isfinite(self.forces[:, 2]).all())


@dataclass(frozen=True, slots=True)
class Calibration:
    """The fit: coefficients, their standard errors, three lines (slope N/mm, intercept N), how well they fit.

    ``residuals`` (n, 3) are measured less fitted, N; ``scatter`` (3,) is their standard deviation with n - 2
    degrees of freedom, N; ``r_squared`` (3,) the share of the variation that the line explains.  nan stands for
    what is not known: everything of z without axial forces, the errors and the scatter of two rows only,
    ``r_squared`` of forces that do not vary.  Standard errors are those of the scatter about the lines; an
    error that every row shares, of the rig or of the width, is not in them.
    """

    coefficients: LinearEdge
    standard_errors: LinearEdge
    slopes: Array
    intercepts: Array
    residuals: Array
    scatter: Array
    r_squared: Array
    measured: MeanForces

    def line(self, feed: Array) -> Array:
        """Fitted mean forces (n, 3) N at feeds (n,) mm."""
        return self.slopes * np.asarray(feed, float)[:, None] + self.intercepts


def arc_integrals(entry: float, leave: float) -> tuple[float, float, float, float]:
    """Integrals over the arc (rad) of sin^2, sin cos, sin, cos."""
    arc = leave - entry
    return (
        arc / 2.0 - (math.sin(2.0 * leave) - math.sin(2.0 * entry)) / 4.0,
        (math.sin(leave) ** 2 - math.sin(entry) ** 2) / 2.0,
        math.cos(entry) - math.cos(leave),
        math.sin(leave) - math.sin(entry),
    )


def _coefficients(on_chip: Array, on_edge: Array) -> LinearEdge:
    (ktc, krc, kac), (kte, kre, kae) = on_chip.tolist(), on_edge.tolist()
    return LinearEdge(ktc, krc, kac, kte, kre, kae)


def calibrate(measured: MeanForces, setup: Setup) -> Calibration:
    """Least-squares lines through the mean forces, and the coefficients that they mean at this engagement.

    The setup gives cutter, width, depth and direction; its own feed, speed and coefficients are not used.  A
    mean depends neither on the helix nor on runout as long as every tooth cuts.  Without axial forces ``kac``
    and ``kae`` are 0 and their errors nan (not known).
    """
    e = engagement(setup)
    sin_kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    ss, sc, s, c = arc_integrals(e.entry, e.exit)
    scale = 2.0 * math.pi / (setup.cutter.teeth * setup.cut.axial_engagement_mm)
    # Coefficients are these combinations of the slopes and of the intercepts in x, y, z.
    on_chip, on_edge = np.zeros((3, 3)), np.zeros((3, 3))
    on_chip[:2, :2] = np.linalg.inv([[-ss, sc], [-sc, -ss]]) * scale
    on_edge[:2, :2] = np.linalg.inv([[-s, c], [-c, -s]]) * scale * sin_kappa
    on_chip[2, 2], on_edge[2, 2] = scale / s, scale / e.arc * sin_kappa

    known = np.array([True, True, measured.axial])
    forces = np.where(known, measured.forces, 0.0)
    # About the middle, so that feeds close together or very small lose no digits.
    middle = measured.feed.mean()
    away = measured.feed - middle
    sxx = float(away @ away)
    slopes = away @ forces / sxx
    intercepts = forces.mean(0) - slopes * middle
    residuals = forces - (slopes * measured.feed[:, None] + intercepts)
    free = len(forces) - 2
    with np.errstate(invalid="ignore", divide="ignore"):
        # Forces of one row are measured together: the errors of the three lines may go together too.
        together = residuals.T @ residuals / (free if free > 0 else math.nan)
        spread = np.sum((forces - forces.mean(0)) ** 2, 0)
        varies = known & (spread > len(forces) * (1e-12 * np.abs(forces).max(0)) ** 2)
        r_squared = np.where(varies, 1.0 - np.sum(residuals**2, 0) / spread, math.nan)
    of_slope, of_intercept = 1.0 / sxx, 1.0 / len(forces) + middle**2 / sxx
    chip_error = np.sqrt(np.maximum(np.diag(on_chip @ together @ on_chip.T), 0.0) * of_slope)
    edge_error = np.sqrt(np.maximum(np.diag(on_edge @ together @ on_edge.T), 0.0) * of_intercept)
    unknown = np.where(known, 0.0, math.nan)
    return Calibration(
        _coefficients(on_chip @ slopes, on_edge @ intercepts),
        _coefficients(chip_error + unknown, edge_error + unknown),
        frozen(slopes + unknown),
        frozen(intercepts + unknown),
        frozen(residuals + unknown),
        frozen(np.sqrt(np.diag(together)) + unknown),
        frozen(r_squared),
        measured,
    )


__all__ = ["LEAST_ROWS", "Calibration", "MeanForces", "arc_integrals", "calibrate"]
