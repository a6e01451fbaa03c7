"""Saving beside others: links, owners and attributes stay; of two savers the later is told; the dead are swept."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from core.base import safe_write
from core.base.errors import DocumentError
from core.base.safe_write import stamp, write_text
from tests.core.base.test_safe_write import names

pytestmark = pytest.mark.skipif(os.name != "posix", reason="links, owners and locks of a POSIX system")
ROOT = Path(__file__).resolve().parents[3]

SAVER = """
import sys
from core.base.errors import DocumentError
from core.base.safe_write import ABSENT, stamp, write_text
path, mine = sys.argv[1:]
known = stamp(path) or ABSENT
print("ready", flush=True)
sys.stdin.readline()
try:
    write_text(path, mine * 50_000, known)
    print("saved")
except DocumentError as error:
    print(error)
"""


def child(code: str, *arguments: str) -> subprocess.Popen[str]:
    pipe = subprocess.PIPE
    command = [sys.executable, "-c", code, *arguments]
    return subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, text=True)


@pytest.mark.parametrize("there", [True, False])
def test_of_several_savers_at_one_time_all_but_one_are_told(tmp_path: Path, there: bool) -> None:
    path = tmp_path / "job.toml"
    if there:
        path.write_text("old")
    savers = [child(SAVER, str(path), letter) for letter in "abcde"]
    for saver in savers:
        assert saver.stdout is not None and saver.stdout.readline() == "ready\n"
    for saver in savers:
        assert saver.stdin is not None
        saver.stdin.write("\n")
        saver.stdin.flush()
    told = [saver.communicate()[0] for saver in savers]
    assert sorted(words == "saved\n" for words in told) == [False] * 4 + [True], told
    winner = "abcde"[told.index("saved\n")]
    assert path.read_text() == winner * 50_000 and names(tmp_path) == ["job.toml"]
    assert all("meanwhile" in words for words in told if words != "saved\n")


def test_a_writer_that_hangs_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import fcntl

    monkeypatch.setattr(safe_write, "LOCK_PAUSE_S", 0.0)
    path = tmp_path / "job.toml"
    path.write_text("old")
    with open(path) as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        with pytest.raises(DocumentError, match="another program that is writing it"):
            write_text(path, "new")
    assert path.read_text() == "old" and names(tmp_path) == ["job.toml"]


def test_other_names_of_a_file_keep_its_text(tmp_path: Path) -> None:
    path, other = tmp_path / "job.toml", tmp_path / "other.toml"
    path.write_text("an old text that is longer")
    os.link(path, other)
    write_text(path, "new", stamp(path))
    assert other.read_text() == "new" and os.path.samefile(path, other)
    assert names(tmp_path) == ["job.toml", "other.toml"]


def test_a_file_with_two_names_that_fails_leaves_the_new_text_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, other = tmp_path / "job.toml", tmp_path / "other.toml"
    path.write_text("old")
    os.link(path, other)
    calls = iter([None])
    flush = os.fsync

    def full(descriptor: int) -> None:
        if next(calls, "second") == "second":
            raise OSError(28, "No space left on device")
        flush(descriptor)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(DocumentError, match="No space left on device") as caught:
        write_text(path, "new")
    [kept] = [tmp_path / name for name in names(tmp_path) if name.endswith(".new")]
    assert kept.read_text() == "new" and str(kept) in caught.value.allowed


def test_owner_group_and_mode_stay(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")
    if os.geteuid() == 0:
        os.chown(path, 1234, 2345)
    path.chmod(0o664)
    before = path.stat()
    write_text(path, "new")
    after = path.stat()
    assert (after.st_uid, after.st_gid, after.st_mode) == (before.st_uid, before.st_gid, before.st_mode)


def test_what_cannot_be_given_to_a_new_file_stays_with_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")
    before = path.stat()

    def forbidden(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "chmod", forbidden)
    write_text(path, "new")
    assert path.read_text() == "new" and path.stat().st_ino == before.st_ino and names(tmp_path) == ["job.toml"]


@pytest.mark.skipif(not hasattr(os, "setxattr"), reason="extended attributes as Linux has them")
def test_extended_attributes_stay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")
    held: dict[tuple[int, str], bytes] = {(path.stat().st_ino, "user.origin"): b"rig 2"}
    try:
        os.setxattr(path, "user.origin", b"rig 2")
    except OSError:
        # A file system without them: they are kept in a table by the file's number.
        monkeypatch.setattr(os, "listxattr", lambda p: [n for i, n in held if i == os.stat(p).st_ino])
        monkeypatch.setattr(os, "getxattr", lambda p, n: held[os.stat(p).st_ino, n])
        monkeypatch.setattr(os, "setxattr", lambda p, n, v: held.__setitem__((os.stat(p).st_ino, n), v))
    write_text(path, "new")
    assert path.read_text() == "new" and os.getxattr(path, "user.origin") == b"rig 2"


def test_temporary_files_of_the_dead_are_swept_and_those_of_the_living_are_not(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")
    killed = "import os, sys; os.replace = lambda *_: os.kill(os.getpid(), 9)\n" + SAVER
    saver = child(killed, str(path), "x")
    saver.communicate("\n")
    assert saver.returncode == -signal.SIGKILL and path.read_text() == "old"
    [left] = [name for name in names(tmp_path) if name != "job.toml"]
    assert left.endswith(".tmp")
    living = tmp_path / f".job.toml.{os.getppid()}.0123abcd.tmp"
    other = tmp_path / ".other.toml.99999999.0123abcd.tmp"
    mine = tmp_path / ".job.toml.notes.tmp"
    for file in (living, other, mine):
        file.write_text("")
    write_text(path, "new")
    assert names(tmp_path) == sorted([living.name, other.name, mine.name, "job.toml"])


def test_a_full_disk_is_refused_and_nothing_is_lost(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")
    limited = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (9000, 9000))\n" + SAVER
    saver = child(limited, str(path), "x")
    told = saver.communicate("\n")[0]
    assert "could not be written (File too large)" in told
    assert path.read_text() == "old" and names(tmp_path) == ["job.toml"]


def test_half_a_character_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match="half a character"):
        write_text(tmp_path / "job.toml", "\ud800")
    assert names(tmp_path) == []
