"""A file that takes longer than a frame is read beside the window; one that never ends is not read at all."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QUrl

from app.kit.read_beside import AT_ONCE
from app.pages.path.path_layout import PathLayout
from app.shell import files
from app.state.recovery import Recovery, leftovers
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_writing import write_setup
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import ArcWindow, boss, laid_out_on, settle, until

pytestmark = pytest.mark.usefixtures("window_app")

PADDING = "# a long remark\n" * (AT_ONCE // 16 + 1)


def document(folder: Path, feed: float, more: str = "", name: str = "part.toml") -> Path:
    """A setup document with that feed."""
    path = folder / name
    path.write_text(write_setup(boss().with_keys({"cut.feed_per_tooth_mm": feed})) + more, "utf-8")
    return path


class Gate:
    """Reading that waits for leave, and tells on which thread it ran."""

    def __init__(self, read: Any) -> None:
        self.leave, self.threads, self._read = threading.Event(), list[threading.Thread](), read

    def __call__(self, *arguments: Any) -> Setup:
        self.threads.append(threading.current_thread())
        if self.threads[-1] is not threading.main_thread():
            self.leave.wait()
        found: Setup = self._read(*arguments)
        return found


@contextmanager
def gated(monkeypatch: pytest.MonkeyPatch, name: str = "read_setup") -> Iterator[Gate]:
    """Reading held up until the gate's leave is given, at the latest at the end."""
    gate = Gate(getattr(files, name))
    monkeypatch.setattr(files, name, gate)
    try:
        yield gate
    finally:
        gate.leave.set()


def wait_for(qtbot: Any, window: ArcWindow) -> None:
    until(lambda: not window.files.reader.busy)


def test_a_large_document_is_read_beside_the_window_which_goes_on(
    tmp_path: Path, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = document(tmp_path, 0.123, PADDING)
    with laid_out_on(boss()) as window, gated(monkeypatch) as gate:
        bench, told = window.workbench, list[bool]()
        assert not window.files.open_path(file, told.append)
        settle()
        assert window.files.reader.busy and bench.file is None and "Reading part.toml" in window.sentence.label.text()
        bench.propose(boss().with_keys({"cut.feed_per_tooth_mm": 0.05}), steps.FEED)
        settle()
        assert bench.resolved.cut.feed_per_tooth_mm == 0.05 and told == []
        gate.leave.set()
        wait_for(qtbot, window)
        assert bench.file == file and bench.setup.cut.feed_per_tooth_mm == 0.123 and told == [True]
        assert [thread is threading.main_thread() for thread in gate.threads] == [False]
        bench.undo()
        assert bench.setup.cut.feed_per_tooth_mm == 0.05
        assert window.files.open_path(document(tmp_path, 0.07, name="small.toml"))
        assert gate.threads[-1] is threading.main_thread()


def test_only_the_file_that_was_asked_for_last_is_opened(
    tmp_path: Path, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    large, small = document(tmp_path, 0.123, PADDING), document(tmp_path, 0.07, name="small.toml")
    with laid_out_on(boss()) as window, gated(monkeypatch) as gate:
        window.files.open_path(large)
        assert window.files.open_path(small) and not window.files.reader.busy
        gate.leave.set()
        assert window.files.reader.read(large, lambda: 0, lambda found: None) is False
        wait_for(qtbot, window)
        assert window.workbench.file == small


def test_what_is_wrong_in_a_large_file_is_told_and_nothing_changes(tmp_path: Path, qtbot: Any) -> None:
    file, told = document(tmp_path, 0.1, PADDING + "[cutter]\n"), list[bool]()
    with laid_out_on(boss()) as window:
        before = window.workbench.setup
        window.files.open_path(file, told.append)
        wait_for(qtbot, window)
        assert told == [False] and window.workbench.setup == before and window.workbench.file is None
        assert "part.toml" in window.sentence.label.text()
        own = tmp_path / "own.toml"
        own.write_text('format = "chiparc materials"\nversion = 2\n' + PADDING, "utf-8")
        assert not window.files.take_materials(own)
        wait_for(qtbot, window)
        assert window.workbench.materials.own == () and "own.toml" in window.sentence.label.text()


def test_closing_while_a_file_is_read_waits_for_nothing(
    tmp_path: Path, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    with gated(monkeypatch) as gate:
        with laid_out_on(boss()) as window:
            window.files.open_path(document(tmp_path, 0.123, PADDING))
        gate.leave.set()
        until(lambda: not any(thread.is_alive() for thread in gate.threads))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="named pipes are a thing of POSIX systems")
def test_a_pipe_or_a_device_is_refused_at_once(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    with laid_out_on(boss()) as window:
        for file, word in ((pipe, "a pipe"), (Path("/dev/zero"), "a device")):
            for read in (window.files.open_path, window.files.take_materials):
                assert not read(file) and not window.files.reader.busy
                settle()
                assert f"found {word}" in window.sentence.label.text()
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(pipe))])

    class Dropped:
        def mimeData(self) -> QMimeData:
            return mime

    assert PathLayout.files_of(Dropped()) == []  # type: ignore[arg-type]


def test_what_a_dead_window_left_is_put_over_its_large_file(tmp_path: Path, qtbot: Any) -> None:
    file, recovery = document(tmp_path, 0.123, PADDING), Recovery()
    text = file.read_text("utf-8").replace("0.123", "0.2")
    assert recovery.keep(text, file, boss().title, 1.0) and recovery._lock is not None
    recovery._lock.close()
    with laid_out_on(EXAMPLES[2].setup()) as window:
        window.unsaved.offer_leftovers()
        window.notices.buttons[0].click()
        wait_for(qtbot, window)
        bench = window.workbench
        assert bench.file == file and bench.modified and bench.setup.cut.feed_per_tooth_mm == 0.2
        bench.undo()
        assert bench.setup.cut.feed_per_tooth_mm == 0.123 and leftovers() == ()
