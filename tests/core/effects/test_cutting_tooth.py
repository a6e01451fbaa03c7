"""Rubbing and heat with runout are those of the tooth that cuts most."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.integrate import quad

from core.cut.engagement import engagement
from core.cut.runout_chips import each_tooths_thickness
from core.effects.cutting_tooth import cutting_tooth
from core.effects.edge_temperature import edge_temperature
from core.effects.rubbing import forms_no_chip, rubbing
from core.force.edge_law import edge_law
from core.report.report import report
from core.report.sentence import sentence
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Work
from tests.arrays import all_near
from tests.strategies import setups

EVEN = Setup(
    Cutter(12.0, 4, edge_radius_mm=0.02),
    Cut("climb", 4.0, 10.0, 0.06, 4000.0),
    Work(force=LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)),
)
UNEVEN = EVEN.with_values(cutter__runout_mm=0.01, cutter__runout_angle_deg=20.0)


def test_without_runout_all_teeth_are_alike() -> None:
    assert cutting_tooth(EVEN) is None and cutting_tooth(EVEN.with_values(cutter__teeth=1)) is None
    told = report(EVEN)
    assert told["rubbing"]["tooth"] is None and told["heat"]["tooth"] is None


@settings(max_examples=60, deadline=None)
@given(setups(everyday=True))
def test_it_is_the_tooth_with_the_greatest_section(setup: Setup) -> None:
    most = cutting_tooth(setup)
    if most is None:
        return
    e = engagement(setup)
    phi = np.linspace(e.entry, e.exit, 4001)
    h = each_tooths_thickness(phi, setup, "arc")
    sections = np.asarray(np.trapezoid(h, phi, axis=1))
    assert sections[most.tooth] == pytest.approx(sections.max(), rel=1e-4)
    assert all_near(most.pieces.thickness(phi), h[most.tooth], abs=1e-9)


def test_the_hidden_runout_of_nothing_changes_nothing() -> None:
    tiny = EVEN.with_values(cutter__runout_mm=1e-9)
    one, other = edge_temperature(EVEN), edge_temperature(tiny)
    assert one is not None and other is not None and other.flux.tooth is not None
    assert [other.entry, other.peak, other.exit, other.mean, other.tool_share] == pytest.approx(
        [one.entry, one.peak, one.exit, one.mean, one.tool_share], rel=1e-5
    )
    plain, with_tooth = rubbing(EVEN), rubbing(tiny)
    assert plain is not None and with_tooth is not None
    assert with_tooth.exit == pytest.approx(plain.exit, rel=1e-5) and with_tooth.work_share is not None
    assert with_tooth.work_share == pytest.approx(plain.work_share, rel=1e-4)
    assert with_tooth.feed_for_chip == pytest.approx(plain.feed_for_chip, rel=1e-5)


def test_the_longest_tooth_is_hotter_and_rubs_less() -> None:
    one, other = edge_temperature(EVEN), edge_temperature(UNEVEN)
    assert one is not None and other is not None and other.peak > one.peak
    even, uneven = rubbing(EVEN), rubbing(UNEVEN)
    assert even is not None and uneven is not None and uneven.arc < even.arc
    told = report(UNEVEN)
    assert told["heat"]["tooth"] == told["rubbing"]["tooth"] == cutting_tooth(UNEVEN).tooth  # type: ignore[union-attr]
    assert f"those of tooth {told['heat']['tooth']}, which cuts most" in sentence(UNEVEN)
    assert "runout" not in sentence(EVEN)


@pytest.mark.parametrize("angle", [0.0, 20.0, 130.0, 250.0])
@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_rubbing_of_that_tooth_by_search_and_quadrature(angle: float, direction: str) -> None:
    setup = UNEVEN.with_values(cutter__runout_angle_deg=angle).facing(direction)  # type: ignore[arg-type]
    most, found, law, e = cutting_tooth(setup), rubbing(setup), edge_law(setup), engagement(setup)
    assert most is not None and found is not None and law is not None
    phi = np.linspace(e.entry, e.exit, 200_001)
    h = each_tooths_thickness(phi, setup, "arc")[most.tooth]
    thin = (h < found.h_min) & (h > 0.0)
    assert found.arc == pytest.approx(thin.mean() * e.arc, abs=2e-5 * e.arc)
    force = np.where(h > 0.0, law.tangential(h), 0.0)
    assert found.work_share == pytest.approx(force[thin].sum() / force.sum(), abs=2e-5)


def test_heat_balances_with_a_tooth_that_misses_a_part_of_its_arc() -> None:
    """All the power of a tooth that touches late, by quadrature over the angle."""
    setup = EVEN.with_values(
        cutter__runout_mm=0.004, cutter__runout_angle_deg=45.0, cutter__teeth=2, cut__feed_per_tooth_mm=0.02
    ).facing("conventional")
    found, most = edge_temperature(setup), cutting_tooth(setup)
    assert found is not None and most is not None
    law, e = edge_law(setup), engagement(setup)
    assert law is not None

    def power(phi: float) -> float:
        h = float(most.pieces.touched(np.array(phi)))
        return 0.0 if math.isnan(h) else float(law.tangential(h))

    whole = quad(power, e.entry, e.exit, points=most.pieces.ends[1:-1].tolist() or None, limit=200)[0]
    touching = sum(
        b - a for a, b, on in zip(most.pieces.ends, most.pieces.ends[1:], most.pieces.touches, strict=False) if on
    )
    assert found.edge_share == pytest.approx(law.edge_tangential * touching / whole, rel=1e-2)


def test_where_no_chip_forms_the_sentence_says_so_and_tells_no_wall() -> None:
    blunt = EVEN.with_values(
        cutter__edge_radius_mm=0.3, cutter__stickout_mm=42.0, cutter__youngs_modulus_n_mm2=580_000.0
    )
    assert forms_no_chip(blunt) and not forms_no_chip(EVEN)
    told = sentence(blunt)
    assert "never forms a chip in one pass" in told and "undercut" not in told and "stock" not in told
    held = replace(blunt, cutter=replace(blunt.cutter, edge_radius_mm=0.006))
    assert "wall" in sentence(held)
    tight = blunt.with_values(cut__wall_tolerance_mm=1e-6)
    assert "allowed" not in sentence(tight)
