"""Borders that are known are not searched for again, and are those of their own cut."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.chatter import known_borders
from core.chatter.both_ways import limits_of_draws
from core.chatter.known_borders import cut_key
from core.chatter.speed_depth import speed_depth
from core.chatter.spread import border_band
from core.chatter.stability import ChatterCut, chatter_cut
from core.chatter.usual_draws import usual_draws
from core.setup.setup import Mode, Setup
from tests.usual_setups import STEEL_LAW, boss

MODES = (Mode("x", 1500.0, 0.03, 8000.0), Mode("y", 1700.0, 0.03, 9000.0))


def cut(**values: Any) -> Setup:
    return replace(boss(law=STEEL_LAW, **{"cut__radial_engagement_mm": 1.0, **values}), dynamics=MODES)


@pytest.fixture
def searches(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many speeds each search was for."""
    made: list[int] = []
    real, band = ChatterCut.border, border_band

    def counted(self: ChatterCut, rpm: Any) -> Any:
        made.append(np.size(rpm))
        return real(self, rpm)

    def counted_band(own: ChatterCut, rpm: Any, draws: Any) -> Any:
        made.append(np.size(rpm))
        return band(own, rpm, draws)

    monkeypatch.setattr(ChatterCut, "border", counted)
    monkeypatch.setattr(known_borders, "border_band", counted_band)
    return made


def test_another_depth_and_a_second_window_search_for_nothing(searches: list[int]) -> None:
    first = list(speed_depth(cut(), 8000.0, 20000.0))[-1]
    assert len(searches) > 10
    searches.clear()
    again = list(speed_depth(cut(cut__axial_engagement_mm=3.0), 8000.0, 20000.0))[-1]
    assert not searches
    np.testing.assert_array_equal(again.own, first.own)
    np.testing.assert_array_equal(again.low, first.low)


@pytest.mark.parametrize(
    "values",
    [
        {"cut__radial_engagement_mm": 1.25},
        {"cut__direction": "conventional"},
        {"cutter__teeth": 3},
        {"work__force": replace(STEEL_LAW, ktc=1900.0)},
    ],
    ids=lambda values: next(iter(values)),
)
def test_what_a_border_depends_on_is_told_apart(values: dict[str, Any]) -> None:
    rpm = np.array([9000.0, 15000.0])
    for setup in (cut(), cut().with_values(**values)):
        key, itself = cut_key(setup), chatter_cut(setup)
        assert key is not None and itself is not None
        np.testing.assert_array_equal(key.border(rpm).depth_mm, itself.border(rpm).depth_mm)
        for estimated in (False, True):
            draws = usual_draws(estimated).part(slice(8, 16))
            itself_band = border_band(itself, rpm, draws).depth_mm
            np.testing.assert_array_equal(key.band(rpm, estimated, slice(8, 16)), itself_band)


def test_whole_speeds_are_speeds() -> None:
    key = cut_key(cut())
    assert key is not None
    np.testing.assert_array_equal(key.border(np.array([9000])).depth_mm, key.border(np.array([9000.0])).depth_mm)
    limits = limits_of_draws(cut(cut__spindle_speed_rpm=9000))
    assert limits is not None
    np.testing.assert_array_equal(limits, key.band(np.array([9000.0]), False)[:, 0])
