"""The file writer: whole or not at all, links and modes kept, refusals in words."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from core.base.errors import DocumentError
from core.base.safe_write import stamp, write_bytes, write_text

posix = pytest.mark.skipif(os.name != "posix", reason="links and modes of a POSIX system")


def names(folder: Path) -> list[str]:
    """What lies in a folder, to see that no temporary file stays."""
    return sorted(p.name for p in folder.iterdir())


def test_new_and_old_file(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    write_text(path, "one\r\n")
    assert path.read_bytes() == b"one\r\n"
    assert write_text(str(path), "zwölf\n") == stamp(path)
    assert path.read_bytes() == "zwölf\n".encode() and names(tmp_path) == ["job.toml"]
    write_bytes(path, b"\0\xff")
    assert path.read_bytes() == b"\0\xff"


@posix
def test_link_and_mode_stay(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    real, link = tmp_path / "real" / "job.toml", tmp_path / "link.toml"
    real.write_text("old")
    real.chmod(0o640)
    link.symlink_to(real)
    write_text(link, "new")
    assert link.is_symlink() and real.read_text() == "new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert names(tmp_path / "real") == ["job.toml"] and names(tmp_path) == ["link.toml", "real"]


@posix
def test_link_to_a_file_that_is_not_there_yet(tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "later.toml")
    write_text(link, "new")
    assert link.is_symlink() and (tmp_path / "later.toml").read_text() == "new"


@posix
def test_a_new_file_has_the_users_own_mode(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    other = tmp_path / "plain"
    other.write_text("x")
    write_text(path, "x")
    assert path.stat().st_mode == other.stat().st_mode


@posix
def test_read_only_file_and_folder_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")
    path.chmod(0o444)
    with pytest.raises(DocumentError, match="read-only file"):
        write_text(path, "new")
    path.chmod(0o644)
    tmp_path.chmod(0o555)
    try:
        with pytest.raises(DocumentError, match="read-only folder"):
            write_text(path, "new")
    finally:
        tmp_path.chmod(0o755)
    assert path.read_text() == "old" and names(tmp_path) == ["job.toml"]


def test_folders_and_missing_folders_are_refused(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match="found a folder"):
        write_text(tmp_path, "new")
    with pytest.raises(DocumentError, match="found no folder"):
        write_text(tmp_path / "none" / "job.toml", "new")
    with pytest.raises(DocumentError, match="could not be"):
        write_text(tmp_path / (400 * "x"), "new")
    assert names(tmp_path) == []


@posix
def test_devices_are_refused() -> None:
    with pytest.raises(DocumentError, match="device"):
        write_text("/dev/null", "new")


def test_a_failed_write_leaves_the_old_file_and_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(DocumentError, match="No space left on device"):
        write_text(path, "new")
    assert path.read_text() == "old" and names(tmp_path) == ["job.toml"]


def test_a_file_changed_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("old")
    known = stamp(path)
    path.write_text("from somebody else")
    with pytest.raises(DocumentError, match="changed on the disk"):
        write_text(path, "mine", known)
    assert path.read_text() == "from somebody else"
    assert write_text(path, "mine", stamp(path)) == stamp(path)
