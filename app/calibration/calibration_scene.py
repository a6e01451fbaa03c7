"""What the picture of a calibration shows, in shown units: points, lines, residuals, axes, words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.kit.readable_ranges import AxisRange, readable_range
from core.base.quantities import QUANTITIES, Units, clear_figure, number
from core.base.words import say
from core.calibration.calibrated_blocks import NAMES
from core.calibration.calibration import Calibration
from core.calibration.calibration_report import FORCES, coefficient_text
from core.maths.arrays import Array
from core.setup.setup import Setup

LEAST_SHARE = 1e-3
"""Residuals are shown on an axis of at least this share of the forces: rounding must not look like scatter."""


@dataclass(frozen=True, slots=True)
class AxisPanel:
    """One force against feed: measured points, the line from feed 0 on, residuals, their scatter and ranges."""

    title: str
    told: str
    feed: Array
    measured: Array
    line_feed: Array
    line: Array
    residual: Array
    scatter: float
    range: AxisRange
    residual_range: AxisRange


@dataclass(frozen=True, slots=True)
class CalibrationScene:
    """The whole picture; without axial forces two panels."""

    title: str
    cut: str
    panels: tuple[AxisPanel, ...]
    feed_range: AxisRange
    feed_title: str
    residual_title: str
    coefficients: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, fit: Calibration, setup: Setup, units: Units) -> CalibrationScene:
        """The scene of a fit; the setup tells which cutter and cut were measured."""
        feed, force = QUANTITIES["feed_per_tooth"], QUANTITIES["force"]
        length, newton = feed.shown(1.0, units), force.shown(1.0, units)
        feeds = fit.measured.feed * length
        feed_range = readable_range(0.0, float(feeds.max()), 5)
        ends = np.array([0.0, float(fit.measured.feed.max())])
        panels = []
        for i, symbol in enumerate(FORCES if fit.measured.axial else FORCES[:2]):
            measured, line = fit.measured.forces[:, i] * newton, fit.line(ends)[:, i] * newton
            residual = fit.residuals[:, i] * newton
            every = np.concatenate([measured, line])
            most = max(float(np.abs(residual).max()), LEAST_SHARE * float(np.abs(every).max()))
            panels.append(
                AxisPanel(
                    title=say("calibration", "axis", symbol=symbol, unit=force.unit_in(units)),
                    told=say("calibration", "fit_of_axis", r_squared=number(float(fit.r_squared[i]), 4)),
                    feed=feeds,
                    measured=measured,
                    line_feed=ends * length,
                    line=line,
                    residual=residual,
                    scatter=float(fit.scatter[i]) * newton,
                    range=readable_range(float(every.min()), float(every.max()), 5),
                    residual_range=readable_range(-most, most, 3),
                )
            )
        return cls(
            title=say("calibration", "title"),
            cut=say(
                "calibration",
                "cut",
                cutter=clear_figure(setup.cutter.diameter_mm, "diameter", units),
                teeth=setup.cutter.teeth,
                direction=say("direction", setup.cut.direction),
                width=clear_figure(setup.cut.radial_engagement_mm, "radial_width", units),
                depth=clear_figure(setup.cut.axial_engagement_mm, "depth", units),
            ),
            panels=tuple(panels),
            feed_range=feed_range,
            feed_title=say("calibration", "feed_axis", symbol=feed.symbol, unit=feed.unit_in(units)),
            residual_title=say("calibration", "residual_axis", unit=force.unit_in(units)),
            coefficients=tuple((name, coefficient_text(fit, name, units)) for name in NAMES),
        )
