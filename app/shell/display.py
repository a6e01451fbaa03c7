"""Whether a window can be shown: asked before Qt is, which ends the process where it cannot open its platform."""

from __future__ import annotations

import contextlib
import ctypes
import os
import socket
import struct
import subprocess
import sys

from app.shell.x_server import PATIENCE, connected, cookie, display_named, refusal
from core.base.words import say
from shared.launching.system_packages import X_WINDOW, command_for, lacking

WITHOUT_A_SCREEN = ("offscreen", "minimal")
"""Platforms of Qt that always open."""

TRIAL = "from PySide6.QtGui import QGuiApplication; application = QGuiApplication(['chiparc']); print('opened')"
LONGEST_TRIAL = 20.0
"""How long a process of its own may take to open the platform, s: Qt's libraries may come from a slow disk."""

WAYLAND_LIBRARIES = ("libwayland-client.so.0", "libwayland-cursor.so.0")


def shown(value: str) -> str:
    """A variable's value as it may stand in a sentence: printable, and not endless."""
    return ascii(value)[1:-1][:60]


def why_no_window(held: contextlib.ExitStack) -> str:
    """Why no window can be shown here, as a clause; empty if one can.

    Where only one of Wayland and X answers, Qt is set to take that one.

    held : keeps the connection to the X server until Qt has its own: a server without any clients starts anew
        when the last one leaves, and takes nobody meanwhile.
    """
    named = os.environ.get("QT_QPA_PLATFORM", "")
    if named:
        kinds = [name.partition(":")[0] for name in named.split(";")]
        return "" if set(kinds) <= set(WITHOUT_A_SCREEN) else why_not_named(named, kinds, held)
    if not sys.platform.startswith("linux"):
        return ""
    reasons = []
    answering = []
    for platform, variable, ask in (("wayland", "WAYLAND_DISPLAY", why_no_wayland), ("xcb", "DISPLAY", why_no_x)):
        if os.environ.get(variable):
            reason = ask(held)
            reasons += [reason] if reason else []
            answering += [] if reason else [platform]
    if len(answering) == 1 and reasons:
        os.environ["QT_QPA_PLATFORM"] = answering[0]
    if answering:
        return ""
    return say("display", "and").join(reasons) or say("display", "none")


def why_not_named(named: str, kinds: list[str], held: contextlib.ExitStack) -> str:
    """Why the platform that the person chose for Qt does not open; empty if it does."""
    if sys.platform.startswith("linux"):
        # The socket recognises a silent server in seconds; the trial would wait long for it.
        reasons = {"xcb": why_no_x, "wayland": why_no_wayland}
        if all(kind in reasons for kind in kinds):
            answers = [reasons[kind](held) for kind in kinds]
            return say("display", "and").join(answers) if all(answers) else ""
    problem = trial(named)
    return say("display", "platform", name=shown(named), problem=problem) if problem else ""


def why_no_x(held: contextlib.ExitStack) -> str:
    """Why the X server of ``DISPLAY`` takes no window; empty if it does."""
    text = os.environ.get("DISPLAY", "")
    place = display_named(text)
    name = f'DISPLAY="{shown(text)}"'
    if place is None:
        return say("display", "unnamed", name=name)
    try:
        connection = held.enter_context(connected(*place))
        against = refusal(connection, cookie(place[1]))
    except TimeoutError:
        return say("display", "silent", name=name, patience=f"{PATIENCE:.0f}")
    except OSError:
        return say("display", "nobody", name=name)
    packages = lacking(X_WINDOW)
    if packages:
        return say("display", "libraries", command=command_for(packages))
    # There are more ways to be let in than the one that was tried here: Qt has the last word.
    if against is not None and trial("xcb"):
        return say("display", "refused", name=name, problem=shown(against))
    return ""


def why_no_wayland(_held: contextlib.ExitStack) -> str:
    """Why the Wayland compositor of ``WAYLAND_DISPLAY`` takes no window; empty if it does."""
    text = os.environ.get("WAYLAND_DISPLAY", "")
    name = f'WAYLAND_DISPLAY="{shown(text)}"'
    try:
        with socket.socket(socket.AF_UNIX) as connection:
            connection.settimeout(PATIENCE)
            connection.connect(os.path.join(os.environ.get("XDG_RUNTIME_DIR", ""), text))
            # wl_display.sync: object 1, size and opcode, new object 2; a compositor that lives answers it.
            connection.sendall(struct.pack("=III", 1, 12 << 16, 2))
            if not connection.recv(8):
                return say("display", "nobody", name=name)
    except (TimeoutError, BlockingIOError):
        return say("display", "silent", name=name, patience=f"{PATIENCE:.0f}")
    except OSError:
        return say("display", "nobody", name=name)
    for library in WAYLAND_LIBRARIES:
        try:
            ctypes.CDLL(library)
        except OSError:
            return say("display", "no_library", library=library)
    return ""


def trial(platform: str) -> str:
    """Open that platform of Qt in a process of its own; what went wrong, empty if it opened."""
    command = [sys.executable, "-I", "-c", TRIAL]
    try:
        done = subprocess.run(
            command,
            env=os.environ | {"QT_QPA_PLATFORM": platform},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            errors="replace",
            timeout=LONGEST_TRIAL,
            preexec_fn=without_core_dump if os.name == "posix" else None,
        )
    except subprocess.TimeoutExpired:
        return say("display", "no_answer")
    if done.stdout.startswith("opened"):
        return ""
    lines = [line.strip() for line in done.stderr.splitlines() if line.strip()]
    return shown(lines[0]) if lines else say("display", "no_answer")


def without_core_dump() -> None:
    """For the trial's process, which Qt ends with an abort: leave no dump of it in the person's folder."""
    import resource

    with contextlib.suppress(OSError, ValueError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
