"""The report: the fixed keys, strict JSON over all legal setups, and the text that a person pastes."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.base.words import words
from core.documents.setup_examples import EXAMPLES
from core.effects.arc_results import arc_results
from core.report.force_rows import force_rows
from core.report.report import KEY_GROUPS, plain, report, report_json
from core.report.sentence import sentence
from core.report.stability_rows import stability_rows
from core.report.text_layout import LABEL, WIDTH
from core.report.text_report import text_report
from core.report.wall_rows import wall_rows
from core.setup.setup import Cut, Cutter, Mode, Setup, Work

BOSS = Setup(
    Cutter(12.0, 4, helix_deg=30.0, edge_radius_mm=0.006),
    Cut("climb", 4.0, 10.0, 0.06, 4000.0),
    title="Boss on a pump bracket",
)

FIXED: dict[str, dict[str, type]] = {
    "": {"format": str, "version": int, "title": str},
    "engagement": dict.fromkeys(("direction", "entry_clock", "exit_clock"), str)
    | dict.fromkeys(("entry_deg", "exit_deg", "arc_deg", "teeth_in_cut_mean", "contact_time_ms"), float)
    | {"teeth_in_cut_max": int},
    "chip.arc": dict.fromkeys(("h_entry_mm", "h_exit_mm", "h_max_mm", "h_mean_mm"), float),
    "chip.trochoid": dict.fromkeys(("h_entry_mm", "h_exit_mm", "h_max_mm", "h_mean_mm"), float),
    "chip": {"thinning": float},
}
"""The keys of ``setup-and-report`` that scripts depend on, with their types."""


def group(found: dict[str, Any], name: str) -> dict[str, Any]:
    """A group of the report by its dotted name."""
    for part in name.split(".") if name else ():
        found = found[part]
    return found


@pytest.mark.parametrize("name", FIXED)
def test_the_fixed_keys_are_there_with_their_types(name: str) -> None:
    found = group(json.loads(report_json(report(BOSS))), name)
    for key, kind in FIXED[name].items():
        assert type(found[key]) is kind, key


def test_the_figures_of_the_boss_by_hand() -> None:
    found = report(BOSS)
    entry = math.degrees(math.acos(2 * 4 / 12 - 1))
    e, chip, rates = found["engagement"], found["chip"], found["rates"]
    assert found["format"] == "chiparc report" and found["version"] == 1 and found["title"] == BOSS.title
    assert e["entry_deg"] == pytest.approx(entry, rel=1e-14) and e["exit_deg"] == 180.0
    assert (e["entry_clock"], e["exit_clock"], e["direction"]) == ("12:39", "3:00", "climb")
    lag = math.degrees(2 * 10 * math.tan(math.radians(30)) / 12)
    assert e["teeth_in_cut_mean"] == pytest.approx(4 * (180 - entry + lag) / 360, rel=1e-14)
    assert (e["teeth_in_cut_min"], e["teeth_in_cut_max"]) == (1, 2)
    assert e["contact_time_ms"] == pytest.approx((180 - entry) / 360 * 15.0, rel=1e-14)
    assert chip["arc"]["h_entry_mm"] == pytest.approx(0.06 * math.sin(math.radians(entry)), rel=1e-14)
    assert chip["arc"]["h_mean_mm"] == pytest.approx(0.06 * (2 * 4 / 12) / math.radians(180 - entry), rel=1e-13)
    assert chip["thinning"] == pytest.approx(0.06 / chip["arc"]["h_max_mm"], rel=1e-14)
    assert chip["feed_for_full_thickness_mm"] == pytest.approx(0.06 * chip["thinning"], rel=1e-14)
    assert rates["table_feed_mm_min"] == pytest.approx(960.0)
    assert rates["removal_rate_cm3_min"] == pytest.approx(38.4)
    assert rates["cutting_speed_m_min"] == pytest.approx(math.pi * 48.0)
    assert rates["volume_per_tooth_mm3"] == pytest.approx(2.4) == chip["volume_mm3"]


def test_the_feed_that_restores_the_thickness_does() -> None:
    feed = report(BOSS)["chip"]["feed_for_full_thickness_mm"]
    assert report(BOSS.with_values(cut__feed_per_tooth_mm=feed))["chip"]["arc"]["h_max_mm"] == pytest.approx(0.06)


def test_runout_adds_each_tooth_and_leaves_the_cutters_own_figures_alone() -> None:
    found = report(BOSS.with_values(cutter__runout_mm=0.1))
    without = report(BOSS)
    assert "teeth" not in without["chip"]
    for key in ("arc", "trochoid", "thinning"):
        assert found["chip"][key] == without["chip"][key]
    teeth = found["chip"]["teeth"]
    # Radii 6.1, 6.0, 5.9, 6.0: teeth 1 and 2 stay behind tooth 0, and 3 would need 0.1 mm in three feeds.
    assert [t["radius_mm"] for t in teeth] == pytest.approx([6.1, 6.0, 5.9, 6.0])
    assert [t["misses"] for t in teeth] == [False, True, True, False]
    assert [t["cuts_double"] for t in teeth] == [False, False, False, True]
    s = math.sin(math.radians(found["engagement"]["entry_deg"]))
    assert teeth[0]["arc"]["h_max_mm"] == pytest.approx(0.06 * s + 0.1)
    assert teeth[3]["arc"]["h_max_mm"] == pytest.approx(3 * 0.06 * s - 0.1)


@pytest.mark.parametrize("title", ["0\xa0", "\xa0", "a \u3000", "x" * 79 + "\u2003 " + "y" * 10])
def test_a_title_that_ends_in_other_spaces_leaves_none_behind(title: str) -> None:
    text = text_report(replace(BOSS, title=title))
    assert not any(line != line.rstrip() for line in text.split("\n")) and len(text.split("\n")[0]) > 0


def test_undefined_figures_are_null() -> None:
    found = plain({"a": math.nan, "b": [np.float64("inf"), np.int64(3)], "c": np.array([1.5, np.nan]), "d": -0.0})
    assert found == {"a": None, "b": [None, 3], "c": [1.5, None], "d": 0.0}
    assert type(found["b"][1]) is int and math.copysign(1.0, found["d"]) == 1.0


def test_left_hand_numbers_are_those_of_the_right_hand() -> None:
    right, left = report(BOSS), report(BOSS.with_values(cutter__hand="left"))
    assert (left["engagement"]["entry_clock"], left["engagement"]["exit_clock"]) == ("11:21", "9:00")
    for found in (right, left):
        del found["sentence"]
        del found["engagement"]["entry_clock"], found["engagement"]["exit_clock"]
    assert right == left


def test_a_section_adds_to_a_group_that_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("core.report.report.KEY_GROUPS", (*KEY_GROUPS, lambda setup: {"chip": {"more": 1.0}}))
    found = report(BOSS)["chip"]
    assert found["more"] == 1.0 and found["thinning"] > 1.0


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.id)
def test_the_text_of_every_example_tells_its_figures_in_both_units(example: Any) -> None:
    setup = example.setup()
    found = report(setup)
    for units in ("metric", "inch"):
        text = text_report(setup, units)
        told = " ".join(text.split())
        assert " ".join(sentence(setup, units).split()) in told
        assert f"enters {found['engagement']['entry_clock']} " in told
        assert (" in/tooth" in told) == (units == "inch")
        assert "certifies" in told and "eye protection" in told and "gloves" in told


def test_the_text_says_what_is_not_known() -> None:
    bare = Setup(Cutter(10.0, 3), Cut("conventional", 2.0, 5.0, 0.05, 3000.0))
    text = " ".join(text_report(bare).split())
    for said in (
        "No edge radius",
        "No force coefficients",
        "No stick-out",
        "No Young's modulus",
    ):
        assert said in text
    known = bare.with_keys(
        {"cutter.edge_radius_mm": 0.01, "cutter.stickout_mm": 30.0, "cutter.youngs_modulus_n_mm2": 6e5}
    )
    known = known.with_keys({"work.": Work(material="C45E"), "dynamics.": (Mode("x", 800.0, 0.02, 1e4),)})
    text = " ".join(text_report(known).split())
    assert "No " not in text.replace("no deflection, no built-up edge, no wear", "")


def test_a_long_title_is_wrapped_and_a_missing_one_said() -> None:
    long = text_report(BOSS.with_values(title="Bracket " * 30))
    assert max(map(len, long.splitlines())) <= WIDTH
    untitled = text_report(Setup(BOSS.cutter, BOSS.cut))
    assert untitled.startswith("Setup without a title\n=====================\n")


def test_force_wall_and_chatter_rows_follow_the_fixed_keys() -> None:
    turn = {"min": -10.0, "mean": 20.0, "max": 300.0}
    nothing = dict.fromkeys(("min", "mean", "max"))
    force = {"fx_n": turn, "fy_n": turn, "fz_n": nothing, "torque_nm": turn, "power_kw": 1.5}
    told = dict(force_rows(BOSS, {"force": force}, "metric"))
    assert told["across the feed Fx, + right"].split() == ["−10", "N", "20", "N", "300", "N"]
    assert "along the spindle Fz" not in told and told["mean cutting power"] == "1.50 kW"
    wall = {"deflection_mm": {"min": -0.01, "max": 0.002}, "error_mm": -0.004}
    assert dict(wall_rows(BOSS, {"wall": wall}, "metric"))["wall error at the tip"] == "−0.0040 mm, undercuts"
    assert wall_rows(BOSS, {"wall": {"deflection_mm": None, "error_mm": None}}, "metric") == []
    chatter = {"axial_limit_mm": None, "method": "no limit up to 10 D"}
    assert stability_rows(BOSS, {"stability": chatter}, "metric") == []
    shaken = BOSS.with_keys({"dynamics.": (Mode("x", 800.0, 0.02, 1e4),)})
    assert ("", "no limit up to 10 D") in stability_rows(shaken, {"stability": chatter}, "metric")


def test_a_thousandth_of_a_thousandth_does_not_read_as_nothing() -> None:
    text = text_report(BOSS.with_values(cut__feed_per_tooth_mm=2e-7))
    assert "0.00000020 mm/tooth" in text or "2.0e−7" in text
    assert arc_results(BOSS).arc.h_exit < 1e-15 and "0.0000 mm " in text_report(BOSS)


def test_every_label_leaves_a_gap_before_its_value() -> None:
    assert {name: label for name, label in words()["row"].items() if len(label) >= LABEL} == {}
