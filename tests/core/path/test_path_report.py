"""The report as data, of programs that are not the usual ones."""

from __future__ import annotations

import itertools
import json
from typing import Any

import pytest

from core.base.errors import ChiparcError
from core.path import path_report as module
from core.path.path_report import path_json, path_report
from core.path.program import read_program
from core.path.stock import rectangle
from core.setup.setup import Setup
from tests.usual_setups import STEEL_LAW, boss

SETUP = boss(cutter__helix_deg=0.0)
STOCK = rectangle(0.0, 0.0, 100.0, 60.0)


LAW = STEEL_LAW


def report(text: str, setup: Setup = SETUP, **how: Any) -> dict[str, Any]:
    """The report of a program in mm, through JSON and back."""
    found = path_report(read_program(f"G21\n{text}\nM30\n".encode(), "part.nc"), STOCK, setup, **how)
    back: dict[str, Any] = json.loads(path_json(found))
    assert back == found
    return found


def test_nothing_at_feed_is_an_empty_report() -> None:
    found = report("G0 X0 Y0\nX50\nY50")
    assert (found["samples"], found["worst"], found["levels"]) == ([], [], [])
    assert found["program"]["length_mm"] == 0.0


def test_a_plunge_alone_has_no_length() -> None:
    found = report("G0 X50 Y30 Z5\nG1 Z-5 F100")
    assert found["program"] == {"length_mm": 0.0, "moves": 1, "units": "mm"}
    assert found["samples"] == []


def test_above_the_stock_is_air_with_samples() -> None:
    found = report("G0 X-10 Y30 Z5\nG1 X110 F900")
    assert {s["direction"] for s in found["samples"]} == {"air"}
    assert found["samples"][0]["intervals_deg"] == [] and found["samples"][0]["h_max_mm"] == 0.0
    assert found["worst"] == [] and found["levels"] == []


def test_a_program_without_heights_has_one_level_without_one() -> None:
    found = report("G0 X-10 Y30\nG1 X110 F900", spacing=20.0)
    assert [s["z_mm"] for s in found["samples"]] == [None] * 7
    assert [level["z_mm"] for level in found["levels"]] == [None]
    assert found["levels"][0]["removed_mm2"] == pytest.approx(1200.0)
    assert found["samples"][3]["arc_deg"] == 180.0


def test_without_coefficients_forces_are_unknown_not_nothing() -> None:
    sample = report("G0 X-10 Y30\nG1 X110 F900", at=(60.0,))["samples"][0]
    assert set(sample["force"].values()) == {None} and set(sample["wall"].values()) == {None}
    assert sample["fz_mm"] == pytest.approx(900.0 / (4 * 4000.0))


def test_runout_raises_the_greatest_force() -> None:
    def forces(runout: float) -> dict[str, Any]:
        setup = SETUP.with_keys({"cutter.runout_mm": runout, "work.force": LAW})
        found: dict[str, Any] = report("G0 X-10 Y58\nG1 X110 F900", setup, at=(60.0,))["samples"][0]["force"]
        return found

    even, running = forces(0.0), forces(0.01)
    assert running["resultant_max_n"] > 1.05 * even["resultant_max_n"]
    # What one tooth takes more the others take less.
    assert running["fx_n"]["mean"] == pytest.approx(even["fx_n"]["mean"], rel=0.02)


def test_a_very_long_path_has_fewer_samples_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_SAMPLES", 50)
    found = report("G0 X-10 Y30\nG1 X110 F900")
    assert [s["s_mm"] for s in found["samples"][:2]] == pytest.approx([0.0, 2.4])
    assert len(found["samples"]) == 51
    assert any("2.4 mm" in warning["text"] for warning in found["warnings"])
    with pytest.raises(ChiparcError, match="spacing"):
        report("G0 X-10 Y30\nG1 X110 F900", spacing=0.6)


def test_a_slot_between_two_holes_of_earlier_passes_names_its_reasons() -> None:
    text = "G0 X-10 Y6 Z5\nZ-2\nG1 X60 F900\nY54\nG0 Z5\nX-10 Y30\nZ-2\nG1 X110"
    worst = report(text)["worst"]
    assert worst[0]["arc_deg"] == 180.0 and "slot" in worst[0]["reason"]
    assert all(later["arc_deg"] <= sooner["arc_deg"] for sooner, later in itertools.pairwise(worst))
    assert all(place["h_max_mm"] <= 900.0 / 16_000.0 + 1e-12 for place in worst)
