"""Figures as rows: nothing of the report is missing, a rounding is no difference, units, ranges, CSV."""

from __future__ import annotations

import csv
import io
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice.offsets import beside_in_pair
from core.base.quantities import QUANTITIES, Units
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES, example
from core.effects.wall_range import wall_range
from core.report.figure_row import FigureRow
from core.report.figure_words import cells, detail, difference, is_different, shown
from core.report.figures import figures
from core.report.figures_csv import figures_csv
from core.report.report import report
from core.report.schema import report_keys
from core.report.sentence import sentence
from core.report.text_report import text_report

BOSS = EXAMPLES[0].setup()


def row(climb: Any, conventional: Any, unit: str = "mm", key: str = "wall.error_mm") -> FigureRow:
    """A row of two values."""
    return FigureRow("Wall", "Error", key, climb, conventional, unit)


@pytest.mark.parametrize("each", EXAMPLES, ids=lambda e: e.id)
def test_every_figure_of_the_report_is_a_row_of_its_own_side(each: Any) -> None:
    setup = each.setup()
    found = {r.key: r for r in figures(setup).rows}
    own, other = report(setup), report(beside_in_pair(setup))
    if setup.cut.direction == "conventional":
        own, other = other, own
    for side, said in (("climb", own), ("conventional", other)):
        for group in ("engagement", "rates", "rubbing", "heat", "wall", "feed", "machine", "skin"):
            for name, value in said[group].items():
                if isinstance(value, float):
                    assert getattr(found[f"{group}.{name}"], side) == pytest.approx(value, rel=1e-6, abs=1e-9), name
    units = {unit for r in found.values() for unit in (r.unit_in("metric"),)}
    assert units <= {q.unit for q in QUANTITIES.values()} | {
        "°C",
        "N/°",
        "N/ms",
        "J",
        "µm/mm",
        "W/(m K)",
        "kg/m3",
        "J/(kg K)",
        "Hz",
        "",
    }
    for r in found.values():
        told = report_keys().get(re.sub(r"\[\d+\]", "[]", r.key))
        assert r.key.startswith("advice.") or (told is not None and told.strip == r.strip)


def test_a_conventional_setup_has_the_same_two_columns() -> None:
    one, two = (
        {r.key: (r.climb, r.conventional) for r in figures(setup).rows if not r.key.startswith("which_way")}
        for setup in (BOSS, BOSS.opposite)
    )
    assert one == two


@given(st.floats(1e-6, 1e6), st.floats(-3e-7, 3e-7), st.sampled_from(["mm", "N", "deg", "K", ""]))
@settings(max_examples=80)
def test_a_rounding_is_never_a_difference(value: float, share: float, unit: str) -> None:
    made = row(value, value * (1.0 + share), unit, "x")
    for units in ("metric", "inch"):
        assert difference(made, units) == "same" and not is_different(made, units)


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), st.sampled_from(["mm", "N", "deg", "K", "1"]))
@settings(max_examples=80)
def test_what_looks_alike_is_the_same_and_nothing_else_is(climb: float, other: float, unit: str) -> None:
    made = row(climb, other, unit, "x")
    alike = shown(made, climb, "metric") == shown(made, other, "metric")
    assert (difference(made, "metric") == "same") == alike or abs(climb - other) <= 1e-6 * max(abs(climb), abs(other))


@pytest.mark.parametrize(
    ("made", "told"),
    [
        (row(0.0659, 0.0237), "−0.0422 (−64 %)"),
        (row(0.0659, -0.0237), "−0.0896"),
        (row(0.0, 1.5, "deg", "rubbing.entry_deg"), "+1.5"),
        (row(1000.0, 1001.0, "N", "force.x"), "+1.0"),
        (row("climb", "conventional", ""), "differs"),
        (row(True, True, ""), "same"),
        (row(None, 1.0), "–"),
        (row((1.0, 2.0), (1.0, 2.0)), "same"),
        (row((1.0, 2.0), (1.0, 3.0)), "differs"),
    ],
)
def test_differences_by_hand(made: FigureRow, told: str) -> None:
    assert difference(made, "metric") == told


def test_a_spread_over_a_tenth_is_told_with_its_range() -> None:
    made = FigureRow("Force", "Fx", "force.fx_n.max", 1076.4, 290.0, "N", climb_range=(861.3, 1288.0))
    assert cells(made, "metric")[2:4] == ("1100 (860 to 1300)", "290")
    assert cells(made, "inch")[2] == "240 (190 to 290)"
    narrow = FigureRow("Force", "Fx", "force.fx_n.max", 1076.4, 290.0, "N", climb_range=(1060.0, 1090.0))
    assert cells(narrow, "metric")[2] == "1076"
    assert "Climb lies between 860 and 1300 N" in detail(made, "metric")
    # What is known roughly differs roughly.
    assert difference(made, "metric").startswith("−790 ") and difference(narrow, "metric").startswith("−786 ")
    steep = FigureRow("Force", "rise", "force.steepest_rise_n_deg", 53.28, 20.0, "N/deg", climb_range=(40.0, 66.6))
    assert cells(steep, "metric")[2] == "53 (40 to 67)" and cells(steep, "inch")[2] == "12 (9.0 to 15)"
    hot = FigureRow("Heat", "peak", "heat.peak_rise_k", 537.2, 500.0, "K", climb_range=(268.6, 805.8))
    assert cells(hot, "metric")[2] == "+540 (270 to 810)" and cells(hot, "inch")[2] == "+970 (480 to 1500)"
    used = FigureRow("Machine", "used", "machine.power_used_share", 0.4321, 0.2, "1", climb_range=(0.35, 0.52))
    assert cells(used, "metric")[2] == "43 (35 to 52)"
    nothing = FigureRow("Force", "Fx", "force.fx_n.max", 0.0, 290.0, "N", climb_range=(0.0, 12.4))
    assert cells(nothing, "metric")[2] == "0 (0 to 12)"


def test_a_figure_with_its_range_is_the_same_on_the_page_in_the_report_and_in_the_sentence() -> None:
    rows = {r.key: cells(r, "metric")[2] for r in figures(BOSS).rows}
    text = " ".join(text_report(BOSS).split())
    for key, unit in (("force.resultant_max_n", "N"), ("force.power_kw", "kW")):
        value, _, ends = rows[key].partition(" ")
        assert ends and f"{value} {unit} {ends}" in text, key
    error = rows["wall.error_mm"].partition(" ")
    assert f"{error[0]} mm {error[2]} of stock" in sentence(BOSS) and f"{error[0]} mm {error[2]}" in text


def test_inches_and_units_of_no_quantity() -> None:
    found = {r.key: r for r in figures(BOSS).rows}
    assert cells(found["chip.trochoid.h_max_mm"], "inch")[2] == "0.00223"
    rise = found["force.steepest_rise_n_deg"]
    assert rise.unit_in("inch") == "lbf/°" and isinstance(rise.climb, float)
    assert rise.shown_value(rise.climb, "inch") == pytest.approx(rise.climb / 4.4482216152605)
    assert cells(found["rubbing.share"], "metric")[2] == "2.4" and found["rubbing.share"].unit_in("metric") == "%"


def test_the_csv_has_plain_figures_in_the_units_shown() -> None:
    rows = figures(BOSS).rows
    scales: dict[Units, float] = {"metric": 1.0, "inch": 25.4}
    for units, per in scales.items():
        read = {r["key"]: r for r in csv.DictReader(io.StringIO(figures_csv(rows, units)))}
        assert set(read) == {r.key for r in rows}
        error = next(r for r in rows if r.key == "wall.error_mm")
        assert float(read["wall.error_mm"]["climb"]) == pytest.approx(error.climb / per, rel=1e-6)  # type: ignore[operator]
        gap = (error.conventional - error.climb) / per  # type: ignore[operator]
        assert float(read["wall.error_mm"]["difference"]) == pytest.approx(gap, rel=1e-5)
        assert float(read["wall.error_mm"]["climb_low"]) < float(read["wall.error_mm"]["climb"])
        assert read["engagement.arc_deg"]["difference"] == "0" and read["wall.error_mm"]["model"]


def test_a_straddling_cut_stands_beside_its_mirror_image() -> None:
    setup = example("facing-cast-iron").setup()
    found = figures(setup)
    offset = next(r for r in found.rows if r.key == "setup.cut.centre_offset_mm")
    assert (offset.climb, offset.conventional) == (setup.cut.centre_offset_mm, -setup.cut.centre_offset_mm)
    assert found.straddling and not any(r.key.startswith("advice") for r in found.rows)


def test_each_tooth_of_a_cutter_with_runout_has_its_rows() -> None:
    found = {r.key: r for r in figures(example("runout-two-teeth").setup()).rows}
    assert "(no. 1)" in found["chip.teeth[1].arc.h_max_mm"].label and "force.teeth[0].torque_max_nm" in found


@pytest.mark.parametrize("id", ["roughing-steel", "facing-wide-steel", "runout-two-teeth", "slack-table"])
def test_every_figure_that_is_worked_out_tells_its_model_its_source_and_its_range(id: str) -> None:
    """What was set is the person's own; of all else each number can be asked where it comes from."""
    rows = [row for row in figures(resolved(example(id).setup())).rows if not row.key.startswith("setup.")]
    numbers = [row for row in rows if row.is_number]
    assert len(numbers) > 60
    assert [row.key for row in numbers if not (row.model and row.source)] == []
    # Figures of force, and those of the wall, have the range that their inputs leave.
    ranged = {row.key for row in numbers if row.climb_range is not None}
    forces = {"force.fx_n.max", "force.fy_n.min", "force.torque_nm.max", "force.power_kw", "force.resultant_max_n"}
    assert forces <= ranged
    assert ({"wall.error_mm", "wall.error_top_mm"} <= ranged) is any(row.key == "wall.error_mm" for row in numbers)
    heat = {row.key for row in numbers if row.key.startswith("heat.") and row.key.endswith("rise_k")}
    assert heat <= ranged
    for row in numbers:
        told, ends = detail(row, "metric"), row.climb_range or row.conventional_range
        assert (" lies between " in told) is (ends is not None), row.key
        assert ("Range: " in told) is (ends is None), row.key
        if ends is not None and isinstance(row.climb, float) and row.climb_range is not None:
            assert row.climb_range[0] <= row.climb * (1.0 + 1e-6) + 1e-6 and row.climb <= row.climb_range[1] + 1e-6


def test_what_is_used_of_a_limit_has_the_range_of_what_uses_it() -> None:
    setup = resolved(example("boss").setup().with_keys({"machine.power_kw": 2.0, "machine.torque_nm": 10.0}))
    rows, found = {row.key: row for row in figures(setup).rows}, report(setup)["force"]["range"]
    for key, ends, limit in (("power", found["power_kw"], 2.0), ("torque", found["torque_nm"]["max"], 10.0)):
        spread = rows[f"machine.{key}_used_share"].climb_range
        assert spread == pytest.approx((ends["low"] / limit, ends["high"] / limit), rel=1e-5)


def test_the_margin_of_a_pulled_table_has_the_range_of_the_pull() -> None:
    """Halfway deep the table seems held: the range says that it need not be."""
    setup = resolved(example("slack-table").setup().with_keys({"cut.axial_engagement_mm": 4.0}))
    found = {r.key: r for r in figures(setup).rows}
    friction, margin = setup.machine.table_friction_n, found["feed.pull_margin_n"]  # type: ignore[union-attr]
    assert friction is not None and margin.climb_range is not None
    low, high = report(setup)["force"]["range"]["fy_n"]["max"].values()
    assert margin.climb_range == pytest.approx((friction - high, friction - low), rel=1e-6)
    assert margin.climb > 0.0 > margin.climb_range[0]  # type: ignore[operator]
    assert cells(margin, "metric")[2].startswith("30 (−9.2 to ")
    # Nothing pulls against the feed: the whole friction is left, and that is no question of the coefficients.
    assert cells(margin, "metric")[3] == "250"


@pytest.mark.parametrize("id", ["boss", "finishing-aluminium", "long-reach"])
def test_the_size_of_the_walls_error_has_a_range_that_holds_the_worst_place(id: str) -> None:
    """Against the ranges of the error at its least and greatest place, which the report does not tell."""
    for setup in (
        resolved(example(id).setup()).facing("climb"),
        resolved(example(id).setup()).facing("conventional"),
    ):
        row, spread = next(r for r in figures(setup).rows if r.key == "wall.error_size_mm"), wall_range(setup)
        ends = row.climb_range if setup.cut.direction == "climb" else row.conventional_range
        assert spread is not None and ends is not None
        lowest = max(0.0 if a <= 0.0 <= b else min(abs(a), abs(b)) for a, b in (spread.least, spread.greatest))
        highest = max(abs(end) for place in (spread.least, spread.greatest) for end in place)
        assert ends[0] <= lowest * (1.0 + 1e-6) and ends[1] >= highest * (1.0 - 1e-6)
        assert "(" in cells(row, "metric")[2 if setup.cut.direction == "climb" else 3]
