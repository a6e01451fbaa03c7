"""The worst places: nothing slips between samples, and one entry for each spike."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from core.path.engagement_along import PathEngagement
from core.path.fed_length import fed_length
from core.path.moves import RAPID, Moves, Stock
from core.path.spikes import Profile, arc_profile, spikes
from tests.core.path.engagement_reference import block, chain, line, moves_of, wide_stock

R = 6.0


def worst(moves: Moves, stock: Stock, number: int = 10) -> list[tuple[float, float]]:
    """Distance (mm) and arc (degrees) of the worst places."""
    path, fed = PathEngagement(moves, stock, R), fed_length(moves)
    profile = arc_profile(path, fed)
    rows = spikes(profile, number)
    return [(float(profile.s[i]), math.degrees(profile.arc[i])) for i in rows]


@pytest.mark.parametrize("thick", [0.5, 0.02, 0.0005])
def test_a_thin_web_does_not_slip_through(thick: float) -> None:
    """A slot that leaves a web on either side of it, then a cut across: a spike as short as the web is thick."""
    stock = Stock((block(0, 0, 60, 12.0 + 2 * thick),))
    rows = [
        line((-20, R + thick), (80, R + thick)),
        line((80, R + thick), (30, -20), z=5.0, kind=RAPID),
        line((30, -20), (30, 40)),
    ]
    lifted = (*rows[1][:5], True)
    found = worst(moves_of([rows[0], lifted, rows[2]]), stock)
    web = [(s, arc) for s, arc in found if s > 100.0]
    wanted = 2 * math.degrees(math.acos(1.0 - thick / R))
    assert [arc for _, arc in web] == pytest.approx([wanted, wanted], rel=2e-3)
    # Its front is at the inner face of each web.
    assert sorted(s for s, _ in web)[0] == pytest.approx(100.0 + 20.0 + thick - R, abs=2e-3)


def test_an_inside_corner_is_found_before_its_joint() -> None:
    before, now = [(-60, 0), (0, 0), (0, 60)], [(-60, -2), (2, -2), (2, 60)]
    rows = [line(a, b) for a, b in itertools.pairwise(before)]
    rows.append((RAPID, (0, 60, 5.0), (-60, -2, 5.0), None, 0.0, True))
    rows += [line(a, b) for a, b in itertools.pairwise(now)]
    found = [(s, arc) for s, arc in worst(moves_of(rows), wide_stock()) if s > 125.0]
    plain = math.degrees(math.acos(1.0 - 2.0 / R))
    # The joint is 62 mm into the second pass; the sample there belongs to the next move and shows nothing.
    assert found[0][1] == pytest.approx(plain + 90.0, abs=0.01)
    assert found[0][0] == pytest.approx(120.0 + 62.0, abs=1e-3)


def test_a_long_slot_is_one_spike_that_begins_at_its_beginning() -> None:
    found = worst(chain([(0, 0), (50, 0), (80, 0.5), (90, 1)]), wide_stock())
    assert found[0] == pytest.approx((0.0, 180.0))
    assert len(found) == 1


def profile_of(arcs: list[float], moves: list[int] | None = None) -> Profile:
    """A profile with arcs in degrees."""
    n = len(arcs)
    move = np.array(moves or [0] * n)
    s = np.arange(n, dtype=float)
    return Profile(s, move, s, np.radians(np.array(arcs, float)))


def test_spikes_are_told_apart_by_a_fall_of_a_tenth() -> None:
    assert spikes(profile_of([50, 100, 95, 99, 60, 80, 10]), 9).tolist() == [1, 5]
    assert spikes(profile_of([100, 89, 99]), 9).tolist() == [0, 2]
    assert spikes(profile_of([100, 91, 99]), 9).tolist() == [0]
    assert spikes(profile_of([100, 89, 99, 70, 98]), 2).tolist() == [0, 2]
    assert spikes(profile_of([0, 0, 0]), 5).tolist() == []
    # A lift between two slots ends a spike.
    assert spikes(profile_of([180, 180, 180, 180], [0, 0, 2, 2]), 5).tolist() == [0, 2]
