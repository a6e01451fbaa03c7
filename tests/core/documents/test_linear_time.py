"""Reading and editing take time in proportion to a document's size, whatever stands in it.

A child process reads the worst texts under a limit of processor seconds that the system enforces: no clock, and no
dependence on what else the machine does.  Patterns that try all ways to share out a run of spaces would need minutes.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
SECONDS = 20
"""Processor seconds for all the texts of one test; they take about two."""

START = f"""
import resource, sys
resource.setrlimit(resource.RLIMIT_CPU, ({SECONDS}, {SECONDS}))
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
"""

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
    problems(line * (200_000 // len(line)), "x.toml")
problems("a = [" + "1," * 100_000 + "]", "x.toml")
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


@pytest.mark.skipif(sys.platform == "win32", reason="limits of processor time are a thing of POSIX systems")
@pytest.mark.parametrize("name", CASES)
def test_time_in_proportion_to_size(name: str) -> None:
    done = subprocess.run([sys.executable, "-c", START + CASES[name]], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr[-2000:] or f"stopped by the system after {SECONDS} s: {done.returncode}"
