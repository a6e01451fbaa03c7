"""The wheel: nothing of ours lies loose beside other people's packages, and its command runs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

USAGES = """\
import sys, chiparc.app.entry as entry
for words in (["report", "--help"], ["picture"], ["report"]):
    sys.argv[1:] = words
    entry.main()
"""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(folder), str(ROOT)]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return next(folder.glob("chiparc-*.whl"))


def test_everything_lies_inside_one_package(built: Path) -> None:
    names = zipfile.ZipFile(built).namelist()
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"chiparc"}
    for needed in (
        "core/cut/chip.py",
        "app/entry.py",
        "shared/materials.toml",
        "shared/looks/light.toml",
        "assets/fonts/OFL.txt",
    ):
        assert f"chiparc/{needed}" in names
    assert not [name for name in names if "tests/" in name or name.endswith(".pyc")]


def test_its_command_runs_in_an_empty_environment(built: Path, tmp_path: Path) -> None:
    """Its dependencies are lent from this environment through a path file; ours come from the wheel alone."""
    place = tmp_path / "empty"
    venv.create(place, with_pip=False)
    python = place / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    lib = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], capture_output=True, text=True
    ).stdout.strip()
    install = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        str(python),
        "install",
        "-q",
        "--no-deps",
        "--no-compile",
        str(built),
    ]
    done = subprocess.run(install, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    (Path(lib) / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n")
    # A stranger's package of a common name must not get in the way.
    (Path(lib) / "core").mkdir()
    (Path(lib) / "core" / "__init__.py").write_text("raise RuntimeError('a stranger')\n")
    command = python.parent / ("chiparc.exe" if os.name == "nt" else "chiparc")
    env = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    boss = ROOT / "shared" / "setups" / "boss.toml"
    told = subprocess.run([command, "report", boss, "--json"], cwd=tmp_path, env=env, capture_output=True, text=True)
    assert told.returncode == 0, told.stderr
    assert json.loads(told.stdout)["title"] == "Boss on a pump bracket"
    for program in ([str(command)], [str(python), "-m", "chiparc"]):
        usage = subprocess.run([*program, "--help"], cwd=tmp_path, env=env, capture_output=True, text=True)
        assert "\n  chiparc report FILE..." in usage.stdout and "python3 app" not in usage.stdout, usage
    # Usage names what a person types here; the commands' own, in one process: each start loads all of core.
    usage = subprocess.run([python, "-c", USAGES], cwd=tmp_path, env=env, capture_output=True, text=True)
    said = usage.stdout + usage.stderr
    for words in ("usage: chiparc report ", "see chiparc picture --help", "see chiparc report --help"):
        assert words in said and "python3 app" not in said, said
    code = "import chiparc.core.cut.chip as c; print(c.__file__, float(c.arc_thickness(1.0, 0.1)) > 0)"
    library = subprocess.run([python, "-c", code], cwd=tmp_path, env=env, capture_output=True, text=True)
    assert library.returncode == 0, library.stderr
    assert str(place) in library.stdout and "True" in library.stdout
