"""Stability in the report: its figures against the border, null where nothing is known, both directions, in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.chatter.both_ways import both_ways, holding
from core.chatter.stability import axial_limit
from core.chatter.usual_draws import places, usual_draws
from core.report.report import report
from core.report.stability_keys import stability_keys
from core.report.text_report import text_report
from core.setup.setup import Mode, Setup, Work
from tests.core.chatter.cuts import setup_of


def _setup(**values: float) -> Setup:
    return setup_of("climb", 0.1, 3, 9000.0).with_keys({k.replace("__", "."): v for k, v in values.items()})


def test_the_keys_are_the_limits_of_both_directions() -> None:
    setup = _setup()
    told = stability_keys(setup)["stability"]
    assert told["axial_limit_mm"] == pytest.approx(axial_limit(setup).depth_mm)
    assert told["opposite"]["axial_limit_mm"] == pytest.approx(axial_limit(setup.opposite).depth_mm)
    assert (told["direction"], told["opposite"]["direction"]) == ("climb", "conventional")
    assert told["tooth_passing_hz"] == 450.0
    low, high = told["range_mm"]
    assert low < told["axial_limit_mm"] < high


def test_a_depth_is_stable_in_all_draws_far_below_and_in_none_far_above() -> None:
    limit = axial_limit(_setup()).depth_mm
    assert limit is not None
    below, above = (holding(_setup(cut__axial_engagement_mm=f * limit)) for f in (0.3, 5.0))
    assert (below.stable, below.stable_draws, below.sure) == (True, 64, True)
    assert (above.stable, above.stable_draws, above.sure) == (False, 0, False)
    assert holding(_setup(cut__axial_engagement_mm=limit)).sure is None


def test_unknown_is_null_and_never_stable() -> None:
    without = replace(_setup(), dynamics=())
    told = report(without)["stability"]
    assert told["axial_limit_mm"] is None and told["stable"] is None and told["range_mm"] is None
    assert "tap test" in told["method"] and "Chatter\n" not in text_report(without)
    told = report(replace(_setup(), work=Work()))["stability"]
    assert told["stable"] is None and "coefficients" in told["method"]
    wild = replace(_setup(), dynamics=(Mode("x", 1.0, 1e-9, 1.0),))
    told = stability_keys(wild)["stability"]
    assert told["stable"] is None and "Not worked out" in told["method"]
    assert "deepest stable cut            unknown" in text_report(replace(_setup(), work=Work()))


def test_no_limit_is_stable_and_says_so() -> None:
    stiff = replace(_setup(), dynamics=(Mode("x", 900.0, 0.05, 9e7),))
    told = stability_keys(stiff)["stability"]
    assert told["axial_limit_mm"] is None and told["stable"] is True
    assert told["method"].startswith("No limit up to 10 D")


def test_a_speed_with_very_many_waves_has_no_range() -> None:
    slow = _setup(cut__spindle_speed_rpm=150.0)
    told = stability_keys(slow)["stability"]
    assert told["axial_limit_mm"] > 0.0 and told["range_mm"] is None and "No range" in told["method"]


def test_text_tells_both_directions_in_both_units() -> None:
    text = text_report(_setup())
    wild = replace(_setup(), dynamics=(Mode("x", 1.0, 1e-9, 1.0),))
    told = stability_keys(wild)["stability"]
    assert told["stable"] is None and "Not worked out" in told["method"]
    assert "deepest stable cut" in text and "the same in conventional" in text and "Hz, " in text
    assert " in" in text_report(_setup(), "inch").split("deepest stable cut")[1].splitlines()[0]


def test_places_are_even_in_each_input_and_together() -> None:
    p = places()
    assert p.shape == (64, 4) and (p > 0.0).all() and (p < 1.0).all()
    for column in p.T:
        # Every eighth of the range holds about eight of the draws.
        counts = np.histogram(column, 8, (0.0, 1.0))[0]
        assert counts.tolist() == [8] * 8
    corners = np.histogramdd(p, 2, [(0.0, 1.0)] * 4)[0]
    assert (corners > 0).sum() >= 14
    assert usual_draws(True).frequency.std() > 5.0 * usual_draws().frequency.std()


def test_a_title_is_no_other_cut() -> None:
    shallow = _setup(cut__axial_engagement_mm=0.4)
    for one, other in zip(both_ways(_setup()), both_ways(replace(shallow, title="another")), strict=True):
        assert one.limit is other.limit and one.low_mm == other.low_mm
