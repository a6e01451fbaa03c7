"""Where the environment goes: any path of a checkout, one that belongs to another, one that cannot be written."""

from __future__ import annotations

import os
import shutil
import sys

import pytest

from shared import launcher
from shared.launching import places
from tests.launch.checkout import Checkout

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="names and users of a POSIX system")


def without_rights(command: list[str]) -> list[str]:
    """The command as somebody who may only do what the permissions say: root is such a one without capabilities."""
    if os.geteuid() != 0:
        return command
    if shutil.which("setpriv") is None:
        pytest.skip("runs as root, and cannot lay root's rights down")
    return ["setpriv", "--bounding-set=-all", "--inh-caps=-all", *command]


def test_a_checkout_that_may_not_be_written(checkout: Checkout) -> None:
    """Another's, or on a disk to be read only: its environment serves; else the own cache holds one; else words."""
    command = without_rights(checkout.command())

    def set_writable(yes: bool) -> None:
        for folder, _, names in os.walk(checkout.root):
            os.chmod(folder, 0o755 if yes else 0o555)
            for name in names:
                if not os.path.islink(os.path.join(folder, name)):
                    mode = os.stat(os.path.join(folder, name)).st_mode
                    os.chmod(os.path.join(folder, name), mode | 0o200 if yes else mode & ~0o222)

    package, aside = next(checkout.venv.rglob("tinypin.py")), checkout.elsewhere / "tinypin.py"
    set_writable(False)
    try:
        served = checkout.start(command=command)
        assert (served.returncode, served.stderr) == (5, "")
        set_writable(True)
        os.replace(package, aside)
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
        if aside.exists():
            os.replace(aside, package)
        # The next test's environment is the checkout's own, not this one.
        shutil.rmtree(checkout.cache, ignore_errors=True)


def test_the_cache_folder_follows_the_system(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    monkeypatch.setenv("HOME", "/home/p")
    monkeypatch.setattr(sys, "platform", "linux")
    assert places.cache_folder() == "/home/p/.cache"
    monkeypatch.setattr(sys, "platform", "darwin")
    assert places.cache_folder() == "/home/p/Library/Caches"
