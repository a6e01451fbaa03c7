"""Files that a person names: told by their ending, bounded in size, never waited for."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from core.base.errors import DocumentError
from core.base.file_bytes import load_bytes
from core.path.open_path import load_path, load_stock

from .dxf_text import circle, dxf, line

STOCK = 'format = "chiparc stock"\nversion = 1\n[[loop]]\ncircle_mm = [0, 0, 10]\n'


def test_kinds_are_told_by_the_ending(tmp_path: Path) -> None:
    program, drawing, text = tmp_path / "a.nc", tmp_path / "A.DXF", tmp_path / "s.toml"
    program.write_text("G21 G0 X0 Y0\nM4 G95 G1 X5 F.1\n")
    drawing.write_bytes(dxf(line(0, 0, 7, 0, layer="path"), circle(0, 0, 10, layer="stock")))
    text.write_text(STOCK)
    read = load_path(str(program), left_hand=True, speed_rpm=1000)
    assert read.moves.feed_mm_min.tolist() == [100] and read.warnings == ()
    assert load_path(str(drawing), top_z_mm=3.0, layers=["path"]).moves.end_mm[0].tolist() == [7, 0, 3]
    assert load_stock(str(drawing), layers=["stock"]).area_mm2 == pytest.approx(load_stock(str(text)).area_mm2)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.nc"
    os.mkfifo(pipe)
    cases = ((tmp_path, "a folder"), (tmp_path / "none.nc", "no such file"), (pipe, "a pipe"))
    for path, word in (*cases, (Path("/dev/zero"), "a device"), (Path("a\0b"), "no file can have")):
        for load in (load_path, load_stock):
            with pytest.raises(DocumentError, match=word):
                load(str(path))


def test_a_file_over_its_size_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large.nc"
    with path.open("wb") as stream:
        stream.truncate(100_000_000)
    for load in (load_path, load_stock):
        with pytest.raises(DocumentError, match="found more than"):
            load(str(path))
    assert len(load_bytes(str(path), 100_000_000)) == 100_000_000
