"""Makes the program's own environment, .venv, from the pins in pyproject.toml, and runs things in it.

Standard library only, and plain enough that a Python too old for the program still reads it and is told
so.  Everything is said on standard error: standard output belongs to the command (``--json``).
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import sys

LAUNCHER_VERSION = "1"
OLDEST = (3, 11)
NO_ENVIRONMENT = 3
"""Exit status where the environment cannot be made."""


class CannotPrepare(Exception):
    """The environment cannot be made; the text says why and what to do."""


def say(text):  # type: (str) -> None
    """One line to the person, on standard error."""
    sys.stderr.write("Chiparc: " + text + "\n")
    sys.stderr.flush()


def open_streams():  # type: () -> None
    """Give a process that was started without standard streams empty ones, for itself and what it starts."""
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            # The lowest free number is the missing one: the lower ones are open by now.
            os.set_inheritable(os.open(os.devnull, os.O_RDWR), True)
    for name, number in (("stdin", 0), ("stdout", 1), ("stderr", 2)):
        if getattr(sys, name) is None:
            setattr(sys, name, open(number, "r" if name == "stdin" else "w", closefd=False))


def check_python():  # type: () -> None
    """Refuse a Python that is too old, in words."""
    if sys.version_info < OLDEST:
        raise CannotPrepare("needs Python 3.11 or newer; this is %s (%s)." % (sys.version.split()[0], sys.executable))


def environment_python(root):  # type: (str) -> str
    """The environment's interpreter."""
    if os.name == "nt":
        return os.path.join(root, ".venv", "Scripts", "python.exe")
    return os.path.join(root, ".venv", "bin", "python")


def is_inside(root):  # type: (str) -> bool
    """Whether this very process already runs in the environment."""
    return os.path.realpath(sys.prefix) == os.path.realpath(os.path.join(root, ".venv"))


def _pins(root, extras):  # type: (str, tuple[str, ...]) -> list[str]
    import tomllib

    with open(os.path.join(root, "pyproject.toml"), "rb") as file:
        project = tomllib.load(file)["project"]
    pins = list(project["dependencies"])
    for extra in extras:
        pins += project["optional-dependencies"][extra]
    return pins


def _state(root, extras):  # type: (str, tuple[str, ...]) -> str
    """What the environment must have been made from: pins, Python, place, launcher."""
    parts = [*_pins(root, extras), sys.version, os.path.realpath(root), LAUNCHER_VERSION]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def _stamp(root, extras):  # type: (str, tuple[str, ...]) -> str
    return os.path.join(root, ".venv", "ready-" + "-".join(("app",) + extras))


def is_ready(root, extras):  # type: (str, tuple[str, ...]) -> bool
    """Whether the environment was finished from today's pins and its interpreter is there."""
    try:
        with open(_stamp(root, extras)) as file:
            return file.read() == _state(root, extras) and os.path.exists(environment_python(root))
    except OSError:
        return False


@contextlib.contextmanager
def _alone(root):  # type: ignore[no-untyped-def]
    """Only one at a time makes the environment; the system frees the lock when its holder dies."""
    with open(os.path.join(root, ".venv-lock"), "a+") as lock:
        if os.name == "nt":
            import msvcrt
            import time

            while True:
                try:
                    lock.seek(0)
                    msvcrt.locking(lock.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
                    break
                except OSError:
                    time.sleep(0.2)
            try:
                yield
            finally:
                lock.seek(0)
                msvcrt.locking(lock.fileno(), msvcrt.LK_UNLCK, 1)  # type: ignore[attr-defined]
        else:
            import fcntl

            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except OSError:
                say("another start is making the environment; waiting for it")
                fcntl.flock(lock, fcntl.LOCK_EX)
            yield


def _runs(python):  # type: (str) -> bool
    import subprocess

    try:
        probe = "import pip, sys; sys.exit(sys.version_info[:2] != %r)" % (tuple(sys.version_info[:2]),)
        return subprocess.run([python, "-I", "-c", probe], capture_output=True, timeout=60).returncode == 0
    except (OSError, subprocess.SubprocessError):
        return False


def _make_venv(root):  # type: (str) -> None
    """A fresh .venv, once with the system's help where its venv module is missing."""
    import shutil
    import subprocess

    target = os.path.join(root, ".venv")
    command = [sys.executable, "-m", "venv", "--clear", target]
    made = subprocess.run(command, capture_output=True, text=True)
    if made.returncode == 0 and _runs(environment_python(root)):
        return
    version = "%d.%d" % tuple(sys.version_info[:2])
    packages = ["python%s-venv" % version, "python3-venv"]
    if sys.platform.startswith("linux") and shutil.which("apt-get"):
        if os.geteuid() == 0:
            say("installing the system's venv module")
            for package in packages:
                apt_install([package])
                if subprocess.run(command, capture_output=True).returncode == 0 and _runs(environment_python(root)):
                    return
        raise CannotPrepare("needs Python's venv module; install it with:  sudo apt-get install -y " + packages[0])
    reason = (made.stderr or made.stdout).strip().splitlines()[-1:] or ["no reason given"]
    raise CannotPrepare("could not make %s (%s)." % (target, reason[0]))


def apt_install(packages):  # type: (list[str]) -> bool
    """Install Debian packages as root; whether it worked."""
    import subprocess

    env = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    install = ["apt-get", "install", "-y", "-q"] + packages
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "stdin": subprocess.DEVNULL}
    if subprocess.run(install, env=env, **quiet).returncode == 0:  # type: ignore[call-overload]
        return True
    subprocess.run(["apt-get", "update", "-q"], env=env, **quiet)  # type: ignore[call-overload]
    return bool(subprocess.run(install, env=env, **quiet).returncode == 0)  # type: ignore[call-overload]


def _install(root, pins):  # type: (str, list[str]) -> None
    """pip installs the pins, its progress told a package at a time."""
    import subprocess

    python = environment_python(root)
    command = [
        python,
        "-m",
        "pip",
        "install",
        "--disable-pip-version-check",
        "--no-input",
        "--retries",
        "2",
    ] + pins
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, stdin=subprocess.DEVNULL
    )
    tail = []  # type: list[str]
    assert process.stdout is not None
    for line in process.stdout:
        line = line.strip()
        tail = tail[-30:] + [line]
        if line.startswith("Collecting "):
            say("  fetching " + line.split()[1])
        elif line.startswith("Processing "):
            say("  taking " + os.path.basename(line.split()[-1]))
        elif line.startswith("Installing collected packages"):
            say("  unpacking all of them")
    if process.wait() == 0:
        return
    text = "\n".join(tail)
    signs = (
        "Failed to establish a new connection",
        "Could not find a version",
        "ConnectionError",
        "ProxyError",
        "Temporary failure in name resolution",
        "Network is unreachable",
        "No matching distribution",
        "timed out",
    )
    if any(sign in text for sign in signs):
        raise CannotPrepare(
            "could not fetch its packages: no connection to the package index. Connect this computer to the "
            "network (or set PIP_INDEX_URL to an index that it reaches) and start again."
        )
    errors = [t for t in tail if t.startswith("ERROR")] or tail[-1:]
    raise CannotPrepare("could not install its packages: " + (errors[0] if errors else "pip gave no reason"))


def ensure(root, extras=()):  # type: (str, tuple[str, ...]) -> str
    """The environment's interpreter, made or mended first if it must be.  Raises CannotPrepare."""
    open_streams()
    check_python()
    if is_ready(root, extras):
        return environment_python(root)
    try:
        with _alone(root):
            if is_ready(root, extras):
                return environment_python(root)
            python = environment_python(root)
            stamps = [_stamp(root, other) for other in ((), ("tests",))]
            # Without a stamp it was never finished, and what lies there cannot be trusted.
            if any(map(os.path.exists, stamps)) and _runs(python):
                say("bringing .venv up to today's list of packages")
            else:
                say("making its environment in .venv (once; about a minute)")
                _make_venv(root)
            for stamp in stamps:
                if os.path.exists(stamp) and not is_ready(root, ()):
                    os.remove(stamp)
            _install(root, _pins(root, extras))
            # The tests' needs include the program's: both are ready then.
            for done in {(), extras}:
                with open(_stamp(root, done), "w") as file:
                    file.write(_state(root, done))
            say("the environment is ready")
    except KeyboardInterrupt:
        raise CannotPrepare("stopped while making its environment; the next start goes on from here.") from None
    except PermissionError as error:
        raise CannotPrepare(
            "may not write to %s; start it from a folder of your own." % (error.filename or root)
        ) from None
    return environment_python(root)


QT_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
}
"""System libraries that Qt opens on Linux, with the Debian package of each."""


def ensure_qt_libraries(root):  # type: (str) -> None
    """What Qt needs of a Linux system: looked for once, installed where allowed.  Raises CannotPrepare."""
    stamp = os.path.join(root, ".venv", "qt-libraries-seen")
    if not sys.platform.startswith("linux") or os.path.exists(stamp):
        return
    import ctypes
    import shutil

    def missing():  # type: () -> list[str]
        lacking = []
        for library, package in QT_LIBRARIES.items():
            try:
                ctypes.CDLL(library)
            except OSError:
                lacking.append(package)
        return lacking

    lacking = missing()
    if lacking and shutil.which("apt-get") and os.geteuid() == 0:
        say("installing system libraries that the window needs: " + " ".join(lacking))
        apt_install(lacking)
        lacking = missing()
    if lacking:
        raise CannotPrepare(
            "needs system libraries; install them with:  sudo apt-get install -y " + " ".join(lacking)
        )
    with open(stamp, "w") as file:
        file.write("all there\n")


def run(python, arguments):  # type: (str, list[str]) -> int
    """Go on in the environment with these arguments: same terminal, same exit status."""
    if os.name == "nt":
        import subprocess

        try:
            return subprocess.call([python] + arguments)
        except KeyboardInterrupt:
            return 130
    sys.stdout.flush()
    sys.stderr.flush()
    os.execv(python, [python] + arguments)
    return 0
