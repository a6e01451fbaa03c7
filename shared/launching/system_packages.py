"""What the program needs of a Linux system, and how the person is asked before anything is installed."""

from __future__ import annotations

import contextlib
import os
import sys

from shared.launching.told import CannotPrepare, agreed, say

PAINTING = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
}
"""Libraries that Qt opens on Linux for any picture, with the Debian package of each."""

X_WINDOW = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
}
"""Libraries that it opens for a window on X besides."""

CONSENT = "CHIPARC_INSTALL_SYSTEM_PACKAGES"
"""Set to ``yes`` by a script (a build machine's) that may install without asking."""


def lacking(libraries):  # type: (dict[str, str]) -> list[str]
    """The Debian packages of those libraries that cannot be opened; none on other systems than Linux."""
    import ctypes

    packages = []
    for library, package in libraries.items() if sys.platform.startswith("linux") else ():
        try:
            ctypes.CDLL(library)
        except OSError:
            packages.append(package)
    return packages


def command_for(packages):  # type: (list[str]) -> str
    """The one command that installs them, or where there is no apt-get what to look for."""
    import shutil

    if shutil.which("apt-get"):
        return "sudo apt-get install -y " + " ".join(packages)
    return "(your system's installer; Debian calls them) " + " ".join(packages)


def offer(packages, why):  # type: (list[str], str) -> bool
    """Install Debian packages if the person at the terminal says yes, else print the command; whether it was done."""
    import shutil

    before = [] if os.name == "nt" or os.geteuid() == 0 else ["sudo"]
    possible = shutil.which("apt-get") and all(shutil.which(word) for word in before)
    shown = command_for(packages)
    if possible and (os.environ.get(CONSENT) == "yes" or agreed("%s. Run  %s  now?" % (why, shown))):
        say("installing " + " ".join(packages))
        return _apt_install(before, packages)
    say("%s; install with:  %s" % (why, shown))
    return False


def _apt_install(before, packages):  # type: (list[str], list[str]) -> bool
    """Install Debian packages, with today's lists if the old ones do not do."""
    import subprocess

    apt = before + ["env", "DEBIAN_FRONTEND=noninteractive", "apt-get"]
    install = apt + ["install", "-y", "-q"] + packages
    if subprocess.run(install, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0:
        return True
    subprocess.run(apt + ["update", "-q"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    done = subprocess.run(install, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, errors="replace")
    if done.returncode:
        reason = (done.stderr.strip().splitlines() or ["apt-get gave no reason"])[-1]
        say("could not install them: " + reason)
    return done.returncode == 0


def wants_x():  # type: () -> bool
    """Whether a window would open on X here."""
    named = os.environ.get("QT_QPA_PLATFORM", "")
    return bool(os.environ.get("DISPLAY")) and (not named or named.startswith("xcb"))


def ensure_qt_libraries(python, window):  # type: (str, bool) -> None
    """Offer what Qt lacks on this system, and go on either way: report and pictures may do without.

    python : the environment's interpreter; a mark beside it saves the next start the look.
    window : whether a window on X is meant to open, which needs more than a picture.
    """
    folder = os.path.dirname(os.path.dirname(python))
    mark = os.path.join(folder, "libraries-for-" + ("window" if window else "pictures"))
    if os.path.exists(mark) or not sys.platform.startswith("linux"):
        return
    wanted = dict(PAINTING, **X_WINDOW) if window else PAINTING
    packages = lacking(wanted)
    if packages and offer(packages, "%s needs system libraries" % ("the window" if window else "a picture")):
        packages = lacking(wanted)
    if not packages:
        # Not where another person made the environment: then each start looks.
        with contextlib.suppress(OSError), open(mark, "w"):
            pass


def ensure_venv_packages():  # type: () -> bool
    """Offer Python's venv module where the system has split it off; whether it was installed.

    Raises CannotPrepare where it was not.
    """
    import shutil

    version = "%d.%d" % tuple(sys.version_info[:2])
    if not (sys.platform.startswith("linux") and shutil.which("apt-get")):
        raise CannotPrepare("%s lacks the modules venv and ensurepip; use a complete Python." % sys.executable)
    if offer(["python%s-venv" % version], "needs Python's venv module"):
        return True
    raise CannotPrepare("stopped: without Python's venv module it cannot make its environment.")
