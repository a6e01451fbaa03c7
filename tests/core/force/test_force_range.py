"""Ranges of the force figures from the spread of the coefficients, and how they are told."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.base.quantities import is_wide, told_figure
from core.documents.materials import catalogue, resolved
from core.documents.setup_examples import example
from core.force.coefficient_spread import assumed_spread, coefficients_are_rough, known_spread
from core.force.force_range import force_range
from core.force.force_turn import force_turn
from core.report.force_origin import below_tested_share
from core.report.report import report
from core.report.text_report import text_report
from core.setup.material_facts import MaterialFacts
from core.setup.setup import LinearEdge, PowerLaw, Setup, Work

A = example("boss").setup()


def scaled(law: LinearEdge, names: tuple[str, ...], factor: float) -> dict[str, Any]:
    """Some coefficients of a law, each by a factor."""
    return {name: factor * getattr(law, name) for name in names}


def plain_text(setup: Setup) -> str:
    """The text report on one line: it is wrapped at 80 columns."""
    return " ".join(text_report(setup).split())


@pytest.mark.parametrize("law", [A.work.force, PowerLaw(2000.0, 0.25, 0.4)])
def test_the_range_is_that_of_each_input_moved_by_hand(law: LinearEdge | PowerLaw) -> None:
    """Laws with one group of coefficients at an end, worked out anew; the changes added by their squares."""
    setup = replace(A, work=Work(force=law))
    found, told = force_range(setup), force_turn(setup)
    assert found is not None and told is not None
    pairs: list[list[LinearEdge | PowerLaw]]
    if isinstance(law, PowerLaw):
        pairs = [
            [replace(law, kc11_n_mm2=law.kc11_n_mm2 * f) for f in (0.85, 1.15)],
            [replace(law, radial_ratio=ratio) for ratio in (0.25, 0.7)],
        ]
    else:
        pairs = [
            [replace(law, **scaled(law, names, f)) for f in (0.85, 1.15)]
            for names in (("ktc", "kte"), ("krc", "kre"), ("kac", "kae"))
        ]
    turns = [[force_turn(replace(setup, work=Work(force=each))) for each in pair] for pair in pairs]
    for ends, figure in (
        (found.fx.greatest, lambda t: t.fx.greatest),
        (found.fx.least, lambda t: t.fx.least),
        (found.fy.greatest, lambda t: t.fy.greatest),
        (found.torque.mean, lambda t: t.torque.mean),
        (found.resultant_max, lambda t: t.resultant_max),
    ):
        moved = np.array([[figure(turn) - figure(told) for turn in pair] for pair in turns])
        low = figure(told) - np.sqrt((np.minimum(moved.min(axis=1), 0.0) ** 2).sum())
        high = figure(told) + np.sqrt((np.maximum(moved.max(axis=1), 0.0) ** 2).sum())
        assert (ends.low, ends.high) == pytest.approx((low, high), rel=1e-9, abs=1e-9)


def test_tangential_figures_are_as_well_known_as_the_coefficients() -> None:
    found, turn = force_range(A), force_turn(A)
    assert found is not None and turn is not None
    assert found.power_kw.low == pytest.approx(0.85 * turn.power_kw)
    assert found.power_kw.high == pytest.approx(1.15 * turn.power_kw)


def test_a_ratio_beyond_the_assumed_ones_widens_them() -> None:
    assert assumed_spread(PowerLaw(2000.0, 0.25, 0.9)).high.radial_ratio == 0.9  # type: ignore[union-attr]


def test_the_catalogue_is_asked_where_it_prints_a_range() -> None:
    setup = resolved(replace(A, work=Work(material="S235JR")))
    spread = known_spread(setup.work)
    assert spread is not None and spread.source == "catalogue"
    assert isinstance(spread.low, PowerLaw) and isinstance(spread.high, PowerLaw)
    assert (spread.low.kc11_n_mm2, spread.high.kc11_n_mm2) == (1691.0, 1869.0)
    force = report(setup)["force"]
    assert force["model"] == "power-law" and force["spread_from"] == "catalogue" and "S235JR" in force["source"]
    # The power is that of constant and exponent, and of the edge that was measured.
    law = setup.work.force
    assert isinstance(law, PowerLaw)
    lower = (replace(law, kc11_n_mm2=1691.0, mc=spread.low.mc), replace(law, edge_radius_mm=0.04))
    low = [force_turn(replace(setup, work=replace(setup.work, force=each))) for each in lower]
    sharper = force_turn(setup.with_keys({"cutter.edge_radius_mm": 0.7 * 0.006}))
    fallen = [force["power_kw"] - turn.power_kw for turn in (*low, sharper) if turn is not None]
    assert len(fallen) == 3 and min(fallen) > 0.0
    assert force["range"]["power_kw"]["low"] == pytest.approx(force["power_kw"] - np.hypot.reduce(fallen))
    # The same figures given by hand are the person's own.
    own = report(replace(setup, work=replace(setup.work, material=None)))["force"]
    assert own["spread_from"] == "assumed" and own["source"] == "given in the setup"


def test_the_edge_of_the_catalogues_coefficients_counts_only_beside_the_cutters_own() -> None:
    """No edge radius given: the edge is like the measured one, and no figure changes."""
    named = resolved(replace(A, work=Work(material="C45E")))
    assert isinstance(named.work.force, PowerLaw) and named.work.force.edge_radius_mm == 0.02
    silent = named.with_keys({"cutter.edge_radius_mm": None})
    bare = silent.with_keys({"work.force": replace(named.work.force, edge_radius_mm=None)})
    like = named.with_keys({"cutter.edge_radius_mm": 0.02})
    powers = [report(each)["force"]["power_kw"] for each in (silent, bare, like)]
    assert powers[0] == powers[1] == pytest.approx(powers[2], rel=1e-12)
    assert "taken to be like the one" in plain_text(silent)
    assert "over that of the coefficients, 20.0 µm (usual radius of such an edge: common practice" in plain_text(
        named
    )
    # Coefficients that a document repeats without the radius hold as they are, with the printed spread.
    repeated = resolved(replace(A, work=Work(material="C45E", force=bare.work.force)))
    assert repeated.work.force == bare.work.force and known_spread(repeated.work) is not None
    assert (
        report(repeated)["force"]["spread_from"] == "catalogue" and not report(repeated)["force"]["edge_radius_used"]
    )


@settings(max_examples=30)
@given(st.sampled_from([m.name for m in catalogue().materials if m.force is not None]), st.floats(0.003, 0.06))
def test_a_blunter_edge_never_cuts_with_less_force(name: str, radius: float) -> None:
    """With the catalogue's coefficients the force grows with the radius, either side of the measured one."""
    sharp, blunt = (
        force_turn(resolved(A.with_keys({"work.force": None, "work.material": name, "cutter.edge_radius_mm": r})))
        for r in (radius, 1.2 * radius)
    )
    assert sharp is not None and blunt is not None
    assert blunt.resultant_max > sharp.resultant_max and blunt.power_kw > sharp.power_kw


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
    assert "1100 N (970 to 1200)" in text
    assert force["axial"] == "pulls" and "pulls the cutter out of its holder and lifts the work" in text
    flat: Setup = A.with_keys({"cutter.cutting_edge_angle_deg": 30.0})
    assert report(flat)["force"]["axial"] == "pushes"
    assert "pushes the cutter into the spindle and the work down" in plain_text(flat)
    worn = report(A.with_keys({"cutter.wear_land_mm": 0.2}))["force"]
    assert worn["wear_land_used"] and not force["wear_land_used"] and not force["edge_radius_used"]


@pytest.mark.parametrize(
    ("figure", "told"),
    [
        ((1076.2, 861.3, 1288.0, "force"), "1100 N (860 to 1300)"),
        ((1076.2, 1060.0, 1090.0, "force"), "1076 N"),
        ((1.5853, 1.3475, 1.8231, "power"), "1.6 kW (1.3 to 1.8)"),
        ((120.0, -40.0, 230.0, "force"), "120 N (−40 to 230)"),
        ((None, 1.0, 2.0, "force"), "–"),
    ],
)
def test_a_figure_with_its_range(figure: tuple[float | None, float, float, str], told: str) -> None:
    assert told_figure(*figure) == told


def test_every_force_of_the_catalogue_and_of_own_coefficients_is_known_roughly() -> None:
    names = [m.name for m in catalogue().materials if m.force is not None]
    works = [resolved(replace(A, work=Work(material=name))) for name in names]
    for setup in (A, *works):
        turn, ends = force_turn(setup), force_range(setup)
        assert turn is not None and ends is not None
        wide = is_wide(turn.resultant_max, ends.resultant_max.low, ends.resultant_max.high)
        assert wide and coefficients_are_rough(setup.work), setup.work.material


def test_coefficients_with_a_narrow_print_are_not_rough() -> None:
    assert A.work.force is not None and not coefficients_are_rough(Work())
    law = A.work.force
    assert isinstance(law, LinearEdge)
    names = ("ktc", "krc", "kac", "kte", "kre", "kae")

    def printed(share: float) -> Work:
        spread = tuple((n, (1.0 - share) * getattr(law, n), (1.0 + share) * getattr(law, n)) for n in names)
        return Work(material="own", force=law, facts=MaterialFacts("own", "N", spread=spread, force=law))

    assert not coefficients_are_rough(printed(0.04)) and coefficients_are_rough(printed(0.06))
