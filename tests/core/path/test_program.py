"""Programs as moves: every rule of what is read, what is doubtful, and where the cutter then is."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from core.path.iso_words import lines_of
from core.path.moves import ARC, LINE, RAPID, Program
from core.path.program import read_program

HEAD = "G21 G90 G0 X0 Y0 Z5\nS1000 F100 G1 Z-1\n"
"""Two lines: the cutter stands at X0 Y0 Z-1 at feed."""


def read(text: str | bytes, **given: object) -> Program:
    """A program as read; text in UTF-8."""
    return read_program(text.encode() if isinstance(text, str) else text, "a.nc", **given)  # type: ignore[arg-type]


def ends(text: str, **given: object) -> list[tuple[float, ...]]:
    """Ends of the moves behind HEAD."""
    return [tuple(row) for row in read(HEAD + text, **given).moves.end_mm[1:].tolist()]


def warned(text: str, **given: object) -> dict[int | None, str]:
    """Warnings by their line, each of which has one."""
    found = read(text, **given).warnings
    assert len(dict(found)) == len(found)
    return dict(found)


def test_a_whole_program() -> None:
    text = (
        "%\nO1234 (POCKET)\nN10 G21 G90 G17 G40 G49 G80 G94 G54 G64\nN20 T1 M6\nN30 G43 H1 Z50.\nN40 S8000 M3 M8\n"
        "N50 G0 X-5 Y0\nN60 Z2\nN70 G1 Z-3 F200\nN80 X20 F600 (in)\nN90 G3 X30 Y10 I0 J10\nN100 G1 Y.5\n"
        "N110 G4 P500\nN120 G0 Z50 M9\nN130 G49 M5\nN140 M30\n%\n"
    )
    program = read(text)
    moves = program.moves
    assert program.warnings == () and program.units == "mm" and program.has_z and program.chains is None
    assert moves.line.tolist() == [8, 9, 10, 11, 12, 14]
    assert moves.kind.tolist() == [RAPID, LINE, LINE, ARC, LINE, RAPID]
    assert moves.start_mm[2:5].tolist() == [[-5, 0, -3], [20, 0, -3], [30, 10, -3]]
    assert moves.end_mm[2:5].tolist() == [[20, 0, -3], [30, 10, -3], [30, 0.5, -3]]
    assert moves.feed_mm_min[1:5].tolist() == [200, 600, 600, 600] and set(moves.speed_rpm) == {8000}
    assert moves.clear.tolist() == [True, False, False, False, False, False]
    assert moves.centre_mm[3].tolist() == [20, 10] and moves.sweep_rad[3] == pytest.approx(pi / 2)
    assert program.length_mm == pytest.approx(25 + 10 * pi / 2 + 9.5)


def test_arrays_are_read_only() -> None:
    moves = read(HEAD + "X1").moves
    for array in (moves.kind, moves.start_mm, moves.centre_mm, moves.length_mm, moves.feed_mask):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0


def test_absolute_and_incremental() -> None:
    assert ends("X10\nG91 X5 Y2\nX5\nG90 X1\n") == [(10, 0, -1), (15, 2, -1), (20, 2, -1), (1, 2, -1)]


def test_the_first_words_of_an_axis_are_no_move() -> None:
    moves = read("G21 G1 X10 Y5 F100\nX20\n").moves
    assert moves.start_mm[:, :2].tolist() == [[10, 5]] and moves.end_mm[:, :2].tolist() == [[20, 5]]
    moves = read("G21 G0 X10\nY5\nG1 X20 F100\n").moves
    assert moves.start_mm[:, :2].tolist() == [[10, 5]]


def test_an_axis_never_told_is_at_zero_with_a_warning() -> None:
    text = "G21 G0 X10\nG1 F100 X20\nX30\n"
    assert read(text).moves.start_mm[:, :2].tolist() == [[10, 0], [20, 0]]
    assert warned(text)[2].startswith("Y has not been told")


def test_distances_from_nowhere_count_from_zero_with_a_warning() -> None:
    text = "G21 G91 G1 F100\nX10\nY10\n"
    assert read(text).moves.end_mm[:, :2].tolist() == [[10, 0], [10, 10]]
    assert "G91" in warned(text)[2]


def test_inch_words_either_way_round_in_the_block() -> None:
    for word in ("G20", "G70"):
        program = read(f"{word}\nG0 X0 Y0 Z1\nG1 F10 Z-.1\nX1 Y2\n")
        assert program.units == "inch"
        assert program.moves.end_mm[-1].tolist() == pytest.approx([25.4, 50.8, -2.54])
        assert program.moves.feed_mm_min[-1] == pytest.approx(254)
    assert read("G0 X1 Y1 G20\nG1 X2 F1\n").moves.end_mm[0, 0] == pytest.approx(50.8)
    for word in ("G21", "G71"):
        assert read(f"{word} G0 X0 Y0\nG1 X1 F10\n").units == "mm"


def test_units_that_change_hold_for_their_own_blocks_with_a_warning() -> None:
    text = HEAD + "X10\nG20 X1\nG21 X1\n"
    assert ends("X10\nG20 X1\nG21 X1\n") == [(10, 0, -1), (25.4, 0, -1), (1, 0, -1)]
    assert [line for line, sentence in read(text).warnings if "Units change" in sentence] == [4, 5]


def test_no_units_word_is_mm_with_a_warning() -> None:
    assert "mm are taken" in warned("(a)\nG0 X0 Y0\nG1 X1 F10\n")[2]


def test_feed_by_turn_follows_the_speed() -> None:
    moves = read(HEAD + "G95 F.2 X1\nS2000\nX2\nG94 F50 X3\n").moves
    assert moves.feed_mm_min[1:].tolist() == [200, 400, 50]
    text = "G21 G95 G0 X0 Y0\nG1 F.1 X1\n"
    assert read(text, speed_rpm=3000).moves.feed_mm_min.tolist() == pytest.approx([300])
    assert np.isnan(read(text).moves.feed_mm_min[0]) and "no F" in warned(text)[2]


def test_a_feed_of_the_other_kind_is_forgotten() -> None:
    found = warned(HEAD + "X1\nG95 X2\n")
    assert list(found) == [4] and "no F" in found[4]


def test_a_first_move_without_feed_is_warned_of_once() -> None:
    program = read("G21 G0 X0 Y0\nG1 X1\nX2\nF50 X3\n")
    assert [line for line, _ in program.warnings] == [2]
    assert np.isnan(program.moves.feed_mm_min[:2]).all() and program.moves.feed_mm_min[2] == 50


def test_no_speed_and_speed_zero_are_unknown() -> None:
    assert np.isnan(read("G21 G0 X0 Y0\nG1 X1 F10\n").moves.speed_rpm[0])
    assert np.isnan(read(HEAD + "S0 X1\n").moves.speed_rpm[1])


def test_a_program_without_heights_cuts_in_feed_moves_and_is_lifted_in_rapid_ones() -> None:
    program = read("G21 G0 X0 Y0\nG1 X9 F100\nG2 X19 I5\nG0 X0 Y0\n", top_z_mm=3.0)
    assert not program.has_z and program.moves.clear.tolist() == [False, False, True]
    assert set(program.moves.end_mm[:, 2]) == {3.0}


def test_before_the_first_height_the_cutter_is_clear() -> None:
    program = read("G21 G0 X0 Y0\nG1 X9 F100\nX20 Z-2\nX30\n")
    assert program.has_z and program.moves.clear.tolist() == [True, False, False]
    assert program.moves.start_mm[:, 2].tolist() == [0, 0, -2]
    high = read("G21 G0 X0 Y0\nX9\nZ7\nG1 F9 Z-2\nX0\n").moves
    assert high.start_mm[:, 2].tolist() == [7, 7, -2] and high.clear.tolist() == [True, False, False]


def test_clear_at_the_top_and_above() -> None:
    moves = read("G21 G0 X0 Y0 Z9\nG1 F9 X1\nZ4\nX2\nZ3.9\nX3\nZ9\n", top_z_mm=4.0).moves
    assert moves.clear.tolist() == [True, True, True, False, False, False]


def test_a_plunge_and_a_ramp_have_their_heights() -> None:
    moves = read(HEAD + "Z-2\nX10 Z-4\n").moves
    assert moves.start_mm[1:].tolist() == [[0, 0, -1], [0, 0, -2]] and moves.end_mm[2].tolist() == [10, 0, -4]
    assert moves.length_mm[1:].tolist() == [0, 10]


def test_blocks_that_go_nowhere_are_no_moves() -> None:
    assert read(HEAD + "X0\nX0 Y0 Z-1\nX5\nG1\nX5\n").moves.line.tolist() == [2, 5]


def test_coordinates_before_a_motion_word_are_rapid_with_a_warning() -> None:
    text = "G21 X0 Y0\nX5\nG1 X9 F100\n"
    assert read(text).moves.kind.tolist() == [RAPID, LINE]
    assert "G0 is taken" in warned(text)[2]


def test_dwell_words_are_a_time() -> None:
    assert ends("X1\nG4 X5\nG4 F3\nG04 P1000\nX2\n") == [(1, 0, -1), (2, 0, -1)]
    assert set(read(HEAD + "X1\nG4 F3\nX2\n").moves.feed_mm_min) == {100}


_IDLE = "G17 G40 G49 G43H2 G80 G94 G90 G54 G9 G61 G64 N5 M0 M1 M3 M5 M6 M7 M8 M9 T1 O77 :5 G01 G1.0"


@pytest.mark.parametrize("word", [*_IDLE.split(" ")])
def test_words_that_change_no_motion(word: str) -> None:
    text = f"{HEAD}{word}\nX5 Y6\n"
    assert read(text).moves.end_mm[-1].tolist() == [5, 6, -1] and read(text).warnings == ()


@pytest.mark.parametrize("word", ["G54", "G57", "G59"])
def test_one_work_offset_may_come_again(word: str) -> None:
    assert ends(f"{word}\nX1\n{word}\nX2\n") == [(1, 0, -1), (2, 0, -1)]


def test_motion_is_modal() -> None:
    moves = read(HEAD + "X5\nG2 X15 I5\nX25 I5\nG1 X30\n").moves
    assert moves.kind[1:].tolist() == [LINE, ARC, ARC, LINE]


@pytest.mark.parametrize(("word", "line"), [("M42", 3), ("M99.5", 3), ("M10", 3)])
def test_an_unknown_m_word_is_passed_over_with_a_warning(word: str, line: int) -> None:
    assert word in warned(f"{HEAD}{word}\nX1\n")[line]


def test_another_tool_is_warned_of() -> None:
    found = warned(HEAD + "T1 M6\nX1\nT2 M6\nX2\nT2\n")
    assert list(found) == [5, 7] and "T2" in found[5] and "T1" in found[5]


def test_the_wrong_way_round_is_warned_of() -> None:
    assert "M4" in warned(HEAD + "M4\nX1\n")[3]
    assert "M3" in warned(HEAD + "M3\nX1\n", left_hand=True)[3]
    assert not warned(HEAD + "M3\nX1\n") and not warned(HEAD + "M4\nX1\n", left_hand=True)


@pytest.mark.parametrize("block", ["/X5", "/ X5", "/1 X5", "N7 /X5", " /N7 X5"])
def test_a_block_to_be_skipped_is_cut_with_a_warning(block: str) -> None:
    assert ends(block) == [(5, 0, -1)]
    assert "/" in warned(HEAD + block)[3]


@pytest.mark.parametrize("end", ["M2", "M30", "M02", "%"])
def test_words_behind_the_end_are_not_read(end: str) -> None:
    text = f"%\n{HEAD}X5\n{end}\nX9\nX8\n"
    assert read(text).moves.end_mm[-1].tolist() == [5, 0, -1]
    assert "not read" in warned(text)[6]


def test_many_warnings_of_one_kind_are_counted() -> None:
    found = read(HEAD + "".join(f"/X{n}\n" for n in range(1, 251))).warnings
    assert len(found) == 101 and found[-1] == (None, "150 more warnings like these are not listed.")


def test_a_program_that_only_positions_is_warned_of() -> None:
    assert "cuts nothing" in warned("G21 G0 X0 Y0\nX5\n")[None]


@pytest.mark.parametrize(
    "text",
    [
        "X5Y-.5",
        "x5 y-.5",
        "X5.Y-0.50",
        "X+5. Y-00.5",
        "X 5 Y -.5",
        "\tX5\tY-.5  ",
        "(a) X5 (b) Y-.5 (c)",
        "X5 Y-.5 ; (open",
        "X5 Y-.5 (;)",
        "N0010X5Y-.5",
        "(caf\xe9 \u2192 10 \u20ac)X5Y-.5",
        "Y-.5\fX5".replace("\f", " "),
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_way_of_writing_the_same(text: str, encoding: str, end: str) -> None:
    moves = read(f"{HEAD}{text}\n".replace("\n", end).encode(encoding)).moves
    assert moves.end_mm[-1].tolist() == [5, -0.5, -1] and moves.line[-1] == 3


@pytest.mark.parametrize("encoding", ["latin-1", "cp1252"])
def test_older_encodings_in_comments(encoding: str) -> None:
    text = f"{HEAD}(Schl\xfcssel \xb0)\nX5\n"
    assert read(text.encode(encoding)).moves.line[-1] == 4
    assert read(HEAD.encode() + b"(\x80\x81\xff)\nX5\n").moves.line[-1] == 4


def test_lines_count_as_in_an_editor() -> None:
    assert lines_of("a\r\nb\rc\n\nd\x0be\u2028f") == ["a", "b", "c", "", "d\x0be\u2028f"]
    moves = read("\n\r\n\r" + HEAD + "\n(x)\n\rX5").moves
    assert moves.line.tolist() == [5, 9]


def test_a_text_ends_with_its_last_line_or_with_a_mark() -> None:
    assert read(HEAD + "X5").moves.line[-1] == 3
    assert read(HEAD + "X5\n\x1a").moves.line[-1] == 3
