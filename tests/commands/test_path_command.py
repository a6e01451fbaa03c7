"""``python3 app path``: real files in, the report of the note out, refusals with their line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from app.commands import main

ROOT = Path(__file__).resolve().parents[2]

SETUP = """\
format = "chiparc setup"
version = 1
[cutter]
diameter_mm = 12.0
teeth = 4
helix_deg = 30.0
stickout_mm = 42.0
youngs_modulus_n_mm2 = 580000.0
[cut]
direction = "climb"
radial_engagement_mm = 4.0
axial_engagement_mm = 10.0
feed_per_tooth_mm = 0.06
spindle_speed_rpm = 4000.0
[work.force]
model = "linear-edge"
ktc = 1800.0
krc = 700.0
kac = 300.0
kte = 22.0
kre = 35.0
kae = 3.0
"""

STOCK = """\
format = "chiparc stock"
version = 1
top_z_mm = 0
[[loop]]
points_mm = [[0, 0], [70, 0], [70, 50], [0, 50]]
"""

PROGRAM = """\
%
N10 G21 G90 G17 G94
N20 S4000 M3
N30 G0 X80 Y-2 Z5
N40 G1 Z-5 F960
N50 X-10
N60 G0 Z5
N70 X-20 Y52
N80 G0 Z-5
N90 G0 X20
N100 G1 X80 F1920
M30
"""


@pytest.fixture
def files(tmp_path: Path) -> dict[str, Path]:
    """A setup, a stock, a program."""
    found = {}
    for name, text in (("setup.toml", SETUP), ("stock.toml", STOCK), ("part.nc", PROGRAM)):
        found[name] = tmp_path / name
        found[name].write_text(text, "utf-8")
    return found


def run(files: dict[str, Path], *more: str) -> list[str]:
    """Arguments of the command on the three files."""
    return [
        *("path", str(files["part.nc"]), "--stock", str(files["stock.toml"])),
        *("--setup", str(files["setup.toml"]), *more),
    ]


def report(capsys: pytest.CaptureFixture[str], files: dict[str, Path], *more: str) -> dict[str, Any]:
    """The JSON of a run that must be fine."""
    assert main(run(files, "--json", *more)) == 0
    told = capsys.readouterr()
    assert told.err == ""
    found = json.loads(told.out)
    assert isinstance(found, dict)
    return found


def test_the_report_has_every_key_of_the_note(capsys: pytest.CaptureFixture[str], files: dict[str, Path]) -> None:
    found = report(capsys, files)
    assert (found["format"], found["version"]) == ("chiparc path", 1)
    assert found["program"] == {"length_mm": 150.0, "moves": 3, "units": "mm"}
    samples = found["samples"]
    # D/20, both ends in.
    assert [s["s_mm"] for s in samples] == pytest.approx([0.6 * i for i in range(251)])
    keys = "s_mm line x_mm y_mm z_mm heading_deg intervals_deg arc_deg ae_mm conventional_mm climb_mm direction fz_mm"
    for sample in samples:
        assert set(sample) >= {*keys.split(), "h_max_mm", "h_mean_mm", "force", "wall"}
    first = samples[50]
    assert first["line"] == 6 and first["heading_deg"] == 180.0
    # Stock of 4 mm on the right of a way to -x: climb, as the setup's own cut.
    assert first["direction"] == "climb" and first["ae_mm"] == pytest.approx(4.0)
    assert first["intervals_deg"] == [pytest.approx([109.471221, 180.0])]
    assert first["climb_mm"] == pytest.approx(4.0) and first["conventional_mm"] == 0.0
    assert first["fz_mm"] == pytest.approx(0.06)
    assert {"area_mm2", "x_mm", "y_mm", "width_mm"} >= {k for r in found["levels"][0]["ridges"] for k in r}
    (level,) = found["levels"]
    assert (level["z_mm"], level["length_mm"]) == (-5.0, 150.0)
    assert level["removed_mm2"] == pytest.approx(4.0 * 70.0 * 2, rel=1e-3)
    assert level["removed_mm2"] + level["remaining_mm2"] == pytest.approx(70.0 * 50.0)


def test_a_straight_cut_has_the_figures_of_the_report(
    capsys: pytest.CaptureFixture[str], files: dict[str, Path]
) -> None:
    sample = report(capsys, files, "--at", "40")["samples"][0]
    assert main(["report", str(files["setup.toml"]), "--json"]) == 0
    plain = json.loads(capsys.readouterr().out)
    assert sample["arc_deg"] == pytest.approx(plain["engagement"]["arc_deg"], abs=1e-6)
    # The report prints nine digits.
    assert sample["h_max_mm"] == pytest.approx(plain["chip"]["arc"]["h_max_mm"], rel=1e-8)
    assert sample["h_mean_mm"] == pytest.approx(plain["chip"]["arc"]["h_mean_mm"], rel=1e-8)
    for key in ("fx_n", "fy_n", "fz_n", "torque_nm"):
        for part in ("min", "max", "mean"):
            assert sample["force"][key][part] == pytest.approx(plain["force"][key][part], rel=1e-6, abs=1e-3)
    assert sample["force"]["power_kw"] == pytest.approx(plain["force"]["power_kw"], rel=1e-6)
    assert sample["wall"]["error_mm"] > 0.0


def test_chosen_places_and_joints(capsys: pytest.CaptureFixture[str], files: dict[str, Path]) -> None:
    found = report(capsys, files, "--at", "90,0,150,12.5")
    told = [(s["s_mm"], s["line"], s["x_mm"]) for s in found["samples"]]
    # At the joint of both cuts the sample belongs to the one that begins there.
    assert told == [(90.0, 11, 20.0), (0.0, 6, 80.0), (150.0, 11, 80.0), (12.5, 6, 67.5)]
    assert found["samples"][0]["fz_mm"] == pytest.approx(0.12)


def test_worst_and_the_rapid_through_stock(capsys: pytest.CaptureFixture[str], files: dict[str, Path]) -> None:
    found = report(capsys, files, "--worst", "1", "--spacing", "50")
    assert len(found["worst"]) == 1 and len(found["samples"]) == 4
    worst = found["worst"][0]
    assert worst["arc_deg"] == pytest.approx(70.528779, abs=1e-4) and worst["ratio"] == pytest.approx(1.0, abs=1e-5)
    assert worst["reason"] and worst["line"] in (6, 11)
    assert {"s_mm", "x_mm", "y_mm", "h_max_mm"} <= set(worst)
    assert [w["line"] for w in found["warnings"]] == [10]
    assert "G0" in found["warnings"][0]["text"]


def test_a_rapid_straight_down_into_stock_is_warned_of(
    capsys: pytest.CaptureFixture[str], files: dict[str, Path]
) -> None:
    # Down beside the stock; along the open side; back in the cut made; up, across, and down where stock still stands.
    text = "G21\nG0 X-20 Y-2 Z5\nZ-5\nG1 X90 F900\nG0 X-20\nZ5\nX30 Y20\nZ-2\nG1 X40\nM30\n"
    files["part.nc"].write_text(text, "utf-8")
    found = report(capsys, files, "--at", "0")
    assert [w["line"] for w in found["warnings"]] == [8]


def test_text_is_for_a_reader(capsys: pytest.CaptureFixture[str], files: dict[str, Path]) -> None:
    assert main(run(files)) == 0
    told = capsys.readouterr().out
    assert "150.00 mm at feed in 3 moves" in told and "line 10, G0 runs through stock" in told
    assert "climb" in told and "Depths" in told
    assert main(run(files, "--text")) == 0
    assert capsys.readouterr().out == told


@pytest.mark.parametrize(
    ("name", "text", "place"),
    [
        ("part.nc", PROGRAM.replace("N50 X-10", "N50 G41 X-10"), "part.nc:6: "),
        ("part.nc", PROGRAM.replace("X-10", "X1e3"), "part.nc:6: "),
        ("stock.toml", STOCK.replace("50]]", "50, 0, 0]]"), "stock.toml:5: "),
        ("stock.toml", STOCK + "colour = 3\n", "stock.toml:6: "),
        ("setup.toml", SETUP.replace("teeth = 4", "teeth = 0"), "setup.toml:5: "),
    ],
)
def test_refused_files_are_told_with_their_line(
    capsys: pytest.CaptureFixture[str], files: dict[str, Path], name: str, text: str, place: str
) -> None:
    files[name].write_text(text, "utf-8")
    assert main(run(files, "--json")) == 2
    told = capsys.readouterr()
    assert told.out == "" and place in told.err and "allowed" in told.err


@pytest.mark.parametrize(
    "more",
    [
        ("--at", "151"),
        ("--at", "-1"),
        ("--at", "nan"),
        ("--at", "1;2"),
        ("--spacing", "0"),
        ("--spacing", "nan"),
        ("--spacing", "0.0001"),
        ("--spacing", "x"),
        ("--worst", "-1"),
        ("--at", "1", "--spacing", "1"),
        ("--json", "--text"),
    ],
)
def test_refused_arguments(capsys: pytest.CaptureFixture[str], files: dict[str, Path], more: tuple[str, ...]) -> None:
    assert main(run(files, *more)) == 2
    told = capsys.readouterr()
    assert told.out == "" and told.err.strip()


def test_a_missing_file_and_a_missing_option(capsys: pytest.CaptureFixture[str], files: dict[str, Path]) -> None:
    files["part.nc"].unlink()
    assert main(run(files)) == 2
    assert "part.nc" in capsys.readouterr().err
    assert main(["path", "x.nc", "--stock", "s.toml"]) == 2
    assert "--setup" in capsys.readouterr().err


def test_a_left_hand_cutter_climbs_on_the_other_side(
    capsys: pytest.CaptureFixture[str], files: dict[str, Path]
) -> None:
    files["setup.toml"].write_text(SETUP.replace("[cutter]", '[cutter]\nhand = "left"'), "utf-8")
    files["part.nc"].write_text(PROGRAM.replace("M3", "M4"), "utf-8")
    sample = report(capsys, files, "--at", "40")["samples"][0]
    assert sample["direction"] == "conventional"
    assert sample["intervals_deg"] == [pytest.approx([0.0, 70.528779])]
