"""``python3 app report``: results, refusals, exit status, no window, no trace of a traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from app.commands import main
from core.base.places import ROOT, shared
from core.base.quantities import QUANTITIES
from core.documents.materials import resolved
from core.documents.setup_document import load_setup
from core.report.json_report import json_report
from core.report.setup_echo import given_keys
from core.report.text_report import text_report
from tests.commands.calling import HANGS_S, call, process

BOSS = shared("setups", "boss.toml")
LEFT = shared("setups", "left-hand.toml")


def as_json(file: Path, name: str) -> dict[str, Any]:
    """What the command is to print for a document."""
    given = given_keys(file.read_text("utf-8"), name)
    return json_report(resolved(load_setup(str(file))), name, given)


def test_one_file_is_one_object_and_nothing_else() -> None:
    done = process("report", str(BOSS), "--json")
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout) == as_json(BOSS, str(BOSS))


def test_text_is_the_default_and_comes_in_inches() -> None:
    plain, asked = call("report", str(BOSS)), call("report", str(BOSS), "--text", "--units", "inch")
    setup = load_setup(str(BOSS))
    assert (plain.returncode, plain.stdout.decode()) == (0, text_report(setup))
    assert (asked.returncode, asked.stdout.decode()) == (0, text_report(setup, "inch"))


def test_json_is_metric_whatever_is_asked() -> None:
    assert call("report", str(BOSS), "--json", "--units", "inch").stdout == call("report", str(BOSS), "--json").stdout


def test_standard_input_is_a_dash() -> None:
    done = call("report", "-", "--json", given=BOSS.read_bytes())
    assert json.loads(done.stdout) == as_json(BOSS, "-")


def test_several_files_are_an_array_and_a_bad_one_does_not_spoil_the_others(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text(BOSS.read_text("utf-8").replace("teeth = 4", "teeth = 4.5"), "utf-8")
    done = call("report", str(BOSS), str(bad), str(LEFT), str(tmp_path / "none.toml"), "--json")
    assert done.returncode == 2
    found = json.loads(done.stdout)
    assert [r["file"] for r in found] == [str(BOSS), str(bad), str(LEFT), str(tmp_path / "none.toml")]
    assert [r.get("title") for r in found] == [load_setup(str(BOSS)).title, None, load_setup(str(LEFT)).title, None]
    said = done.stderr.decode()
    line = 1 + bad.read_text("utf-8").splitlines().index("teeth = 4.5")
    assert f"{bad}:{line}: cutter.teeth: found 4.5" in said and "none.toml" in said
    wrong, missing = found[1]["error"], found[3]["error"]
    assert [(e["line"], e["key"], e["found"]) for e in wrong] == [(line, "cutter.teeth", "found 4.5")]
    assert "whole number" in wrong[0]["allowed"] and missing[0]["line"] is None


@pytest.mark.parametrize("form", ["--json", "--text"])
def test_a_refused_file_prints_its_reason_on_standard_error_only(tmp_path: Path, form: str) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("format = [", "utf-8")
    done = call("report", str(bad), form)
    assert (done.returncode, done.stdout) == (2, b"")
    assert str(bad) in done.stderr.decode() and b"Traceback" not in done.stderr


@pytest.mark.parametrize(
    "given", [b"", b"\xff\xfe", b"\x00", b"format = 1\n" * 3, b"[" * 5000, b"title = 'x'\n", b"a" * 200_000]
)
def test_rubbish_on_standard_input_is_refused_in_words(given: bytes) -> None:
    done = call("report", "-", given=given)
    assert (done.returncode, done.stdout) == (2, b"")
    assert b"<standard input>" in done.stderr and b"Traceback" not in done.stderr


@pytest.mark.parametrize(
    "arguments", [["report"], ["report", str(BOSS), "--units", "cubit"], ["report", "--no-such"]]
)
def test_wrong_arguments_are_one_sentence(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 2
    out, said = capsys.readouterr()
    assert out == "" and said.count("\n") == 1 and "--help" in said


def test_help_tells_the_units_the_array_and_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", "--help"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "array" in told and "JSON is metric" in told and "reads standard input" in told
    assert main(["--help"]) == 0
    assert "report FILE" in capsys.readouterr().out
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("chiparc ")


def test_ones_own_materials_win(tmp_path: Path) -> None:
    setup = tmp_path / "own.toml"
    text = BOSS.read_text("utf-8")
    setup.write_text(text[: text.index("[work.force]")] + '[work]\nmaterial = "Our bracket iron"\n', "utf-8")
    assert call("report", str(setup)).returncode == 2
    own = tmp_path / "materials.toml"
    own.write_text(
        'format = "chiparc materials"\nversion = 1\n'
        '[sources.shop]\ntext = "Our own test cuts"\nstatus = "measured"\nconditions = "dry"\n'
        '[[material]]\nname = "Our bracket iron"\ngroup = "K"\nkind = "grey iron"\n[material.power_law]\n'
        + "".join(
            f'{k} = {{ value = {v}, source = "shop" }}\n'
            for k, v in (("kc11_n_mm2", 1100.0), ("mc", 0.25), ("radial_ratio", 0.4))
        ),
        "utf-8",
    )
    done = call("report", str(setup), "--materials", str(own))
    assert (done.returncode, done.stderr) == (0, b"") and b"Our bracket iron" in done.stdout
    missing = call("report", str(setup), "--materials", str(tmp_path / "none.toml"))
    assert missing.returncode == 2 and b"none.toml" in missing.stderr and b"Traceback" not in missing.stderr


def test_against_another_setup(tmp_path: Path) -> None:
    """Half the speed of the example, and two at once; the ratio is 2 to the power of the exponent of speed."""
    base, slow = shared("setups", "roughing-steel.toml"), tmp_path / "slow.toml"
    text = base.read_text("utf-8")
    slow.write_text(text.replace("spindle_speed_rpm = 2600.0", "spindle_speed_rpm = 1300.0"), "utf-8")
    one = json.loads(call("report", str(slow), "--against", str(base), "--json").stdout)
    life = one["tool_life"]
    assert life["ratio"] == pytest.approx(2.0**3.2) and life["against"] == load_setup(str(base)).title
    done = call("report", str(slow), str(BOSS), "--against", "-", "--json", given=base.read_bytes())
    first, second = json.loads(done.stdout)
    assert done.returncode == 0 and first == one
    assert second["tool_life"]["ratio"] is None and "work material of this setup" in second["tool_life"]["reason"]
    told = call("report", str(slow), "--against", str(base)).stdout.decode()
    assert "9.2 times as long; 4.0 to 32 by the exponents" in told
    assert json.loads(call("report", str(slow), "--json").stdout)["tool_life"] is None


def test_a_bad_other_setup_is_refused_before_anything_is_printed(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text(BOSS.read_text("utf-8").replace("teeth = 4", "teeth = 4.5"), "utf-8")
    for name, words in ((str(bad), "cutter.teeth: found 4.5"), (str(tmp_path / "none.toml"), "none.toml")):
        done = call("report", str(BOSS), "--against", name)
        assert (done.returncode, done.stdout) == (2, b"")
        assert words in done.stderr.decode() and b"Traceback" not in done.stderr
    twice = call("report", "-", "--against", "-", given=BOSS.read_bytes())
    assert (twice.returncode, twice.stdout) == (2, b"") and b"more than once" in twice.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="a pipe that nobody reads is a POSIX matter")
def test_a_closed_pipe_ends_quietly() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = process("report", *[str(BOSS)] * 12, stdout=writing)
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_a_full_disk_is_a_sentence() -> None:
    with open("/dev/full", "wb") as full:
        done = process("report", str(BOSS), stdout=full)
    assert done.returncode == 2 and b"Traceback" not in done.stderr and b"space" in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="closes the streams with a POSIX shell")
def test_without_any_standard_streams() -> None:
    command = f'"{sys.executable}" "{ROOT / "app"}" report - <&- >&- 2>&-'
    assert subprocess.run(["sh", "-c", command], timeout=HANGS_S).returncode == 2


def test_an_old_terminal_gets_the_signs_all_the_same() -> None:
    done = process("report", str(BOSS), env={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert done.returncode == 0 and "°" in done.stdout.decode()


def test_every_figure_of_the_text_has_a_unit_of_the_one_table() -> None:
    units = {q.unit for q in QUANTITIES.values()}
    told = text_report(load_setup(str(BOSS)))
    assert {"mm", "mm/tooth", "mm/min", "m/min", "cm³/min", "mm³", "ms"} <= units & set(
        told.replace(",", " ").split()
    )


def test_a_brief_report_fits_a_setup_sheet() -> None:
    long = str(shared("setups", "long-reach.toml"))
    brief, whole = call("report", "--brief", long), call("report", long)
    told = brief.stdout.decode()
    assert brief.returncode == 0 and len(told.splitlines()) < 45 < len(whole.stdout.decode().splitlines())
    asked = ("fz / h max", "fz for h max", "mean cutting power", "wall tolerance", "not kept", "Which way")
    for words in ("stick-out L", *asked, "Guards closed"):
        assert words in told, words
    # What both say they say alike.
    shared_lines = set(told.splitlines()) & set(whole.stdout.decode().splitlines())
    assert len(shared_lines) > 30


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("reprot", "x.toml"), 'found "reprot", perhaps meant as report; allowed: report, picture, calibrate'),
        (("frob",), 'found "frob"; allowed: report, picture, calibrate, path, lesson or a setup document'),
        (("report", "x.toml", "--units", "feet"), "feet"),
        (("picture", "x.toml", "--out", "a.png", "--angle", "steep"), 'found "steep"; allowed: a number'),
        (("calibrate", "x.csv", "--teeth", "four"), 'found "four"; allowed: a whole number'),
    ],
)
def test_wrong_words_on_the_command_line(arguments: tuple[str, ...], told: str) -> None:
    done = call(*arguments)
    assert done.returncode == 2 and done.stdout == b""
    assert told in done.stderr.decode() and len(done.stderr.decode().splitlines()) == 1


def test_a_picture_says_that_its_folder_is_missing(tmp_path: Path) -> None:
    done = call("picture", str(BOSS), "--out", str(tmp_path / "nowhere" / "a.png"))
    assert done.returncode == 2 and "found no folder" in done.stderr.decode()


def test_a_setup_is_no_file_of_materials(tmp_path: Path) -> None:
    setup = str(BOSS)
    done = call("report", setup, "--materials", setup)
    assert done.returncode == 2
    assert 'boss.toml:1: format: found "chiparc setup"; allowed: "chiparc materials"' in done.stderr.decode()
    one = tmp_path / "one.toml"
    one.write_text('format = "chiparc materials"\nversion = 1\n[material]\nid = "x"\n', "utf-8")
    done = call("report", setup, "--materials", str(one))
    assert "material: found a table; allowed: [[material]] tables" in done.stderr.decode()
