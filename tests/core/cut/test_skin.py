"""The skin: the figures of the notes, areas cut out by shapely, crossings by mpmath, mirror, limits, nulls."""

from __future__ import annotations

import math
from typing import Any

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from core.cut.engagement import engagement
from core.cut.skin import free_faces, skin_crossing
from core.report.effect_rows import skin_rows
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import Cut, Cutter, Setup, Skin, Work
from tests.strategies import shop_setups


def plate(direction: Any = "climb", layer: float | None = 0.5, **values: Any) -> Setup:
    """The opening setup with a skin and changes by ``group__key``."""
    work = Work(skin=None if layer is None else Skin(layer))
    return Setup(Cutter(12.0, 4, helix_deg=30.0), Cut(direction, 4.0, 10.0, 0.06, 4000.0), work).with_values(**values)


def figures(setup: Setup) -> dict[str, Any]:
    return report(setup)["skin"]


@pytest.mark.parametrize(
    ("direction", "low", "high"), [("climb", 109.471, 114.624), ("conventional", 65.376, 70.529)]
)
def test_the_opening_setup(direction: Any, low: float, high: float) -> None:
    """Own figures, recomputed by hand: arccos(-2.5/6) less arccos(-2/6)."""
    setup = plate(direction)
    found, e = figures(setup), engagement(setup)
    assert found["cross_deg"] == pytest.approx(5.1531, abs=5e-5)
    assert found["sliding_mm"] == pytest.approx(0.5396, abs=5e-5)
    assert found["arc_share"] == pytest.approx(5.1531 / 70.5288, abs=1e-6)
    assert found["h_mm"] == pytest.approx(0.06 * math.sqrt(1 - (2 / 6) ** 2), rel=1e-12)
    if direction == "climb":
        assert (found["met"], found["exit_deg"]) == ("entry", 0.0)
        ends = (math.degrees(e.entry), math.degrees(e.entry) + found["entry_deg"])
    else:
        assert (found["met"], found["entry_deg"]) == ("exit", 0.0)
        ends = (math.degrees(e.exit) - found["exit_deg"], math.degrees(e.exit))
    assert ends == pytest.approx((low, high), abs=5e-4)


def by_cutting_out(setup: Setup, layer: float) -> float:
    """Length (mm) of the tip's circle inside the layers, a polyline of 200000 pieces cut with boxes."""
    e, radius = engagement(setup), setup.cutter.diameter_mm / 2
    phi = np.linspace(0.0, np.pi, 200_001)
    circle = LineString(np.stack([-radius * np.cos(phi), radius * np.sin(phi)], -1))
    faces = free_faces(setup)
    layer = min(layer, (e.x2 - e.x1) / sum(faces))
    length = 0.0
    if faces[0]:
        length += circle.intersection(box(e.x1, -1.0, e.x1 + layer, radius + 1.0)).length
    if faces[1]:
        length += circle.intersection(box(e.x2 - layer, -1.0, e.x2, radius + 1.0)).length
    return length


CASES = [
    (plate("climb", cut__radial_engagement_mm=11.0), 0.8),
    (plate("conventional", cut__radial_engagement_mm=11.0), 0.8),
    (plate("straddling", cut__radial_engagement_mm=9.0, cut__centre_offset_mm=1.2), 0.7),
    (plate("straddling", cut__radial_engagement_mm=2.0, cut__centre_offset_mm=-4.5), 0.4),
    (plate("straddling", cut__radial_engagement_mm=3.0), 50.0),
    (plate("conventional", cut__radial_engagement_mm=0.3), 0.29),
]


@pytest.mark.parametrize(("setup", "layer"), CASES, ids=range(len(CASES)))
def test_sliding_against_a_circle_cut_with_boxes(setup: Setup, layer: float) -> None:
    found = skin_crossing(setup.with_keys({"work.skin": Skin(layer)}))
    assert found is not None
    assert found.sliding == pytest.approx(by_cutting_out(setup, layer), rel=1e-6)
    assert found.arc_share == pytest.approx(found.sliding / engagement(setup).arc_length, rel=1e-12)


@pytest.mark.parametrize("layer", [1e-9, 1e-4, 0.01, 0.0999999999, 0.1])
@pytest.mark.parametrize("width", [0.1, 2.0, 11.9])
@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_thin_layers_keep_their_digits(direction: Any, width: float, layer: float) -> None:
    """Against the two arc cosines with 50 digits."""
    with mpmath.workdps(50):
        radius, ae, s = mpmath.mpf(6), mpmath.mpf(width), mpmath.mpf(layer)
        wanted = float(mpmath.acos(1 - ae / radius) - mpmath.acos(1 - (ae - s) / radius))
    found = skin_crossing(plate(direction, layer, cut__radial_engagement_mm=width))
    assert found is not None
    assert found.cross == pytest.approx(wanted, rel=1e-9)


@given(shop_setups(), st.floats(0.0, 200.0))
@settings(max_examples=80)
def test_climb_and_conventional_mirror(setup: Setup, layer: float) -> None:
    """Length and thickness in the layer are equal; one strikes it, the other breaks out."""
    here = setup.with_keys({"work.skin": Skin(layer)})
    a, b = skin_crossing(here), skin_crossing(here.opposite)
    assert a is not None and b is not None
    assert (a.entry, a.exit) == pytest.approx((b.exit, b.entry), rel=1e-7, abs=1e-9)
    assert a.cross <= engagement(here).arc * (1 + 1e-9)
    assert {a.met, b.met} in ({"entry", "exit"}, {"both"}, {"none"})
    if a.h is None or b.h is None:
        assert a.h is b.h and a.met == "none"
    else:
        assert a.h == pytest.approx(b.h, rel=1e-9)


@pytest.mark.parametrize("direction", ["climb", "conventional", "straddling"])
def test_a_layer_as_thick_as_the_work_is_all_of_the_arc(direction: Any) -> None:
    for layer in (4.0, 5.0, 1000.0):
        found = skin_crossing(plate(direction, layer))
        assert found is not None
        assert found.cross == pytest.approx(engagement(plate(direction)).arc, rel=1e-12)
        assert found.arc_share == pytest.approx(1.0, rel=1e-12)


def test_two_free_faces_share_the_strip_at_its_middle() -> None:
    setup = plate("straddling", 3.0, cut__centre_offset_mm=1.0)
    found, e = skin_crossing(setup), engagement(setup)
    assert found is not None
    middle = math.acos(-1.0 / 6.0)
    assert (e.entry + found.entry, e.exit - found.exit) == pytest.approx((middle, middle), rel=1e-12)
    assert found.met == "both"
    # The larger thickness of the two faces, which lie at -1 and 3 mm.
    assert found.h == pytest.approx(0.06 * math.sqrt(1 - 1 / 36), rel=1e-12)


def test_a_slot_has_no_free_face() -> None:
    slot = plate("straddling", 0.5, cut__radial_engagement_mm=12.0)
    assert figures(slot) == {
        "entry_deg": 0.0,
        "exit_deg": 0.0,
        "cross_deg": 0.0,
        "arc_share": 0.0,
        "sliding_mm": 0.0,
        "h_mm": None,
        "met": "none",
    }
    assert dict(skin_rows(slot, report(slot), "metric"))["each tooth"] == "not met: no free face at the sides"


def test_no_layer_is_null_and_a_layer_of_nothing_takes_no_arc() -> None:
    assert set(figures(plate(layer=None)).values()) == {None}
    assert set(figures(plate(layer=None))) == set(figures(plate()))
    nothing = figures(plate(layer=0.0))
    assert (nothing["cross_deg"], nothing["met"]) == (0.0, "entry")


def test_a_slanted_edge_thins_the_chip_at_the_face() -> None:
    found = figures(plate(cutter__cutting_edge_angle_deg=45.0))
    assert found["h_mm"] == pytest.approx(0.06 * math.sqrt(8 / 9) * math.sqrt(0.5), rel=1e-12)


def test_a_left_hand_cutter_has_the_same_numbers() -> None:
    assert figures(plate(cutter__hand="left")) == figures(plate())


def test_the_text_says_which_way() -> None:
    for direction, told in (("climb", "strikes it from outside"), ("conventional", "breaks out through it")):
        text = " ".join(text_report(plate(direction)).split())
        assert told in text and "5.15°, 0.540 mm in a turn" in text and "skin on the top face" in text
    assert "skin" not in text_report(plate(layer=None))
