"""A small checkout with the project's own launcher, two pinned packages from a local folder, and a stub command."""

from __future__ import annotations

import base64
import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

from shared.launching.pin_hashes import hash_file

ROOT = Path(__file__).resolve().parents[2]

ODD = "a, b; \"c\" 'd' \\e"
"""A name that shells, lists and paths take apart."""

COMMANDS = """\
def main(arguments):
    import tinypin
    print("answer", tinypin.ANSWER, arguments)
    return 5
"""

LENT = """\
import shutil, sysconfig
shutil.copytree({folder!r}, sysconfig.get_path("purelib"), dirs_exist_ok=True)
"""
"""Puts into a new environment the pip of another one, with what Python has compiled of it."""

STRANGE = {k: v for k, v in os.environ.items() if not k.startswith(("PIP_", "PYTHON", "CHIPARC_"))}
"""This process's variables, without those that the tests set themselves."""


def wheel(folder: Path, name: str, version: str) -> Path:
    """A wheel with one module and something like a compiled library, made by hand."""
    info = f"{name}-{version}.dist-info"
    files = {
        f"{name}.py": f"ANSWER = '{version}'\n",
        f"{name}_native.so": "not really compiled\n",
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nGenerator: hand\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    rows = []
    for path, text in files.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=").decode()
        rows.append(f"{path},sha256={digest},{len(text)}\n")
    folder.mkdir(exist_ok=True)
    made = folder / f"{name}-{version}-py3-none-any.whl"
    with zipfile.ZipFile(made, "w") as file:
        for path, text in files.items():
            file.writestr(path, text)
        file.writestr(f"{info}/RECORD", "".join(rows) + f"{info}/RECORD,,\n")
    return made


def hash_of(file: Path) -> str:
    """As pip writes it."""
    return "sha256:" + hashlib.sha256(file.read_bytes()).hexdigest()


class Checkout:
    """The checkout in a folder of that name, started from elsewhere."""

    def __init__(self, folder: Path, name: str = "a check out") -> None:
        self.root = folder / name
        for part in ("app", "tests"):
            (self.root / part).mkdir(parents=True)
            shutil.copy(ROOT / part / "__main__.py", self.root / part)
            (self.root / part / "__init__.py").touch()
        (self.root / "app" / "commands").mkdir()
        (self.root / "app" / "commands" / "__init__.py").write_text(COMMANDS)
        shutil.copy(ROOT / "tests" / "pins.py", self.root / "tests")
        leave = shutil.ignore_patterns("__pycache__", "*.toml")
        shutil.copytree(ROOT / "shared", self.root / "shared", ignore=leave)
        self.wheels = folder / "wheels"
        self.hashes = {
            f"{package}=={version}": hash_of(wheel(self.wheels, package, version))
            for package, version in (("tinypin", "1.0"), ("tinypin", "1.1"), ("tinyextra", "2.0"))
        }
        self.pin("1.0")
        self.elsewhere = folder / "elsewhere"
        self.elsewhere.mkdir(exist_ok=True)
        self.cache = folder / "cache"
        self.env = STRANGE | {
            "PIP_CONFIG_FILE": os.devnull,
            "PIP_NO_INDEX": "1",
            "PIP_FIND_LINKS": str(self.wheels),
            "XDG_CACHE_HOME": str(self.cache),
            "LOCALAPPDATA": str(self.cache),
        }

    @property
    def venv(self) -> Path:
        """The folder of its environment where nothing speaks against it."""
        return self.root / ".venv"

    def pin(self, version: str) -> None:
        """Let it ask for that version."""
        self.pinned = version
        (self.root / "pyproject.toml").write_text(
            f'[project]\nname = "x"\ndependencies = ["tinypin=={version}"]\n'
            '[project.optional-dependencies]\ntests = ["tinyextra==2.0"]\n'
            '[tool.chiparc]\nimports = ["tinypin"]\n'
        )
        for extra, pin in (("", f"tinypin=={version}"), ("tests", "tinyextra==2.0")):
            text = f"# by hand\n{pin} \\\n    --hash={self.hashes[pin]}\n"
            Path(hash_file(str(self.root), extra)).write_text(text)

    def keep_pip(self) -> Path:
        """The pip of its environment, copied to a folder beside the checkout for others to be lent."""
        kept = self.elsewhere.parent / "pip"
        for part in next(self.venv.rglob("pip/__main__.py")).parents[1].glob("pip*"):
            shutil.copytree(part, kept / part.name)
        return kept

    def lend_pip(self, kept: Path) -> None:
        """Its next environments get that pip: unpacked anew, each would have to be compiled anew, for a second."""
        (self.root / "shared" / "launching" / "pip_from_wheel.py").write_text(LENT.format(folder=str(kept)))

    def command(self, *arguments: str, part: str = "app") -> list[str]:
        """What a person types; ``report`` needs no library of the system."""
        base = getattr(sys, "_base_executable", sys.executable)
        return [base, str(self.root / part), *(["report"] if part == "app" else []), *arguments]

    def start(
        self, *arguments: str, command: list[str] | None = None, env: dict[str, str] | None = None, **more: str
    ) -> subprocess.CompletedProcess[str]:
        """Start it, or that command, and wait."""
        return subprocess.run(
            command or self.command(*arguments),
            cwd=self.elsewhere,
            env=self.env | (env or {}) | more,
            capture_output=True,
            text=True,
            timeout=600,
        )

    def start_tests(self) -> subprocess.CompletedProcess[str]:
        """Start its checks, which end at once: there is no pytest among its pins."""
        return self.start(command=self.command("--version", part="tests"))
