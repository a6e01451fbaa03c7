"""Figures that are legal and probably meant otherwise."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.report.report import report
from core.report.text_report import text_report
from core.setup.doubts import doubt_of, doubts
from core.setup.setup import Cut, Cutter, Setup

PLAIN = Setup(
    Cutter(12.0, 4, edge_radius_mm=0.006, youngs_modulus_n_mm2=580_000.0), Cut("climb", 4.0, 10.0, 0.06, 4000.0)
)


@pytest.mark.parametrize(
    ("key", "usual", "odd", "name"),
    [
        ("cutter.edge_radius_mm", 0.006, 0.0061, "blunt"),
        ("cutter.youngs_modulus_n_mm2", 210_000.0, 580.0, "soft"),
        ("cut.feed_per_tooth_mm", 2.4, 6.0, "wide"),
    ],
)
def test_each_doubt_begins_where_it_is_said_to(key: str, usual: float, odd: float, name: str) -> None:
    assert doubt_of(PLAIN.with_keys({key: usual}), key) is None
    found = doubt_of(PLAIN.with_keys({key: odd}), key)
    assert found is not None and found.id == name and found.value == odd


@settings(max_examples=60, deadline=None)
@given(st.floats(1.0, 89.0), st.floats(0.01, 0.3), st.floats(0.0, 0.1))
def test_an_edge_is_blunt_against_the_chip_of_its_lead_angle(kappa: float, feed: float, radius: float) -> None:
    setup = PLAIN.with_values(
        cutter__cutting_edge_angle_deg=kappa, cut__feed_per_tooth_mm=feed, cutter__edge_radius_mm=radius
    )
    chip = feed * math.sin(math.radians(kappa))
    if abs(radius - chip / 10.0) > 1e-6:
        assert (doubt_of(setup, "cutter.edge_radius_mm") is not None) == (radius > chip / 10.0)


def test_what_is_not_given_is_not_doubtful() -> None:
    bare = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0))
    assert doubts(bare) == () and report(bare)["doubts"] == []


def test_the_report_tells_the_figure_that_was_probably_meant() -> None:
    odd = PLAIN.with_values(cutter__youngs_modulus_n_mm2=580.0, cut__feed_per_tooth_mm=6.0)
    found = report(odd)["doubts"]
    assert [d["key"] for d in found] == ["cutter.youngs_modulus_n_mm2", "cut.feed_per_tooth_mm"]
    assert found[0]["value"] == 580.0 and "580,000 N/mm²" in found[0]["text"]
    told = " ".join(text_report(odd, "inch").split())
    assert "A feed of 0.23622 in/tooth is over a fifth of the diameter" in told
