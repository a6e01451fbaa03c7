"""Drawings as paths: units, senses, chains, joints; and refusals with entity, handle and place."""

from __future__ import annotations

from math import degrees, pi

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.base.errors import ChiparcError, DocumentError
from core.path.drawing import read_drawing
from core.path.dxf_pieces import LARGEST_DRAWING
from core.path.moves import ARC, LINE, RAPID, Program

from .dxf_text import arc, circle, dxf, line, polyline, tags


def read(*entities: str, units: int | None = 4, **given: object) -> Program:
    return read_drawing(dxf(*entities, units=units), "a.dxf", **given)  # type: ignore[arg-type]


def corners(program: Program) -> list[list[tuple[float, float]]]:
    """Places along each chain."""
    assert program.chains is not None
    start, end = program.moves.start_mm.round(9) + 0.0, program.moves.end_mm.round(9) + 0.0
    return [
        [tuple(start[a, :2].tolist()), *(tuple(p) for p in end[a:b, :2].tolist())] for a, b in program.chains.tolist()
    ]


def test_a_polyline_runs_in_its_order_with_its_bulges() -> None:
    program = read(polyline([(0, 0), (10, 0, 1), (10, 10, -1), (0, 10)]))
    moves = program.moves
    assert moves.kind.tolist() == [LINE, ARC, ARC]
    assert corners(program) == [[(0, 0), (10, 0), (10, 10), (0, 10)]]
    assert np.degrees(moves.sweep_rad).tolist() == pytest.approx([0, 180, -180])
    assert moves.centre_mm[1:].tolist() == [[10, 5], [5, 10]]
    assert program.warnings == () and program.units == "mm" and not program.has_z
    assert not moves.line.any() and np.isnan(moves.feed_mm_min).all() and not moves.clear.any()


def test_a_closed_polyline_returns_with_the_bulge_of_its_last_vertex() -> None:
    program = read(polyline([(0, 0), (10, 0), (10, 10, 0.5)], closed=True))
    assert corners(program) == [[(0, 0), (10, 0), (10, 10), (0, 0)]]
    assert degrees(program.moves.sweep_rad[2]) == pytest.approx(106.26, abs=0.01)
    again = read(polyline([(0, 0), (10, 0), (10, 10, 0.5), (0, 0)], closed=True))
    assert again.moves.sweep_rad.tolist() == program.moves.sweep_rad.tolist()


def test_chains_in_file_order_lifted_between_them() -> None:
    program = read(polyline([(0, 0), (1, 0)]), polyline([(5, 5), (6, 5)], handle="D2"), top_z_mm=2.0)
    assert program.moves.kind.tolist() == [LINE, RAPID, LINE] and program.chains is not None
    assert program.chains.tolist() == [[0, 1], [2, 3]] and program.moves.clear.tolist() == [False, True, False]
    assert set(program.moves.end_mm[:, 2]) == {2.0}


def test_single_lines_run_from_start_to_end_and_join_end_to_start_in_any_order() -> None:
    program = read(
        line(10, 0, 10, 10), line(5, 5, 6, 6, "A2"), line(0, 0, 10, 0.0005, "A3"), arc(10, 5, 5, 90, 180, "B")
    )
    assert corners(program) == [[(0, 0), (10, 0.0005), (10, 10), (5, 5), (6, 6)]]
    assert program.warnings == (
        (
            None,
            "Lines are taken from start to end, arcs and circles counter-clockwise: the direction decides climb or "
            "conventional.",
        ),
    )
    apart = read(line(0, 0, 10, 0), line(10.0011, 0, 20, 0, "A2"), line(20, 5, 20, 0, "A3"))
    assert len(corners(apart)) == 3


def test_lines_in_a_ring_begin_with_the_first_of_the_file() -> None:
    program = read(line(10, 0, 10, 10), line(0, 0, 10, 0, "A2"), line(10, 10, 0, 0, "A3"), circle(50, 0, 1))
    assert corners(program)[0] == [(10, 0), (10, 10), (0, 0), (10, 0)]


def test_arcs_and_circles_run_counter_clockwise() -> None:
    program = read(arc(0, 0, 5, 350, 20), circle(20, 0, 2))
    sweep = np.degrees(program.moves.sweep_rad)
    assert sweep[0] == pytest.approx(30) and sweep[-1] == pytest.approx(360)
    assert program.moves.end_mm[-1, :2].tolist() == pytest.approx([22, 0])
    assert program.length_mm == pytest.approx(5 * pi / 6 + 4 * pi)
    assert np.degrees(read(arc(0, 0, 5, 0, 360)).moves.sweep_rad[0]) == pytest.approx(360)


def test_what_was_drawn_from_below_is_seen_from_above() -> None:
    program = read(arc(-20, 0, 5, 0, 90, down=True))
    assert program.moves.start_mm[0, :2].tolist() == pytest.approx([20, 5])
    assert program.moves.end_mm[0, :2].tolist() == pytest.approx([15, 0])
    assert degrees(program.moves.sweep_rad[0]) == pytest.approx(90)
    program = read(polyline([(0, 0), (-10, 0, 1), (-10, 10)], down=True))
    assert corners(program) == [[(0, 0), (10, 0), (10, 10)]]
    assert degrees(program.moves.sweep_rad[1]) == pytest.approx(-180)
    assert read(circle(-7, 0, 1, down=True)).moves.centre_mm[0].tolist() == [7, 0]


def test_units() -> None:
    program = read(polyline([(0, 0), (1, 0)]), units=1)
    assert program.units == "inch" and program.moves.end_mm[0, 0] == 25.4
    for units in (0, None):
        program = read(polyline([(0, 0), (1, 0)]), units=units)
        assert program.units == "mm" and program.moves.end_mm[0, 0] == 1.0
        assert program.warnings == ((None, "The drawing names no units: mm are taken."),)


def test_a_drawing_without_any_head_is_in_mm() -> None:
    body = (
        tags(0, "SECTION", 2, "ENTITIES")
        + tags(0, "LINE", 8, 0, 10, 0, 20, 0, 11, 9, 21, 0)
        + tags(0, "ENDSEC", 0, "EOF")
    )
    assert read_drawing(body.encode(), "r12.dxf").moves.end_mm[0, 0] == 9.0


def test_layers_choose_and_what_lies_on_others_does_not_matter() -> None:
    text = tags(0, "POINT", 5, "E1", 100, "AcDbEntity", 8, "notes", 100, "AcDbPoint", 10, 1, 20, 2)
    entities = line(0, 0, 1, 0, layer="Path"), line(0, 5, 1, 5, "A2", layer="other"), text
    assert corners(read(*entities, layers=["path"])) == [[(0, 0), (1, 0)]]
    with pytest.raises(
        DocumentError, match=r"layer: found none named rim; allowed: a layer in use: Path, notes, other"
    ):
        read(*entities, layers=["rim"])


def test_short_sides_and_heights_are_warned_of() -> None:
    found = read(polyline([(0, 0), (0.0005, 0), (10, 0)])).warnings
    assert found == ((None, "LWPOLYLINE D1 has a side shorter than 0.001 mm at X0 Y0: it is passed over."),)
    raised = line(0, 0, 1, 0, z1=5.0).replace("\n20\n0\n", "\n20\n0\n30\n5.0\n")
    assert "LINE A1 is drawn at a height" in read(raised).warnings[0][1]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1"])
def test_line_ends_and_encodings(end: str, encoding: str) -> None:
    text = dxf(line(0, 0, 1, 0, layer="Gr\xf6\xdfe")).decode().replace("\n", end)
    assert len(read_drawing(text.encode(encoding), "a.dxf").moves) == 1


@pytest.mark.parametrize("version", ["R12", "R2000", "R2010", "R2018"])
def test_drawings_as_the_library_writes_them(version: str, tmp_path: object) -> None:
    import io

    document = ezdxf.new(version, units=4)
    space = document.modelspace()
    space.add_line((0, 0), (10, 0))
    space.add_arc((10, 5), 5, 270, 90)
    space.add_circle((40, 0), 3)
    if version != "R12":
        space.add_lwpolyline([(0, 50, 0.3), (10, 50, 0)], format="xyb")
    stream = io.StringIO()
    document.write(stream)
    program = read_drawing(stream.getvalue().encode(), "a.dxf")
    assert corners(program)[0] == [(0, 0), (10, 0), (10, 10)]
    assert len(corners(program)) == (2 if version == "R12" else 3)


def entity(kind: str, *pairs: object) -> str:
    """Any entity with handle E1."""
    return tags(0, kind, 5, "E1", 100, "AcDbEntity", 8, "0", *pairs)


GOOD = line(0, 0, 10, 0)
REFUSED: list[tuple[str, bytes, str, str]] = [
    (
        "a point",
        dxf(GOOD, entity("POINT", 100, "AcDbPoint", 10, 3, 20, 4)),
        "POINT E1",
        "not read at X3 Y4; allowed: LINE,",
    ),
    ("text", dxf(entity("TEXT", 100, "AcDbText", 10, 3, 20, 4, 40, 1, 1, "hi")), "TEXT E1", "at X3 Y4"),
    (
        "a spline",
        dxf(
            entity(
                "SPLINE",
                100,
                "AcDbSpline",
                70,
                8,
                71,
                1,
                72,
                4,
                73,
                2,
                40,
                0,
                40,
                0,
                40,
                1,
                40,
                1,
                10,
                1,
                20,
                2,
                10,
                5,
                20,
                6,
            )
        ),
        "SPLINE E1",
        "at X1 Y2; allowed: LINE, ARC, CIRCLE, LWPOLYLINE; convert",
    ),
    (
        "an ellipse",
        dxf(entity("ELLIPSE", 100, "AcDbEllipse", 10, 3, 20, 4, 11, 1, 21, 0, 40, 0.5, 41, 0, 42, 6.28)),
        "ELLIPSE E1",
        "at X3 Y4",
    ),
    ("a block", dxf(entity("INSERT", 100, "AcDbBlockReference", 2, "part", 10, 3, 20, 4)), "INSERT E1", "explode"),
    (
        "an old polyline",
        dxf(
            entity("POLYLINE", 100, "AcDb2dPolyline", 66, 1, 10, 0, 20, 0)
            + tags(
                0, "VERTEX", 5, "E2", 100, "AcDbEntity", 8, 0, 100, "AcDbVertex", 100, "AcDb2dVertex", 10, 7, 20, 8
            )
            + tags(0, "SEQEND", 5, "E3", 100, "AcDbEntity", 8, 0)
        ),
        "POLYLINE E1",
        "convert it to LWPOLYLINE",
    ),
    ("an unknown entity", dxf(entity("WIDGET", 10, 1, 20, 2)), "WIDGET E1", "not read"),
    (
        "a rising line",
        dxf(line(0, 0, 1, 0, z1=3.0)),
        "LINE A1",
        "rises by 3 mm at X0 Y0; allowed: entities in the plane",
    ),
    ("no end", dxf(entity("LINE", 100, "AcDbLine", 10, 3, 20, 4)), "LINE E1", "found no end at X3 Y4"),
    ("no centre", dxf(entity("CIRCLE", 100, "AcDbCircle", 40, 4)), "CIRCLE E1", "found no centre"),
    ("no radius", dxf(entity("CIRCLE", 100, "AcDbCircle", 10, 3, 20, 4)), "CIRCLE E1", "a radius of 0 mm at X3 Y4"),
    ("a radius below zero", dxf(circle(1, 2, -3)), "CIRCLE C1", "a radius of -3 mm at X1 Y2"),
    ("a far place", dxf(line(0, 0, 100001, 0)), "LINE A1", "100001 as X of its end"),
    ("too far in inches", dxf(line(0, 0, 4000, 0), units=1), "LINE A1", "4000 as X of its end"),
    (
        "an endless place",
        dxf(line(0, 0, 1, 0).replace("\n11\n1\n", "\n11\n1e999\n").encode().decode()),
        "LINE A1",
        "inf as X",
    ),
    ("no number", dxf(line(0, 0, 1, 0).replace("\n11\n1\n", "\n11\nnan\n")), "LINE A1", "nan as X of its end"),
    ("an arc without length", dxf(arc(0, 0, 5, 30, 30)), "ARC B1", "an arc without length"),
    ("a bulge without bounds", dxf(polyline([(0, 0, 1e7), (1, 0)])), "LWPOLYLINE D1", "a bulge of 1e+07 at X0 Y0"),
    ("an arc of a planet", dxf(polyline([(0, 0, 1e-7), (9e4, 0)])), "LWPOLYLINE D1", "a bulge of 1e-07"),
    ("one vertex", dxf(polyline([(0, 0)])), "LWPOLYLINE D1", "1 vertex"),
    (
        "a tilted circle",
        dxf(circle(1, 2, 3) + tags(210, 0, 220, 1, 230, 0)),
        "CIRCLE C1",
        "tilted out of the plane at X1 Y2",
    ),
    ("nothing", dxf(), "drawing", "nothing in modelspace"),
    ("only a short side", dxf(line(0, 0, 0.0001, 0)), "drawing", "nothing in modelspace"),
    ("metres", dxf(GOOD, units=6), "$INSUNITS", "found 6; allowed: 1 for inch, 4 for mm"),
    ("empty", b"", "file", "no readable DXF (missing EOF tag)"),
    ("text of another kind", b"G21 G0 X0\n", "file", "no readable DXF"),
    ("cut off", dxf(GOOD)[:-20], "file", "no readable DXF"),
    ("a broken figure", dxf(line(0, 0, 1, 0).replace("\n11\n1\n", "\n11\nx\n")), "file", "no readable DXF"),
    ("a broken code", dxf(line(0, 0, 1, 0).replace("\n11\n1\n", "\nxx\n1\n")), "file", "no readable DXF"),
    ("zero bytes", dxf(GOOD) + b"\0", "file", "zero byte"),
    ("a binary drawing", b"AutoCAD Binary DXF\r\n\x1a\0", "file", "binary DXF"),
    ("too large", b"0" * (LARGEST_DRAWING + 1), "file", "20 million bytes"),
]


@pytest.mark.parametrize(("data", "where", "words"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_refused_with_entity_handle_and_place(data: bytes, where: str, words: str) -> None:
    with pytest.raises(DocumentError) as caught:
        read_drawing(data, "bad.dxf")
    error = caught.value
    assert error.where == where and words in str(error), str(error)
    assert str(error).startswith(f"bad.dxf: {where}: found ") and error.allowed
    assert "\n" not in str(error) and len(str(error)) < 400


_WHOLE = dxf(GOOD, arc(0, 0, 5, 0, 90), polyline([(0, 0, 1), (5, 5)]), circle(3, 3, 1))
_LINES = _WHOLE.decode().split("\n")


@settings(max_examples=60)
@given(
    st.one_of(
        st.binary(max_size=100),
        st.tuples(st.integers(0, len(_LINES) - 1), st.text(max_size=8)).map(
            lambda change: "\n".join([*_LINES[: change[0]], change[1], *_LINES[change[0] + 1 :]]).encode(
                "utf-8", "replace"
            )
        ),
        st.integers(0, len(_LINES) - 1).map(lambda n: "\n".join(_LINES[:n] + _LINES[n + 1 :]).encode()),
    )
)
def test_anything_at_all_is_read_or_refused(data: bytes) -> None:
    try:
        program = read_drawing(data, "any.dxf")
    except ChiparcError as error:
        assert str(error).startswith("any.dxf") and error.allowed
    else:
        assert np.isfinite(program.moves.end_mm).all() and len(program.moves)


@given(st.lists(st.tuples(st.integers(-50, 50), st.integers(-50, 50), st.floats(-3, 3)), min_size=2, max_size=8))
@settings(max_examples=40)
def test_random_polylines_come_back(points: list[tuple[int, int, float]]) -> None:
    points = [p for p, q in zip(points, [(0.5, 0.5), *points], strict=False) if p[:2] != q[:2]]
    if len(points) < 2:
        return
    moves = read(polyline([(float(x), float(y), round(b, 6)) for x, y, b in points])).moves
    assert [tuple(p) for p in moves.end_mm[:, :2].tolist()] == [(x, y) for x, y, _ in points[1:]]
    np.testing.assert_allclose(np.tan(moves.sweep_rad / 4), [round(b, 6) for *_, b in points[:-1]], atol=2e-6)
