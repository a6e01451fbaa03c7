"""Worked examples of textbooks and examinations, through the report as a user gets it."""

from __future__ import annotations

import math
from typing import Any

import pytest

from core.base.quantities import MM_PER_INCH, QUANTITIES
from core.cut.chip import feed_for_thickness
from core.cut.engagement import engagement
from core.cut.rates import face_approach, rates, side_approach, spindle_speed
from core.effects.wall_marks import feed_mark
from core.report.report import report
from core.setup.setup import Cut, Cutter, Setup
from core.setup.setup_limits import check_setup
from tests.published.tables import agree, table

EXAMPLES = table("worked_examples")["example"]
CASES = [(example, value) for example in EXAMPLES for value in example["values"]]


def in_house_units(given: dict[str, Any]) -> dict[str, Any]:
    """The givens with inches and feet turned into mm and m."""
    if not given.get("inch"):
        return given
    lengths: dict[str, Any] = {key: given[key] * MM_PER_INCH for key in ("D", "ae", "ap", "fz", "L") if key in given}
    return {**given, **lengths, "vc": QUANTITIES["cutting_speed"].house(given["vc"], "inch")}


def setup_of(g: dict[str, Any]) -> Setup:
    """The example as a legal setup; speed from vc and feed from h_max or vf are the program's own."""
    n = g["n"] if "n" in g else float(spindle_speed(g["vc"], g["D"]))
    feed = g["fz"] if "fz" in g else g["vf"] / (g["z"] * n) if "vf" in g else 0.01
    cutter = Cutter(g["D"], g["z"], cutting_edge_angle_deg=g.get("kappa", 90.0))
    setup = Setup(cutter, Cut(g["direction"], g["ae"], g["ap"], feed, n))
    if "h_max" in g:
        fz = float(feed_for_thickness(g["h_max"], setup, engagement(setup)))
        setup = setup.with_values(cut__feed_per_tooth_mm=fz)
    check_setup(setup)
    return setup


def figures_of(g: dict[str, Any], setup: Setup) -> dict[str, float]:
    """What a worked example asks for besides the keys of the report."""
    cut, vf = setup.cut, rates(setup).table_feed_mm_min
    side = float(side_approach(g["D"], g["ae"]))
    face = float(face_approach(g["D"], g["ae"]))
    length = g.get("L", math.nan)
    return {
        "fz": cut.feed_per_tooth_mm,
        "n": cut.spindle_speed_rpm,
        "side_approach": side,
        "face_approach": face,
        "side_travel": length + side,
        "time_min": g.get("travel", math.nan) / vf,
        "side_time_min": (length + side) / vf,
        "face_time_min": (length + face) / vf,
        "face_time_both_min": (length + 2 * face) / vf,
        "feed_mark_mean": float(feed_mark(setup, +1) + feed_mark(setup, -1)) / 2,
    }


def reported(setup: Setup, key: str) -> float:
    """A figure of the report by its dotted name."""
    found: Any = report(setup)
    for part in key.split("."):
        found = found[part]
    return float(found)


@pytest.mark.parametrize(("example", "value"), CASES, ids=[f"{e['id']}-{v['of']}" for e, v in CASES])
def test_worked_example(example: dict[str, Any], value: dict[str, Any]) -> None:
    given = in_house_units(example["given"])
    setup = setup_of(given)
    ours = reported(setup, value["of"]) if "." in value["of"] else figures_of(given, setup)[value["of"]]
    if value["unit"] == "in3/min":
        ours = QUANTITIES["removal_rate"].shown(ours, "inch")
    printed = value["printed"]
    if value.get("form") == "root":
        printed *= math.sqrt(1.0 - given["ae"] / given["D"])
    agree(ours, printed, value["tolerance"], f"{example['title']}: {value['of']}", example)


def test_every_example_names_its_source_and_what_was_seen_of_it() -> None:
    ids = [example["id"] for example in EXAMPLES]
    assert len(set(ids)) == len(ids)
    for example in EXAMPLES:
        assert example["source"] and example["status"] in ("seen", "seen-in", "memory") and example["values"]
