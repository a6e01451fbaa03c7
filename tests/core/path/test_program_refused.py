"""Malformed programs are refused with the line and in words; nothing at all makes the reader fail or hang."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.errors import ChiparcError, DocumentError
from core.path import program_text as limits
from core.path.program import read_program

HEAD = "G21 G90 G0 X0 Y0 Z5\nS1000 F100 G1 Z-1\n"

BLOCKS: list[tuple[str, str, str]] = [
    # What stands in line 3 behind HEAD, where and what the refusal says.
    *(
        (f"G{n} X1", f"G{n}", "G word that is not read")
        for n in (5, 10, 28, 33, 41, 50, 52, 53, 68, 81, 83, 92, 93, 98)
    ),
    ("G18", "G18", "plane XY"),
    ("G19", "G19", "plane XY"),
    ("G42 D1", "D1", "letter D"),
    ("G42", "G42", "centre, G40"),
    ("G54.1", "G54.1", "not read"),
    ("G-1", "G-1", "not read"),
    *((f"{c}1", f"{c}1", f"letter {c}") for c in "ABCDEKLQUVW"),
    ("X1E3", "E3", "an exponent"),
    ("H1", "H1", "H without G43"),
    ("P1", "P1", "P without G4"),
    ("X", "X", "X without a number; allowed: a sign, up to 12 digits"),
    ("X Y1", "X", "X without a number"),
    ("X1 Y", "Y", "Y without a number"),
    ("X-", "X-", "X without a number"),
    ("X.", "X.", "X without a number"),
    ("X--1", "X--1", "X without a number"),
    ("X\N{MINUS SIGN}1", "X\N{MINUS SIGN}1", "plain hyphen"),
    ("X1,5", "X1,5", "decimal comma"),
    ("X1.2.3", "X1.2.3", "two points"),
    ("X1234567890123", "X1234567890123", "too many digits"),
    ("X1 5", "5", "number without a letter"),
    ("5", "5", "number without a letter"),
    ("X#5", "X#5", "variable"),
    ("#1=5", "#1=5", "variable"),
    ("X[1+2]", "X[1+2]", "formula"),
    ("O<SUB>", "O<SUB>", "O without a number"),
    ("X\u0661", "X\u0661", "X without a number"),
    ("\u00d8", "\u00d8", "\u00d8, which is no letter"),
    ("X1 \x07", "␇", "0007"),
    ("X1 X2", "block", "X twice, X1 and X2"),
    ("N1 N2", "block", "N twice"),
    ("(open", "comment", "not closed"),
    ("X1 (a) (b", "comment", "(b, which is not closed"),
    ("X1 )", ")", ") without its ("),
    ("X1 /Y2", "/Y2", "/ inside"),
    ("X1 %", "%", "% inside"),
    ("X100000.1", "X", "found X100000.1; allowed: a number from -100000 mm"),
    ("Y-200000", "Y", "Y-200000"),
    ("G20 X4000", "X", "3937 inch"),
    ("G91 X60000 \n X60000", "X", "place X = 120000 mm"),
    ("F0 X1", "F", "found F0; allowed: a feed over 0"),
    ("F-5", "F", "F-5"),
    ("F100001", "F", "F100001"),
    ("S-5", "S", "S-5"),
    ("S1000001", "S", "S1000001"),
    ("G20 G21", "block", "G20 and G21, both of the group of units"),
    ("G0 G1 X1", "block", "G0 and G1"),
    ("G90 G91 X1", "block", "G90 and G91"),
    ("G94 G95", "block", "G94 and G95"),
    ("G70 G71", "block", "units"),
    ("G54 G55", "block", "work offset"),
    ("M3 M4", "block", "M3 and M4"),
    ("M0 M30", "block", "M0 and M30"),
    ("G54 X1\nG55 X2", "G55", "another work offset than G54 in line 3"),
    ("M98", "M98", "subprogram"),
    ("M98 P1000", "P1000", "P without G4"),
    ("M99", "M99", "subprogram"),
    ("G2 X10", "block", "neither centre nor radius in a block of G2"),
    ("G3 Z-2", "block", "neither centre nor radius"),
    ("G2 X10 I5\nX20", "block", "neither centre nor radius"),
    ("G2 X10 I5 R5", "block", "R beside I or J"),
    ("G2 X10 R4.9", "R", "radius of 4.9 mm between ends 10 mm apart; allowed: a radius of 5 mm or more"),
    ("G3 X10 R-4.9", "R", "a radius of 4.9 mm"),
    ("G2 X10 R0", "R", "a radius of 0 mm"),
    ("G2 R5", "R", "end at the start"),
    ("G2 X0 Y0 R5", "R", "end at the start"),
    ("G2 X10 I4.98", "I J", "4.98 mm at the start and 5.02 mm at the end"),
    ("G2 X10 I0 J0", "I J", "a radius of 0 mm"),
    ("G2 X.005 I50", "I J", "no circle near it"),
    ("X1 I1", "I1", "I in a block of G1"),
    ("X1 R1", "R1", "R in a block of G1"),
    ("G4 Y1", "Y1", "Y beside G4"),
    ("G4 S100", "S100", "S beside G4"),
]


def refusal(data: str | bytes) -> DocumentError:
    with pytest.raises(DocumentError) as caught:
        read_program(data.encode() if isinstance(data, str) else data, "bad.nc")
    error = caught.value
    assert error.allowed and "\n" not in str(error) and len(str(error)) < 400
    return error


@pytest.mark.parametrize(("block", "where", "words"), BLOCKS, ids=[b[0] for b in BLOCKS])
def test_a_malformed_block_is_refused_with_its_line(block: str, where: str, words: str) -> None:
    error = refusal(HEAD + block + "\nX50\n")
    line = 3 + block.count("\n")
    assert (error.line, error.where) == (line, where), str(error)
    assert words in str(error) and str(error).startswith(f"bad.nc:{line}: {where}: found ")


WHOLE: list[tuple[str, bytes, int, str]] = [
    ("empty", b"", 1, "found no motion"),
    ("comments only", b"(a)\n(b)\n%\n", 3, "found no motion"),
    ("one place", b"G21 G0 X0 Y0\nM30\n", 2, "found no motion"),
    ("only heights", b"G21 G0 Z5\nZ-1\n", 2, "found no motion"),
    ("zero bytes", HEAD.encode() + b"X1\0\n", 3, "zero byte"),
    ("a picture", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 3, "zero byte"),
    ("half a letter of UTF-16", b"\xff\xfe" + "X1\nX2\n".encode("utf-16-le") + b"X", 3, "no UTF-16"),
    ("broken UTF-8 behind its mark", b"\xef\xbb\xbfX1\n\xff", 2, "no UTF-8"),
    ("prose", b"To whom it may concern\n", 1, "found T without a number"),
    ("a document", b'format = "chiparc setup"\n', 1, "found f without a number"),
]


@pytest.mark.parametrize(("data", "line", "words"), [w[1:] for w in WHOLE], ids=[w[0] for w in WHOLE])
def test_what_is_no_program_is_refused(data: bytes, line: int, words: str) -> None:
    error = refusal(data)
    assert error.line == line and words in str(error)


def test_a_program_over_its_size_is_refused_unread() -> None:
    assert "30 million bytes" in str(refusal(b"X" * (limits.LARGEST_PROGRAM + 1)))


def test_more_lines_than_the_limit_are_refused_unread() -> None:
    assert "found 1500001 lines" in str(refusal(b"\n" * limits.MOST_LINES))


def test_more_moves_than_the_limit_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("core.path.program.MOST_MOVES", 10)
    error = refusal(HEAD + "".join(f"X{n}\n" for n in range(1, 20)))
    assert error.line == 12 and "more than 10 moves" in str(error)


@pytest.mark.parametrize(
    "text",
    [
        "(" * 19_000,
        "()" * 9_500 + ")",
        "G" * 19_000,
        "X1" * 9_500,
        "9" * 19_000,
        " " * 19_000 + "!",
        "X" + "-" * 19_000,
    ],
)
def test_long_lines_cost_no_more_than_their_length(text: str) -> None:
    # A reader that goes back over the line at each step would need seconds for each of these, minutes for a file.
    assert refusal(HEAD + text).line == 3


def test_a_line_over_its_length_is_refused() -> None:
    error = refusal(HEAD + "M8" * 10_001)
    assert error.line == 3 and "a line of 20002 letters; allowed: lines of up to 20000" in str(error)


_WORDS = """G0 G1 G2 G3 G4 G20 G21 G90 G91 G95 X10 X-3.5 Y7 Y0 Z-1 I5 J-5 R10 R-9 F100 S900 M3 M30 T1 N5"""
_PIECES = st.lists(
    st.sampled_from([*_WORDS.split(" "), *"/%();,.-# \n\ré", "\r\n"]),
    max_size=40,
)


@given(st.one_of(st.binary(max_size=300), st.text(max_size=300), _PIECES.map("".join), _PIECES.map(" ".join)))
def test_anything_at_all_is_read_or_refused(data: bytes | str) -> None:
    raw = data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass")
    for whole in (raw, HEAD.encode() + raw):
        try:
            program = read_program(whole, "any.nc")
        except ChiparcError as error:
            assert str(error).startswith("any.nc") and error.allowed
        else:
            assert len(program.moves) and (program.moves.line > 0).all()
