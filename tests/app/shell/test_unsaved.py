"""Nothing is lost: real windows in real processes are killed, and what they had comes back."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.shell.signals import Signals
from app.state.recovery import Recovery, leftovers
from core.base.places import ROOT
from core.documents.setup_document import load_setup
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_writing import write_setup
from tests.app import steps
from tests.app.windows import PATIENCE_MS, ArcWindow, boss, laid_out_on, settle, until

pytestmark = pytest.mark.usefixtures("window_app")
WIDTH = "cut.radial_engagement_mm"

CHILD = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from app.shell import start, unsaved
from app.shell.main_window import MainWindow
from core.documents.setup_document import load_text, read_setup
from tests.app import steps

unsaved.KEEP_MS = {keep_ms}
file = Path(sys.argv[1])
text = load_text(str(file))

def change():
    window = next(w for w in QApplication.topLevelWidgets() if isinstance(w, MainWindow))
    window.workbench.propose(window.workbench.setup.with_keys({{"cut.radial_engagement_mm": 2.75}}), steps.WIDTH)
    print("changed", flush=True)
    window.unsaved.recovery.keep = report(window.unsaved.recovery.keep)

def report(keep):
    def kept(*what):
        done = keep(*what)
        print("kept" if done else "not kept", flush=True)
        return done
    return kept

QTimer.singleShot(0, change)
sys.exit(start.show_window(read_setup(text, str(file)), file, text))
"""


@contextmanager
def child(file: Path, keep_ms: int) -> Iterator[subprocess.Popen[str]]:
    """A window in a process of its own that has changed its document."""
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    code = CHILD.format(keep_ms=keep_ms)
    process = subprocess.Popen(
        [sys.executable, "-c", code, str(file)], cwd=ROOT, env=env, stdout=subprocess.PIPE, text=True
    )
    try:
        assert process.stdout is not None and process.stdout.readline() == "changed\n"
        yield process
    finally:
        process.kill()
        process.communicate()


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """A document of somebody's own, with a remark."""
    file = tmp_path / "mine.toml"
    file.write_text("# my remark\n" + write_setup(boss()), "utf-8")
    return file


def test_a_kill_loses_nothing_that_was_there_two_seconds_ago(mine: Path) -> None:
    with child(mine, keep_ms=0) as process:
        assert process.stdout is not None and process.stdout.readline() == "kept\n"
        # While it lives its slot is its own.
        assert leftovers() == ()
        process.kill()
        process.wait()
    (left,) = leftovers()
    assert left.file == str(mine) and "# my remark" in left.text
    with laid_out_on(boss()) as window:
        window.unsaved.offer_leftovers()
        assert window.notices.isVisible() and "Boss" in window.notices.label.text()
        window.notices.buttons[0].click()
        settle()
        assert window.workbench.file == mine and window.workbench.setup.cut.radial_engagement_mm == 2.75
        assert window.workbench.modified and not window.notices.isVisible()
        # The person's file is as it was until they save.
        assert load_setup(mine).cut.radial_engagement_mm == 4.0
        window.files.save()
        assert load_setup(mine).cut.radial_engagement_mm == 2.75 and "# my remark" in mine.read_text("utf-8")
    assert leftovers() == ()


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_a_log_out_keeps_at_once_and_ends(mine: Path) -> None:
    with child(mine, keep_ms=3_600_000) as process:
        process.send_signal(signal.SIGTERM)
        assert process.stdout is not None and process.stdout.readline() == "kept\n"
        assert process.wait(timeout=120) == 0
    (left,) = leftovers()
    assert "2.75" in left.text


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_each_signal_that_ends_a_program_is_taken_in_the_event_loop(qapp: QApplication, qtbot: QtBot) -> None:
    """One of them is sent to a process of its own above; here each comes to where that one came."""
    kinds = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)
    before, came = [signal.getsignal(kind) for kind in kinds], list[int]()
    signals = Signals(lambda: came.append(1), qapp)
    try:
        # Else it would end the tests.
        assert all(signal.getsignal(kind) is not own for kind, own in zip(kinds, before, strict=True))
        for count, kind in enumerate(kinds, 1):
            signal.raise_signal(kind)
            qtbot.waitUntil(lambda: len(came) == count, timeout=PATIENCE_MS)  # noqa: B023
    finally:
        signals.stop()
    assert [signal.getsignal(kind) for kind in kinds] == before


def changed(window: ArcWindow, to: float) -> None:
    window.workbench.propose(window.workbench.setup.with_keys({WIDTH: to}), steps.WIDTH)
    settle()


def test_saving_and_giving_up_leave_nothing_behind(mine: Path) -> None:
    with laid_out_on(boss()) as window:
        window.files.open_path(mine)
        changed(window, 2.0)
        window.unsaved.keep_now()
        slot = window.unsaved.recovery._slot
        assert slot is not None and slot.exists()
        window.files.save()
        window.unsaved.keep_now()
        assert not slot.exists()
        changed(window, 3.0)
        window.unsaved.keep_now()
        assert slot.exists()
    # The window was closed without saving, on purpose.
    assert leftovers() == () and not slot.exists()


def test_a_drag_is_kept_while_it_goes_on_and_losing_the_focus_keeps_at_once() -> None:
    with laid_out_on(boss()) as window:
        due = window.unsaved._due
        # However long a busy machine takes between two steps of the drag.
        due.setInterval(PATIENCE_MS)
        changed(window, 2.0)
        assert due.isActive()
        left = due.remainingTime()
        changed(window, 2.1)
        assert due.isActive() and due.remainingTime() <= left
        QApplication.sendEvent(window, QEvent(QEvent.Type.WindowDeactivate))
        assert not due.isActive() and window.unsaved.recovery._slot is not None


def test_what_belongs_to_no_file_counts_as_changed_after_it_was_taken_back() -> None:
    recovery = Recovery()
    taken = boss().with_keys({WIDTH: 1.5})
    assert recovery.keep(write_setup(taken), None, taken.title, 1.0)
    assert recovery._lock is not None
    recovery._lock.close()
    with laid_out_on(EXAMPLES[2].setup()) as window:
        window.unsaved.offer_leftovers()
        window.notices.buttons[0].click()
        settle()
        assert window.workbench.setup == taken and window.workbench.modified and window.workbench.file is None


def test_within_a_minute_only_the_document_is_written_again(own_settings: Path) -> None:
    """What is told of it, title and minute, is as the last one kept it; of several the newest comes first."""
    first, second = Recovery(), Recovery()

    def told() -> os.stat_result:
        assert first._slot is not None
        return first._slot.with_suffix(".json").stat()

    assert first.keep("one", None, "A", 600.0)
    before = told()
    assert first.keep("two", None, "A", 659.0)
    assert told().st_mtime_ns == before.st_mtime_ns and told().st_ino == before.st_ino
    assert second.keep("other", None, "B", 630.0)
    for text, file, title, seconds in (
        ("three", None, "A", 660.0),
        ("four", None, "C", 661.0),
        ("five", Path("/f"), "C", 662.0),
    ):
        assert first.keep(text, file, title, seconds)
        assert first._lock is not None and first._slot is not None
        found = json.loads(first._slot.with_suffix(".json").read_text("utf-8"))
        assert found == {"file": str(file or ""), "title": title, "seconds": seconds}
    assert second.keep("last", None, "B", 661.0) and second._slot is not None
    # A second before the one below, however coarse the clock of the disk.
    earlier = second._slot.stat().st_mtime_ns - 1_000_000_000
    os.utime(second._slot, ns=(earlier, earlier))
    first.clear()
    assert first.keep("six", None, "C", 663.0)
    for one in (first, second):
        assert one._lock is not None
        one._lock.close()
    assert [left.text for left in leftovers()] == ["six", "last"]


def test_leftovers_can_be_thrown_away_and_a_damaged_one_stops_nothing(own_settings: Path) -> None:
    folder = own_settings / "unsaved"
    folder.mkdir(parents=True)
    (folder / "1-aa.toml").write_text("x", "utf-8")
    (folder / "2-bb.toml").write_text("x", "utf-8")
    (folder / "2-bb.json").write_text('{"file": 3', "utf-8")
    assert leftovers() == ()
    (folder / "2-bb.json").write_text('{"file": "", "title": "T", "seconds": 5}', "utf-8")
    with laid_out_on(boss()) as window:
        window.unsaved.offer_leftovers()
        # What cannot be read is refused in words, and stays.
        window.notices.buttons[0].click()
        assert "Not taken" in window.sentence.label.text() and len(leftovers()) == 1
        window.unsaved.offer_leftovers()
        window.notices.buttons[1].click()
        assert leftovers() == () and not window.notices.isVisible()


def test_a_document_changed_on_the_disk_is_told_and_can_be_reloaded(mine: Path, qtbot: object) -> None:
    with laid_out_on(boss()) as window:
        window.files.open_path(mine)
        other = mine.with_suffix(".new")
        other.write_text(write_setup(boss().with_keys({WIDTH: 1.25})), "utf-8")
        os.replace(other, mine)
        until(window.notices.isVisible)
        assert "changed on the disk" in window.notices.label.text()
        window.notices.buttons[0].click()
        settle()
        assert window.workbench.setup.cut.radial_engagement_mm == 1.25 and not window.notices.isVisible()
        window.workbench.undo()
        assert window.workbench.setup.cut.radial_engagement_mm == 4.0


def test_two_windows_on_one_file_never_overwrite_each_other_silently(mine: Path) -> None:
    with laid_out_on(boss()) as first, laid_out_on(boss()) as second:
        for window in (first, second):
            window.files.open_path(mine)
        changed(first, 2.0)
        changed(second, 3.0)
        assert first.files.save() and not second.files.save()
        assert "changed on the disk" in second.sentence.label.text()
        assert load_setup(mine).cut.radial_engagement_mm == 2.0 and second.workbench.modified


def test_a_dropped_file_is_read_and_never_moved(mine: Path) -> None:
    with laid_out_on(boss()) as window:
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(mine))])
        drop = QDropEvent(
            QPointF(QPoint(50, 50)),
            Qt.DropAction.MoveAction | Qt.DropAction.CopyAction,
            data,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        window.dropEvent(drop)
        assert window.workbench.file == mine and drop.dropAction() == Qt.DropAction.CopyAction


def test_the_title_is_edited_in_its_place() -> None:
    with laid_out_on(boss()) as window:
        window.menus.by_id["edit_title"].trigger()
        field = window.header.title_field
        assert field.isVisible() and field.text() == boss().title
        field.setText("Second side")
        QTest.keyClick(field, Qt.Key.Key_Return)
        assert window.workbench.setup.title == "Second side" and window.workbench.undo_name == "title"
        assert not field.isVisible() and window.header.title.isVisible()
        QTest.mouseClick(window.header.title, Qt.MouseButton.LeftButton)
        assert field.isVisible()
        field.setText("Third")
        QTest.keyClick(field, Qt.Key.Key_Escape)
        assert window.workbench.setup.title == "Second side" and not field.isVisible()


def test_a_place_that_cannot_be_written_is_told_once(own_settings: Path) -> None:
    own_settings.write_text("a file where the folder should be", "utf-8")
    with laid_out_on(boss()) as window:
        changed(window, 2.0)
        window.unsaved.keep_now()
        assert "cannot be kept" in window.notices.label.text()
        window.notices.buttons[0].click()
        changed(window, 2.5)
        window.unsaved.keep_now()
        assert not window.notices.isVisible()
