"""Tool life as a ratio of two setups: by hand, its symmetries, and every reason to refuse."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice.tool_life import LifeRatio, edge_material, life_ratio
from core.base.errors import DocumentError
from core.base.language import ENGLISH, speak
from core.base.places import shared
from core.documents.materials import catalogue, read_materials, resolved
from core.documents.tool_life_tables import TERMS, life_tables, read_life_tables
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import Cut, Cutter, Setup, Thermal, Work

CARBIDE, HSS = Thermal(80.0, 14500.0, 220.0), Thermal(24.0, 8100.0, 460.0)
FILE = shared("tool_life.toml").read_text("utf-8")


def milled(material: str | None = "C45E", edge: Thermal | None = CARBIDE, **values: Any) -> Setup:
    """A carbide end mill of 12 in C45E at 113 m/min, and changes by ``group__key``."""
    cutter = Cutter(12.0, 4, edge_radius_mm=0.006, material=edge)
    setup = Setup(cutter, Cut("climb", 4.0, 10.0, 0.06, 3000.0), Work(material), title="A").with_values(**values)
    return resolved(setup) if material and catalogue().search(material) else setup


BASE = milled()


def test_by_hand() -> None:
    """1.2 times the speed, half the feed, the same width, 1.5 times the depth; carbide in steel."""
    faster = milled(
        cut__spindle_speed_rpm=3600.0, cut__feed_per_tooth_mm=0.03, cut__axial_engagement_mm=15.0, title=""
    )
    found = life_ratio(faster, BASE)
    assert found.reason is None
    assert found.ratio == pytest.approx(1.2**-3.2 * 0.5**-1.2 * 1.5**-0.37, rel=1e-12)
    assert found.low == pytest.approx(1.2**-5.0 * 0.5**-0.7 * 1.5**-0.5, rel=1e-12)
    assert found.high == pytest.approx(1.2**-2.0 * 0.5**-2.0 * 1.5**-0.27, rel=1e-12)
    wider = life_ratio(milled(cut__radial_engagement_mm=8.0), BASE)
    assert (wider.low, wider.ratio, wider.high) == pytest.approx((2.0**-1.0, 2.0**-0.81, 2.0**-0.65), rel=1e-12)


@given(st.lists(st.floats(0.6, 1.6), min_size=8, max_size=8), st.sampled_from([CARBIDE, HSS]))
def test_turned_round_it_is_the_reciprocal_and_the_band_holds_the_ratio(by: list[float], edge: Thermal) -> None:
    keys = ("spindle_speed_rpm", "feed_per_tooth_mm", "radial_engagement_mm", "axial_engagement_mm")
    base = milled(edge=edge, cut__spindle_speed_rpm=3000.0 if edge is CARBIDE else 700.0)
    one, other = (
        base.with_keys({f"cut.{k}": base.value(f"cut.{k}") * f for k, f in zip(keys, part, strict=True)})
        for part in (by[:4], by[4:])
    )
    there, back = life_ratio(one, other), life_ratio(other, one)
    assert there.ratio is not None and there.low is not None and there.high is not None
    assert back.ratio is not None and back.low is not None and back.high is not None
    assert there.low <= there.ratio <= there.high
    assert there.ratio * back.ratio == pytest.approx(1.0)
    assert there.low * back.high == pytest.approx(1.0) and there.high * back.low == pytest.approx(1.0)
    over = life_ratio(one, base).ratio
    assert over is not None
    assert life_ratio(base, other).ratio == pytest.approx(there.ratio / over), "by way of a third setup"


@given(st.floats(1.001, 3.0), st.sampled_from(["spindle_speed_rpm", "feed_per_tooth_mm", "axial_engagement_mm"]))
def test_more_of_anything_costs_life_and_speed_costs_most(times: float, key: str) -> None:
    found = life_ratio(BASE.with_keys({f"cut.{key}": BASE.value(f"cut.{key}") * times}), BASE)
    faster = life_ratio(milled(cut__spindle_speed_rpm=3000.0 * times), BASE)
    assert found.high is not None and found.high < 1.0
    assert faster.ratio is not None and found.ratio is not None and faster.ratio <= found.ratio


def test_the_direction_does_not_enter() -> None:
    assert life_ratio(BASE.facing("conventional"), BASE) == LifeRatio(1.0, 1.0, 1.0)


@pytest.mark.parametrize(
    ("one", "other", "words"),
    [
        (milled(edge=None), BASE, "edge of this setup"),
        (BASE, milled(edge=None), "edge of the other setup"),
        (milled(edge=None), milled(edge=None), "edges are made of"),
        (milled(None), BASE, "work material of this setup"),
        (BASE, milled(None), "work material of the other"),
        (milled(None), milled(None), "of both setups"),
        (milled("no such bar"), BASE, "work material of this setup"),
        (milled(edge=HSS), BASE, "this edge is high-speed steel, the other carbide"),
        (milled("EN-GJL-250"), BASE, "group K, the other of group P"),
        (milled("42CrMo4"), BASE, "42CrMo4, the other C45E"),
        (milled("Ti-6Al-4V"), milled("Ti-6Al-4V"), "group S (heat-resistant alloy, titanium)"),
        (milled(cutter__cutting_edge_angle_deg=45.0), BASE, "cutting edge angles"),
        (milled(cutter__diameter_mm=12.7), BASE, "cutter diameter differs 1.06 times"),
        (milled(cut__feed_per_tooth_mm=0.25), BASE, "feed per tooth differs 4.17 times"),
        (BASE, milled(cut__feed_per_tooth_mm=0.25), "feed per tooth differs 4.17 times"),
        (milled(cut__radial_engagement_mm=0.9), BASE, "radial width differs 4.44 times"),
        (milled(cut__axial_engagement_mm=41.0), BASE, "depth differs 4.1 times"),
        (milled(cut__spindle_speed_rpm=12100.0), BASE, "cutting speed differs 4.03 times"),
        (milled(cut__spindle_speed_rpm=1200.0), BASE, "45.2 m/min: the exponents hold from 50.0 m/min to 400"),
        (BASE, milled(cut__spindle_speed_rpm=1200.0), "45.2 m/min"),
        (milled(cut__spindle_speed_rpm=11000.0), BASE, "414.7 m/min"),
        (milled(cutter__edge_radius_mm=0.12), BASE, "it rubs"),
        (BASE, milled(cutter__edge_radius_mm=0.12), "it rubs"),
    ],
)
def test_refused_in_words(one: Setup, other: Setup, words: str) -> None:
    found = life_ratio(one, other)
    assert (found.ratio, found.low, found.high) == (None, None, None)
    assert found.reason is not None and words in found.reason


def test_at_the_limits_it_is_not_refused() -> None:
    """Four times the feed, the width, the depth; a reground cutter; a chip that is just thick enough."""
    for change in (
        {"cut.feed_per_tooth_mm": 0.24},
        {"cut.radial_engagement_mm": 1.0},
        {"cut.axial_engagement_mm": 40.0},
        {"cutter.diameter_mm": 11.5},
        {"cutter.edge_radius_mm": None},
        # Mean chip of the arc: fz (2 ae/D) / phi_s = 0.06 * 0.6667 / 1.23096 = 0.0325 over 0.3 times the radius.
        {"cutter.edge_radius_mm": 0.1083},
    ):
        assert life_ratio(BASE.with_keys(change), BASE).reason is None, change
    assert life_ratio(BASE.with_keys({"cutter.edge_radius_mm": 0.1084}), BASE).reason is not None


def test_a_reason_has_the_units_of_its_reader() -> None:
    slow = milled(cut__spindle_speed_rpm=1200.0)
    assert "148 ft/min" in (life_ratio(slow, BASE, units="inch").reason or "")
    assert "ft/min" in text_report(slow, "inch", BASE).partition("Tool life")[2]
    assert "m/min" in report(slow, BASE)["tool_life"]["reason"]


def test_what_the_edge_is_made_of() -> None:
    """The modulus of steel is that of a body with carbide inserts too, so it tells nothing."""
    plain = milled(edge=None)
    assert edge_material(plain.with_keys({"cutter.youngs_modulus_n_mm2": 580_000.0})) == "carbide"
    assert edge_material(plain.with_keys({"cutter.youngs_modulus_n_mm2": 210_000.0})) is None
    inserts = milled(cutter__youngs_modulus_n_mm2=210_000.0)
    assert edge_material(inserts) == "carbide"
    assert edge_material(milled(edge=Thermal(30.0, 3900.0, 800.0))) is None, "a ceramic"
    for entry in catalogue().cutter_materials:
        assert edge_material(milled(edge=entry.thermal)) == entry.name


def test_one_material_by_two_of_its_names_and_ones_own() -> None:
    assert life_ratio(milled("AISI 1045"), BASE).ratio == 1.0
    own = catalogue().with_own(
        read_materials(
            'format = "chiparc materials"\nversion = 1\n[sources.s]\ntext = "t"\nstatus = "s"\nconditions = "c"\n'
            '[[material]]\nname = "our bar"\ngroup = "P"\nkind = "bar"\n[material.thermal]\n'
            'conductivity_w_mk = { value = 40.0, source = "s" }\ndensity_kg_m3 = { value = 7850.0, source = "s" }\n'
            'specific_heat_j_kgk = { value = 470.0, source = "s" }\n',
            "own.toml",
        )
    )
    bar = milled("our bar")
    assert life_ratio(bar, bar, own).ratio == 1.0 and life_ratio(bar, bar).ratio is None


def test_the_report_has_it_only_against_another() -> None:
    assert report(BASE)["tool_life"] is None
    assert "Tool life" not in text_report(BASE)
    slower = milled(cut__spindle_speed_rpm=2400.0, title="B")
    told = report(slower, BASE)["tool_life"]
    expected = life_ratio(slower, BASE)
    assert told == {
        "ratio": expected.ratio,
        "low": expected.low,
        "high": expected.high,
        "against": "A",
        "reason": None,
    }
    text = text_report(slower, against=BASE)
    # 0.8^-3.2, 0.8^-2 and 0.8^-5 to two digits.
    assert "2.0 times as long; 1.6 to 3.1 by the exponents" in text
    assert "Climb or conventional does not enter" in text


@settings(max_examples=25)
@given(st.text(st.characters(exclude_categories=("C", "Zl", "Zp")), max_size=120), st.booleans())
def test_no_line_of_the_text_is_too_long(title: str, refused: bool) -> None:
    other = milled("EN-GJL-250" if refused else "C45E", cut__feed_per_tooth_mm=0.2, title=title)
    assert max(map(len, text_report(BASE, "inch", other).splitlines())) <= 80


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ("chiparc tool life", "chiparc materials", "format"),
        ("version = 1", "version = 3", "version"),
        ('source = "taylor" }', 'source = "tailor" }', "tailor"),
        ("value = 3.2, range = [2.0, 5.0]", "value = 5.2, range = [2.0, 5.0]", "within its range"),
        ("value = 3.2, range = [2.0, 5.0]", "value = 3.2", "range: missing"),
        ("range = [2.0, 5.0]", "range = [5.0, 2.0]", "low before high"),
        ("value = 3.2, range = [2.0, 5.0]", "value = -3.2, range = [-5.0, 5.0]", "-5"),
        ("value = 3.2", f"value = 1{'0' * 400}", "from 0 to 50"),
        ('edge = "carbide"', 'edge = "glass"', "carbide, high-speed steel"),
        ('group = "P"', 'group = "Q"', "P, M, K, N, S, H"),
        ('group = "K"', 'group = "P"', "twice"),
        ('name = "high-speed steel"', 'name = "carbide"', "twice"),
        ("speed_m_min = [50.0, 400.0]", "speed_m_min = [0.0, 400.0]", "over 0"),
        ("speed_m_min = [50.0, 400.0]\n", "", "missing"),
        ("feed = { value = 4.0", "food = { value = 4.0", "unknown key"),
        ("[most]", "[least]", "unknown key"),
        ("speed = { value = 4.0", "speed = { value = 0.5", "0.5"),
    ],
)
def test_wrong_tables_are_refused_with_their_line(old: str, new: str, word: str) -> None:
    assert old in FILE
    with pytest.raises(DocumentError, match=r"own\.toml:\d+: ") as caught:
        read_life_tables(FILE.replace(old, new, 1), "own.toml")
    assert word in str(caught.value)


def test_every_exponent_names_its_source_and_no_source_is_unused() -> None:
    tables = life_tables()
    figures = [*tables.most, *(f for e in tables.exponents for f in e.figures)]
    assert all(len(e.figures) == len(TERMS) for e in tables.exponents)
    assert {f.source.text for f in figures if "memory" not in f.source.status} == {"common practice, no source"}
    assert FILE.count("[sources.") == len({f.source for f in figures})


def test_a_group_without_exponents_is_said_before_anything_else_is_asked_for() -> None:
    hard = milled("X40CrMoV5-1+50HRC", edge=None)
    reason = life_ratio(hard, milled(edge=None)).reason
    assert reason is not None and "group H" in reason and "no exponents" in reason


def test_edges_and_groups_are_called_in_german() -> None:
    speak("de")
    try:
        hard = life_ratio(milled("X40CrMoV5-1+50HRC"), BASE).reason
        other = life_ratio(milled(edge="hss"), milled(edge="carbide")).reason  # type: ignore[arg-type]
        stainless = life_ratio(milled("1.4301", edge="carbide"), milled("1.4301", edge="carbide")).reason  # type: ignore[arg-type]
    finally:
        speak(ENGLISH.id)
    assert hard == "für Gruppe H (gehärteter Stahl) sind für keine Schneide Exponenten bekannt"
    assert other == "diese Schneide ist aus Schnellarbeitsstahl, die andere aus Hartmetall"
    assert stainless == "keine Exponenten bekannt für Hartmetall in Gruppe M (nichtrostender Stahl)"


def test_an_edge_told_by_its_word() -> None:
    assert edge_material(milled(edge="hss")) == "high-speed steel" == edge_material(milled(edge="high-speed steel"))  # type: ignore[arg-type]
    assert edge_material(milled(edge="carbide")) == "carbide"  # type: ignore[arg-type]
    assert life_ratio(milled(edge="carbide"), BASE).ratio == pytest.approx(1.0)  # type: ignore[arg-type]
