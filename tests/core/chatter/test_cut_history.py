"""One point in time: turn by turn, what it says against the border, what is missing, its waves and sound."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.chatter import cut_history
from core.chatter.cut_history import CutHistory
from core.chatter.stability import axial_limit
from core.report.chatter_sentence import history_words
from core.setup.setup import Mode, Setup, Work
from tests.core.chatter.cuts import setup_of

CUT = setup_of("climb", 0.5, 2, 9500.0, "y")


def last(setup: Setup) -> CutHistory:
    """The whole history."""
    *_, found = cut_history.cut_history(setup)
    return found


def test_it_swells_over_the_limit_with_the_borders_frequency_and_settles_under_it() -> None:
    limit = axial_limit(CUT)
    assert limit.depth_mm is not None and limit.chatter_hz is not None
    over = last(CUT.with_keys({"cut.axial_engagement_mm": 1.25 * limit.depth_mm}))
    under = last(CUT.with_keys({"cut.axial_engagement_mm": 0.5 * limit.depth_mm}))
    assert over.verdict is not None and under.verdict is not None and over.lines is not None
    assert not over.verdict.stable and under.verdict.stable
    # To one line of the spectrum: 30 turns.
    assert over.lines.chatter == pytest.approx(limit.chatter_hz, abs=2.0 * 9500.0 / 60.0 / 30.0)
    assert "chatters" in history_words(over, "metric") and "settles" in history_words(under, "metric")
    left = over.last_waves().left_behind
    assert np.abs(left).max() > 10.0 * np.abs(under.last_waves().left_behind).max()
    assert over.sound().seconds == pytest.approx(2.0, abs=0.01)


def test_turns_come_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cut_history, "TURNS", 8)
    pieces = list(cut_history.cut_history(CUT))
    assert [piece.turn for piece in pieces] == [*range(1, 9), 8]
    assert all(piece.record is None for piece in pieces[:-1]) and pieces[-1].done
    assert "Turn 3 of 8" in history_words(pieces[2], "metric")


def test_what_is_missing_is_said() -> None:
    assert last(replace(CUT, dynamics=())).missing == "no_modes"
    assert last(replace(CUT, work=Work())).missing == "no_coefficients"
    fast = last(replace(CUT, dynamics=(Mode("x", 40_000.0, 0.02, 1e4),)).with_keys({"cut.spindle_speed_rpm": 200.0}))
    assert fast.missing == "too_long" and "minutes" in history_words(fast, "metric")
