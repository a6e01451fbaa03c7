"""Stock: loops in any order and sense, holes and islands, and what is no stock, with its line or its entity."""

from __future__ import annotations

from math import cos, pi, sin, tau

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing, Point, Polygon

from core.base.errors import ChiparcError, DocumentError
from core.path.crossings import first_crossing
from core.path.moves import Loop, Stock
from core.path.outlines import MOST_SIDES, holds
from core.path.sides import between
from core.path.stock import read_stock, rectangle, stock_from_drawing

from .dxf_text import arc, circle, dxf, line, polyline

HEAD = 'format = "chiparc stock"\nversion = 1\n'
SQUARE = "[[loop]]\npoints_mm = [[0, 0], [10, 0], [10, 10], [0, 10]]\n"


def read(text: str) -> Stock:
    return read_stock(HEAD + text, "s.toml")


def drawn(*entities: str, **given: object) -> Stock:
    return stock_from_drawing(dxf(*entities), "s.dxf", **given)  # type: ignore[arg-type]


def fine(loop: Loop, steps: int = 400) -> np.ndarray:
    """Points along a loop's lines and arcs."""
    found = []
    for k, (start, end) in enumerate(zip(loop.points_mm, np.roll(loop.points_mm, -1, 0), strict=True)):
        t = np.linspace(0, 1, steps, endpoint=False)
        if loop.bulge[k] == 0.0:
            found.append(start + t[:, None] * (end - start))
        else:
            angle = loop.sweep_rad[k] * t
            arm = start - loop.centre_mm[k]
            turned = np.stack(
                [arm[0] * np.cos(angle) - arm[1] * np.sin(angle), arm[0] * np.sin(angle) + arm[1] * np.cos(angle)], 1
            )
            found.append(loop.centre_mm[k] + turned)
    return np.concatenate(found)


def test_a_square_with_a_hole_and_an_island() -> None:
    stock = read("top_z_mm = 2.5\n" + SQUARE + "".join(f"[[loop]]\ncircle_mm = [5, 5, {r}]\n" for r in (1, 3, 4.5)))
    assert stock.top_z_mm == 2.5
    assert [(loop.hole, loop.inside) for loop in stock.loops] == [(False, -1), (True, 0), (False, 1), (True, 2)]
    assert stock.area_mm2 == pytest.approx(100 - pi * (4.5**2 - 3**2 + 1))
    assert all((loop.area_mm2 < 0) == loop.hole for loop in stock.loops)


def test_both_senses_tell_the_same_outline() -> None:
    one = read("[[loop]]\npoints_mm = [[0, 0], [10, 0, 0.5], [10, 10], [0, 10, 1]]\n")
    other = read("[[loop]]\npoints_mm = [[0, 0, -1], [0, 10], [10, 10, -0.5], [10, 0]]\n")
    assert one.area_mm2 == pytest.approx(other.area_mm2) and one.area_mm2 == pytest.approx(
        100 + pi * 12.5 + 17.4725, abs=1e-3
    )
    assert Polygon(fine(other.loops[0])).area == pytest.approx(one.area_mm2, rel=1e-4)
    assert other.loops[0].points_mm.tolist() == [[0, 0], [10, 0], [10, 10], [0, 10]]
    assert other.loops[0].bulge.tolist() == pytest.approx([0, 0.5, 0, 1])


def test_a_list_of_points_may_end_where_it_began() -> None:
    text = "[[loop]]\npoints_mm = [[0, 0], [10, 0], [10, 10], [0, 0]]\n"
    assert len(read(text).loops[0].bulge) == 3 and read(text).area_mm2 == 50


def test_an_arc_and_its_chord_are_a_loop() -> None:
    assert read("[[loop]]\npoints_mm = [[0, 0], [10, 0, 1]]\n").area_mm2 == pytest.approx(pi * 12.5)


def test_rectangle() -> None:
    stock = rectangle(-1, 2, 30, 4, 5.0)
    assert stock.area_mm2 == 120 and stock.top_z_mm == 5.0
    assert stock.loops[0].points_mm.tolist() == [[-1, 2], [29, 2], [29, 6], [-1, 6]]


def test_a_drawing_in_any_order_and_sense() -> None:
    sides = [
        line(10, 0, 0, 0),
        arc(0, 5, 5, 90, 270, "A2"),
        line(0, 10.0006, 10, 10, "A3"),
        line(10, 0, 10, 10, "A4"),
        circle(5, 5, 2),
        polyline([(30, 0), (40, 0, 1)], closed=True, handle="D2"),
    ]
    rng = np.random.default_rng(1)
    for _ in range(5):
        stock = drawn(*(sides[k] for k in rng.permutation(len(sides))))
        assert [(loop.hole, loop.inside) for loop in stock.loops] == [(False, -1), (False, -1), (True, 0)]
        assert stock.area_mm2 == pytest.approx(100 + pi * 12.5 * 2 - pi * 4, abs=0.01)
        assert stock.warnings == ()


def test_an_arc_drawn_all_round_is_a_circle() -> None:
    assert drawn(arc(0, 0, 5, 0, 360)).area_mm2 == pytest.approx(pi * 25)
    assert drawn(arc(0, 0, 5, 0.001, 0)).area_mm2 == pytest.approx(pi * 25)


def test_layers_and_inches() -> None:
    data = dxf(circle(0, 0, 1, layer="stock"), line(5, 5, 6, 6, layer="other"), units=1)
    assert stock_from_drawing(data, "s.dxf", layers=["stock"], top_z_mm=1.0).area_mm2 == pytest.approx(pi * 25.4**2)


SQUARE_LINES = [line(0, 0, 10, 0, "A1"), line(10, 0, 10, 10, "A2"), line(10, 10, 0, 10, "A3")]
DRAWN_REFUSED: list[tuple[str, bytes, str, str]] = [
    (
        "an open outline",
        dxf(*SQUARE_LINES),
        "LINE A1",
        "a gap of 10 mm from X0 Y0 to X0 Y10 (LINE A3); allowed: closed",
    ),
    (
        "a gap",
        dxf(*SQUARE_LINES, line(0, 10, 0.002, 0, "A4")),
        "LINE A1",
        "a gap of 0.002 mm from X0 Y0 to X0.002 Y0 (LINE A4)",
    ),
    ("an open polyline", dxf(polyline([(0, 0), (9, 0), (9, 9)])), "LWPOLYLINE D1", "a gap of 12.73 mm"),
    (
        "a line across",
        dxf(*SQUARE_LINES, line(0, 10, 0, 0, "A4"), line(0, 0, 10, 10, "A5")),
        "LINE A1",
        "3 ends of sides at X0 Y0",
    ),
    ("a line twice", dxf(line(0, 0, 9, 0), line(0, 0, 9, 0, "A2"), line(9, 0, 0, 0, "A3")), "LINE A1", "3 ends"),
    ("only there and back", dxf(line(0, 0, 9, 0), line(9, 0, 0, 0, "A3")), "LINE A1", "without area at X0 Y0"),
    (
        "a figure of eight",
        dxf(polyline([(0, 0), (9, 9), (9, 0), (0, 9)], closed=True)),
        "LWPOLYLINE D1",
        "crosses or touches itself at X4.5 Y4.5",
    ),
    (
        "two circles that cross",
        dxf(circle(0, 0, 5), circle(8, 0, 5, "C2")),
        "CIRCLE C1",
        "two loops that cross or touch at X4 Y",
    ),
    (
        "two circles that touch",
        dxf(circle(0, 0, 5), circle(10, 0, 5, "C2")),
        "CIRCLE C1",
        "two loops that cross or touch at X5 Y0",
    ),
    ("a circle twice", dxf(circle(0, 0, 5), circle(0, 0, 5, "C2")), "CIRCLE C1", "two loops that cross or touch"),
    (
        "a corner on another loop",
        dxf(polyline([(0, 0), (9, 0), (5, 5)], True), polyline([(5, 5), (9, 9), (0, 9)], True, "D2")),
        "LWPOLYLINE D1",
        "4 ends of sides at X5 Y5",
    ),
    (
        "a spike",
        dxf(polyline([(0, 0), (9, 0), (15, 0), (9, 0.0), (9, 9)], True)),
        "LWPOLYLINE D1",
        "4 ends of sides at X9 Y0",
    ),
    (
        "an arc over a side",
        dxf(polyline([(0, 0), (10, 0, -1.5), (10, 10), (0, 10)], True)),
        "LWPOLYLINE D1",
        "crosses or touches itself at X5.83333 Y10",
    ),
    (
        "text",
        dxf(circle(0, 0, 5), "0\nPOINT\n5\nE1\n100\nAcDbEntity\n8\n0\n100\nAcDbPoint\n10\n1\n20\n2\n"),
        "POINT E1",
        "at X1 Y2",
    ),
]


@pytest.mark.parametrize(
    ("data", "where", "words"), [r[1:] for r in DRAWN_REFUSED], ids=[r[0] for r in DRAWN_REFUSED]
)
def test_drawings_of_no_stock(data: bytes, where: str, words: str) -> None:
    with pytest.raises(DocumentError) as caught:
        stock_from_drawing(data, "bad.dxf")
    assert caught.value.where == where and words in str(caught.value), str(caught.value)
    assert str(caught.value).startswith(f"bad.dxf: {where}: found ") and len(str(caught.value)) < 400


TOML_REFUSED: list[tuple[str, str, int, str, str]] = [
    ("nothing", "", 1, "format", "missing"),
    ("another format", 'format = "chiparc setup"\n', 1, "format", "chiparc setup"),
    ("no loops", HEAD + "loop = []\n", 3, "loop", "no loop"),
    ("loops that are none", HEAD + "loop = 5\n", 3, "loop", "[[loop]] tables"),
    ("an unknown key", HEAD + SQUARE + "radius = 5\n", 5, "loop.1.radius", "unknown key"),
    ("neither", HEAD + "[[loop]]\n", 3, "loop.1", "found neither"),
    ("both", HEAD + SQUARE + "circle_mm = [0, 0, 1]\n", 3, "loop.1", "found both"),
    ("one point", HEAD + "[[loop]]\npoints_mm = [[0, 0]]\n", 4, "loop.1.points_mm", "a list of two points"),
    ("no list", HEAD + '[[loop]]\npoints_mm = "0 0"\n', 4, "loop.1.points_mm", '"0 0"'),
    ("a point of one", HEAD + "[[loop]]\npoints_mm = [\n[0, 0],\n[1],\n[2, 3]]\n", 6, "loop.1.points_mm.2", "[x, y]"),
    ("a point of four", HEAD + "[[loop]]\npoints_mm = [[0, 0],\n[1, 2, 3, 4]]\n", 5, "loop.1.points_mm.2", "[x, y]"),
    ("text in a point", HEAD + '[[loop]]\npoints_mm = [[0, 0],\n["1", 2]]\n', 5, "loop.1.points_mm.2", '"1"'),
    ("a truth value", HEAD + "[[loop]]\npoints_mm = [[0, 0],\n[true, 2]]\n", 5, "loop.1.points_mm.2", "true"),
    ("nan", HEAD + "[[loop]]\npoints_mm = [[0, 0],\n[nan, 2]]\n", 5, "loop.1.points_mm.2", "nan"),
    ("too far", HEAD + "[[loop]]\npoints_mm = [[0, 0],\n[100001, 2]]\n", 5, "loop.1.points_mm.2", "100001"),
    ("a circle of two", HEAD + "[[loop]]\ncircle_mm = [0, 0]\n", 4, "loop.1.circle_mm", "[x, y, r]"),
    ("no radius", HEAD + "[[loop]]\ncircle_mm = [0, 0, 0]\n", 4, "loop.1.circle_mm", "0"),
    (
        "a point twice",
        HEAD + "[[loop]]\npoints_mm = [[0, 0],\n[0, 0.0001],\n[1, 1]]\n",
        5,
        "loop.1.points_mm.2",
        "the one before",
    ),
    (
        "a wide arc",
        HEAD + "[[loop]]\npoints_mm = [[0, 0, 1e-7],\n[9e4, 0],[1, 1]]\n",
        4,
        "loop.1.points_mm.1",
        "1e-07",
    ),
    ("no area", HEAD + SQUARE + "[[loop]]\npoints_mm = [[50, 0], [60, 0]]\n", 5, "loop.2", "without area"),
    (
        "a crossing",
        HEAD + SQUARE + "[[loop]]\npoints_mm = [[50, 0], [60, 9], [60, 0], [50, 9]]\n",
        5,
        "loop.2",
        "itself at X55 Y4.5",
    ),
    ("loops that cross", HEAD + SQUARE + "[[loop]]\ncircle_mm = [10, 5, 2]\n", 5, "loop.2", "two loops"),
    (
        "too many sides",
        HEAD + "[[loop]]\npoints_mm = [" + ",\n".join(f"[{i}, {i * i % 7}]" for i in range(MOST_SIDES + 1)) + "]",
        1,
        "loop",
        "up to 10000 sides",
    ),
    ("no TOML", HEAD + "[[loop]\n", 3, "TOML", ""),
]


@pytest.mark.parametrize(
    ("text", "line", "where", "words"), [r[1:] for r in TOML_REFUSED], ids=[r[0] for r in TOML_REFUSED]
)
def test_documents_of_no_stock(text: str, line: int, where: str, words: str) -> None:
    with pytest.raises(DocumentError) as caught:
        read_stock(text, "bad.toml")
    error = caught.value
    assert (
        words in str(error)
        and error.where == where
        and error.line in (line, 3 if where in ("loop", "stock") else line)
    ), str(error)
    assert len(str(error)) < 400


@st.composite
def stars(draw: st.DrawFn) -> Loop:
    """A loop around (3, -2) that cannot cross itself: radii at growing angles, sides flatly bulged."""
    count = draw(st.integers(5, 9))
    radii = [draw(st.floats(5, 10)) for _ in range(count)]
    bulges = [draw(st.one_of(st.just(0.0), st.floats(0.001, 0.15), st.floats(-0.15, -0.001))) for _ in range(count)]
    points = [[3 + r * cos(tau * k / count), -2 + r * sin(tau * k / count)] for k, r in enumerate(radii)]
    return Loop(np.array(points), np.array(bulges))


@given(stars(), st.lists(st.tuples(st.floats(-9, 15), st.floats(-14, 10)), min_size=1, max_size=20))
@settings(max_examples=50)
def test_area_and_inside_agree_with_shapely(loop: Loop, places: list[tuple[float, float]]) -> None:
    shape = Polygon(fine(loop, 200))
    assert loop.area_mm2 == pytest.approx(shape.area, rel=1e-4)
    far = [p for p in places if shape.exterior.distance(Point(p)) > 1e-3]
    assert holds(loop, np.array(far).reshape(-1, 2)).tolist() == [shape.contains(Point(p)) for p in far]


@given(st.lists(st.tuples(st.floats(0, 9), st.floats(0, 9), st.floats(-2, 2)), min_size=3, max_size=7))
@settings(max_examples=80)
def test_crossings_agree_with_shapely(points: list[tuple[float, float, float]]) -> None:
    bulges = [b if abs(b) > 0.05 else 0.0 for *_, b in points]
    loop = Loop(np.array([p[:2] for p in points]), np.array(bulges))
    if np.hypot(*(np.roll(loop.points_mm, -1, 0) - loop.points_mm).T).min() < 0.5:
        return
    corners = loop.points_mm.tolist()
    sides = [
        between(a[0], a[1], b[0], b[1], bulge)
        for a, b, bulge in zip(corners, corners[1:] + corners[:1], bulges, strict=True)
    ]
    found = first_crossing(np.array(sides), np.arange(1, len(sides) + 1) % len(sides))
    ring = LinearRing(fine(loop))
    if found is None:
        assert ring.is_simple
    else:
        assert ring.distance(Point(found[2:])) < 0.01


@given(st.one_of(st.binary(max_size=200), st.text(max_size=200)))
def test_anything_at_all_is_read_or_refused(data: bytes | str) -> None:
    head = (HEAD + SQUARE).encode()
    for text in (data, head + (data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass"))):
        try:
            assert read_stock(text, "any.toml").area_mm2 > 0
        except ChiparcError as error:
            assert str(error).startswith("any.toml") and error.allowed
