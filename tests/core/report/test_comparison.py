"""One setup beside another in every figure."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Work

ONE = Setup(
    Cutter(12.0, 4, edge_radius_mm=0.006, stickout_mm=42.0, youngs_modulus_n_mm2=580_000.0, material="carbide"),
    Cut("climb", 4.0, 10.0, 0.06, 4000.0),
    Work(force=LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)),
    title="one",
)
OTHER = replace(ONE.with_values(cut__spindle_speed_rpm=2000.0), title="other")


def test_every_figure_of_both_reports_stands_there_with_the_difference() -> None:
    found, this, other = report(ONE, OTHER), report(ONE), report(OTHER)
    against = found["against"]
    assert against["title"] == "other" and this["against"] is None
    figures = against["figures"]
    for key in ("force.power_kw", "force.fx_n.max", "heat.peak_rise_k", "rates.table_feed_mm_min", "wall.error_mm"):
        a: Any = this
        b: Any = other
        for part in key.split("."):
            a, b = a[part], b[part]
        assert figures[key] == {"this": a, "other": b, "difference": pytest.approx(a - b)}
    assert figures["force.power_kw"]["this"] == pytest.approx(2.0 * figures["force.power_kw"]["other"])
    assert not any(key.startswith(("tool_life", "which_way", "force.range")) for key in figures)
    # All but the comparison and the life is as without another.
    assert {k: v for k, v in found.items() if k not in ("against", "tool_life")} == {
        k: v for k, v in this.items() if k not in ("against", "tool_life")
    }


def test_a_figure_that_only_one_has_is_not_made_up() -> None:
    blind = replace(OTHER, work=Work())
    power = report(ONE, blind)["against"]["figures"]["force.power_kw"]
    assert power["this"] > 0.0 and power["other"] is None and power["difference"] is None


def test_the_text_shows_what_differs_in_the_reader_s_units() -> None:
    told = text_report(ONE, "metric", OTHER)
    row = next(line for line in told.splitlines() if "heat.peak_rise_k" in line)
    peaks = [report(s)["heat"]["peak_rise_k"] for s in (ONE, OTHER)]
    assert row.split() == [
        "heat.peak_rise_k",
        *(part for peak in (*peaks, peaks[0] - peaks[1]) for part in (f"+{peak:.0f}", "°C")),
    ]
    assert "engagement.arc_deg" not in told and max(map(len, told.splitlines())) <= 80
    assert "heat.peak_rise_k" in text_report(ONE, "inch", OTHER) and " °F" in text_report(ONE, "inch", OTHER)
    assert "every figure is the same" in text_report(ONE, "metric", replace(ONE, title="again"))
    assert "heat.peak_rise_k" not in text_report(ONE, "metric", OTHER, brief=True)
