"""The launcher through real processes: a small checkout with one pinned package from a local folder."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from shared import launcher

ROOT = Path(__file__).resolve().parents[2]

MAIN = """\
import os, sys
ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
sys.path[0] = ROOT
from shared import launcher
if launcher.is_inside(ROOT):
    import tinypin
    print("answer", tinypin.ANSWER, sys.argv[1:])
    sys.exit(5)
try:
    python = launcher.ensure(ROOT, tuple(os.environ.get("EXTRAS", "").split()))
except launcher.CannotPrepare as reason:
    launcher.say(str(reason))
    sys.exit(launcher.NO_ENVIRONMENT)
sys.exit(launcher.run(python, [os.path.join(ROOT, "app"), *sys.argv[1:]]))
"""


def wheel(folder: Path, name: str, version: str) -> None:
    """A pure wheel with one module, made by hand."""
    info = f"{name}-{version}.dist-info"
    folder.mkdir(exist_ok=True)
    with zipfile.ZipFile(folder / f"{name}-{version}-py3-none-any.whl", "w") as file:
        file.writestr(f"{name}.py", f"ANSWER = '{version}'\n")
        file.writestr(f"{info}/METADATA", f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
        file.writestr(
            f"{info}/WHEEL", "Wheel-Version: 1.0\nGenerator: hand\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
        )
        file.writestr(f"{info}/RECORD", f"{name}.py,,\n{info}/METADATA,,\n{info}/WHEEL,,\n{info}/RECORD,,\n")


def pin(checkout: Path, version: str) -> None:
    (checkout / "pyproject.toml").write_text(
        f'[project]\nname = "x"\ndependencies = ["tinypin=={version}"]\n'
        '[project.optional-dependencies]\ntests = ["tinyextra==2.0"]\n'
    )


class Checkout:
    """A checkout in a folder with spaces, started from elsewhere."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "a check out"
        (self.root / "app").mkdir(parents=True)
        (self.root / "app" / "__main__.py").write_text(MAIN)
        shutil.copytree(ROOT / "shared", self.root / "shared", ignore=shutil.ignore_patterns("__pycache__", "*.toml"))
        pin(self.root, "1.0")
        self.wheels = folder / "wheels"
        for name, version in (("tinypin", "1.0"), ("tinypin", "1.1"), ("tinyextra", "2.0")):
            wheel(self.wheels, name, version)
        self.elsewhere = folder / "elsewhere"
        self.elsewhere.mkdir()
        keep = {k: v for k, v in os.environ.items() if not k.startswith(("PIP_", "PYTHON"))}
        self.env = keep | {"PIP_CONFIG_FILE": os.devnull, "PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(self.wheels)}

    def command(self, *arguments: str) -> list[str]:
        return [getattr(sys, "_base_executable", sys.executable), str(self.root / "app"), *arguments]

    def start(self, *arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            self.command(*arguments),
            cwd=self.elsewhere,
            env=self.env | env,
            capture_output=True,
            text=True,
            timeout=240,
        )


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Checkout]:
    made = Checkout(tmp_path_factory.mktemp("launch"))
    first = made.start("one", "two words")
    assert first.returncode == 5, first.stderr
    assert first.stdout == "answer 1.0 ['one', 'two words']\n"
    assert "making its environment" in first.stderr and "tinypin" in first.stderr
    yield made


def test_second_start_says_nothing_and_asks_pip_nothing(checkout: Checkout) -> None:
    again = checkout.start(PIP_FIND_LINKS="/nowhere")
    assert (again.returncode, again.stderr) == (5, "")


@pytest.mark.skipif(sys.platform == "win32", reason="closes the streams with a POSIX shell")
@pytest.mark.parametrize("made", [False, True], ids=["nothing made yet", "made before"])
def test_started_without_standard_streams(checkout: Checkout, made: bool) -> None:
    if not made:
        shutil.rmtree(checkout.root / ".venv")
    command = shlex.join(checkout.command()) + " <&- >&- 2>&-"
    done = subprocess.run(["sh", "-c", command], cwd=checkout.elsewhere, env=checkout.env, timeout=240)
    assert done.returncode == 5


def test_extra_is_added_to_the_same_environment(checkout: Checkout) -> None:
    more = checkout.start(EXTRAS="tests")
    assert more.returncode == 5 and "tinyextra" in more.stderr
    assert "making" not in more.stderr
    assert checkout.start().stderr == "" and checkout.start(EXTRAS="tests").stderr == ""


def test_other_pins_update_it(checkout: Checkout) -> None:
    pin(checkout.root, "1.1")
    done = checkout.start()
    assert done.stdout.startswith("answer 1.1"), done.stderr


@pytest.mark.parametrize("harm", ["python gone", "stamp gone", "folder half made"])
def test_broken_environment_is_mended(checkout: Checkout, harm: str) -> None:
    venv = checkout.root / ".venv"
    if harm == "python gone":
        Path(launcher.environment_python(str(checkout.root))).unlink()
    elif harm == "stamp gone":
        for stamp in venv.glob("ready-*"):
            stamp.unlink()
        next(venv.rglob("tinypin.py")).unlink()
    else:
        shutil.rmtree(venv)
        venv.mkdir()
    done = checkout.start()
    assert done.returncode == 5 and done.stdout.startswith("answer"), done.stderr
    assert "making its environment" in done.stderr


def test_two_at_once_make_it_once(checkout: Checkout) -> None:
    shutil.rmtree(checkout.root / ".venv")
    pair = [
        subprocess.Popen(
            checkout.command(str(i)),
            cwd=checkout.elsewhere,
            env=checkout.env,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for i in range(2)
    ]
    said = [p.communicate(timeout=240) for p in pair]
    assert [p.returncode for p in pair] == [5, 5], said
    assert sum("making its environment" in err for _, err in said) == 1
    assert all(out.startswith("answer") for out, _ in said)


def test_no_network_is_a_sentence_and_mended_later(checkout: Checkout) -> None:
    shutil.rmtree(checkout.root / ".venv")
    lost = checkout.start(PIP_FIND_LINKS="/nowhere")
    assert lost.returncode == launcher.NO_ENVIRONMENT
    assert "no connection to the package index" in lost.stderr and "Traceback" not in lost.stderr
    assert lost.stdout == ""
    assert checkout.start().returncode == 5


def test_old_python_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    with pytest.raises(launcher.CannotPrepare, match=r"needs Python 3\.11 or newer"):
        launcher.ensure(str(ROOT))


@pytest.mark.parametrize("name", ["shared/launcher.py", "app/__main__.py", "tests/__main__.py"])
def test_an_old_python_can_read_what_tells_it(name: str) -> None:
    import ast

    ast.parse((ROOT / name).read_text("utf-8"), feature_version=(3, 8))
