"""Reading and editing take time in proportion to a document's size, whatever stands in it.

A child process loads the program once and splits off one of its own for each case.  That reads the worst texts under
a limit of processor seconds that the system enforces: no clock, and no dependence on what else the machine does.
Patterns that try all ways to share out a run of spaces would need minutes.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
SECONDS = 20
"""Processor seconds for all the texts of one test; they take about one."""

LINES_SECONDS = 5
"""For the many lines, which take one second: a quarter at half the size sees the same growth with its square."""

START = """\
import json, os, resource, sys, traceback
from core.base.errors import ChiparcError
from core.base.typed_value import typed_value
from core.calibration.calibration_file import read_mean_forces
from core.documents.materials import read_materials
from core.documents.setup_document import problems, read_setup, write_setup
from tests.documents_refused.setups import GOOD
def refused(read, *arguments):
    try:
        read(*arguments)
    except ChiparcError:
        return
    raise SystemExit("taken: " + arguments[0][:60])
def end_of(code, seconds):
    child = os.fork()
    if child == 0:
        status = 1
        try:
            resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
            exec(code)
            status = 0
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stderr.flush()
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
print(json.dumps({name: end_of(code, seconds) for name, (code, seconds) in json.load(sys.stdin).items()}))
"""
"""Tells how each of the cases ended: 0 is well, a number below 0 the signal that ended it."""

CASES = {
    "spaces on a line that cannot be read": """
n = 19_900
for line in (" " * n, "a" + " " * n, "a" + " " * n + "b", "a = " + " " * n + "b", "a =" + " " * n, "[" + " " * n,
             "[a" + " " * n, "a b" * (n // 3), "." * n, "'" * n, "a = 1" + " " * n + "2 # b"):
    for above in ("", GOOD, ("[" + " " * n + "a\\n") * 40):
        refused(read_setup, above + line + "\\n!\\n", "x.toml")
""",
    "lines that are long in sum": """
for line in ("#\\n", "\\n", "[a]\\n", "[[a]]\\n", 3 * chr(34) + "\\n", "a = [\\n", " \\n", "a.b.c = 1\\n", "x\\n"):
    problems(line * (100_000 // len(line)), "x.toml")
problems("a = [" + "1," * 50_000 + "]", "x.toml")
""",
    "digits": """
for text in ("9" * 19_000, ("9" * 3_999 + ",") * 4, "1_" * 9_000):
    refused(read_setup, "a = [" + text + ",x]\\n" * 40, "x.toml")
    refused(read_mean_forces, "feed_per_tooth_mm,mean_fx_n,mean_fy_n\\n" + ("1," + text + "x,2\\n") * 40, "x.csv")
refused(read_mean_forces, "feed_per_tooth_mm,mean_fx_n,mean_fy_n\\n1," + "9" * 130_000 + "x,2\\n", "x.csv")
""",
    "typed fields": """
for text in ("1" + " " * 200_000 + "x", "9" * 200_000 + "x", "1 a" + " " * 200_000 + "b"):
    refused(typed_value, text, "diameter", "metric")
""",
    "edits under comments and blank lines": """
setup = read_setup(GOOD, "x.toml")
more = setup.with_keys({"cutter.edge_radius_mm": 0.01, "machine.power_kw": 5.0, "work.material": None})
for filling in ("#\\n" * 60_000, "\\n" * 100_000):
    for text in (GOOD.replace("[cut]", filling + "[cut]"), GOOD + filling + "# the end"):
        assert read_setup(write_setup(more, text), "x.toml") == more
gone = setup.with_keys({"work.force": None})
assert read_setup(write_setup(gone, GOOD.replace("[work.force]", "#\\n" * 60_000 + "[work.force]")), "x.toml") == gone
""",
}


def seconds_of(name: str) -> int:
    """The limit of a case, s."""
    return LINES_SECONDS if name == "lines that are long in sum" else SECONDS


@pytest.fixture(scope="module")
def ends() -> tuple[dict[str, int], str]:
    """How the process of each case ended, and what all of them said."""
    given = json.dumps({name: (code, seconds_of(name)) for name, code in CASES.items()})
    done = subprocess.run([sys.executable, "-c", START], cwd=ROOT, input=given, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout), done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="limits of processor time are a thing of POSIX systems")
@pytest.mark.parametrize("name", CASES)
def test_time_in_proportion_to_size(ends: tuple[dict[str, int], str], name: str) -> None:
    status, said = ends[0][name], ends[1]
    assert status >= 0, f"stopped by the system after {seconds_of(name)} s: {status}"
    assert status == 0, said[-2000:]
