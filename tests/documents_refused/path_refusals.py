"""Every refusal of programs, drawings, stocks and reports of a path."""

from __future__ import annotations

import io
from collections.abc import Iterator
from functools import partial

import ezdxf
import numpy as np

from core.base.visible import visible
from core.path.corner import corner_arc
from core.path.drawing import read_drawing
from core.path.feed_words import with_feeds
from core.path.held_feed import held_feeds
from core.path.iso_words import LONGEST_LINE
from core.path.path_report import path_report
from core.path.program import read_program
from core.path.stock import read_stock, rectangle, stock_from_drawing
from core.path.whole_path import path_stages
from tests.core.path.dxf_text import arc, circle, dxf, line, polyline
from tests.core.path.test_drawing import REFUSED as DRAWINGS
from tests.core.path.test_program_refused import BLOCKS, HEAD, WHOLE
from tests.core.path.test_stock import DRAWN_REFUSED, TOML_REFUSED
from tests.core.path.test_stock import HEAD as STOCK_HEAD
from tests.usual_setups import boss

from .refused_case import Refused

SAME_GROUP = ("G4 G4", "G9 G9", "G17 G17", "G40 G40", "G43 G49", "G61 G64", "G80 G80", "G90 G91", "G94 G95")
MORE_BLOCKS = ("X1 , Y2", "G20 F9999 X1", "G21 X1 F100001", "G21 X999999")
LIBRARY = {"empty", "text of another kind", "cut off", "a broken figure", "a broken code"}
"""Drawings that the library refuses: its own sentence stands in ours."""


def program_refusals() -> Iterator[Refused]:
    """Of programs and of the feeds that are written into them."""
    for block in (*(each[0] for each in BLOCKS), *SAME_GROUP, *MORE_BLOCKS):
        text = HEAD + block + "\nX50\n"
        yield Refused(f"block {block}", text.upper() + visible(text), partial(read_program, text.encode(), "bad.nc"))
    for name, data, *_ in WHOLE:
        # The letter that begins it may be told alone.
        text = data.decode("latin-1")
        yield Refused(name, f"{text} {text[:1]}", partial(read_program, data, "bad.nc"))
    moves = (HEAD + "X1\nX2\nX3\n").encode()
    for name, limit in (("program_text.MOST_LINES", 3), ("program.MOST_MOVES", 2)):
        yield Refused(name, "", partial(read_program, moves, "bad.nc"), ((f"core.path.{name}", limit),))
    long = (HEAD + "M8" * LONGEST_LINE).encode()
    yield Refused("a long line", "", partial(read_program, long, "bad.nc"))
    for name, feeds in (("feeds of another program", np.full(7, np.nan)), ("no feed", np.array([0.0, -1.0]))):
        yield Refused(name, "", partial(with_feeds, (HEAD + "X1\n").encode(), "a.nc", feeds))
    by_turn = b"G21 G95 G0 X0 Y0\nG1 X1\n"
    yield Refused("no speed", "", partial(with_feeds, by_turn, "a.nc", np.array([250.0])))


def drawing_refusals() -> Iterator[Refused]:
    """Of drawings, as paths and as stocks."""
    for name, data, *_ in DRAWINGS:
        if name != "too large":
            quoted = data.decode("latin-1") if name not in LIBRARY else _library_words(data)
            yield Refused(name, quoted, partial(read_drawing, data, "bad.dxf"))
    plain = dxf(line(0, 0, 10, 0))
    yield Refused("a layer", plain.decode() + "walls", partial(read_drawing, plain, "bad.dxf", layers=["walls"]))
    yield Refused("no layer", "walls", partial(read_drawing, dxf(), "bad.dxf", layers=["walls"]))
    for name, drawn in (
        ("no start", line(0, 0, 10, 0).replace("\n10\n0\n20\n0\n", "\n")),
        ("no angle", arc(0, 0, 5, 0, 90).replace("\n50\n0\n", "\n")),
        ("a far centre", circle(100_001, 0, 5)),
        ("a far start", line(100_001, 0, 5, 0)),
        ("a wide circle", circle(0, 0, 100_001)),
        ("no vertex", polyline([])),
        ("a far vertex", polyline([(0, 100_001), (5, 5)])),
        ("a high polyline", polyline([(0, 0), (5, 5)]).replace("\n70\n0\n", "\n70\n0\n38\n100001\n")),
    ):
        yield Refused(name, drawn, partial(read_drawing, dxf(drawn), "bad.dxf"))
    for name, data, *_ in DRAWN_REFUSED:
        yield Refused(f"stock {name}", data.decode(), partial(stock_from_drawing, data, "bad.dxf"))


def _library_words(data: bytes) -> str:
    """What the library that reads drawings says of one: it may stand in a refusal as it is."""
    try:
        ezdxf.read(io.StringIO(data.decode()))
    except Exception as error:
        return visible(f"{error} {type(error).__name__}")
    return ""


def stock_refusals() -> Iterator[Refused]:
    """Of documents of a stock, and of a rectangle."""
    for name, text, *_ in TOML_REFUSED:
        if name != "too many sides":
            yield Refused(name, text, partial(read_stock, text, "bad.toml"))
    square = STOCK_HEAD + "[[loop]]\npoints_mm = [[0, 0], [9, 0], [9, 9]]\n"
    most = (("core.path.outlines.MOST_SIDES", 2),)
    yield Refused("too many sides", square, partial(read_stock, square, "bad.toml"), most)
    yield Refused("no text", "", partial(read_stock, b"\0", "bad.toml"))
    yield Refused("a flat rectangle", "", partial(rectangle, 0.0, 0.0, 1e-4, 1e-4))


def path_refusals() -> Iterator[Refused]:
    """Of what is asked of a path, and of a corner without one."""
    program, stock = read_program((HEAD + "X50\n").encode(), "a.nc"), rectangle(0.0, -5.0, 100.0, 10.0)
    for name, asked in (("at", {"at": (900.0,)}), ("spacing", {"spacing": 0.0}), ("no spacing", {"spacing": 1e-9})):
        yield Refused(name, "--at --spacing", partial(path_report, program, stock, boss(), **asked))
    *_, whole = path_stages(program, stock, boss())
    assert whole.profile is not None
    held = partial(held_feeds, whole.path, whole.fed, whole.profile, boss(), -0.5)
    yield Refused("a held chip", "", held)
    for radius, stepover in ((5.9, 2.0), (8.0, 12.5)):
        yield Refused(f"corner {radius}", "", partial(corner_arc, 12.0, stepover, radius))
