"""The offset that centres the wall, and the spring pass: against the model asked anew, and what they may never do."""

from __future__ import annotations

import numpy as np
import pytest

from core.effects.compensation import compensation
from core.effects.spring_pass import spring_pass
from core.effects.wall import wall_error
from core.effects.wall_depth import wall_profile_over_depth
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import PowerLaw, Setup
from tests.usual_setups import held

POWER = PowerLaw(2220.0, 0.14, 0.4)


CASES = [
    held(),
    held("conventional"),
    held("conventional", POWER),
    held(cutter__runout_mm=0.005),
    held(law=POWER, cut__radial_engagement_mm=0.5),
]


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_the_moved_path_has_its_wall_in_the_middle(s: Setup) -> None:
    """The cut made wider by the offset, its wall counted from where the part should end."""
    found = compensation(s)
    assert found is not None
    moved = s.with_values(cut__radial_engagement_mm=s.cut.radial_engagement_mm + found.offset)
    errors = wall_error(np.linspace(0.0, 10.0, 5001), moved)
    assert errors is not None
    off = errors - found.offset
    assert (off.min(), off.max()) == pytest.approx((-found.remains, found.remains), abs=1e-5)
    before = wall_profile_over_depth(s)
    assert before is not None and found.remains < before.size


def test_stock_moves_the_path_toward_the_wall_and_an_undercut_away() -> None:
    climb, pulled = compensation(CASES[0]), compensation(held("conventional", cut__radial_engagement_mm=5.0))
    assert climb is not None and pulled is not None and climb.offset > 0.0 > pulled.offset
    text = " ".join(text_report(CASES[0]).split())
    assert f"{climb.offset:.4f} mm toward the wall; {climb.remains:.4f} mm either way remain" in text
    assert "try it on a part that may be lost" in text


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_a_spring_pass_is_the_model_again_on_the_stock_that_was_left(s: Setup) -> None:
    first, found = wall_profile_over_depth(s), spring_pass(s)
    assert first is not None
    if first.greatest <= 0.0:
        assert found is None
        return
    assert found is not None and found.forms_chip and found.width == first.greatest
    heights = np.linspace(0.0, 10.0, 2001)
    second = wall_error(heights, s.with_values(cut__radial_engagement_mm=first.greatest))
    once = wall_error(heights, s)
    assert once is not None and second is not None
    left = np.minimum(once, second)
    assert found.greatest == pytest.approx(float(left.max()), abs=1e-4 * first.size)
    assert found.least == pytest.approx(float(left.min()), abs=1e-4 * first.size)
    assert found.error == pytest.approx(float(left[0]), abs=1e-9)
    # Nothing is put back, and less is left than before.
    assert found.greatest <= first.greatest and found.least <= first.least + 1e-12  # type: ignore[operator]


def test_a_spring_pass_takes_most_of_a_climb_walls_stock() -> None:
    found, first = spring_pass(CASES[0]), wall_profile_over_depth(CASES[0])
    assert found is not None and first is not None and found.greatest is not None
    assert 0.0 < found.greatest < 0.2 * first.greatest
    assert report(CASES[0])["wall"]["spring_pass_error_mm"] == found.error


def test_a_blunt_edge_rubs_on_a_spring_pass_and_no_figure_is_told() -> None:
    s = held(cutter__edge_radius_mm=0.03)
    found = spring_pass(s)
    assert found is not None and not found.forms_chip and found.greatest is None is found.error
    assert "it rubs" in " ".join(text_report(s).split())
    assert report(s)["wall"]["spring_pass_forms_chip"] is False


def test_without_a_wall_there_is_nothing_to_mend() -> None:
    for s in (held("straddling"), held(cutter__stickout_mm=None), held(law=None)):
        assert compensation(s) is None is spring_pass(s)
