"""Published tables of engagement and thinning, feed marks and true-path thickness, facts of the trade."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from core.cut.chip import trochoid_thickness
from core.effects.arc_results import arc_results
from core.effects.wall_marks import feed_mark
from core.report.report import report
from core.report.sentence import sentence
from core.setup.setup import Cut, Cutter, Direction, Setup
from tests.published.tables import agree, table

ENGAGEMENT, TRUE_PATH, FACTS = table("engagement"), table("true_path"), table("trade_facts")
MARKS, THICKNESS = TRUE_PATH["marks"], TRUE_PATH["thickness"]


def cut(direction: Direction, d: float, ae: float, fz: float = 0.05, z: int = 4) -> Setup:
    """A plain square cutter in a plain cut."""
    return Setup(Cutter(d, z), Cut(direction, ae, 5.0, fz, 3000.0))


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("row", ENGAGEMENT["rows"], ids=lambda row: f"r={row['r']}")
def test_engagement_thinning_and_mean_against_the_width(row: dict[str, float], direction: Direction) -> None:
    found, tolerance = report(cut(direction, 100.0, 100.0 * row["r"])), ENGAGEMENT["tolerance"]
    mean = found["chip"]["arc"]["h_mean_mm"] / 0.05
    rule = math.sqrt(row["r"])
    ours = {
        "phi_s": found["engagement"]["arc_deg"],
        "thinning": found["chip"]["thinning"],
        "h_mean": mean,
        # The rule of thumb itself is no figure of ours; how far it is off our mean is.
        "high": 100.0 * (rule / mean - 1.0),
    }
    for name, value in ours.items():
        agree(value, row[name], tolerance[name], f"{name} at r = {row['r']}", ENGAGEMENT)
    if "root" in row:
        by_root = ours["thinning"] * math.sqrt(1.0 - row["r"])
        agree(
            by_root, row["root"], tolerance["root"], "root form", {**ENGAGEMENT, "source": ENGAGEMENT["root_source"]}
        )


@pytest.mark.parametrize("row", MARKS["rows"], ids=lambda row: f"R={row['R']}")
def test_feed_marks_up_and_down(row: dict[str, Any]) -> None:
    setup = cut("conventional", 2 * row["R"], 0.4 * row["R"], row["fz"], row["z"])
    for name, side in (("up", +1), ("down", -1)):
        ours = float(feed_mark(setup, side))
        agree(ours, row[name], MARKS["martellotti_tolerance"] * row[name], f"mark {name}", MARKS)
        agree(ours, row[f"{name}_crossing"], MARKS["crossing_tolerance"], f"mark {name}, crossing", MARKS)


@pytest.mark.parametrize("row", THICKNESS["rows"], ids=lambda row: f"D={row['D']:g} z={row['z']} fz={row['fz']}")
def test_true_path_thickness(row: dict[str, Any]) -> None:
    d, z, fz = row["D"], row["z"], row["fz"]
    ours = trochoid_thickness(np.radians(THICKNESS["phi_deg"]), d, z, fz)
    for phi, h, printed in zip(THICKNESS["phi_deg"], ours, row["h"], strict=True):
        agree(float(h), printed, THICKNESS["tolerance"], f"h at {phi} degrees", THICKNESS)
    halves = (cut("conventional", d, d / 2, fz, z), cut("climb", d, d / 2, fz, z), cut("straddling", d, d, fz, z))
    for setup, printed in zip(halves, row["mean"], strict=True):
        agree(arc_results(setup).trochoid.h_mean, printed, THICKNESS["tolerance"], setup.cut.direction, THICKNESS)
    if "ends" in row:
        slot = arc_results(halves[2]).trochoid
        agree(slot.h_entry, row["ends"][0], THICKNESS["tolerance"], "nominal 0", THICKNESS)
        agree(slot.h_exit, row["ends"][1], THICKNESS["tolerance"], "nominal 180", THICKNESS)


@pytest.mark.parametrize("row", FACTS["rows"], ids=lambda row: row["cut"])
def test_facts_of_the_trade(row: dict[str, Any]) -> None:
    """Common practice, no source."""
    setup = cut(row["direction"], row["D"], row["ae"])
    found = report(setup)
    e, arc = found["engagement"], found["chip"]["arc"]
    assert (e["entry_clock"], e["exit_clock"]) == (row["entry"], row["exit"])
    for end in row["zero"]:
        assert arc[f"h_{end}_mm"] == pytest.approx(0.0, abs=1e-15)
    if row["thickest"] in ("entry", "exit"):
        assert arc[f"h_{row['thickest']}_mm"] == arc["h_max_mm"]
    else:
        assert arc["h_max_deg"] == 90.0
        assert f"thickest at {row['thickest']}" in sentence(setup)
    assert f"at {row['entry']}" in sentence(setup) and f"at {row['exit']}" in sentence(setup)
