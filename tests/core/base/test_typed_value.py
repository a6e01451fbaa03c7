"""What people type into a field: fractions, thousands, units, both readings of a runout; what is asked about."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.errors import ChiparcError
from core.base.typed_value import typed_value


@pytest.mark.parametrize(
    ("text", "quantity", "units", "value"),
    [
        ("1/8", "radial_width", "inch", 3.175),
        ('1/8"', "radial_width", "metric", 3.175),
        ('3 1/8"', "diameter", "metric", 79.375),
        ("3-1/8 in", "diameter", "metric", 79.375),
        ("3⅛″", "diameter", "metric", 79.375),
        ("½", "diameter", "inch", 12.7),
        ("-1/4", "offset", "inch", -6.35),
        (".015", "radial_width", "inch", 0.381),
        (",5", "radial_width", "metric", 0.5),
        ("1,25", "radial_width", "metric", 1.25),
        ("0,125", "radial_width", "metric", 0.125),
        ("1/3 %", "radial_width", "metric", 0.04),
        ("10,000", "spindle_speed", "metric", 10000.0),
        ("10 000", "spindle_speed", "inch", 10000.0),
        ("1.234.567", "spindle_speed", "metric", 1234567.0),
        ("1,234.5 1/min", "spindle_speed", "metric", 1234.5),
        ("1.234,5 rpm", "spindle_speed", "metric", 1234.5),
        ("12,5", "spindle_speed", "metric", 12.5),
        ("4000 1/min", "spindle_speed", "metric", 4000.0),
        ("1e3", "spindle_speed", "metric", 1000.0),
        ("−2.5", "offset", "metric", -2.5),
        ("10", "runout", "metric", 10.0),
        ("10 e", "runout", "metric", 10.0),
        ("20 TIR", "runout", "metric", 10.0),
        ("20µm 2e", "runout", "metric", 10.0),
        ('.001" tir', "runout", "metric", 12.7),
        ("0.02 mm indicator", "runout", "inch", 10.0),
    ],
)
def test_what_is_taken(text: str, quantity: str, units: str, value: float) -> None:
    assert typed_value(text, quantity, units, whole=12.0) == pytest.approx(value, rel=1e-12)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "quantity", "allowed"),
    [
        ("10,000", "radial_width", "10000 or 10.000: the comma"),
        ("10.000", "spindle_speed", "10000 or 10: the point"),
        ("1/0", "diameter", "a fraction such as 1/8"),
        ("3 9/8", "diameter", "a fraction such as 1/8"),
        ("1,23,456", "diameter", "a number in mm"),
        ("1,5.5,5", "diameter", "a number in mm"),
        ("20 TIR", "diameter", "a number in mm"),
        ("abc", "runout", "as 20 TIR"),
        ("1/8/3", "diameter", "a number in mm"),
        ("", "diameter", "a number in mm"),
    ],
)
def test_what_is_asked_about(text: str, quantity: str, allowed: str) -> None:
    with pytest.raises(ChiparcError) as refused:
        typed_value(text, quantity, "metric")
    assert allowed in refused.value.allowed


@given(whole=st.integers(0, 40), under=st.sampled_from([2, 4, 8, 16, 32, 64]), share=st.floats(0.0, 0.999))
def test_fractions_of_an_inch(whole: int, under: int, share: float) -> None:
    over = 1 + int(share * (under - 1))
    exact = whole + Fraction(over, under)
    for text in (f'{whole} {over}/{under}"', f"{whole}-{over}/{under} in"):
        assert typed_value(text, "diameter", "metric") == pytest.approx(25.4 * float(exact), rel=1e-14)


@given(st.integers(0, 10**9))
def test_thousands_of_what_is_counted_however_they_are_set_apart(count: int) -> None:
    for text in (f"{count}", f"{count:,}", f"{count:,}".replace(",", " "), f"{count:,}.0"):
        assert typed_value(text, "spindle_speed", "metric") == count
