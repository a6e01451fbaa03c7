"""What every test starts from: no display, settings in a folder of its own, the shipped typeface."""

from __future__ import annotations

import contextlib
import gc
import importlib
import itertools
import os
import sys
from collections.abc import Generator
from pathlib import Path
from types import TracebackType
from typing import Any

import hypothesis
import pytest
from hypothesis.internal.conjecture import providers

from app.commands.one_thread import one_thread_for_matrices

# As in the program; nothing has loaded numpy yet.
one_thread_for_matrices()

# The same examples at every run: a suite is green or red for a reason.  ``python3 tests random`` takes new ones.
# No deadline for one example: how busy the machine is says nothing of the code.
hypothesis.settings.register_profile("fixed", derandomize=True, deadline=None, database=None, print_blob=True)
hypothesis.settings.register_profile("random", derandomize=False, deadline=None, database=None, print_blob=True)
FIXED = not os.environ.get("CHIPARC_RANDOM_EXAMPLES")
hypothesis.settings.load_profile("fixed" if FIXED else "random")
if FIXED:
    # Hypothesis also draws constants out of the project's loaded modules: which ones are loaded depends on the
    # worker and on the order of tests, and any edit anywhere would change the examples of every test.
    providers._get_local_constants = lambda: providers._local_constants

if not os.environ.get("CHIPARC_REAL_WINDOW"):
    os.environ["QT_QPA_PLATFORM"] = "offscreen"

OUTPUT = Path(__file__).resolve().parent / "output"
"""Where tests leave their pictures to be looked at; not kept in the repository."""


TESTS = itertools.count()


@pytest.fixture(autouse=True)
def own_settings(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Settings of each test lie in a folder of its own, which there is when something is written."""
    place = tmp_path_factory.getbasetemp() / f"settings-{next(TESTS)}"
    monkeypatch.setenv("CHIPARC_SETTINGS", str(place))
    return place


# Python collects garbage on whichever thread allocates; on that of a job it would destroy windows of earlier tests.
gc.disable()
DUE = 50_000
"""New objects after which a test's garbage is collected, on the thread of the tests."""


def pytest_collection_finish() -> None:
    """What is loaded by now is never garbage, and no collection looks through it again."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown() -> None:
    """Collect what is due, between the tests."""
    young, middle, _ = gc.get_count()
    if young > DUE:
        gc.collect(2 if middle > 20 else 1)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, None, None]:
    """An error in a paint is told as a failure after the window is gone: its painters end at once."""
    kept = sys.excepthook

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if "PySide6.QtGui" in sys.modules:
            from app.kit.open_painters import end_painters

            end_painters(trace)
        kept(kind, error, trace)

    sys.excepthook = hook
    try:
        return (yield)
    finally:
        if sys.excepthook is hook:
            sys.excepthook = kept


TOGETHER = {
    # They report on every example, and what its cut would turn takes long to work out.
    "examples": (
        "tests/core/report/",
        "tests/core/lesson/",
        "tests/core/advice/test_ladder.py",
        "tests/core/advice/test_which_way.py",
        "tests/core/advice/test_reason_remedies.py",
        "tests/core/documents/test_example_claims.py",
        "tests/core/documents/test_every_key.py",
        "tests/commands/test_report_for_scripts.py",
    ),
    # They start one small checkout, whose environment takes seconds to make.
    "launcher": tuple(f"tests/launch/test_{name}.py" for name in ("launcher", "failures", "places", "pins")),
}
"""Files of tests, by the beginnings of their paths, that run in one worker."""


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Side by side, the tests of a file go to one worker: what they share is worked out once, not by every worker.

    So do those of the files in :data:`TOGETHER`.  Marks of xdist for that do not reach this pytest's names of tests.
    """
    from xdist.scheduler import LoadGroupScheduling

    class ByFile(LoadGroupScheduling):
        def _split_scope(self, nodeid: str) -> str:
            file = nodeid.split("::")[0]
            return next((name for name, files in TOGETHER.items() if file.startswith(files)), file)

    return ByFile(config, log) if config.getoption("dist") == "loadgroup" else None


def pytest_configure(config: pytest.Config) -> None:
    """Each worker loads the test files from another one on, so that it finds most of them compiled by the others."""
    worker = os.environ.get("PYTEST_XDIST_WORKER", "")
    if not worker or sys.dont_write_bytecode:
        return
    here = Path(__file__).resolve().parent
    files = sorted(here.rglob("test_*.py"))
    first = len(files) * int(worker.removeprefix("gw")) // int(os.environ["PYTEST_XDIST_WORKER_COUNT"])
    for file in files[first:] + files[:first]:
        # What does not load is told when the tests are collected.
        with contextlib.suppress(Exception):
            importlib.import_module(".".join(file.relative_to(here.parent).with_suffix("").parts))


@pytest.fixture
def window_app(qapp: Any) -> Any:
    """The Qt application with the shipped typeface."""
    from app.kit.fonts import load_fonts

    load_fonts()
    return qapp


@pytest.fixture(scope="session")
def output() -> Path:
    """Folder of the tests' pictures."""
    OUTPUT.mkdir(exist_ok=True)
    return OUTPUT
