"""Files of mean forces: every legal form reads the same, every wrong one is refused with line and column."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.errors import DocumentError
from core.base.places import shared
from core.calibration.calibration_file import COLUMNS, read_mean_forces, wanted
from core.documents.document_text import LARGEST, load_text

HEAD = "feed_per_tooth_mm,mean_fx_n,mean_fy_n,mean_fz_n"
GOOD = f"{HEAD}\n0.05,-60.5,-30.25,5.5\n0.1,-90.5,-40,7.5\n"
FEED, FORCES = [0.05, 0.1], [[-60.5, -30.25, 5.5], [-90.5, -40.0, 7.5]]


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        "\ufeff" + GOOD,
        GOOD.replace("\n", "\r\n"),
        GOOD.replace("\n", "\r"),
        GOOD.rstrip("\n"),
        GOOD.replace(",", "\t"),
        GOOD.replace(",", ";"),
        GOOD.replace(",", ";").replace(".", ","),
        GOOD.replace(",", "\t").replace(".", ","),
        GOOD.replace(",", " , "),
        f"# rig 2, dry; \t tab\n\n{GOOD}\n  # the end\n\n",
        GOOD.upper(),
        GOOD.replace("0.05", "5e-2").replace("7.5", "+.75E1"),
        GOOD.replace("-", "\N{MINUS SIGN}"),
        '"feed_per_tooth_mm","mean_fx_n","mean_fy_n","mean_fz_n"\n"0.05","-60.5","-30.25","5.5"\n0.1,-90.5,-40,7.5\n',
        "mean_fz_n,mean_fy_n,feed_per_tooth_mm,mean_fx_n\n5.5,-30.25,0.05,-60.5\n7.5,-40,0.1,-90.5\n",
    ],
)
def test_every_form_of_the_same_figures(text: str) -> None:
    for data in (text, text.encode("utf-8")):
        got = read_mean_forces(data, "rig.csv")
        assert got.feed.tolist() == FEED and got.forces.tolist() == FORCES and got.axial


def test_forces_on_the_work_are_turned() -> None:
    got = read_mean_forces(GOOD.replace("5.5", "0"), "rig.csv", on_work=True)
    assert np.array_equal(got.forces, [[60.5, 30.25, 0.0], [90.5, 40.0, -7.5]])
    assert not np.signbit(got.forces[0, 2])


def test_axial_forces_may_be_missing() -> None:
    got = read_mean_forces("feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.1,1,2\n0.2,3,4\n", "xy.csv")
    assert not got.axial and np.isnan(got.forces[:, 2]).all()


def test_the_example_says_that_it_is_invented() -> None:
    text = load_text(str(shared("calibration", "slots.csv")), wanted())
    assert "invented" in text.splitlines()[0].lower()
    assert len(read_mean_forces(text, "slots.csv").feed) == 6


COMMA = "decimal commas want semicolons"
XY = "feed_per_tooth_mm,mean_fx_n,mean_fy_n"
REFUSED: list[tuple[str, bytes | str, int, str, str]] = [
    ("empty", b"", 0, "file", "no line with figures"),
    ("only a mark", b"\xef\xbb\xbf", 0, "file", "no line with figures"),
    ("blank and comment lines only", "\n# a\n   \n", 0, "file", "no line with figures"),
    ("no heading", "0.05,1,2,3\n0.1,1,2,3\n", 1, "heading", "no heading"),
    ("heading only", HEAD + "\n", 1, "feed_per_tooth_mm", "no rows at no feeds"),
    ("heading in words", "feed,Fx,Fy\n0.1,1,2\n0.2,1,2\n", 1, "heading", 'unknown column "feed"'),
    ("near a name", f"{XY},mean_f_n\n0.1,1,2,3\n", 1, "heading", "did you mean that?"),
    ("a column without a name", f"{XY},\n0.1,1,2,\n", 1, "heading", "without a name"),
    ("a comment after the heading", f"{HEAD} # N\n0.1,1,2,3\n", 1, "heading", "mean_fz_n # n"),
    ("no feed", "mean_fx_n,mean_fy_n\n1,2\n3,4\n", 1, "feed_per_tooth_mm", "missing"),
    ("no fy", "feed_per_tooth_mm,mean_fx_n,mean_fz_n\n0.1,1,2\n", 1, "mean_fy_n", "missing beside"),
    ("a column twice", f"{XY},mean_fy_n\n0.1,1,2,3\n", 1, "mean_fy_n", "2 times"),
    ("too few cells", f"{XY}\n0.1,1\n", 2, "row", "2 cells; allowed: 3"),
    ("one cell", f"{XY}\n\n0.1\n", 3, "row", "1 cell; allowed: 3"),
    ("too many cells", f"{XY}\n0.1,1,2\n0.2,1,2,3\n", 3, "row", "4 cells"),
    ("decimal commas between commas", f"{XY}\n0,1,1,5,2,5\n", 2, "row", COMMA),
    ("a decimal comma in quotes", f'{XY}\n"0,1",1,2\n', 2, "feed_per_tooth_mm", COMMA),
    ("quotes that do not match", f'{XY}\n0.1,"1,2\n', 2, "row", "quotes"),
    ("text in a number", f"{XY}\n# a note\n0.1,1,2\n0.2,x,2\n", 4, "mean_fx_n", 'found "x"'),
    ("a unit", f"{XY}\n0.1,1,2 N\n0.2,1,2\n", 2, "mean_fy_n", '"2 N"; allowed: a number such as 12.5, without unit'),
    ("an empty cell", f"{XY}\n0.1,1,\n0.2,1,2\n", 2, "mean_fy_n", "an empty cell"),
    ("nan", f"{XY}\n0.1,1,2\n0.2,nan,2\n", 3, "mean_fx_n", '"nan"'),
    ("inf", f"{XY}\n0.1,1,2\n0.2,1,-inf\n", 3, "mean_fy_n", '"-inf"'),
    ("beyond all bounds", f"{XY}\n0.1,1,2\n0.2,1,1e999\n", 3, "mean_fy_n", "10,000,000"),
    ("an underscore", f"{XY}\n0.1,1_000,2\n", 2, "mean_fx_n", '"1_000"'),
    ("figures of another script", f"{XY}\n0.1,١٢,2\n", 2, "mean_fx_n", '"١٢"'),
    ("a formula", f"{XY}\n0.1,=A1,2\n", 2, "mean_fx_n", '"=A1"'),
    ("thousands", f"{XY}\n0.1;1.234,5;2\n".replace(",m", ";m"), 2, "mean_fx_n", "12,5, without unit or thousands"),
    ("two decimal marks", f"{XY}\n0,1;1;2\n0.2;3;4\n".replace(",m", ";m"), 3, "feed_per_tooth_mm", "as in line 2"),
    ("a negative feed", f"{XY}\n-0.1,1,2\n0.2,1,2\n", 2, "feed_per_tooth_mm", '"-0.1"; allowed: a number over 0'),
    ("no feed at all", f"{XY}\n0,1,2\n0.2,1,2\n", 2, "feed_per_tooth_mm", "over 0"),
    ("a feed beyond the cutter", f"{XY}\n0.1,1,2\n6.1,1,2\n", 3, "feed_per_tooth_mm", "up to 6"),
    ("one row", f"{XY}\n0.1,1,2\n", 2, "feed_per_tooth_mm", "1 row at 1 feed; allowed: rows at two different"),
    ("one feed", f"{XY}\n0.1,1,2\n0.1,2,3\n\n", 3, "feed_per_tooth_mm", "2 rows at 1 feed"),
    ("feeds all but the same", f"{XY}\n0.1,1,2\n0.10000000001,2,3\n", 3, "feed_per_tooth_mm", "2 rows at 1 feed"),
    ("not UTF-8", f"# Fräser\n{GOOD}".encode("latin-1"), 1, "file", "0xE4, which is not UTF-8"),
    ("UTF-16", GOOD.encode("utf-16"), 1, "file", "UTF-16"),
    ("binary", GOOD.encode() + b"\x89PNG\0\1", 4, "file", "binary file; allowed: a text file of columns"),
    ("too large", GOOD.encode() + b" " * LARGEST, 0, "file", "bytes"),
    ("a cell without end", f"{XY}\n0.1,{'1' * 200_000},2\n", 2, "mean_fx_n", "200,000 characters"),
    ("another format", '{"feed": 0.1}\n', 1, "heading", "unknown column"),
    ("line separators inside a row", f"{XY}\n0.1,1\u2028,2,3\n", 2, "row", "4 cells"),
]


@pytest.mark.parametrize(("data", "line", "where", "word"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_refused_in_words(data: bytes | str, line: int, where: str, word: str) -> None:
    with pytest.raises(DocumentError) as caught:
        read_mean_forces(data, "bad.csv", most_feed_mm=6.0)
    error = caught.value
    assert (error.line, error.where) == (line, where), str(error)
    assert word in str(error) and error.allowed
    assert str(error).startswith(f"bad.csv:{line}: " if line else "bad.csv: ")
    lines = str(error).splitlines()
    assert len(lines) == len(error.faults) and max(map(len, lines)) < 400


def test_every_fault_of_a_file_is_told_with_its_line() -> None:
    text = f"{XY}\n0.1,x,2\n0.2,1\n0.3,,nan\n99,1,2\n"
    with pytest.raises(DocumentError) as caught:
        read_mean_forces(text, "rig.csv", most_feed_mm=6.0)
    told = [(fault.line, fault.where) for fault in caught.value.faults]
    expected = [(2, "mean_fx_n"), (3, "row"), (4, "mean_fx_n"), (4, "mean_fy_n"), (5, "feed_per_tooth_mm")]
    assert told == expected
    with pytest.raises(DocumentError) as caught:
        read_mean_forces("feed,feed,mean_fz_n\n1,2,3\n", "rig.csv")
    assert [fault.where for fault in caught.value.faults] == ["heading", *COLUMNS[:3]]


@given(st.one_of(st.binary(max_size=200), st.text(max_size=200)))
def test_anything_at_all_is_read_or_refused(data: bytes | str) -> None:
    for text in (data, GOOD.encode() + data if isinstance(data, bytes) else GOOD + data):
        try:
            assert np.isfinite(read_mean_forces(text, "any.csv").feed).all()
        except DocumentError as error:
            assert str(error).startswith("any.csv") and error.allowed


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    for path, word in ((tmp_path, "a folder"), (tmp_path / "none.csv", "no such file")):
        with pytest.raises(DocumentError, match=word):
            load_text(str(path), wanted())
