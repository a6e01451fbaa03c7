"""The range of the wall's error: against moving each input by hand, and what it may never do."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.effects.wall import one_sided, wall_error
from core.effects.wall_range import error_ranges, sure_at_tip, wall_range
from core.report.report import report
from core.report.sentence import sentence
from core.report.text_report import text_report
from core.setup.setup import PowerLaw, Setup
from tests.usual_setups import STEEL_LAW, held

POWER = PowerLaw(2220.0, 0.14, 0.4)


def tip(s: Setup) -> float:
    """Error at the tip, mm."""
    return float(wall_error(0.0, s))  # type: ignore[arg-type]


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_the_range_at_the_tip_against_each_input_moved_by_hand(direction: Any) -> None:
    """A stiffer bar of 5 % more diameter divides the bend by 1.05^4; the others by setups of their own."""
    s = held(direction, cutter__holder_stiffness_n_mm=20_000.0)
    e = tip(s)
    changes = []
    for names in (("ktc", "kte"), ("krc", "kre")):
        laws = [replace(STEEL_LAW, **{n: getattr(STEEL_LAW, n) * f for n in names}) for f in (0.85, 1.15)]
        changes.append([tip(s.with_values(work__force=law)) - e for law in laws])
    changes.append([tip(s.with_values(cutter__holder_stiffness_n_mm=20_000.0 * f)) - e for f in (0.7, 1.3)])
    moduli = [580_000.0 * f**4 for f in (0.95, 1.05)]
    changes.append([tip(s.with_values(cutter__youngs_modulus_n_mm2=m)) - e for m in moduli])
    below = math.sqrt(sum(min(*pair, 0.0) ** 2 for pair in changes))
    above = math.sqrt(sum(max(*pair, 0.0) ** 2 for pair in changes))
    found = wall_range(s)
    assert found is not None
    assert found.tip == pytest.approx((e - below, e + above), rel=1e-9)


def test_a_power_law_ranges_over_its_ratio_and_its_size() -> None:
    s = held("conventional", POWER)
    e = tip(s)
    sizes = [tip(s.with_values(work__force=replace(POWER, kc11_n_mm2=2220.0 * f))) - e for f in (0.85, 1.15)]
    ratios = [tip(s.with_values(work__force=replace(POWER, radial_ratio=r))) - e for r in (0.25, 0.7)]
    bars = [tip(s.with_values(cutter__youngs_modulus_n_mm2=580_000.0 * f**4)) - e for f in (0.95, 1.05)]
    assert sizes[1] == pytest.approx(0.15 * e, rel=1e-9)
    found = wall_range(s)
    assert found is not None
    above = math.sqrt(sum(max(*pair, 0.0) ** 2 for pair in (sizes, ratios, bars)))
    assert found.tip[1] == pytest.approx(e + above, rel=1e-9)


def test_the_edge_radius_counts_only_where_the_coefficients_tell_theirs() -> None:
    s = held(cutter__edge_radius_mm=0.006)
    unknown = wall_range(s)
    known = wall_range(s.with_values(work__force=replace(STEEL_LAW, edge_radius_mm=0.006)))
    assert unknown is not None and known is not None
    assert unknown.tip == wall_range(held()).tip  # type: ignore[union-attr]
    assert known.tip[0] < unknown.tip[0] and known.tip[1] > unknown.tip[1]


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("law", [STEEL_LAW, POWER])
def test_the_range_holds_the_figure_at_every_height(direction: Any, law: Any) -> None:
    s = held(direction, law)
    maker, heights = one_sided(s), np.linspace(0.0, 10.0, 30)
    assert maker is not None
    low, high = error_ranges(maker, heights)
    error = wall_error(heights, s)
    assert error is not None
    assert np.all(low <= error) and np.all(error <= high) and np.any(low < high)
    found = wall_range(s)
    assert found is not None
    assert found.depth[0] <= found.tip[0] and found.depth[1] >= found.tip[1]
    assert found.size >= max(abs(float(np.min(error))), abs(float(np.max(error))))


def test_a_climb_wall_is_sure_to_keep_stock() -> None:
    for law in (STEEL_LAW, POWER):
        found = wall_range(held("climb", law))
        assert found is not None and found.sure and found.tip[0] > 0.0


def test_where_the_sign_is_within_the_spread_it_is_told_as_not_known() -> None:
    """A conventional cut whose pull and push nearly balance as the tip makes the wall."""
    s = held("conventional", replace(STEEL_LAW, krc=1500.0, kre=40.0), cutter__teeth=8)
    widths = np.linspace(1.0, 5.0, 41)
    errors = [tip(s.with_values(cut__radial_engagement_mm=float(w))) for w in widths]
    i = int(np.flatnonzero(np.multiply(errors[:-1], errors[1:]) < 0.0)[-1])
    near = s.with_values(cut__radial_engagement_mm=float(widths[i]))
    found = wall_range(near)
    assert found is not None and not found.sure and found.tip[0] < 0.0 < found.tip[1]
    assert "it is not known whether stock or undercut is left: \N{MINUS SIGN}" in sentence(near)
    assert "stock or undercut, not known:" in text_report(near)
    told = report(near)["wall"]["range"]
    assert told["sign_known"] is False and tuple(told["tip_mm"]) == found.tip
    assert report(held())["wall"]["range"]["sign_known"] is True


@pytest.mark.parametrize("law", [replace(STEEL_LAW, krc=1500.0, kre=40.0), replace(POWER, radial_ratio=0.6)])
@pytest.mark.parametrize("values", [{}, {"cutter__runout_mm": 0.005, "cutter__holder_stiffness_n_mm": 2e4}])
def test_whether_the_sign_is_sure_is_known_without_the_range_and_as_the_range_has_it(
    law: Any, values: dict[str, float]
) -> None:
    s = held("conventional", law, cutter__teeth=8, **values)
    wall_range.cache_clear()
    answers = []
    for width in np.linspace(0.63, 4.97, 23):
        answers.append(sure_at_tip(s.with_values(cut__radial_engagement_mm=float(width))))
    # Only where it is not sure the range itself was asked.
    assert wall_range.cache_info().misses == answers.count(False)
    assert len(set(answers)) == 2
    for width, sure in zip(np.linspace(0.63, 4.97, 23), answers, strict=True):
        found = wall_range(s.with_values(cut__radial_engagement_mm=float(width)))
        assert found is not None and found.sure == sure


def test_nothing_known_has_no_range() -> None:
    for s in (held("straddling"), held(cutter__stickout_mm=None), held(law=None)):
        assert wall_range(s) is None and sure_at_tip(s) and report(s)["wall"]["range"] is None
