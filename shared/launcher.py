"""Makes the program's own environment from the pins in pyproject.toml, and runs things in it.

Standard library only, and plain enough that a Python too old for the program still reads it and is told
so.  The environment is ``.venv`` in the checkout, or, where that cannot be, a folder of the person's cache.
It is stamped when all of its packages are proved to be there, whole, and to load; a start then only looks at
the stamp and at the sizes of compiled libraries, whose damage would end the process without a word.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys

from shared.launching.places import candidates, interpreter, may_write
from shared.launching.system_packages import ensure_qt_libraries
from shared.launching.told import CannotPrepare, open_streams, say

__all__ = ["CannotPrepare", "ensure", "ensure_qt_libraries", "is_inside", "remake_if_damaged", "run", "say"]

LAUNCHER_VERSION = "2"
OLDEST = (3, 11)
NO_ENVIRONMENT = 3
"""Exit status where the environment cannot be made."""

STARTED = "CHIPARC_STARTED"
"""Names the checkout to the process that is to run in its environment: seen outside, the environment is lost."""

REMADE = "CHIPARC_REMADE"
"""Names the checkout whose environment was found damaged in this start: it is made anew once, not for ever."""

DAMAGED = "CHIPARC_DAMAGED"
"""Names an environment that is damaged but that this person may not mend."""

STAMPS = ((), ("tests",))
"""Each kind of environment: the program's needs, and the tests' too."""


def check_python():  # type: () -> None
    """Refuse a Python that is too old, in words."""
    if sys.version_info < OLDEST:
        raise CannotPrepare("needs Python 3.11 or newer; this is %s (%s)." % (sys.version.split()[0], sys.executable))


def is_inside(root):  # type: (str) -> bool
    """Whether this very process already runs in an environment of this checkout."""
    inside = os.path.realpath(sys.prefix) in [os.path.realpath(folder) for folder in candidates(root)]
    if inside:
        # Meant for this process, not for what it starts.
        os.environ.pop(STARTED, None)
    return inside


def _project(root):  # type: (str) -> dict
    import tomllib

    with open(os.path.join(root, "pyproject.toml"), "rb") as file:
        return tomllib.load(file)


def pins_by_extra(root, extras):  # type: (str, tuple[str, ...]) -> dict[str, list[str]]
    """The pins of pyproject.toml: the program's own under the empty name, then what each extra adds."""
    project = _project(root)["project"]
    pins = {"": list(project["dependencies"])}
    for extra in extras:
        pins[extra] = list(project["optional-dependencies"][extra])
    return pins


def _pins(root, extras):  # type: (str, tuple[str, ...]) -> list[str]
    return [pin for pins in pins_by_extra(root, extras).values() for pin in pins]


def _state(root, extras):  # type: (str, tuple[str, ...]) -> str
    """What the environment must have been made from: pins, Python, place, launcher."""
    parts = [*_pins(root, extras), sys.version, os.path.realpath(root), LAUNCHER_VERSION]
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogateescape")).hexdigest()


def _stamp(folder, extras):  # type: (str, tuple[str, ...]) -> str
    return os.path.join(folder, "ready-" + "-".join(("app",) + extras))


def _libraries(folder):  # type: (str) -> dict[str, int]
    """Sizes of the environment's compiled libraries, bytes, by path below it."""
    sizes = {}
    for place, _, names in os.walk(folder):
        for name in names:
            if name.endswith((".so", ".pyd", ".dll", ".dylib")) or ".so." in name:
                path = os.path.join(place, name)
                sizes[os.path.relpath(path, folder)] = os.stat(path).st_size
    return sizes


def _write_stamp(root, folder, extras):  # type: (str, str, tuple[str, ...]) -> None
    with open(_stamp(folder, extras), "w") as file:
        json.dump({"state": _state(root, extras), "libraries": _libraries(folder)}, file)


def _readiness(root, folder, extras):  # type: (str, str, tuple[str, ...]) -> tuple[bool, str]
    """Whether the environment was finished from today's pins and is whole; and the damage seen, if any."""
    try:
        with open(_stamp(folder, extras)) as file:
            stamp = json.load(file)
        if stamp["state"] != _state(root, extras):
            return False, ""
    except (OSError, ValueError, KeyError, TypeError):
        return False, ""
    for needed in (interpreter(folder), os.path.join(folder, "pyvenv.cfg")):
        if not os.path.exists(needed):
            return False, os.path.relpath(needed, folder) + " is missing"
    for name, size in stamp["libraries"].items():
        try:
            there = os.stat(os.path.join(folder, name)).st_size
        except OSError:
            return False, name + " is missing"
        if there != size:
            return False, name + " is damaged"
    return True, ""


def _stamp_time(folder, extras):  # type: (str, tuple[str, ...]) -> float
    try:
        return os.stat(_stamp(folder, extras)).st_mtime_ns
    except OSError:
        return -1


@contextlib.contextmanager
def _alone(folder):  # type: ignore[no-untyped-def]
    """Only one at a time makes the environment; the system frees the lock when its holder dies."""
    with open(folder + "-lock", "a+") as lock:
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
            except BlockingIOError:
                say("another start is making the environment; waiting for it")
                fcntl.flock(lock, fcntl.LOCK_EX)
            except OSError:
                # Some network file systems know no locks; two starts at once are rarer than these.
                pass
            yield


def runs(python):  # type: (str) -> bool
    """Whether this interpreter starts, has pip and is of this very version."""
    import subprocess

    from shared.launching.isolation import clean_environment

    try:
        probe = "import pip, sys; sys.exit(sys.version_info[:2] != %r)" % (tuple(sys.version_info[:2]),)
        command = [python, "-I", "-c", probe]
        return subprocess.run(command, capture_output=True, env=clean_environment()).returncode == 0
    except OSError:
        return False


def _beside(name):  # type: (str) -> str
    """The path of a script that the environment's own interpreter runs."""
    return os.path.join(os.path.dirname(os.path.abspath(__file__)), "launching", name)


def make_venv(folder):  # type: (str) -> None
    """A fresh environment with pip in it.  Raises CannotPrepare."""
    import subprocess

    from shared.launching.failures import told_failure
    from shared.launching.isolation import clean_environment
    from shared.launching.system_packages import ensure_venv_packages

    if os.path.lexists(folder) and not os.path.isdir(folder):
        raise CannotPrepare("%s is in the way of its environment; move it away and start again." % folder)
    steps = (
        [sys.executable, "-I", "-m", "venv", "--without-pip", "--clear", folder],
        # A step of its own: venv keeps to itself what this one says.
        [interpreter(folder), "-I", _beside("pip_from_wheel.py")],
    )
    for attempt in (1, 2):
        for step in steps:
            made = subprocess.run(step, capture_output=True, text=True, errors="replace", env=clean_environment())
            if made.returncode:
                break
        else:
            if runs(interpreter(folder)):
                return
        text = made.stdout + made.stderr
        signs = ("ensurepip is not available", "ensurepip is disabled", "No module named")
        if not any(sign in text for sign in signs) or attempt == 2:
            break
        ensure_venv_packages()
    raise CannotPrepare("could not make its environment: " + told_failure(text, folder))


def _install(folder, packages):  # type: (str, list[str]) -> None
    """pip installs what these arguments of its name, its progress told a package at a time.  Raises CannotPrepare."""
    import subprocess

    from shared.launching.failures import told_failure
    from shared.launching.isolation import pip_environment

    python = interpreter(folder)
    command = [python, "-I", "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--retries", "2"]
    # Nothing is compiled here: that would take long, need tools, and run what a package brings.
    command += ["--only-binary", ":all:"]
    process = subprocess.Popen(
        command + packages,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        stdin=subprocess.DEVNULL,
        text=True,
        errors="replace",
        env=pip_environment(python),
    )
    lines = []  # type: list[str]
    assert process.stdout is not None
    for line in process.stdout:
        line = line.strip()
        lines.append(line)
        if line.startswith("Collecting "):
            say("  fetching " + line.split()[1])
        elif line.startswith("Processing "):
            say("  taking " + os.path.basename(line.partition(" ")[2].partition(" (from ")[0]))
        elif line.startswith("Installing collected packages"):
            say("  unpacking all of them")
    status = process.wait()
    if status == 0:
        return
    if status < 0:
        raise CannotPrepare(
            "the installer was ended by signal %d (9 often means that memory ran out); start again." % -status
        )
    raise CannotPrepare("could not install its packages: " + told_failure("\n".join(lines), folder))


def _proof_fault(root, folder, extras):  # type: (str, str, tuple[str, ...]) -> str
    """What is wrong with the environment, by its own interpreter; empty if it is whole and its packages load."""
    import subprocess

    from shared.launching.isolation import clean_environment

    names = _project(root).get("tool", {}).get("chiparc", {}).get("imports", [])
    command = [interpreter(folder), "-I", _beside("proof.py"), ",".join(names)] + _pins(root, extras)
    try:
        done = subprocess.run(command, capture_output=True, text=True, errors="replace", env=clean_environment())
    except OSError as error:
        return "its interpreter does not start (%s)" % error.strerror
    if done.returncode == 0:
        return ""
    return done.stdout.strip() or "its interpreter ended with status %d" % done.returncode


def _drop_stamps(folder):  # type: (str) -> None
    for extras in STAMPS:
        with contextlib.suppress(FileNotFoundError):
            os.remove(_stamp(folder, extras))


def _make(root, folder, extras, damage):  # type: (str, str, tuple[str, ...], str) -> None
    """Make or mend the environment, and stamp it when it is proved."""
    from shared.launching.pin_hashes import requirements

    # First of all: where the hashes are not those of the pins, nothing is begun.
    packages = requirements(root, pins_by_extra(root, extras))
    stamped = [kind for kind in STAMPS if os.path.exists(_stamp(folder, kind))]
    shown = ".venv" if os.path.basename(folder) == ".venv" else folder
    # Without a stamp it was never finished, and what lies there cannot be trusted.
    if stamped and not damage and runs(interpreter(folder)):
        say("bringing %s up to today's list of packages" % shown)
        if extras not in stamped:
            # The program's packages stay when only the tests' are added.
            stamped = [kind for kind in stamped if _readiness(root, folder, kind)[0]]
    else:
        if damage:
            say("its environment is damaged (%s); making it anew" % damage)
        say("making its environment in %s (once; about a minute)" % shown)
        stamped = []
        make_venv(folder)
    if not stamped:
        _drop_stamps(folder)
    _install(folder, packages)
    fault = _proof_fault(root, folder, extras)
    if fault:
        _drop_stamps(folder)
        raise CannotPrepare("its packages were installed, but %s; start again to make it anew." % fault)
    # The tests' needs include the program's: both are ready then.
    for done in {(), extras}:
        _write_stamp(root, folder, done)
    say("the environment is ready")


def ensure(root, extras=()):  # type: (str, tuple[str, ...]) -> str
    """The environment's interpreter, made or mended first if it must be.  Raises CannotPrepare."""
    open_streams()
    check_python()
    place = os.path.realpath(root)
    given_up = os.environ.pop(DAMAGED, "")
    damage = ""
    if os.environ.pop(STARTED, "") == place:
        # A process that was to run inside has come back here.
        if os.environ.get(REMADE) == place:
            listed = " and ".join(candidates(root))
            raise CannotPrepare("its new environment does not hold either; delete %s and start again." % listed)
        os.environ[REMADE] = place
        damage = "its interpreter does not find its packages"
    else:
        for folder in candidates(root):
            ready, seen = _readiness(root, folder, extras)
            if ready and folder != given_up:
                return interpreter(folder)
            damage = damage or seen
    for folder in candidates(root):
        if may_write(folder):
            return _made(root, folder, extras, damage)
    raise CannotPrepare(
        "needs a place for its environment and may write to none of: %s. Copy the program to a folder of your own, "
        "or name a folder that you may write to in %s, and start again."
        % (", ".join(candidates(root)), "LOCALAPPDATA" if os.name == "nt" else "XDG_CACHE_HOME")
    )


def _made(root, folder, extras, damage):  # type: (str, str, tuple[str, ...], str) -> str
    """Make the environment there unless another start does it first; its interpreter.  Raises CannotPrepare."""
    from shared.launching.failures import told_failure

    before = _stamp_time(folder, extras)
    try:
        with _alone(folder):
            ready, seen = _readiness(root, folder, extras)
            # A stamp that came while this start waited is another's work, and good.
            if not ready or (damage and _stamp_time(folder, extras) == before):
                _make(root, folder, extras, seen or damage)
    except KeyboardInterrupt:
        raise CannotPrepare("stopped while making its environment; the next start goes on from here.") from None
    except OSError as error:
        raise CannotPrepare("could not make its environment: " + told_failure(str(error), folder)) from None
    return interpreter(folder)


def remake_if_damaged(root, extras, arguments):  # type: (str, tuple[str, ...], list[str]) -> int | None
    """Called inside, after a failure: if the environment does not hold, make it anew and start over.

    Returns the exit status of the new start where the system cannot replace a process, None where the
    environment is whole (or was remade just now): then the failure is the program's own.
    """
    place = os.path.realpath(root)
    folder = next((f for f in candidates(root) if os.path.realpath(f) == os.path.realpath(sys.prefix)), "")
    base = getattr(sys, "_base_executable", "")
    if os.environ.get(REMADE) == place or not folder or not base:
        return None
    fault = _proof_fault(root, folder, extras)
    if not fault:
        return None
    say("its environment is damaged (%s)" % fault)
    os.environ[REMADE] = place
    try:
        _drop_stamps(folder)
    except OSError:
        os.environ[DAMAGED] = folder
    return _go_on(base, arguments, dict(os.environ))


def run(root, python, arguments):  # type: (str, str, list[str]) -> int
    """Go on in the environment with these arguments: same terminal, same exit status."""
    from shared.launching.isolation import clean_environment

    return _go_on(python, arguments, dict(clean_environment(), **{STARTED: os.path.realpath(root)}))


def _go_on(python, arguments, variables):  # type: (str, list[str], dict[str, str]) -> int
    if os.name == "nt":
        import subprocess

        try:
            return subprocess.call([python] + arguments, env=variables)
        except KeyboardInterrupt:
            return 130
    sys.stdout.flush()
    sys.stderr.flush()
    try:
        os.execve(python, [python] + arguments, variables)
    except OSError as error:
        say("could not start %s (%s)." % (python, error.strerror))
    return NO_ENVIRONMENT
