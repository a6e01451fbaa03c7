"""Displays that are not there, dead, silent or closed to us: a sentence within seconds, never an abort."""

from __future__ import annotations

import os
import shutil
import socket
import struct
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

from app.commands.window import free_file
from app.shell import display, x_server
from shared.launching.system_packages import X_WINDOW, lacking

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="display servers of Linux")

ROOT = Path(__file__).resolve().parents[2]
NAMES = ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY", "XAUTHORITY", "XDG_RUNTIME_DIR")


@pytest.fixture(autouse=True)
def no_display(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in NAMES:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    for module in (x_server, display):
        # Who answers is waited for, however busy the machine is.
        monkeypatch.setattr(module, "PATIENCE", 60.0)
    monkeypatch.setattr(display, "X_WINDOW", {})
    monkeypatch.setattr(display, "WAYLAND_LIBRARIES", ())


def hurry(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who is silent is waited for in vain: not long."""
    for module in (x_server, display):
        monkeypatch.setattr(module, "PATIENCE", 0.3)


def why_no_window() -> str:
    """As the program asks, with what it held let go."""
    with ExitStack() as held:
        return display.why_no_window(held)


@contextmanager
def server(listening: socket.socket, answer: bytes | None) -> Iterator[list[bytes]]:
    """A server that takes one call and answers it with these bytes; None is silence."""
    heard: list[bytes] = []
    listening.listen(1)
    held: list[socket.socket] = []

    def serve() -> None:
        while True:
            try:
                call, _ = listening.accept()
            except OSError:
                return
            held.append(call)
            if answer is not None:
                heard.append(call.recv(4096))
                call.sendall(answer)
                call.close()

    thread = threading.Thread(target=serve, daemon=True)
    thread.start()
    try:
        yield heard
    finally:
        listening.shutdown(socket.SHUT_RDWR)
        listening.close()
        thread.join(10)
        for call in held:
            call.close()


def x_socket() -> tuple[socket.socket, str]:
    """A socket where the X server of a free display number would listen, and its DISPLAY."""
    for number in range(4000, 4100):
        made = socket.socket(socket.AF_UNIX)
        try:
            made.bind(f"\0/tmp/.X11-unix/X{number}")
            return made, f":{number}"
        except OSError:
            made.close()
    raise AssertionError("no free display number")


TAKEN = struct.pack("<BBHHH", 1, 0, 11, 0, 0)
REFUSED = struct.pack("<BBHHH", 0, 10, 11, 0, 3) + b"Not today!\0\0"


def test_a_server_that_takes_us(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """And is shown the key that belongs to its display, not another one."""

    def entry(address: str, number: str, key: bytes) -> bytes:
        parts = [address.encode(), number.encode(), b"MIT-MAGIC-COOKIE-1", key]
        return struct.pack(">H", 256) + b"".join(struct.pack(">H", len(p)) + p for p in parts)

    listening, name = x_socket()
    keys = [entry("else", name[1:], b"wrong host"), entry(socket.gethostname(), "3", b"wrong number")]
    keys += [entry(socket.gethostname(), name[1:], b"this is the key!")]
    (tmp_path / "keys").write_bytes(b"".join(keys) + b"\0")
    monkeypatch.setenv("XAUTHORITY", str(tmp_path / "keys"))
    monkeypatch.setenv("DISPLAY", name)
    with server(listening, TAKEN) as heard:
        assert why_no_window() == ""
    assert heard[0].endswith(b"this is the key!") and b"MIT-MAGIC-COOKIE-1\0\0" in heard[0]
    assert len(heard[0]) == 12 + 20 + 16


def test_libraries_that_a_window_needs_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(display, "X_WINDOW", {"libnot-there.so.7": "libnot-there7"})
    listening, name = x_socket()
    monkeypatch.setenv("DISPLAY", name)
    with server(listening, TAKEN):
        assert "libnot-there7" in why_no_window()


def test_a_silent_x_server(monkeypatch: pytest.MonkeyPatch) -> None:
    listening, name = x_socket()
    monkeypatch.setenv("DISPLAY", name)
    hurry(monkeypatch)
    with server(listening, None):
        assert "says nothing" in why_no_window()


def test_a_queue_that_nobody_takes_up(monkeypatch: pytest.MonkeyPatch) -> None:
    listening, name = x_socket()
    monkeypatch.setenv("DISPLAY", name)
    listening.listen(0)
    hurry(monkeypatch)
    with socket.socket(socket.AF_UNIX) as first:
        first.connect(listening.getsockname())
        assert "says nothing" in why_no_window()
    listening.close()


def test_a_server_on_another_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    """By its port, 6000 and the number."""
    for number in range(4000, 4100):
        listening = socket.socket()
        try:
            listening.bind(("127.0.0.1", 6000 + number))
        except OSError:
            listening.close()
            continue
        break
    monkeypatch.setenv("DISPLAY", f"127.0.0.1:{number}.0")
    with server(listening, TAKEN):
        assert why_no_window() == ""
    assert "no display answers" in why_no_window()


def test_a_compositor_that_answers_and_one_that_is_dead(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The one that is alive is chosen where the other one is dead."""
    alive = socket.socket(socket.AF_UNIX)
    alive.bind(str(tmp_path / "wayland-7"))
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-7")
    done = struct.pack("=III", 2, 12 << 16, 1)
    with server(alive, done) as heard:
        assert why_no_window() == ""
        assert heard == [struct.pack("=III", 1, 12 << 16, 2)]
        assert "QT_QPA_PLATFORM" not in os.environ
        monkeypatch.setenv("DISPLAY", "nonsense")
        assert why_no_window() == ""
        assert os.environ["QT_QPA_PLATFORM"] == "wayland"
    monkeypatch.delenv("QT_QPA_PLATFORM")
    reason = why_no_window()
    assert 'no display answers at WAYLAND_DISPLAY="wayland-7"' in reason and "names no display" in reason
    monkeypatch.delenv("DISPLAY")
    silent = socket.socket(socket.AF_UNIX)
    silent.bind(str(tmp_path / "wayland-8"))
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-8")
    hurry(monkeypatch)
    with server(silent, None):
        assert "says nothing" in why_no_window()


@pytest.mark.parametrize("name", ["offscreen", "minimal", "offscreen:size=1x1"])
def test_platforms_without_a_screen_are_taken_as_they_are(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.setenv("QT_QPA_PLATFORM", name)
    assert why_no_window() == ""


def test_a_server_that_refuses_us(monkeypatch: pytest.MonkeyPatch) -> None:
    """Qt has the last word, in a process of its own: it would abort."""
    listening, name = x_socket()
    monkeypatch.setenv("DISPLAY", name)
    with server(listening, REFUSED):
        assert "refuses this program (Not today!)" in why_no_window()


def test_a_platform_that_qt_does_not_have(tmp_path: Path) -> None:
    """The program as a person starts it: the reason, the report, and a picture that replaces nothing."""
    (tmp_path / "chiparc.png").write_bytes(b"mine")
    env = {k: v for k, v in os.environ.items() if k not in NAMES} | {"QT_QPA_PLATFORM": "bogus"}
    command = [sys.executable, str(ROOT / "app")]
    done = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0 and "the platform bogus" in done.stderr, done.stderr
    assert done.stdout.startswith("Boss on a pump bracket\n")
    assert (tmp_path / "chiparc.png").read_bytes() == b"mine"
    assert "chiparc-2.png" in done.stderr and (tmp_path / "chiparc-2.png").stat().st_size > 20_000
    assert not list(tmp_path.glob("core*"))


def test_a_picture_nobody_asked_for_replaces_nothing(tmp_path: Path) -> None:
    (tmp_path / "chiparc.png").symlink_to(tmp_path / "gone")
    assert free_file([tmp_path / "none", tmp_path]) == tmp_path / "chiparc-2.png"
    assert free_file([tmp_path]) == tmp_path / "chiparc-3.png"
    assert free_file([tmp_path / "none"]) is None


@pytest.mark.skipif(shutil.which("Xvfb") is None, reason="no Xvfb here")
@pytest.mark.skipif(bool(lacking(X_WINDOW)), reason="no libraries for X here")
def test_a_real_window_on_a_real_server(tmp_path: Path) -> None:
    ours, theirs = os.pipe()
    with subprocess.Popen(
        ["Xvfb", "-displayfd", str(theirs), "-screen", "0", "1280x900x24", "-nolisten", "tcp", "-noreset"],
        pass_fds=[theirs],
        stderr=subprocess.DEVNULL,
    ) as xvfb:
        os.close(theirs)
        with open(ours) as told_by_server:
            number = told_by_server.readline().strip()
        try:
            keep = {k: v for k, v in os.environ.items() if k not in NAMES}
            env = keep | {"DISPLAY": f":{number}", "WAYLAND_DISPLAY": "dead", "CHIPARC_SETTINGS": str(tmp_path)}
            with subprocess.Popen(
                [sys.executable, str(ROOT / "app")], cwd=tmp_path, env=env, stderr=subprocess.PIPE, text=True
            ) as window:
                try:
                    told = shown_title(window, number)
                finally:
                    window.terminate()
            assert told, "no window came"
        finally:
            xvfb.terminate()
    assert not list(tmp_path.glob("*.png"))


def shown_title(window: subprocess.Popen[str], number: str) -> bool:
    """Whether a client of that server shows a window of some size, before the program ends."""
    for _ in range(600):
        if window.poll() is not None:
            return False
        with x_server.connected("", int(number)) as connection:
            if mapped_windows(connection):
                return True
        time.sleep(0.1)
    return False


def mapped_windows(connection: socket.socket) -> int:
    """How many children of the root window are shown and larger than a hint of a window."""
    connection.settimeout(10)
    connection.sendall(struct.pack("<BxHHHHxx", ord("l"), 11, 0, 0, 0))

    def exactly(count: int) -> bytes:
        got = b""
        while len(got) < count:
            got += connection.recv(count - len(got))
        return got

    head = exactly(8)
    rest = exactly(4 * struct.unpack_from("<H", head, 6)[0])
    vendor, formats = struct.unpack_from("<H", rest, 16)[0], rest[21]
    (root,) = struct.unpack_from("<I", rest, 32 + vendor + (-vendor % 4) + 8 * formats)
    # QueryTree (15), then GetGeometry (14) and GetWindowAttributes (3) of each child; X protocol, from memory.
    connection.sendall(struct.pack("<BxHI", 15, 2, root))
    tree = exactly(32)
    children = struct.unpack(
        f"<{struct.unpack_from('<H', tree, 16)[0]}I", exactly(4 * struct.unpack_from("<I", tree, 4)[0])
    )
    shown = 0
    for child in children:
        # A window that has gone since the list was made is answered with an error, 32 bytes that begin with 0.
        connection.sendall(struct.pack("<BxHI", 3, 2, child))
        attributes = exactly(32)
        viewable = attributes[0] != 0 and (attributes + exactly(12))[26] == 2
        connection.sendall(struct.pack("<BxHI", 14, 2, child))
        place = exactly(32)
        width, height = struct.unpack_from("<HH", place, 16)
        shown += viewable and place[0] != 0 and width > 300 and height > 300
    return shown
