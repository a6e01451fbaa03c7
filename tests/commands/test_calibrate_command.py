"""``python3 app calibrate``: the fit, what it gives to paste, the picture, refusals in words."""

from __future__ import annotations

import json
import math
import re
import tomllib
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

from core.base.places import shared
from core.calibration.calibrated_blocks import HEADER
from core.documents.materials import read_materials
from core.documents.setup_document import read_setup
from core.setup.setup import LinearEdge
from tests.commands.calling import call, process

EXAMPLE = shared("calibration", "slots.csv")
SLOT = ("--diameter", "12", "--teeth", "4", "--depth", "3")
pytestmark = pytest.mark.usefixtures("window_app")
NAMES = ("ktc", "krc", "kac", "kte", "kre", "kae")
TRUE = (1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
BOSS = shared("setups", "boss.toml")


def means(feed: float, *, entry: float, leave: float, teeth: int, depth: float) -> list[float]:
    """Mean forces by scipy's quadrature, edge angle 90 degrees: nothing of the program."""
    ktc, krc, kac, kte, kre, kae = TRUE

    def force(phi: float, axis: int) -> float:
        h = feed * math.sin(phi)
        ft, fr, fa = ktc * h + kte, krc * h + kre, kac * h + kae
        return (-ft * math.sin(phi) + fr * math.cos(phi), -ft * math.cos(phi) - fr * math.sin(phi), fa)[axis]

    return [teeth * depth / (2 * math.pi) * quad(force, entry, leave, args=(axis,))[0] for axis in range(3)]


def write_csv(file: Path, *, entry: float, leave: float, teeth: int, depth: float, noise: float = 0.0) -> None:
    chance, rows = np.random.default_rng(3), ["feed_per_tooth_mm;mean_fx_n;mean_fy_n;mean_fz_n"]
    for feed in (0.03, 0.05, 0.07, 0.09, 0.11):
        forces = np.array(means(feed, entry=entry, leave=leave, teeth=teeth, depth=depth))
        forces += chance.normal(size=3) * noise
        rows.append(";".join(f"{v:.9f}".replace(".", ",") for v in (feed, *forces)))
    file.write_text("\ufeff# rig\n" + "\n".join(rows) + "\n", "utf-8")


CUTS = {
    "slot": (0.0, math.pi, SLOT),
    "climb": (math.acos(2 * 4 / 12 - 1), math.pi, (*SLOT, "--direction", "climb", "--width", "4")),
    "conventional": (0.0, math.acos(1 - 2 * 4 / 12), (*SLOT, "--direction", "conventional", "--width", "4")),
}


@pytest.mark.parametrize("cut", CUTS)
def test_known_coefficients_come_back(tmp_path: Path, cut: str) -> None:
    entry, leave, options = CUTS[cut]
    write_csv(tmp_path / "rig.csv", entry=entry, leave=leave, teeth=4, depth=3.0)
    done = call("calibrate", "rig.csv", *options, "--json", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    found = json.loads(done.stdout)
    assert [found["coefficients"][n] for n in NAMES] == pytest.approx(TRUE, rel=1e-6)
    assert [found["mean_force"][a]["r_squared"] for a in ("fx_n", "fy_n", "fz_n")] == pytest.approx([1.0] * 3)
    block = tomllib.loads(found["work_force_toml"])["work"]["force"]
    assert [block[n] for n in NAMES] == pytest.approx(TRUE, abs=1e-3)


def test_with_noise_the_truth_lies_within_the_errors_told(tmp_path: Path) -> None:
    entry, leave, options = CUTS["climb"]
    write_csv(tmp_path / "rig.csv", entry=entry, leave=leave, teeth=4, depth=3.0, noise=0.5)
    found = json.loads(call("calibrate", "rig.csv", *options, "--json", cwd=tmp_path).stdout)
    for name, true in zip(NAMES, TRUE, strict=True):
        error = found["standard_errors"][name]
        assert error > 0 and abs(found["coefficients"][name] - true) < 4.0 * error, name
    residual = np.array([found["mean_force"][a]["residual"] for a in ("fx_n", "fy_n", "fz_n")])
    assert 0.05 < residual.std() < 1.0 and residual.sum(1) == pytest.approx([0.0] * 3, abs=1e-9)


def test_what_is_printed_can_be_pasted(tmp_path: Path) -> None:
    """The block into a setup, the entry into a file of own materials, and that file into the report."""
    name = 'Our "slot" steel'
    done = call("calibrate", EXAMPLE, *SLOT, "--material", name, "--group", "P", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    text = done.stdout.decode()
    assert "R²" in text and "± " in text and max(map(len, text.split("[work.force]")[0].splitlines())) <= 80
    block = text[text.index("[work.force]") : text.index("For a file of")]
    entry = text[text.index('[sources."calibration') :]
    boss = BOSS.read_text("utf-8")
    # The last block of that file.
    start = boss.index("[work.force]")
    pasted = read_setup(boss[:start] + block, "boss.toml").work.force
    assert isinstance(pasted, LinearEdge) and pasted.ktc == pytest.approx(1735.37, abs=0.01)
    material = read_materials(HEADER + entry, "own.toml").find(name)
    assert material.linear_edge == pasted and material.kind == "own measurement"
    figure = material.figure("linear_edge.ktc")
    assert figure is not None and figure.spread is not None and figure.spread[0] < figure.value < figure.spread[1]
    assert "slots.csv" in figure.source.text and "12 mm" in figure.source.conditions
    (tmp_path / "own.toml").write_text(HEADER + entry, "utf-8")
    named = boss[:start].rstrip() + f"\n[work]\nmaterial = '{name}'\n"
    (tmp_path / "named.toml").write_text(named, "utf-8")
    report = call("report", "named.toml", "--materials", "own.toml", "--json", cwd=tmp_path)
    assert report.returncode == 0 and json.loads(report.stdout)["force"]["fx_n"]["mean"] is not None
    # Measured for that very material, the setup may name it before it is known.
    again = call("calibrate", EXAMPLE, "named.toml", "--material", name, "--group", "P", cwd=tmp_path)
    assert again.returncode == 0, again.stderr
    assert call("calibrate", EXAMPLE, "named.toml", "--materials", "own.toml", cwd=tmp_path).returncode == 0
    assert b"work.material" in call("calibrate", EXAMPLE, "named.toml", cwd=tmp_path).stderr


def test_two_entries_stand_in_one_file(tmp_path: Path) -> None:
    text = HEADER
    for name in ("A", "B"):
        done = call("calibrate", EXAMPLE, *SLOT, "--material", name, "--group", "N", "--json", cwd=tmp_path)
        text += json.loads(done.stdout)["materials_toml"]
    assert read_materials(text, "own.toml").names() == ["A", "B"]


def test_a_setup_gives_cutter_and_cut_and_options_win(tmp_path: Path) -> None:
    slot = shared("setups", "slot-steel.toml")
    plain = json.loads(call("calibrate", EXAMPLE, slot, "--json", cwd=tmp_path).stdout)
    same = ("--diameter", "10", "--teeth", "3", "--depth", "5")
    options = json.loads(call("calibrate", EXAMPLE, *same, "--json", cwd=tmp_path).stdout)
    assert plain["coefficients"] == pytest.approx(options["coefficients"])
    deeper = json.loads(call("calibrate", EXAMPLE, slot, "--depth", "10", "--json", cwd=tmp_path).stdout)
    assert deeper["coefficients"]["ktc"] == pytest.approx(plain["coefficients"]["ktc"] / 2)


def test_standard_input_and_forces_on_the_work(tmp_path: Path) -> None:
    turned = re.sub(rb"(?m)^(0\.\d+),-([\d.]+),-([\d.]+),", rb"\1,\2,\3,-", EXAMPLE.read_bytes())
    done = call("calibrate", "-", *SLOT, "--on-work", "--json", cwd=tmp_path, given=turned)
    plain = call("calibrate", EXAMPLE, *SLOT, "--json", cwd=tmp_path)
    told, wanted = json.loads(done.stdout), json.loads(plain.stdout)
    assert told["coefficients"] == wanted["coefficients"] and told["file"] == "<standard input>"


def test_without_axial_forces_and_with_two_rows(tmp_path: Path) -> None:
    (tmp_path / "xy.csv").write_text(
        "feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.05,-340,-210\n0.1,-600,-315\n", "utf-8"
    )
    options = (*SLOT, "--material", "M", "--group", "K", "--plot", "xy.svg")
    found = json.loads(call("calibrate", "xy.csv", *options, "--json", cwd=tmp_path).stdout)
    assert found["coefficients"]["kac"] is None and found["mean_force"]["fz_n"] is None
    assert set(found["standard_errors"].values()) == {None} and len(found["notes"]) == 3
    assert "not measured" in found["work_force_toml"]
    entry = read_materials(HEADER + found["materials_toml"], "own.toml").find("M")
    figure = entry.figure("linear_edge.kac")
    assert figure is not None and figure.value == 0.0 and "no axial force" in figure.source.text
    svg = (tmp_path / "xy.svg").read_text("utf-8")
    assert "mean Fy, N" in svg and "mean Fz, N" not in svg
    text = call("calibrate", "xy.csv", *SLOT, cwd=tmp_path).stdout.decode()
    assert re.search(r"kac +–\n", text) and "Two rows always lie on a line" in text


def test_a_coefficient_that_no_setup_may_have_gives_nothing_to_paste(tmp_path: Path) -> None:
    """Radial forces of the wrong sense: the fit is told, and why there is no block."""
    rows = "0.05,-340,210,60\n0.08,-500,275,95\n0.1,-600,315,114\n"
    (tmp_path / "odd.csv").write_text(f"feed_per_tooth_mm,mean_fx_n,mean_fy_n,mean_fz_n\n{rows}", "utf-8")
    done = call("calibrate", "odd.csv", *SLOT, "--material", "M", "--group", "K", cwd=tmp_path)
    text = " ".join(done.stdout.decode().split())
    assert done.returncode == 0 and "krc came out as" in text and "[work.force]" not in text
    found = json.loads(call("calibrate", "odd.csv", *SLOT, "--json", cwd=tmp_path).stdout)
    assert found["work_force_toml"] is None and found["coefficients"]["krc"] < 0


# The picture


def test_the_picture_holds_the_series(tmp_path: Path) -> None:
    done = call("calibrate", EXAMPLE, *SLOT, "--plot", "fit.svg", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    svg = (tmp_path / "fit.svg").read_text("utf-8")
    for word in (
        "mean Fx, N",
        "mean Fy, N",
        "mean Fz, N",
        "R² 0.9983",
        "feed per tooth fz, mm/tooth",
        "1735 ± 10 N/mm²",
    ):
        assert word in svg, word
    circles = re.findall(r'<circle [^>]*cx="([-\d.]+)" cy="([-\d.]+)" r="(\d)"', svg)
    means, residuals = (np.array([(float(x), float(y)) for x, y, r in circles if r == size]) for size in "43")
    # In each of three panels six points above and six beneath; the legend has one more.
    assert len(means) == 1 + 3 * 6 and len(residuals) == 3 * 6
    rows = [line.split(",") for line in EXAMPLE.read_text("utf-8").splitlines() if line[:1] == "0"]
    table = np.array(rows, float)
    thick = [
        [tuple(map(float, point.split(","))) for point in points.split()]
        for points in re.findall(r'stroke-width="2"[^>]*>\s*<polyline [^>]*points="([^"]*)"', svg)
    ]
    assert len(thick) == 1 + 3
    for i in range(3):
        above, beneath = means[1 + 6 * i :][:6], residuals[6 * i :][:6]
        for drawn, figures in ((above[:, 0], table[:, 0]), (above[:, 1], table[:, 1 + i])):
            assert np.polyfit(figures, drawn, 1, full=True)[1][0] < 0.01, "not drawn on one scale"
        scale = np.polyfit(table[:, 1 + i], above[:, 1], 1)
        line = np.polyval(np.polyfit(table[:, 0], table[:, 1 + i], 1), table[:, 0])
        assert np.polyfit(table[:, 1 + i] - line, beneath[:, 1], 1, full=True)[1][0] < 0.01
        assert np.array_equal(above[:, 0], beneath[:, 0])
        ends = np.polyval(np.polyfit(table[:, 0], table[:, 1 + i], 1), [0.0, table[:, 0].max()])
        (_, y0), (x1, y1) = thick[1 + i]
        assert (x1, y0, y1) == pytest.approx((above[-1, 0], *np.polyval(scale, ends)), abs=0.1)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_png_in_the_themes(tmp_path: Path, theme: str, output: Path) -> None:
    """One of them by a process that has no display."""
    file, how = output / f"calibration-{theme}.png", process if theme == "dark" else call
    asked = ("--plot", file, "--size", "960x480", "--theme", theme, "--units", "inch")
    done = how("calibrate", EXAMPLE, *SLOT, *asked, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    data = file.read_bytes()
    assert (int.from_bytes(data[16:20]), int.from_bytes(data[20:24])) == (960, 480)
    assert "lbf" in done.stdout.decode() and "[work.force]" in done.stdout.decode()


def test_pdf_is_one_page_with_text(tmp_path: Path) -> None:
    assert call("calibrate", EXAMPLE, *SLOT, "--plot", "fit.pdf", "--theme", "print", cwd=tmp_path).returncode == 0
    data = (tmp_path / "fit.pdf").read_bytes()
    assert data.startswith(b"%PDF-") and b"/Font" in data and data.count(b"/Type /Page\n") == 1


# Refusals


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "--diameter: missing"),
        (("--diameter", "12", "--depth", "3"), "--teeth: missing"),
        ((*SLOT, "--width", "4"), "--direction: missing"),
        ((*SLOT, "--width", "14", "--direction", "climb"), "--width: found 14"),
        ((*SLOT, "--width", "14", "--direction", "straddling"), "--width: found 14"),
        (("--diameter", "nan", *SLOT[2:]), "--diameter: found nan"),
        (("--diameter", "inf", *SLOT[2:]), "--diameter: found inf"),
        (("--diameter", "-3", *SLOT[2:]), "--diameter: found -3"),
        (("--diameter", "wide", *SLOT[2:]), "wide"),
        (("--diameter", "0.18", *SLOT[2:]), "slots.csv:11: feed_per_tooth_mm"),
        ((*SLOT, "--teeth", "0"), "--teeth: found 0"),
        ((*SLOT, "--teeth", "2.5"), "2.5"),
        ((*SLOT, "--depth", "0"), "--depth: found 0"),
        ((*SLOT, "--edge-angle", "0"), "--edge-angle: found 0"),
        ((*SLOT, "--offset", "1"), "--offset: found 1"),
        ((*SLOT, "--plot", "fit.gif"), ".gif"),
        ((*SLOT, "--plot", "fit"), "--plot"),
        ((*SLOT, "--plot", "nowhere/fit.png"), "--plot: could not write"),
        ((*SLOT, "--plot", "fit.png", "--size", "900x900"), "960x480"),
        ((*SLOT, "--material", "X"), "--group: missing"),
        ((*SLOT, "--material", "", "--group", "P"), "--material: found"),
        ((*SLOT, "--material", "a\nb", "--group", "P"), "--material: found"),
        ((*SLOT, "--material", "X", "--group", "Q"), "Q"),
        ((*SLOT, "--group", "P"), "without --material"),
        ((*SLOT, "--on-work"), "pull"),
        ((*SLOT, "--json", "--text"), "not allowed with"),
        (("none.toml",), "none.toml"),
        (("-",), "standard input is for the forces"),
        ((*SLOT, "--materials", "none.toml"), "none.toml"),
    ],
    ids=str,
)
def test_wrong_arguments_are_a_sentence(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    done = call("calibrate", EXAMPLE, *arguments, cwd=tmp_path)
    said = done.stderr.decode()
    assert (done.returncode, done.stdout) == (2, b"")
    assert words in said and said.count("\n") == 1 and "Traceback" not in said
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no line with figures"),
        (b"\x89PNG\r\n\x1a\n\0\0", "rig.csv:3: file: found a zero byte"),
        ("Vorschub;Kräfte\n".encode("latin-1"), "rig.csv:1: file: found the byte 0xE4"),
        (b"feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.1,1,2\n0.2,n/a,2\n", 'rig.csv:3: mean_fx_n: found "n/a"'),
        (b"feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.1,1,2\n0.1,1,2\n", "rig.csv:3: feed_per_tooth_mm: found 2 rows"),
        (None, "rig.csv: file: found no such file"),
    ],
    ids=str,
)
def test_wrong_files_are_a_sentence(tmp_path: Path, data: bytes | None, words: str) -> None:
    if data is not None:
        (tmp_path / "rig.csv").write_bytes(data)
    done = call("calibrate", "rig.csv", *SLOT, "--plot", "fit.png", cwd=tmp_path)
    said = done.stderr.decode()
    assert (done.returncode, done.stdout) == (2, b"") and words in said and said.count("\n") == 1
    assert not (tmp_path / "fit.png").exists()
    assert call("calibrate", tmp_path, *SLOT, cwd=tmp_path).returncode == 2


def test_help_says_which_way_the_forces_point(tmp_path: Path) -> None:
    told = " ".join(call("calibrate", "--help", cwd=tmp_path).stdout.decode().split())
    for words in ("mean_fz_n", "--on-work", "y along the feed", "invented example"):
        assert words in told
    assert "calibrate FILE" in call("--help", cwd=tmp_path).stdout.decode()
