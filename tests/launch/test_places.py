"""Where the environment goes: any path of a checkout, one that belongs to another, one that cannot be written."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest

from shared import launcher
from shared.launching import places
from tests.launch.checkout import Checkout

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="names and users of a POSIX system")


@pytest.mark.parametrize("name", ["a, b; \"c\" 'd' \\e", "a:b, c"], ids=["odd", "colon"])
def test_any_name_of_a_checkout(tmp_path: Path, name: str) -> None:
    checkout = Checkout(tmp_path, name)
    first = checkout.start("x")
    assert (first.returncode, first.stdout) == (5, "answer 1.0 ['report', 'x']\n"), first.stderr
    assert checkout.venv.exists() == (":" not in name)
    again = checkout.start("x")
    assert (again.returncode, again.stderr) == (5, "")


def without_rights(command: list[str]) -> list[str]:
    """The command as somebody who may only do what the permissions say: root is such a one without capabilities."""
    if os.geteuid() != 0:
        return command
    if shutil.which("setpriv") is None:
        pytest.skip("runs as root, and cannot lay root's rights down")
    return ["setpriv", "--bounding-set=-all", "--inh-caps=-all", *command]


def test_a_checkout_that_may_not_be_written(tmp_path: Path) -> None:
    """Another's, or on a disk to be read only: its environment serves; else the own cache holds one; else words."""
    checkout = Checkout(tmp_path)
    assert checkout.start().returncode == 5
    command = without_rights(checkout.command())

    def set_writable(yes: bool) -> None:
        for folder, _, names in os.walk(checkout.root):
            os.chmod(folder, 0o755 if yes else 0o555)
            for name in names:
                if not os.path.islink(os.path.join(folder, name)):
                    mode = os.stat(os.path.join(folder, name)).st_mode
                    os.chmod(os.path.join(folder, name), mode | 0o200 if yes else mode & ~0o222)

    set_writable(False)
    try:
        served = checkout.start(command=command)
        assert (served.returncode, served.stderr) == (5, "")
        set_writable(True)
        next(checkout.venv.rglob("tinypin.py")).unlink()
        set_writable(False)
        nowhere = checkout.start(command=command, XDG_CACHE_HOME="/proc/none")
        assert nowhere.returncode == launcher.NO_ENVIRONMENT and "Traceback" not in nowhere.stderr
        assert "XDG_CACHE_HOME" in nowhere.stderr and "folder of your own" in nowhere.stderr
        own = checkout.start(command=command)
        assert own.returncode == 5 and own.stdout.startswith("answer"), own.stderr
        assert "is damaged" in own.stderr and str(checkout.cache) in own.stderr
        assert (checkout.venv / "ready-app").exists() and list(checkout.cache.glob("chiparc/*/ready-app"))
    finally:
        set_writable(True)


def test_the_cache_folder_follows_the_system(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    monkeypatch.setenv("HOME", "/home/p")
    monkeypatch.setattr(sys, "platform", "linux")
    assert places.cache_folder() == "/home/p/.cache"
    monkeypatch.setattr(sys, "platform", "darwin")
    assert places.cache_folder() == "/home/p/Library/Caches"
