"""Figures that are known roughly: two digits, their range, and never on the other side of their limit."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.advice.reason_ranges import ROUGH, reason_range
from core.advice.which_way import reason_of, reasons
from core.base.quantities import QUANTITIES
from core.base.words import say
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES, example
from core.effects.limit_range import limit_range
from core.effects.machine_limits import crossed_checks
from core.force.coefficient_spread import known_spread
from core.force.force_range import force_range
from core.force.force_turn import force_turn
from core.report.crossed_limit_words import crossed_limits
from core.report.json_report import crossed_keys
from core.report.rough_words import Rough, before_and_after
from core.report.sentence import sentence
from core.report.text_report import text_report
from core.report.which_way_words import reason_figure, why
from core.setup.setup import Machine, Setup

ONE_SIDED = [each.id for each in EXAMPLES if each.setup().cut.direction != "straddling"]


def cut(id: str, **keys: Any) -> Setup:
    """An example with its coefficients."""
    return resolved(example(id).setup().with_keys({key.replace("__", "."): value for key, value in keys.items()}))


def digits(figure: str) -> int:
    """Digits of a figure in words that count: zeros before the first and after the last of a whole one do not."""
    found = figure.lstrip("0.").replace(".", "")
    return len(found if "." in figure else found.rstrip("0"))


@given(st.floats(1e-3, 1e5), st.floats(0.8, 1.25), st.sampled_from(["force", "power", "torque"]))
def test_a_figure_is_never_told_on_the_other_side_of_its_limit(limit: float, ratio: float, quantity: str) -> None:
    value, decimals = limit * ratio, QUANTITIES[quantity].decimals
    for ends in (None, (0.8 * value, 1.2 * value), (0.99 * value, 1.01 * value)):
        text, other = Rough(value, ends).told_beside(limit, quantity, "metric")
        shown, held = (float(each.split(" ")[0]) for each in (text, other))
        if abs(value - limit) > 10.0 ** -(decimals + 2):
            assert (shown > held) is (value > limit), (text, other)
        assert ("to" in text) is (ends == (0.8 * value, 1.2 * value))


def test_two_digits_and_more_only_beside_a_limit_that_is_near() -> None:
    wide = Rough(1.523, (1.2, 1.8))
    assert wide.told_beside(1.0, "power", "metric") == ("1.5 kW (1.2 to 1.8)", "1.00 kW")
    assert wide.told_beside(1.5, "power", "metric") == ("1.52 kW (1.2 to 1.8)", "1.50 kW")
    assert Rough(1.5231, None).told_beside(1.5229, "power", "metric") == ("1.5231 kW", "1.5229 kW")
    assert Rough(1.523, None).told("power", "metric") == "1.5 kW"
    assert Rough(23.4, (9.0, 40.0)).told("angle", "metric") == "23° (9.0 to 40)"
    # What is nothing as it is told, but may be more.
    assert Rough(0.0, (0.0, 40.0)).told("force", "metric") == "0 N (0 to 40)"
    assert Rough(0.0, (0.0, 0.0)).told("force", "metric") == "0 N"


def test_what_a_change_does_is_told_in_two_digits_unless_these_are_the_same() -> None:
    assert before_and_after(1076.2, 861.3, "force", "metric") == ("1100 N", "860 N")
    assert before_and_after(1076.2, 1081.3, "force", "metric") == ("1076 N", "1081 N")
    assert before_and_after(3.456, 2.345, "removal_rate", "metric") == ("3.46 cm³/min", "2.35 cm³/min")


@pytest.mark.parametrize("id", ["slack-table", "long-reach", "reach-soft-along", "finishing-aluminium"])
def test_the_figures_of_a_reason_lie_within_their_ranges_and_are_told_with_them(id: str) -> None:
    setup, wide = cut(id), 0
    for reason in reasons(setup):
        told, brief = why(reason, setup), why(reason, setup, ranged=False)
        assert " to " not in re.sub(r"\(.*?\)", "", brief) or "(" not in brief
        for way in ("climb", "conventional"):
            value, ends = reason.figure(way), reason_range(reason.id, setup.facing(way))
            if value is None or ends is None:
                continue
            assert reason.id in ROUGH and ends.low <= value * (1.0 + 1e-9) + 1e-9 and value <= ends.high + 1e-9
            text = Rough(value, (ends.low, ends.high)).told(reason.quantity, "metric")
            figure = reason_figure(reason, way).split(" ")[0].rstrip("°").lstrip("−+")
            assert digits(figure) <= 2, (reason.id, figure)
            if "(" in text and text in told:
                wide += 1
                assert text not in brief
    assert wide >= 2


def test_the_range_of_a_reason_is_that_of_the_model_with_its_inputs_at_their_ends() -> None:
    """One input at a time: the greatest force across the feed with every coefficient low, and every one high."""
    setup = cut("boss")
    spread, ends = known_spread(setup.work), reason_range("thin_wall", setup)
    assert spread is not None and ends is not None
    sizes = []
    for law in (spread.low, spread.high):
        turn = force_turn(replace(setup, work=replace(setup.work, force=law)))
        assert turn is not None
        sizes.append(max(-turn.fx.least, turn.fx.greatest))
    # All at once is wider than the squares.
    told = reason_of("thin_wall", setup).climb
    assert told is not None and sizes[0] <= ends.low <= told <= ends.high <= sizes[1]
    margin, pull = reason_range("pull", cut("slack-table")), force_range(cut("slack-table"))
    assert margin is not None and pull is not None
    assert (margin.low, margin.high) == (250.0 - pull.fy.greatest.high, 250.0 - pull.fy.greatest.low)


WEAK = Machine(power_kw=0.5, torque_nm=2.0, table_friction_n=100.0, feed_preload_n=0.0, backlash_mm=0.2)


def test_every_crossed_limit_is_told_with_its_range() -> None:
    setup = replace(cut("boss", cut__wall_tolerance_mm=0.02), machine=WEAK)
    checks = crossed_checks(setup)
    assert [check.id for check in checks] == ["power", "torque", "wall", "table"]
    for check, told, brief, entry in zip(
        checks, crossed_limits(setup, "metric"), crossed_limits(setup, "metric", ranged=False), crossed_keys(setup),
        strict=True,
    ):  # fmt: skip
        ends = limit_range(check, setup)
        assert ends is not None and ends.low < check.value < ends.high
        assert Rough(check.value, (ends.low, ends.high)).told(check.quantity, "metric") in told
        assert "(" in told and "(" not in brief
        assert entry["text"] == told and entry["range"] == [ends.low, ends.high]
    assert sentence(setup).lower().startswith(crossed_limits(setup, "metric")[0].lower())
    assert "(" not in sentence(setup, ranged=False).split(". ")[0]


def test_the_brief_report_tells_no_figure_of_force_without_its_range() -> None:
    for setup in (cut("boss"), cut("long-reach")):
        told = text_report(setup, brief=True)
        for name in ("power_kw", "torque_max", "error_mm"):
            line = next(line for line in told.splitlines() if line.strip().startswith(say("row", name)))
            assert re.search(r"\(\S+ to \S+\)", line), line
