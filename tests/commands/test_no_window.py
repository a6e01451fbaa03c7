"""Commands that print need neither Qt nor what draws: quick to start, and at home on a machine without a screen.

Nor threads: those of the linear algebra would turn and wait on processors that the window or a neighbour wants.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from app.commands.one_thread import THREADS
from core.base.places import ROOT, shared
from tests.commands.calling import HANGS_S
from tests.commands.test_path_command import PROGRAM, SETUP, STOCK

CODE = """
import contextlib, io, json, os, sys
from app.commands import main

told = []
for arguments in json.loads(sys.argv[1]):
    with contextlib.redirect_stdout(io.StringIO()) as out:
        status = main(arguments)
    drawing = {m.split(".")[0] for m in sys.modules} & {"PySide6", "shiboken6", "pyqtgraph", "matplotlib"}
    told.append([status, sorted(drawing), out.getvalue()])
print(json.dumps([told, len(os.listdir("/proc/self/task")) if sys.platform == "linux" else 1]))
"""


def test_what_only_prints_loads_no_window(tmp_path: Path) -> None:
    for name, text in (("setup.toml", SETUP), ("stock.toml", STOCK), ("part.nc", PROGRAM)):
        (tmp_path / name).write_text(text, "utf-8")
    path = ["path", str(tmp_path / "part.nc"), "--stock", str(tmp_path / "stock.toml")]
    calls = [
        ["report", str(shared("setups", "boss.toml")), "--json"],
        ["calibrate", str(shared("calibration", "slots.csv")), "--diameter", "12", "--teeth", "4", "--depth", "3"],
        [*path, "--setup", str(tmp_path / "setup.toml"), "--at", "30", "--json"],
    ]
    command = [sys.executable, "-c", CODE, json.dumps(calls)]
    env = {name: value for name, value in os.environ.items() if name != THREADS}
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=HANGS_S)
    assert done.returncode == 0, done.stderr
    (report, fit, along), threads = json.loads(done.stdout)
    assert threads == 1
    for asked, (status, drawing, _) in zip(calls, (report, fit, along), strict=True):
        assert (status, drawing) == (0, []), asked
    assert json.loads(report[2])["format"] == "chiparc report" and "[work.force]" in fit[2]
    assert json.loads(along[2])["format"] == "chiparc path"
