"""Heat in the report, for scripts and for readers, and as a strip."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest

from core.base.words import say
from core.cut.engagement import engagement
from core.cut.strip_angles import DOMAIN_DEG
from core.effects.edge_temperature import edge_temperature
from core.report.heat_keys import KEYS
from core.report.report import report, report_json
from core.report.text_layout import WIDTH
from core.report.text_report import text_report
from core.setup.setup import LinearEdge, PowerLaw, Setup, Thermal, Work
from core.strips.heat_strip import temperature_strip
from core.strips.strip_curves import STRIPS, strip_title
from tests.core.effects.test_edge_temperature import CLIMB, POWER, made

NO_FORCE = replace(CLIMB, work=Work())


def heat(setup: Setup) -> dict[str, float]:
    """The section as a script reads it."""
    found: dict[str, float] = json.loads(report_json(report(setup)))["heat"]
    return found


def test_the_keys_and_what_they_say() -> None:
    found, r = heat(CLIMB), edge_temperature(CLIMB)
    assert r is not None and tuple(found) == KEYS
    assert found["swing_k"] == pytest.approx(found["peak_rise_k"] - found["entry_rise_k"], rel=1e-12)
    assert found["peak_deg"] == pytest.approx(127.05, abs=0.0051)
    assert (found["tool_share"], found["edge_share"]) == (r.tool_share, r.edge_share)
    assert found["exit_rise_k"] == r.exit and found["mean_rise_k"] == r.mean


def test_null_where_the_force_or_the_work_is_not_known() -> None:
    assert heat(NO_FORCE) == dict.fromkeys(KEYS)
    still = heat(made(work__force=LinearEdge(0.0, 1.0, 0.0, 0.0, 1.0, 0.0)))
    assert still["tool_share"] is None and still["edge_share"] is None and still["peak_rise_k"] == 0.0


def test_the_text_tells_the_figures_how_far_to_trust_them_and_what_was_taken() -> None:
    text = text_report(CLIMB)
    for part in ("+500 °C at 127.0°", "+83 °C", "9.7 %", say("report", "heat_level")):
        assert part in text
    assert "carbide" in text and "that of steel" in text and say("report", "heat_power_law") not in text
    assert max(map(len, text.splitlines())) <= WIDTH
    whole = made(cutter__material=Thermal(24.0, 8100.0, 460.0), work__thermal=Thermal(15.0, 7900.0, 500.0))
    assert "carbide" not in text_report(whole) and "that of steel" not in text_report(whole)
    inch = text_report(CLIMB, "inch")
    assert "900 °F at 127.0°" in inch


def test_the_text_of_a_power_law_says_that_its_thin_end_is_too_cool() -> None:
    text = " ".join(text_report(made(work__force=POWER)).split())
    assert say("report", "heat_power_law") in text
    assert max(map(len, text_report(made(work__force=POWER)).splitlines())) <= WIDTH


def test_the_text_leaves_heat_out_where_it_is_not_known() -> None:
    text = text_report(NO_FORCE)
    assert say("section", "heat") not in text and "carbide" not in text


@pytest.mark.parametrize("setup", [CLIMB, CLIMB.opposite, made(work__force=PowerLaw(2100.0, 0.26, 0.4))])
def test_the_strip_is_the_report(setup: Setup) -> None:
    strip, found, e = temperature_strip(setup), heat(setup), engagement(setup)
    (curve,) = strip.curves
    assert (curve.phi_deg[0], curve.phi_deg[-1]) == DOMAIN_DEG and np.isfinite(curve.values).all()
    ends = np.interp(np.degrees([e.entry, e.exit]), curve.phi_deg, curve.values)
    assert ends == pytest.approx([found["entry_rise_k"], found["exit_rise_k"]], rel=1e-3)
    assert curve.values.max() == pytest.approx(found["peak_rise_k"], rel=5e-4)
    assert abs(curve.phi_deg[curve.values.argmax()] - found["peak_deg"]) < 0.01
    assert not strip.missing and strip.quantity == "temperature_rise"


def test_the_strip_marks_where_no_chip_can_form() -> None:
    def rubbing(setup: Setup) -> list[tuple[float, float]]:
        return [(b.from_deg, b.to_deg) for b in temperature_strip(setup).bands if b.kind == "rub"]

    # h_min 1.8 um is reached after 1.7191 degrees: physics note, section 1 (computed there).
    assert rubbing(CLIMB.opposite) == [pytest.approx((0.0, 1.7191), abs=5e-5)]
    assert rubbing(CLIMB) == [pytest.approx((180.0 - 1.7191, 180.0), abs=5e-5)]
    assert rubbing(made(cutter__edge_radius_mm=None)) == []
    # Where all of it rubs, once and not twice.
    thin = made(cut__radial_engagement_mm=0.05, cut__feed_per_tooth_mm=0.02, cutter__edge_radius_mm=0.02)
    e = engagement(thin)
    assert rubbing(thin) == [pytest.approx((math.degrees(e.entry), math.degrees(e.exit)))]


def test_the_strip_says_what_is_missing() -> None:
    strip = temperature_strip(NO_FORCE)
    assert strip.missing == "no material and no coefficients given"
    assert np.isnan(strip.curves[0].values).all()
    assert STRIPS["temperature"] is temperature_strip and strip_title("temperature") == "Edge temperature rise"
