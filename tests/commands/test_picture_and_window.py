"""``python3 app picture``, and the program without a display."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from app.commands.picture import least_size
from app.kit.look import look
from app.pages.arc.side_charts import paint_charts
from app.pages.arc.side_charts_scene import ChartRanges
from core.base.places import shared
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.arc_results import arc_results
from tests.commands.calling import call

pytestmark = pytest.mark.usefixtures("window_app")
BOSS = shared("setups", "boss.toml")


def test_png_has_the_size_asked_for(tmp_path: Path) -> None:
    done = call("picture", BOSS, "--out", "a.png", "--size", "1280x800", "--theme", "dark", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")
    data = (tmp_path / "a.png").read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert (int.from_bytes(data[16:20]), int.from_bytes(data[20:24])) == (1280, 800)


def test_svg_keeps_text_as_text_and_nothing_leaves_the_page(tmp_path: Path) -> None:
    done = call("picture", BOSS, "--out", "a.svg", "--pair", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    svg = (tmp_path / "a.svg").read_text("utf-8")
    for word in ("Boss on a pump bracket", "enters 12:39", "leaves 11:21", "Chip thickness h, mm", "12 mm cutter"):
        assert word in svg
    for points in re.findall(r'points="([^"]*)"', svg):
        for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", points):
            assert -2500 < float(x) < 2500 and -2500 < float(y) < 2500


def test_a_picture_frames_the_arc_where_it_is_small_or_is_asked_to(tmp_path: Path) -> None:
    narrow = shared("setups", "finishing-aluminium.toml")
    found = []
    for asked in ([], ["--frame", "arc"], ["--frame", "all"]):
        done = call("picture", narrow, "--out", "a.svg", *asked, cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        found.append((tmp_path / "a.svg").read_text("utf-8"))
    by_itself, arc, whole = found
    # Minutes of the clock ring are seen in the close view alone.
    assert by_itself == arc and ">2:40<" in arc and ">2:40<" not in whole


def test_charts_are_chosen_by_name(tmp_path: Path) -> None:
    for names, there in (("marks", True), ("none", False)):
        done = call("picture", BOSS, "--out", "a.svg", "--charts", names, cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        svg = (tmp_path / "a.svg").read_text("utf-8")
        assert ("Feed marks, µm" in svg) == there and "Force over a turn" not in svg
        assert ("0.0760 µm peak to valley" in svg) == there


def test_pdf_is_one_page_with_text(tmp_path: Path) -> None:
    done = call("picture", BOSS, "--out", "a.pdf", "--theme", "print", "--units", "inch", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    data = (tmp_path / "a.pdf").read_bytes()
    assert data.startswith(b"%PDF-") and b"/Font" in data and data.count(b"/Type /Page\n") == 1


@pytest.mark.parametrize("theme", ["light", "projector"])
@pytest.mark.parametrize("pair", [False, True])
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_least_size_of_any_choice_is_painted(tmp_path: Path, theme: str, pair: bool, units: str) -> None:
    charts, strips = "loop,wall,marks", "chip,force,temperature"
    width, height = least_size(theme, pair, 3, 3)
    asked = ["--out", "a.png", "--size", f"{width}x{height}", "--theme", theme, "--units", units]
    asked += ["--charts", charts, "--strips", strips, *(["--pair"] if pair else [])]
    done = call("picture", BOSS, *asked, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    head = (tmp_path / "a.png").read_bytes()[16:24]
    assert (int.from_bytes(head[:4]), int.from_bytes(head[4:])) == (width, height)


@pytest.mark.parametrize("side", [40.0, 90.0, 160.0])
def test_charts_on_hardly_any_room_come_to_an_end(window_app: Any, side: float) -> None:
    """A scale of nothing would have endless ticks."""
    results = arc_results(resolved(EXAMPLES[0].setup()))
    scene = ChartRanges().scene([(results, 125.0)], "metric", settled=True, ids=("loop", "wall", "marks"))
    image = QImage(200, 200, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFF)
    painter = QPainter(image)
    paint_charts(painter, QRectF(0.0, 0.0, side, side), ("loop", "wall", "marks"), scene, look("projector"))
    painter.end()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--out", "a.gif"), ".gif"),
        (("--out", "a.png", "--size", "huge"), "1600x1000"),
        (("--out", "a.png", "--size", "10x10"), "640x560"),
        (("--out", "a.png", "--size", "700x600", "--pair"), "from 960x640"),
        (("--out", "a.png", "--size", "700x600", "--theme", "projector"), "from 800x700"),
        (("--out", "a.png", "--strips", "chip,chup"), "chup"),
        (("--out", "nowhere/a.png"), "could not write"),
        (("--out", "a.png", "--theme", "pink"), "pink"),
        (("--out", "a.png", "--charts", "loop,pie"), "pie"),
        ((), "--out"),
    ],
)
def test_wrong_arguments_are_a_sentence(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    done = call("picture", BOSS, *arguments, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, b"")
    assert words in done.stderr.decode() and b"Traceback" not in done.stderr
    assert not list(tmp_path.iterdir())


def test_a_wrong_setup_gives_no_picture(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("format = 5\n")
    done = call("picture", "bad.toml", "--out", "a.png", cwd=tmp_path)
    assert done.returncode == 2 and b"bad.toml:1" in done.stderr
    assert not (tmp_path / "a.png").exists()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux can lack a window system")
@pytest.mark.parametrize("display", ["", ":99", "nonsense"])
def test_without_a_display_the_report_and_a_picture(tmp_path: Path, display: str) -> None:
    done = call(cwd=tmp_path, env={"DISPLAY": display} if display else {})
    assert done.returncode == 0, done.stderr
    assert b"no display" in done.stderr and b"chiparc.png" in done.stderr
    assert done.stdout.startswith(b"Boss on a pump bracket\n") and b"never certifies" in done.stdout
    assert (tmp_path / "chiparc.png").stat().st_size > 20_000


def test_without_a_display_a_wrong_file_is_refused(tmp_path: Path) -> None:
    done = call("none.toml", cwd=tmp_path)
    assert done.returncode == 2 and b"none.toml" in done.stderr and done.stdout == b""


OWN = """\
format = "chiparc materials"
version = 1
[sources.rig]
text = "our own slots"
status = "measured"
conditions = "dry"
[[material]]
name = "Our bracket iron"
group = "K"
kind = "grey iron"
[material.power_law]
kc11_n_mm2 = { value = 1100.0, source = "rig" }
mc = { value = 0.25, source = "rig" }
radial_ratio = { value = 0.4, source = "rig" }
"""


def named(folder: Path) -> None:
    """A setup of an own material, and the file of own materials."""
    text = BOSS.read_text("utf-8")
    setup = text[: text.index("[work.force]")] + '[work]\nmaterial = "Our bracket iron"\n'
    (folder / "named.toml").write_text(setup, "utf-8")
    (folder / "own.toml").write_text(OWN, "utf-8")


def test_a_picture_of_an_own_material(tmp_path: Path) -> None:
    named(tmp_path)
    done = call("picture", "named.toml", "--out", "a.svg", "--materials", "own.toml", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")
    assert "Pushed off the wall by up to" in (tmp_path / "a.svg").read_text("utf-8")
    for more in ((), ("--materials", "none.toml"), ("--materials", "named.toml")):
        done = call("picture", "named.toml", "--out", "b.svg", *more, cwd=tmp_path)
        assert done.returncode == 2 and b"Traceback" not in done.stderr
        assert (more[1] if more else "Our bracket iron") in done.stderr.decode()
    assert not (tmp_path / "b.svg").exists()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux can lack a window system")
def test_own_materials_without_a_display(tmp_path: Path) -> None:
    """Named on the command line, or remembered by the window; a remembered file that is gone is told."""
    named(tmp_path)
    settings = tmp_path / "settings"
    settings.mkdir()
    done = call("named.toml", "--materials", "own.toml", cwd=tmp_path, env={"CHIPARC_SETTINGS": str(settings)})
    assert done.returncode == 0 and b"Our bracket iron" in done.stdout, done.stderr
    (settings / "settings.json").write_text('{"materials": "own.toml"}')
    done = call("named.toml", cwd=tmp_path, env={"CHIPARC_SETTINGS": str(settings)})
    assert done.returncode == 0 and b"Our bracket iron" in done.stdout, done.stderr
    (settings / "settings.json").write_text('{"materials": "gone.toml"}')
    done = call(BOSS, cwd=tmp_path, env={"CHIPARC_SETTINGS": str(settings)})
    assert done.returncode == 0 and b"gone.toml" in done.stderr and done.stdout.startswith(b"Boss on a pump bracket")
    done = call(BOSS, "--materials", "gone.toml", cwd=tmp_path, env={"CHIPARC_SETTINGS": str(settings)})
    assert done.returncode == 2 and b"gone.toml" in done.stderr and done.stdout == b""


def test_help_and_version(tmp_path: Path) -> None:
    assert b"report" in call("--help", cwd=tmp_path).stdout
    assert re.fullmatch(rb"chiparc \d+\.\d+\.\d+\n", call("--version", cwd=tmp_path).stdout)
