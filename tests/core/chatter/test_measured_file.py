"""A measured file of any kind: told apart, read, fitted, made into blocks."""

from __future__ import annotations

import numpy as np
import pytest

from core.base.errors import ChiparcError
from core.chatter.measured_file import Reading, read_measured, with_blocks
from core.report.measured_words import mode_words, response_words
from core.setup.setup import Mode
from tests.core.chatter.measured_reference import MODES, response, tap, wav


def columns() -> bytes:
    """A tap test as columns of time, force and acceleration."""
    record = tap()
    time = np.arange(len(record.force)) * record.step
    rows = np.stack([time, record.force, record.acceleration], 1)
    return b"time [s],force [N],acceleration [m/s2]\n" + b"\n".join(
        b"%.9g,%.7g,%.7g" % tuple(row) for row in rows.tolist()
    )


def test_a_response_and_a_tap_test_give_the_same_modes() -> None:
    f = np.arange(100.0, 2500.0, 4.0)
    text = "frequency [Hz],magnitude [um/N],phase [deg]\n" + "\n".join(
        f"{a:g},{1e3 * abs(h):.9g},{np.degrees(np.angle(h)):.9g}" for a, h in zip(f, response(f), strict=True)
    )
    read = read_measured(text.encode(), "tip.csv")
    tapped = read_measured(columns(), "tap.csv")
    assert read.tap is None and tapped.tap is not None
    for found, nearly in ((read, 1e-3), (tapped, 0.05)):
        got = np.array([[m.frequency_hz, m.damping_ratio, m.stiffness_n_mm] for m in found.fit.modes])
        np.testing.assert_allclose(got, MODES, rtol=nearly)
    assert "hits used" in response_words(tapped) and "hits" not in response_words(read)
    assert all(" Hz ± " in mode_words(mode) and "N/mm" in mode_words(mode) for mode in tapped.fit.modes)


def test_a_sound_file_needs_its_scales() -> None:
    record = tap()
    both = np.stack([record.force / 500.0, record.acceleration / np.abs(record.acceleration).max()], 1)
    data = wav(both, 3, 12_800)
    with pytest.raises(ChiparcError, match="full scale"):
        read_measured(data, "tap.wav")
    scale = float(np.abs(record.acceleration).max())
    found = read_measured(data, "tap.wav", Reading(force_scale=500.0, acceleration_scale=scale))
    assert found.fit.modes[0].frequency_hz == pytest.approx(480.0, rel=0.01)


def test_blocks_replace_those_on_the_measured_axis_only() -> None:
    found = read_measured(columns(), "tap.csv")
    before = (Mode("x", 700.0, 0.02, 9000.0), Mode("y", 900.0, 0.02, 9000.0))
    for axis, kept in (("x", before[1:]), ("y", before[:1]), ("xy", ())):
        after = with_blocks(before, found.fit, axis)
        assert after[: len(kept)] == kept
        assert len(after) == len(kept) + len(axis) * len(found.fit.modes)
        assert {mode.axis for mode in after[len(kept) :]} == set(axis)
