"""A path and a stock from the files that a person names: the kind is told by the name's ending."""

from __future__ import annotations

from collections.abc import Collection

from ..base.file_bytes import load_bytes
from ..documents.document_text import LARGEST
from .drawing import read_drawing
from .dxf_pieces import LARGEST_DRAWING
from .moves import Program, Stock
from .program import read_program
from .program_text import LARGEST_PROGRAM
from .stock import read_stock, stock_from_drawing


def is_drawing(path: str) -> bool:
    """Whether a file is a drawing by its name."""
    return path.lower().endswith(".dxf")


def load_path(
    path: str,
    *,
    top_z_mm: float = 0.0,
    left_hand: bool = False,
    speed_rpm: float | None = None,
    layers: Collection[str] | None = None,
) -> Program:
    """The path of a drawing or a program; the rest as in :func:`read_program` and :func:`read_drawing`.

    Raises DocumentError.
    """
    if is_drawing(path):
        return read_drawing(load_bytes(path, LARGEST_DRAWING), path, top_z_mm=top_z_mm, layers=layers)
    data = load_bytes(path, LARGEST_PROGRAM)
    return read_program(data, path, top_z_mm=top_z_mm, left_hand=left_hand, speed_rpm=speed_rpm)


def load_stock(path: str, *, layers: Collection[str] | None = None) -> Stock:
    """The stock of a drawing, or of a TOML document.  Raises DocumentError."""
    if is_drawing(path):
        return stock_from_drawing(load_bytes(path, LARGEST_DRAWING), path, layers=layers)
    return read_stock(load_bytes(path, LARGEST), path)
