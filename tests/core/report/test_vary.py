"""Tables over one or two figures: the same figures as the report's, refused rows, what cannot be asked."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.base.errors import ChiparcError
from core.documents.setup_examples import EXAMPLES
from core.report.advice_keys import which_way_keys
from core.report.report import KEY_GROUPS, joined, report
from core.report.schema import flat
from core.report.stability_keys import stability_keys
from core.report.vary import FRONTS, MOST_ROWS, USUAL, Table, Varied, columns_named, varied, with_figure
from core.setup.setup import Setup

BOSS = EXAMPLES[0].setup()


@lru_cache(maxsize=4)
def whole(setup: Setup) -> dict[str, Any]:
    """The report, once for all the keys of a row."""
    return report(setup)


def picked(setup: Setup, key: str) -> Any:
    """A figure of the report by its dotted key; None within what is not known."""
    value: Any = whole(setup)
    for name in key.split("."):
        value = value[name] if isinstance(value, dict) else None
    return value


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.id)
def test_columns_from_arrays_are_the_figures_of_the_report(example: Any) -> None:
    setup = example.setup()
    feed = setup.cut.feed_per_tooth_mm
    table = Table(setup, [Varied("cut.feed_per_tooth_mm", (feed, 0.7 * feed))], tuple(FRONTS))
    # Chatter and Which way, the dear parts of a report, have no columns from arrays.
    sections = [section for section in KEY_GROUPS if section not in (stability_keys, which_way_keys)]
    for row in table.rows():
        found = dict(flat(joined(setup.with_values(cut__feed_per_tooth_mm=row[0]), sections)))
        for key, value in zip(FRONTS, row[1:], strict=False):
            wanted = found.get(key)
            assert value == (None if wanted is None else pytest.approx(wanted, rel=1e-6, abs=1e-6)), key


def test_other_columns_are_worked_out_row_by_row() -> None:
    keys = ("wall.error_mm", "engagement.entry_clock", "force.source", "which_way.direction", "wall.no_chip_forms")
    rows = list(Table(BOSS, [varied("radial_engagement_mm=2,4")], keys).rows())
    for row in rows:
        setup = BOSS.with_values(cut__radial_engagement_mm=row[0])
        wanted = [picked(setup, key) for key in keys]
        assert row[1] == pytest.approx(wanted[0], rel=1e-6) and row[2:6] == wanted[1:] and row[6] == ""


def test_a_figure_that_arrays_do_not_have_is_varied_too() -> None:
    rows = list(Table(BOSS, [varied("work.force.ktc=1000,2000")], ("force.power_kw", "chip.thinning")).rows())
    for row in rows:
        assert row[1] == pytest.approx(
            picked(with_figure(BOSS, "work.force.ktc", row[0]), "force.power_kw"), rel=1e-6
        )
    assert rows[0][2] == rows[1][2]


def test_two_figures_the_last_changes_fastest_and_teeth_stay_whole() -> None:
    table = Table(BOSS, [varied("teeth=2,3"), varied("axial_engagement_mm=1:2:0.5")])
    rows = list(table.rows())
    assert [tuple(row[:2]) for row in rows] == [(2, 1.0), (2, 1.5), (2, 2.0), (3, 1.0), (3, 1.5), (3, 2.0)]
    assert table.heads == ["cutter.teeth", "cut.axial_engagement_mm", *USUAL, "refused"]
    assert all(type(row[0]) is int for row in rows)


def test_refused_rows_have_empty_cells_and_say_why() -> None:
    table = Table(BOSS, [varied("radial_engagement_mm=11:13:1")], ("chip.thinning", "wall.error_mm"))
    rows = list(table.rows())
    assert rows[0][1] is not None and rows[0][3] == "" and table.refused == 2
    for row in rows[1:]:
        assert row[1:3] == [None, None] and "cut.radial_engagement_mm: found" in row[3] and "\n" not in row[3]
    fraction = next(Table(BOSS, [varied("teeth=2.5")]).rows())
    assert fraction[0] == 2.5 and "whole" in fraction[-1]


@given(st.floats(-50.0, 50.0), st.integers(1, 400), st.sampled_from([0.1, 0.25, 0.001, 3.0]))
@settings(max_examples=60)
def test_a_span_has_both_its_ends_and_even_steps(low: float, steps: int, step: float) -> None:
    low = round(low, 3)
    found = varied(f"cut.centre_offset_mm={low}:{low + steps * step:.6f}:{step}").values
    assert len(found) == steps + 1
    assert found[0] == pytest.approx(low) and found[-1] == pytest.approx(low + steps * step)
    assert all(b - a == pytest.approx(step, abs=1e-9) for a, b in pairwise(found))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("radial_engagement_mm", "found no figures"),
        ("radial_engagement_mm=", 'found ""'),
        ("radial_engagement_mm=1:2", 'found "1:2"'),
        ("radial_engagement_mm=1:2:0", 'found "1:2:0"'),
        ("radial_engagement_mm=2:1:0.5", 'found "2:1:0.5"'),
        ("radial_engagement_mm=1:nan:1", 'found "1:nan:1"'),
        ("radial_engagement_mm=0:1:1e-9", "found 1e+09 steps"),
        ("radial_engagment_mm=1", "perhaps radial_engagement_mm"),
        ("edge_radius_mm=0.01", "which is 2 keys"),
        ("hand=1", "a figure of a setup document"),
    ],
)
def test_what_cannot_be_varied_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(ChiparcError) as caught:
        varied(text)
    assert words in str(caught.value)


def test_what_cannot_be_a_table_is_refused_in_words() -> None:
    width = varied("radial_engagement_mm=1,2")
    for figures, words in (
        ([width, width], "twice"),
        ([varied("machine.power_kw=1,2")], "found no such figure"),
        ([varied("work.skin.thickness_mm=0.1")], "found no such figure"),
        ([Varied("cut.feed_per_tooth_mm", (0.1,) * (MOST_ROWS // 2 + 1)), width], "rows"),
    ):
        with pytest.raises(ChiparcError) as caught:
            Table(BOSS, figures)
        assert words in str(caught.value)
    for text, hint in (("force.fx_n.mx", "force.fx_n.max"), ("advice[].climb", ""), ("setup.cutter.teeth", "")):
        with pytest.raises(ChiparcError) as caught:
            columns_named(text)
        assert f'found "{text}"' in str(caught.value) and hint in str(caught.value)
    assert columns_named("chip.thinning, wall.error_mm,chip.thinning") == ("chip.thinning", "wall.error_mm")
