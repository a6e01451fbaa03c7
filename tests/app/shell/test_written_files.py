"""What the window writes: it asks before it replaces, starts beside the open file, and tells a failure once."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox

from app.kit.path_to_write import with_ending
from core.documents.setup_document import load_setup
from core.documents.setup_examples import EXAMPLES
from tests.app.windows import ArcWindow, boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")
ROOT = Path(__file__).resolve().parents[3]


def typed(monkeypatch: pytest.MonkeyPatch, name: Path | str) -> list[str]:
    """The dialog gives this name; what it was started with is noted."""
    starts: list[str] = []

    def dialog(parent: object, words: str, start: str, kinds: str) -> tuple[str, str]:
        starts.append(start)
        return str(name), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", dialog)
    return starts


def asked(window: ArcWindow, answer: bool) -> list[Path]:
    """Paths that were asked for, all answered so."""
    paths: list[Path] = []

    def say(path: Path) -> bool:
        paths.append(path)
        return answer

    window.files.ask_replace = say
    return paths


@pytest.mark.parametrize("answer", [True, False])
@pytest.mark.parametrize(("name", "is_picture"), [("part 12.5", False), ("mine", False), ("part 12.5", True)])
def test_a_name_without_its_ending_asks_before_it_replaces(
    name: str, is_picture: bool, answer: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = tmp_path / f"{name}{'.png' if is_picture else '.toml'}"
    there.write_bytes(b"old")
    typed(monkeypatch, tmp_path / name)
    with laid_out_on(boss()) as window:
        paths = asked(window, answer)
        window.menus.by_id["save_picture" if is_picture else "save_as"].trigger()
        settle()
        assert paths == [there]
        assert (there.read_bytes() != b"old") == answer
        assert (window.workbench.file == there) == (answer and not is_picture)
    assert [p.name for p in tmp_path.iterdir() if p.is_file()] == [there.name]


def test_nothing_is_asked_twice_or_for_a_new_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with laid_out_on(boss()) as window:
        paths = asked(window, False)
        typed(monkeypatch, tmp_path / "new")
        assert window.files.save_as() and window.workbench.file == tmp_path / "new.toml"
        # The dialog itself has asked for this very name.
        (tmp_path / "old.toml").write_text("x")
        typed(monkeypatch, tmp_path / "old.toml")
        assert window.files.save_as() and paths == []
        assert load_setup(tmp_path / "old.toml") == boss()


def test_the_question_itself_is_plain_and_keeps_the_file_by_default(tmp_path: Path) -> None:
    seen: list[str] = []

    def answer() -> None:
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        seen.append(box.text())
        default = box.defaultButton()
        assert default is not None
        default.click()

    with laid_out_on(boss()) as window:
        QTimer.singleShot(0, window, answer)
        assert not window.files.ask_replace(tmp_path / "<b>mine\u202e.toml")
    assert "<b>mine<U+202E>.toml" in seen[0]


def test_dialogs_start_beside_the_open_file_with_its_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = tmp_path / "part 12.5.toml"
    job.write_bytes(EXAMPLES[1].file.read_bytes())
    with laid_out_on(boss()) as window:
        starts = typed(monkeypatch, "")
        window.files.save_as()
        window.files.open_path(job)
        window.files.save_as()
        window.files.save_picture()
        assert starts == ["setup.toml", str(job), str(tmp_path / "part 12.5.png")]


def test_a_failed_save_is_told_once_in_the_windows_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with laid_out_on(boss()) as window:
        said: list[str] = []
        window.workbench.refused.connect(said.append)
        window.files.failed.connect(said.append)
        typed(monkeypatch, tmp_path / "none" / "job.toml")
        assert not window.files.save_as()
        assert said == [window.sentence.label.text()] and said[0].startswith("Not saved: job.toml: found no folder")
        assert window.sentence.label.property("problem") == "true" and "picture shows" not in said[0]
        typed(monkeypatch, tmp_path / "none" / "cut.svg")
        window.files.save_picture()
        assert said[1:] == [window.sentence.label.text()] and said[1].startswith("No picture saved: could not write")
        assert "--out" not in said[1]


def test_a_document_changed_on_disk_is_not_replaced_under_another_of_its_names(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, link = tmp_path / "job.toml", tmp_path / "link.toml"
    job.write_bytes(EXAMPLES[1].file.read_bytes())
    link.symlink_to(job)
    with laid_out_on(boss()) as window:
        window.files.open_path(job)
        job.write_text("from somebody else")
        typed(monkeypatch, link)
        assert not window.files.save_as() and job.read_text() == "from somebody else"


def test_many_faults_of_a_document_are_told_and_leave_room(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text('format = "chiparc setup"\nversion = 1\n[cutter]\na = 1\nb = 1\nc = 1\n')
    with laid_out_on(boss()) as window:
        said: list[str] = []
        window.workbench.refused.connect(said.append)
        assert not window.files.open_path(job)
        [words] = said
        others = "cutter.diameter_mm in line 3, cutter.teeth in line 3, cutter.a in line 4, cutter.b in line 5"
        assert words.startswith(f"{job}:1: cut: missing; allowed: ") and words.endswith(
            f"; also wrong: {others}, 1 more"
        )
        assert words in window.sentence.label.text() and window.workbench.setup == boss()


@pytest.mark.parametrize(
    ("name", "document", "picture"),
    [
        ("mine", "mine.toml", "mine.png"),
        ("part 12.5", "part 12.5.toml", "part 12.5.png"),
        ("a.TOML", "a.TOML", "a.TOML"),
        ("a.svg", "a.svg.toml", "a.svg"),
        ("a.jpg", "a.jpg.toml", "a.jpg"),
        (".hidden", ".hidden.toml", ".hidden.png"),
    ],
)
def test_endings(name: str, document: str, picture: str) -> None:
    assert with_ending(Path("d") / name, ".toml", (".toml",)) == Path("d") / document
    assert with_ending(Path("d") / name, ".png", (".png", ".svg", ".pdf")) == Path("d") / picture


@pytest.mark.skipif(sys.platform == "win32", reason="limits of a file's size are a thing of POSIX systems")
def test_a_picture_on_a_full_disk_is_refused_and_the_old_one_stays(tmp_path: Path) -> None:
    files = [tmp_path / f"cut{ending}" for ending in (".svg", ".pdf", ".png")]
    for file in files:
        file.write_bytes(b"old")
    code = (
        "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (4000, 4000))\n"
        "from app.commands import main\n"
        "for file in sys.argv[2:]:\n"
        "    print(main(['picture', sys.argv[1], '--size', '700x600', '--out', file]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "shared/setups/boss.toml", *map(str, files)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )
    assert (done.returncode, done.stdout) == (0, "2\n" * 3), done.stderr
    for file in files:
        assert f"--out: could not write {file}: could not be written (File" in done.stderr
        assert file.read_bytes() == b"old"
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(file.name for file in files)
