"""Other feeds in a program: those that were asked for, and not a byte besides."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.base.errors import ChiparcError, DocumentError
from core.path.feed_words import with_feeds
from core.path.program import read_program

HEAD = "G21 G90 G0 X0 Y0 Z5\nS1000 F100 G1 Z-1\n"
NAN = float("nan")


def changed(text: str, feeds: dict[int, float], **given: float) -> str:
    """The program with feeds by line."""
    data = text.encode()
    lines = read_program(data, "a.nc").moves.line
    wanted = np.array([feeds.get(line, NAN) for line in lines.tolist()])
    return with_feeds(data, "a.nc", wanted, **given).decode()


@pytest.mark.parametrize(
    ("text", "feeds", "wanted"),
    [
        ("X1 F200\n", {3: 250}, "X1 F250\n"),
        ("X1 F200 (F200)\n", {3: 250}, "X1 F250 (F200)\n"),
        ("F200X1;F200\n", {3: 250}, "F250X1;F200\n"),
        ("X1\n", {3: 250}, "X1F250\n"),
        ("X1 Y2\n", {3: 250}, "X1 Y2 F250\n"),
        ("X1Y2  (c)\n", {3: 250}, "X1Y2F250  (c)\n"),
        ("x1 y2\n", {3: 250}, "x1 y2 f250\n"),
        ("X1\nX2\n", {3: 250}, "X1F250\nX2F100\n"),
        ("X1\nX2\n", {4: 250}, "X1\nX2F250\n"),
        ("X1\nX2\nX3\n", {3: 250, 4: 250, 5: 250}, "X1F250\nX2\nX3\n"),
        ("X1\nG0 X2\nG1 X3\n", {3: 250}, "X1F250\nG0 X2\nG1 X3 F100\n"),
        ("X1\nG0 X2 F300\nX3\nG1 X4\n", {3: 250}, "X1F250\nG0 X2 F300\nX3\nG1 X4\n"),
        ("X1\nG4 F2\nX2\n", {3: 250, 5: 250}, "X1F250\nG4 F2\nX2\n"),
        ("X1\nF300\nX2\n", {3: 250}, "X1F250\nF300\nX2\n"),
        ("X1\nM30\nX2 F5\n", {3: 250}, "X1F250\nM30\nX2 F5\n"),
        ("/N5 X1\n", {3: 250}, "/N5 X1 F250\n"),
        ("X1\n", {3: 1234.5678}, "X1F1235\n"),
        ("X1\n", {3: 87.65432}, "X1F87.65\n"),
        ("X1\n", {3: 0.0123456}, "X1F0.01235\n"),
        ("G20 X1\n", {3: 254}, "G20 X1 F10\n"),
        ("G95 F.1 X1\n", {3: 250}, "G95 F0.25 X1\n"),
        ("X1 F200\n", {3: 200}, "X1 F200\n"),
    ],
)
def test_words_are_changed_where_they_must_be(text: str, feeds: dict[int, float], wanted: str) -> None:
    assert changed(HEAD + text, feeds) == HEAD + wanted


def test_feeds_have_a_point_where_the_program_writes_one() -> None:
    assert changed(HEAD.replace("F100", "F100.") + "X1\nX2\n", {3: 250}).endswith("X1F250.\nX2F100.\n")


def test_a_program_without_feeds_can_be_given_some() -> None:
    text = "G21 G0 X0 Y0\nG1 X1\nX2\n"
    assert changed(text, {2: 250, 3: 300}) == "G21 G0 X0 Y0\nG1 X1 F250\nX2F300\n"


def test_feed_by_turn_needs_a_speed() -> None:
    text = "G21 G95 G0 X0 Y0\nG1 X1\n"
    with pytest.raises(DocumentError, match=r"a\.nc:2: F: found F per turn"):
        changed(text, {2: 250})
    assert changed(text, {2: 250}, speed_rpm=1000).endswith("X1 F0.25\n")


@pytest.mark.parametrize("feed", [0.0, -1.0, 100_001.0, float("inf")])
def test_feeds_that_no_program_can_have(feed: float) -> None:
    with pytest.raises(ChiparcError, match="for line 3; allowed: feeds over 0 up to 100000"):
        changed(HEAD + "X1\n", {3: feed})


def test_one_feed_for_each_move() -> None:
    with pytest.raises(ChiparcError, match="found 7 of them; allowed: 2, one for each move"):
        with_feeds((HEAD + "X1\n").encode(), "a.nc", np.full(7, NAN))


_BLOCKS = st.sampled_from(
    [
        "X1",
        "x2 y1 f50",
        "X3 F200. (F1)",
        "G0 X4 F77",
        "G1 Y5",
        "G2 I3",
        "G3 X9 Y9 R90 F1.5",
        "G1 X1.5",
        "F60",
        "G4 F2",
        "; F3",
        "",
        "Z-2",
        "G20",
        "G21",
        "G95 F.2",
        "G94 F90",
        "S2000",
        "/X7",
        "(\xe9)",
    ]
)


@given(
    st.lists(st.tuples(_BLOCKS, st.sampled_from(["\n", "\r\n", "\r"])), min_size=1, max_size=25),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "latin-1"]),
    st.data(),
)
@settings(max_examples=80)
def test_the_copy_has_these_feeds_and_the_rest_byte_for_byte(
    blocks: list[tuple[str, str]], encoding: str, data: st.DataObject
) -> None:
    text = HEAD + "X0.1\n" + "".join(block + end for block, end in blocks)
    source = text.encode(encoding)
    try:
        before = read_program(source, "a.nc").moves
    except ChiparcError:
        return  # such as an arc through itself after a switch to inches
    feeds = np.array(
        data.draw(st.lists(st.one_of(st.just(NAN), st.floats(1, 9999)), min_size=len(before), max_size=len(before)))
    )
    assert with_feeds(source, "a.nc", np.full(len(before), NAN)) == source
    copy = with_feeds(source, "a.nc", feeds)
    after = read_program(copy, "a.nc").moves
    for name in ("kind", "start_mm", "end_mm", "centre_mm", "sweep_rad", "speed_rpm", "line", "clear"):
        np.testing.assert_array_equal(getattr(after, name), getattr(before, name))
    fed = before.feed_mask & ~np.isnan(before.feed_mm_min)
    wanted = np.where(np.isnan(feeds), before.feed_mm_min, feeds)
    np.testing.assert_allclose(after.feed_mm_min[fed], wanted[fed], rtol=6e-4)

    def without(raw: bytes) -> str:
        return re.sub(r" ?[Ff][0-9.]+", "", raw.decode(encoding))

    assert without(copy) == without(source)
