"""``python3 tests``: style, types, every test; bench, random, steady, pictures and pins are commands."""

import os
import sys

# The real place: this file may have been started through a link.
ROOT = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
if sys.path and os.path.realpath(sys.path[0] or os.getcwd()) == os.path.join(ROOT, "tests"):
    sys.path[0] = ROOT
else:
    sys.path.insert(0, ROOT)

from shared import launcher  # noqa: E402


def _places(arguments):  # type: (list[str]) -> list[str]
    """Test files named from the root, from tests/ or from here, as pytest in the root takes them."""
    found = []
    for argument in arguments:
        path, mark, rest = argument.partition("::")
        for base in (os.getcwd(), os.path.join(ROOT, "tests"), ROOT):
            if path and not path.startswith("-") and os.path.exists(os.path.join(base, path)):
                argument = os.path.join(base, path) + mark + rest
                break
        found.append(argument)
    return found


def inside(arguments):  # type: (list[str]) -> int
    """Everything, in the environment."""
    import importlib
    import subprocess

    # Dozens of processes follow that would each compile everything; git passes over what is kept of that.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    if not os.environ.get("CHIPARC_REAL_WINDOW"):
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    modules = {"bench": "tests.bench.run", "pictures": "tests.pictures", "steady": "tests.steady"}
    if arguments and arguments[0] in modules:
        module = modules[arguments[0]]
        result = importlib.import_module(module).main(arguments[1:])
        return int(result or 0)
    if arguments and arguments[0] == "random":
        return random_run(arguments[1:])
    failed = 0
    # Paths after this are the root's, wherever the command was given.
    chosen = _places(arguments)
    os.chdir(ROOT)
    if not arguments:
        for name, command in (
            ("style", ["ruff", "check", "app", "core", "shared", "tests"]),
            ("types", ["mypy", "app", "core", "tests"]),
        ):
            result = subprocess.run([sys.executable, "-m", *command], capture_output=True, text=True)
            sys.stdout.write("%s: %s\n" % (name, "clean" if result.returncode == 0 else "FAILED"))
            if result.returncode:
                sys.stdout.write(result.stdout + result.stderr)
                failed = 1
            sys.stdout.flush()
    if not arguments:
        # All of them side by side, on a few cores: windows and processes wait more than they work.  What shares
        # something dear to make stays in one worker.
        chosen = ["-n", str(min((os.cpu_count() or 1) + 1, 4)), "--dist", "loadgroup"]
        # A worker that dies names its test and is not replaced: this way of sharing out would wait for ever for the
        # one that takes its place.
        chosen += ["--max-worker-restart", "0"]
    status = subprocess.call([sys.executable, "-m", "pytest", *chosen])
    return status or failed


def random_run(arguments):  # type: (list[str]) -> int
    """The property tests again and again with new random examples, so many times; stops at the first that fails."""
    import subprocess

    times = arguments[0] if arguments else "5"
    if not times.isdigit() or len(arguments) > 1:
        sys.stderr.write("python3 tests random: found %r; allowed: how many times, such as 5\n" % " ".join(arguments))
        return 2
    os.environ["CHIPARC_RANDOM_EXAMPLES"] = "1"
    os.chdir(ROOT)
    workers = str(min(os.cpu_count() or 1, 4))
    for turn in range(int(times)):
        sys.stdout.write("random examples, turn %d of %s\n" % (turn + 1, times))
        sys.stdout.flush()
        status = subprocess.call([sys.executable, "-m", "pytest", "-m", "hypothesis", "-n", workers, "tests"])
        if status:
            return status
    return 0


def start(arguments):  # type: (list[str]) -> int
    """Go into the environment, or say why that cannot be."""
    again = [os.path.join(ROOT, "tests"), *arguments]
    if arguments == ["pins"]:
        import importlib

        return int(importlib.import_module("tests.pins").main(ROOT))
    if launcher.is_inside(ROOT):
        status = inside(arguments)
        remade = launcher.remake_if_damaged(ROOT, ("tests",), again) if status else None
        return status if remade is None else remade
    try:
        python = launcher.ensure(ROOT, ("tests",))
        launcher.ensure_qt_libraries(python, bool(os.environ.get("CHIPARC_REAL_WINDOW")))
    except launcher.CannotPrepare as reason:
        launcher.say(str(reason))
        return launcher.NO_ENVIRONMENT
    return launcher.run(ROOT, python, again)


if __name__ == "__main__":
    sys.exit(start(sys.argv[1:]))
