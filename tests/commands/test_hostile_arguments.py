"""Arguments that are no files, never end, or are beyond all bounds: a sentence at once, on every command."""

from __future__ import annotations

import json
import os
import resource
import socket
import subprocess
import sys
from pathlib import Path
from typing import BinaryIO

import pytest

from app.commands.calibrate import parser as calibrate_parser
from app.commands.picture import angle_of, size_of
from app.commands.picture import parser as picture_parser
from app.commands.report import parser as report_parser
from core.base.errors import ChiparcError, DocumentError
from core.base.places import ROOT
from core.documents.document_text import LARGEST, load_stream, load_text
from tests.commands.calling import HANGS_S

pytestmark = pytest.mark.skipif(os.name != "posix", reason="pipes and devices of a POSIX system")

CODE = """
import contextlib, io, json, sys
from app.commands import main
told = []
for arguments in json.loads(sys.argv[1]):
    with contextlib.redirect_stderr(io.StringIO()) as said:
        status = main(arguments)
    told.append([status, said.getvalue()])
print(json.dumps(told))
"""


def commands(*calls: tuple[str, ...], stdin: BinaryIO | int = subprocess.DEVNULL) -> list[tuple[int, str]]:
    """Exit status and standard error of each call, in one process with 1.5 GB of memory."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (3 << 29, 3 << 29))

    done = subprocess.run(
        [sys.executable, "-c", CODE, json.dumps(calls)],
        cwd=ROOT,
        stdin=stdin,
        capture_output=True,
        text=True,
        timeout=HANGS_S,
        preexec_fn=limit,
    )
    assert done.returncode == 0, done.stderr
    return [(status, said) for status, said in json.loads(done.stdout)]


@pytest.fixture
def pipe(tmp_path: Path) -> str:
    """A named pipe that nobody writes."""
    os.mkfifo(tmp_path / "pipe.toml")
    return str(tmp_path / "pipe.toml")


def test_pipes_and_devices_are_refused_by_every_command(pipe: str) -> None:
    boss = "shared/setups/boss.toml"
    calls = (
        ("report", pipe),
        ("report", boss, "--materials", pipe),
        ("report", boss, "--against", "/dev/zero"),
        ("picture", "/dev/zero", "--out", "x.svg"),
        ("calibrate", pipe, "--diameter", "12", "--teeth", "2", "--depth", "1"),
        ("calibrate", "shared/calibration/slots.csv", "/dev/zero"),
    )
    for asked, (status, told) in zip(calls, commands(*calls), strict=True):
        assert status == 2 and ("found a pipe" in told or "found a device" in told), (asked, told)
        assert len(told.splitlines()) == 1, asked


def test_endless_standard_input_is_refused() -> None:
    with open("/dev/zero", "rb") as endless:
        [(status, told)] = commands(("report", "-"), stdin=endless)
        assert status == 2 and f"more than {LARGEST} bytes" in told
        assert len(load_stream(endless)) == LARGEST + 1 and load_stream(None) == b""


def test_what_is_no_file_is_never_opened(tmp_path: Path, pipe: str) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(pipe)
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(tmp_path / "s"))
        for path, word in (
            (pipe, "a pipe"),
            (str(link), "a pipe"),
            (str(tmp_path / "s"), "a socket"),
            ("/dev/zero", "a device"),
            (str(tmp_path), "a folder"),
            (str(tmp_path / "none"), "no such file"),
            (str(tmp_path / "loop"), "could not be read"),
            ("a\0b", "no file can have"),
            ("x" * 5000, "could not be read"),
        ):
            with pytest.raises(DocumentError, match=word) as caught:
                load_text(path)
            assert "\n" not in str(caught.value) and "\0" not in str(caught.value)


@pytest.mark.parametrize("value", ["inf", "-inf", "nan", "1e308", "36001"])
def test_what_is_no_angle_is_refused(value: str) -> None:
    asked = picture_parser().parse_args(["x.toml", "--out", "x.svg", f"--angle={value}"])
    with pytest.raises(ChiparcError, match=r"--angle: found .*; allowed: degrees from -36000 to 36000"):
        angle_of(asked.angle)
    assert angle_of(None) is None and angle_of(-36000.0) == -36000.0


@pytest.mark.parametrize("text", ["9" * 5000 + "x800", "800x" + "9" * 5000, "٣٢٠٠x٣٢٠٠", "1e9x1e9", "-1x5", "", "x"])
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises(ChiparcError, match="--size: found") as caught:
        size_of(text)
    assert len(str(caught.value)) < 500


@pytest.mark.parametrize(
    "arguments", [["--teeth", "9" * 5000], ["--diameter", "x" * 400_000], ["--group", "\x1b[2J"]]
)
def test_refused_arguments_are_short_and_visible(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        calibrate_parser().parse_args(["x.csv", *arguments])
    told = capsys.readouterr().err
    assert len(told) < 800 and told.rstrip("\n").isprintable()
    with pytest.raises(SystemExit):
        report_parser().parse_args(["x.toml", "--units", "u" * 400_000])
    assert len(capsys.readouterr().err) < 800
