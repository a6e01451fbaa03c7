"""A real browser without a window, asked over its debugging pipe; it is told that there is no network."""

from __future__ import annotations

import base64
import fcntl
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome")
"""What the browser may be called: all of one engine, with the same debugging pipe."""

WITH_PIPE = (
    "import os, sys; os.dup2(int(sys.argv[1]), 3); os.dup2(int(sys.argv[2]), 4); os.execv(sys.argv[3], sys.argv[3:])"
)
"""The browser reads what it is asked on 3 and answers on 4."""

OPTIONS = (
    "--headless=new",
    "--remote-debugging-pipe",
    "--no-first-run",
    "--disable-gpu",
    "--disable-extensions",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND",
)


def browser_here() -> str | None:
    """The browser's program, where this machine has one whose pipe can be used."""
    return None if sys.platform == "win32" else next(filter(None, map(shutil.which, NAMES)), None)


class Tab:
    """One page of the browser; ``events`` is what it has told unasked."""

    def __init__(self, to: int, answers: int) -> None:
        self._to, self._answers, self._rest = to, answers, b""
        self._number, self._session = 0, ""
        self.events: list[dict[str, Any]] = []
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for part in ("Page", "Runtime", "Log", "Network"):
            self.ask(f"{part}.enable")
        self.ask(
            "Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0
        )

    def ask(self, method: str, **params: Any) -> dict[str, Any]:
        """What the browser answers; what it tells meanwhile is kept."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": params}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._to, json.dumps(message).encode() + b"\0")
        while True:
            told = self._told()
            if told.get("id") == self._number:
                assert "error" not in told, told
                return dict(told["result"])
            self.events.append(told)

    def _told(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            more = os.read(self._answers, 1 << 16)
            assert more, "the browser has gone"
            self._rest += more
        whole, _, self._rest = self._rest.partition(b"\0")
        return dict(json.loads(whole))

    def wait_for(self, method: str) -> None:
        """Until the browser has told this."""
        while not any(event.get("method") == method for event in self.events):
            self.events.append(self._told())

    def open(self, file: Path) -> None:
        """A page from a file, until it is loaded."""
        self.events.clear()
        self.ask("Page.navigate", url=file.as_uri())
        self.wait_for("Page.loadEventFired")

    def size(self, width: int, height: int, *, dark: bool = False) -> None:
        """The window's size, and which colours the person has chosen."""
        self.ask("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        choice = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.ask("Emulation.setEmulatedMedia", features=[choice])

    def value(self, code: str) -> Any:
        """What some JavaScript comes to."""
        found = self.ask("Runtime.evaluate", expression=code, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in found, found
        return found["result"].get("value")

    def press(self, key: str, code: int, text: str = "") -> None:
        """A key of the keyboard, down and up."""
        for kind in ("keyDown", "keyUp"):
            told = {"text": text} if text and kind == "keyDown" else {}
            self.ask("Input.dispatchKeyEvent", type=kind, key=key, windowsVirtualKeyCode=code, **told)

    def picture(self, file: Path) -> None:
        """What is in sight."""
        file.write_bytes(base64.b64decode(self.ask("Page.captureScreenshot", format="png")["data"]))

    def complaints(self) -> list[dict[str, Any]]:
        """What stands in the console."""
        names = ("Runtime.exceptionThrown", "Runtime.consoleAPICalled", "Log.entryAdded")
        return [event for event in self.events if event.get("method") in names]

    def requests(self) -> list[str]:
        """What it has tried to load."""
        return [
            str(event["params"]["request"]["url"])
            for event in self.events
            if event.get("method") == "Network.requestWillBeSent"
        ]


@contextmanager
def browser() -> Iterator[Tab]:
    """A browser with one empty page, on a profile of its own that is thrown away."""
    program = browser_here()
    assert program is not None
    # Above 3 and 4, which they are to become.
    pipes = [fcntl.fcntl(end, fcntl.F_DUPFD_CLOEXEC, 10) for pipe in (os.pipe(), os.pipe()) for end in pipe]
    theirs, to, answers, told = pipes
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        options = [*OPTIONS, f"--user-data-dir={profile}"]
        if os.geteuid() == 0:
            options.append("--no-sandbox")
        with subprocess.Popen(
            [sys.executable, "-S", "-c", WITH_PIPE, str(theirs), str(told), program, *options],
            pass_fds=(theirs, told),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        ) as running:
            os.close(theirs)
            os.close(told)
            try:
                yield Tab(to, answers)
            finally:
                running.kill()
                os.close(to)
                os.close(answers)
