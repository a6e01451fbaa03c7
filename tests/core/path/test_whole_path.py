"""The example of a pocket: stages, places as setups, held feeds, what is left about a place, a list of cuts."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from core.base.errors import ChiparcError
from core.base.places import shared
from core.cut.chip import chip_summary
from core.cut.engagement import engagement
from core.documents.setup_examples import EXAMPLES
from core.effects.wall_depth import wall_profile_over_depth
from core.path.cut_list import pass_figures, rough_and_finish
from core.path.feed_words import with_feeds
from core.path.held_feed import held_feeds
from core.path.open_path import load_path, load_stock
from core.path.path_report import path_report
from core.path.place_setup import setup_at
from core.path.program import read_program
from core.path.samples import WAYS
from core.path.stock_around import StockAround
from core.path.whole_path import WholePath, length_over, path_stages
from core.setup.setup import Setup

PROGRAM, STOCK = shared("programs", "bracket-pocket.nc"), shared("programs", "bracket-pocket.toml")


def boss() -> Setup:
    return EXAMPLES[0].setup()


@lru_cache(maxsize=1)
def stages() -> tuple[WholePath, ...]:
    return tuple(path_stages(load_path(str(PROGRAM)), load_stock(str(STOCK)), boss()))


def test_the_stages_go_from_coarse_to_final() -> None:
    found = stages()
    assert [each.final for each in found] == [False] * (len(found) - 1) + [True]
    assert len(found[0].samples.s) < len(found[-1].samples.s)
    assert found[0].worst is None and found[0].levels is None


def test_the_last_stage_is_the_report() -> None:
    last = stages()[-1]
    report = path_report(last.program, last.stock, boss(), at=(100.0, 335.0, 620.0))
    assert list(last.worst or ()) == report["worst"]
    assert [level.removed for level in last.levels or ()] == [level["removed_mm2"] for level in report["levels"]]
    for row in report["samples"]:
        here = last.at(row["s_mm"])
        assert math.degrees(here.engaged.arc[0]) == pytest.approx(row["arc_deg"])
        assert WAYS[int(here.way[0])] == row["direction"]


def test_the_tops_of_the_worst_places_are_samples() -> None:
    last = stages()[-1]
    arcs = np.degrees(last.samples.engaged.arc)
    places = last.worst_places()
    assert len(places) == len(last.worst or ()) > 0
    for s, row in zip(places, last.worst or (), strict=True):
        assert s == pytest.approx(row["s_mm"], abs=1e-4)
        assert math.degrees(last.at(s).engaged.arc[0]) == pytest.approx(row["arc_deg"], abs=1e-3)
        assert arcs[last.nearest(s)] == pytest.approx(row["arc_deg"], abs=1e-3)


@pytest.mark.parametrize("s", [100.0, 300.0, 335.0, 620.0])
def test_a_place_as_a_setup_has_its_arc_and_chip(s: float) -> None:
    last = stages()[-1]
    here = last.at(s)
    found = setup_at(last.path, here, 0, boss())
    assert found is not None and not found.several
    e = engagement(found.setup)
    assert e.entry == pytest.approx(here.engaged.entry[0], abs=2e-4)
    assert e.exit == pytest.approx(here.engaged.exit[-1], abs=2e-4)
    assert chip_summary(found.setup, e, "arc").h_max == pytest.approx(here.h_max[0], rel=1e-6)
    assert found.setup.cut.direction == WAYS[int(here.way[0])]


def test_a_place_in_air_is_no_setup() -> None:
    last = stages()[-1]
    air = last.samples.s[last.samples.way == 0][0]
    assert setup_at(last.path, last.at(float(air)), 0, boss()) is None


def test_the_copy_with_held_feeds_holds_the_chip() -> None:
    last, data = stages()[-1], PROGRAM.read_bytes()
    assert last.profile is not None
    feeds = held_feeds(last.path, last.fed, last.profile, boss(), 0.04)
    text = with_feeds(data, "copy.nc", feeds)
    copy = read_program(text, "copy.nc")
    *_, again = path_stages(copy, last.stock, boss())
    # Four digits of a feed are kept.
    assert np.nanmax(again.samples.h_max) <= 0.04 * (1.0 + 1e-3)
    assert np.nanmax(again.samples.h_max) > 0.0399
    before, after = last.program.moves.feed_mm_min, copy.moves.feed_mm_min
    fed = last.program.moves.feed_mask
    assert (after[fed] <= before[fed] * (1 + 1e-3)).all()
    # Moves whose chip was thinner keep their feed.
    assert (np.abs(after[fed] - before[fed]) < 1e-6).any()
    with pytest.raises(ChiparcError, match="chip thickness"):
        held_feeds(last.path, last.fed, last.profile, boss(), 0.0)


def test_length_over_a_limit() -> None:
    last = stages()[-1]
    arcs = np.degrees(last.samples.engaged.arc)
    assert length_over(last, arcs, 200.0) == 0.0
    assert length_over(last, arcs, -1.0) == pytest.approx(last.fed.length)
    # The outside pass alone is conventional: 48 degrees of arc along 75 to 77 mm of edge, less where it runs in.
    assert length_over(last, np.where(last.samples.way == 1, arcs, 0.0), 40.0) == pytest.approx(74.0, abs=3.0)


def area(rings: list[np.ndarray]) -> float:
    """Signed areas of outlines and holes, by the shoelace."""
    total = 0.0
    for i, ring in enumerate(rings):
        x, y = ring[:-1].T
        size = 0.5 * abs(float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)))
        total += size if i == 0 else -size
    return total


def test_what_is_left_about_the_end_is_what_the_depths_say() -> None:
    last = stages()[-1]
    rings = StockAround(last).rings(last.fed.length, 500.0)
    level = (last.levels or ())[0]
    assert area(sorted(rings, key=lambda ring: -np.ptp(ring[:, 0]))) == pytest.approx(level.remaining, rel=2e-3)


def test_before_the_first_cut_the_stock_is_whole() -> None:
    last = stages()[-1]
    rings = StockAround(last).rings(0.0, 500.0)
    assert area(sorted(rings, key=lambda ring: -np.ptp(ring[:, 0]))) == pytest.approx(last.stock.area_mm2, rel=1e-3)


def test_the_finishing_pass_meets_what_the_roughing_pass_left() -> None:
    setup = boss()
    cuts = rough_and_finish(setup)
    rough, finish = pass_figures(setup, cuts)
    wall = wall_profile_over_depth(setup)
    assert wall is not None
    assert (rough.least_wall, rough.greatest_wall) == (wall.least, wall.greatest)
    assert finish.least_width == pytest.approx(cuts[1].width + wall.least)
    assert finish.greatest_width == pytest.approx(cuts[1].width + wall.greatest)
    for width, wider in ((finish.least_width, False), (finish.greatest_width, True)):
        own = wall_profile_over_depth(setup.with_keys({"cut.radial_engagement_mm": width}))
        assert own is not None
        assert (finish.greatest_wall or 0.0) >= own.greatest if wider else (finish.least_wall or 0.0) <= own.least
    assert not finish.spoilt


def test_a_roughing_pass_that_undercuts_deeper_than_the_finish_spoils_it() -> None:
    # A long cutter cutting conventionally is drawn into the wall.
    setup = boss().with_keys({"cutter.stickout_mm": 90.0})
    rough, finish = rough_and_finish(setup)
    rough, finish = replace(rough, direction="conventional"), replace(finish, width=0.005)
    first, second = pass_figures(setup, (rough, finish))
    assert first.least_wall is not None and first.least_wall < -finish.width
    assert second.spoilt
    assert second.least_wall is not None and second.least_wall <= finish.width + first.least_wall + 1e-12
