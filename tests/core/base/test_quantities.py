"""The one table of quantities: conversions by definition, round trips, figures as people read them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.quantities import QUANTITIES, Quantity, Units, clear_figure, figure, number

ALL = pytest.mark.parametrize("q", QUANTITIES.values(), ids=lambda q: q.id)

LBF = 0.45359237 * 9.80665
"""Pound-force in N: the pound of 1959 times standard gravity, both exact by definition."""

EXACT = {
    "diameter": 25.4,
    "feed_per_tooth": 25.4,
    "cutting_speed": 0.3048,
    "table_feed": 25.4,
    "removal_rate": 2.54**3,
    "chip_volume": 25.4**3,
    "chip_section": 25.4**2,
    "micro": 0.0254,
    "force": LBF,
    "torque": LBF * 0.3048,
    # 550 foot-pounds a second.
    "power": 550 * LBF * 0.3048 / 1000,
    "stress": 1000 * LBF / 25.4**2,
    "edge_force": LBF / 25.4,
    "stiffness": LBF / 25.4,
    "temperature_rise": 5 / 9,
}


@pytest.mark.parametrize("id", EXACT)
def test_conversions_by_definition(id: str) -> None:
    assert QUANTITIES[id].per_inch_unit == pytest.approx(EXACT[id], rel=1e-14)


@ALL
def test_a_quantity_without_an_inch_unit_of_its_own_is_not_converted(q: Quantity) -> None:
    assert (q.unit == q.inch_unit) == (q.per_inch_unit == 1.0)
    assert q.decimals >= 0 and q.inch_decimals >= 0 and q.word


@given(value=st.floats(-1e9, 1e9))
def test_shown_and_back(value: float) -> None:
    for q in QUANTITIES.values():
        for units in ("metric", "inch"):
            assert math.isclose(q.house(q.shown(value, units), units), value, rel_tol=1e-14, abs_tol=1e-300), q


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(-0.0001, 2, "0.00"), (-2.5, 1, "−2.5"), (0.0, 0, "0"), (1234.5, 0, "1234"), (math.nan, 1, "–"), (None, 1, "–")],
)
def test_numbers(value: float | None, decimals: int, text: str) -> None:
    assert number(value, decimals) == text


def test_signed_numbers_and_units() -> None:
    assert number(0.5, 1, signed=True) == "+0.5" and number(0.0, 1, signed=True) == "0.0"
    assert figure(12.3, "angle") == "12.3°" and figure(4, "teeth") == "4" and figure(math.nan, "force") == "–"
    assert figure(100.0, "force", "inch") == "22.5 lbf"


@pytest.mark.parametrize(
    ("value", "units", "text"),
    [
        (0.0565, "metric", "0.0565 mm"),
        (0.00123, "metric", "0.0012 mm"),
        (0.000123, "metric", "0.00012 mm"),
        (-0.000123, "metric", "−0.00012 mm"),
        (0.0000254, "inch", "0.0000010 in"),
        (1e-9, "metric", "under 0.000001 mm"),
        (0.0, "metric", "0.0000 mm"),
        (math.inf, "metric", "–"),
        (None, "metric", "–"),
    ],
)
def test_clear_figures(value: float | None, units: Units, text: str) -> None:
    assert clear_figure(value, "chip_thickness", units) == text


@given(st.floats(1e-300, 1e300), st.sampled_from(sorted(QUANTITIES)), st.sampled_from(["metric", "inch"]))
def test_a_clear_figure_is_within_its_two_figures(value: float, id: str, units: Units) -> None:
    q = QUANTITIES[id]
    told = clear_figure(value, id, units)
    if told.startswith(("under ", "over ")):
        limit = float(told.split(" ")[1])
        assert q.shown(value, units) < limit if told.startswith("under") else q.shown(value, units) > limit
        return
    text = told.removesuffix(q.unit_in(units)).replace("−", "-")
    assert float(text) == pytest.approx(q.shown(value, units), rel=0.051)
