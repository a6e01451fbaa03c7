"""Ranges of the force figures from the spread of the coefficients, and how they are told."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from core.base.quantities import figure_with_range
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.force.coefficient_spread import assumed_spread, setups_of_spread
from core.force.force_range import force_range, range_over
from core.force.force_turn import force_turn
from core.report.force_origin import below_tested_share, coefficient_spread
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import LinearEdge, PowerLaw, Setup, Work

A = example("boss").setup()


def plain_text(setup: Setup) -> str:
    """The text report on one line: it is wrapped at 80 columns."""
    return " ".join(text_report(setup).split())


def test_no_law_within_the_spread_leaves_the_range() -> None:
    found, law = force_range(A), A.work.force
    assert found is not None and isinstance(law, LinearEdge)
    rng = np.random.default_rng(7)
    for t, r, a in rng.uniform(0.85, 1.15, (40, 3)):
        drawn = LinearEdge(law.ktc * t, law.krc * r, law.kac * a, law.kte * t, law.kre * r, law.kae * a)
        turn = force_turn(replace(A, work=replace(A.work, force=drawn)))
        assert turn is not None and turn.fz is not None
        for ends, value in (
            (found.fx.greatest, turn.fx.greatest),
            (found.fx.least, turn.fx.least),
            (found.fy.greatest, turn.fy.greatest),
            (found.fy.mean, turn.fy.mean),
            (found.torque.mean, turn.torque.mean),
            (found.resultant_max, turn.resultant_max),
            (found.power_kw, turn.power_kw),
        ):
            room = 2e-3 * (ends.high - ends.low)
            assert ends.low - room <= value <= ends.high + room


def test_tangential_figures_are_as_well_known_as_the_coefficients() -> None:
    found, turn = force_range(A), force_turn(A)
    assert found is not None and turn is not None
    assert found.power_kw.low == pytest.approx(0.85 * turn.power_kw)
    assert found.power_kw.high == pytest.approx(1.15 * turn.power_kw)
    watched = range_over(A, lambda s: t.power_kw if (t := force_turn(s)) else None)
    assert watched == found.power_kw


def test_a_power_laws_radial_force_is_known_from_a_quarter_to_seven_tenths() -> None:
    setup = replace(A, work=Work(force=PowerLaw(2000.0, 0.25, 0.4)))
    laws = [s.work.force for s in setups_of_spread(setup)]
    pairs = {(law.kc11_n_mm2, law.radial_ratio) for law in laws if isinstance(law, PowerLaw)}
    assert pairs == set(itertools.product((1700.0, 2300.0), (0.25, 0.7)))
    # A ratio beyond them widens them.
    assert assumed_spread(PowerLaw(2000.0, 0.25, 0.9)).high.radial_ratio == 0.9  # type: ignore[union-attr]


def test_the_catalogue_is_asked_where_it_prints_a_range() -> None:
    setup = resolved(replace(A, work=Work(material="S235JR")))
    spread = coefficient_spread(setup)
    assert spread is not None and spread.source == "catalogue"
    assert isinstance(spread.low, PowerLaw) and isinstance(spread.high, PowerLaw)
    assert (spread.low.kc11_n_mm2, spread.high.kc11_n_mm2) == (1691.0, 1869.0)
    force = report(setup)["force"]
    assert force["model"] == "power-law" and force["spread_from"] == "catalogue" and "S235JR" in force["source"]
    weakest = force_turn(replace(setup, work=replace(setup.work, force=spread.low)))
    assert weakest is not None and weakest.power_kw < force["power_kw"]
    assert force["range"]["power_kw"]["low"] == pytest.approx(weakest.power_kw)
    # The same figures given by hand are the person's own.
    own = report(replace(setup, work=replace(setup.work, material=None)))["force"]
    assert own["spread_from"] == "assumed" and own["source"] == "given in the setup"


def test_thin_chips_are_said_to_be_below_what_was_tested() -> None:
    setup = resolved(replace(A, work=Work(material="S235JR")))
    assert below_tested_share(setup) == 1.0
    thick = setup.with_keys({"cut.feed_per_tooth_mm": 0.2, "cut.direction": "straddling"}).with_keys(
        {"cut.radial_engagement_mm": 12.0}
    )
    # sin(phi) under one half: a sixth of the half turn at either end.
    assert below_tested_share(thick) == pytest.approx(1.0 / 3.0)
    assert below_tested_share(A) is None
    assert "tested on" in plain_text(setup)


def test_the_report_tells_the_range_and_the_direction_along_the_spindle() -> None:
    text, force = plain_text(A), report(A)["force"]
    assert "1093 N (930 to 1260)" in text
    assert force["axial"] == "pulls" and "pulls the cutter out of its holder and lifts the work" in text
    flat: Setup = A.with_keys({"cutter.cutting_edge_angle_deg": 30.0})
    assert report(flat)["force"]["axial"] == "pushes"
    assert "pushes the cutter into the spindle and the work down" in plain_text(flat)
    worn = report(A.with_keys({"cutter.wear_land_mm": 0.2}))["force"]
    assert worn["wear_land_used"] and not force["wear_land_used"] and not force["edge_radius_used"]


@pytest.mark.parametrize(
    ("figure", "told"),
    [
        ((1076.2, 861.3, 1288.0, "force"), "1076 N (860 to 1290)"),
        ((1076.2, 1060.0, 1090.0, "force"), "1076 N"),
        ((1.5853, 1.3475, 1.8231, "power"), "1.59 kW (1.35 to 1.82)"),
        ((120.0, -40.0, 230.0, "force"), "120 N (−40 to 230)"),
        ((None, 1.0, 2.0, "force"), "–"),
    ],
)
def test_a_figure_with_its_range(figure: tuple[float | None, float, float, str], told: str) -> None:
    assert figure_with_range(*figure) == told
