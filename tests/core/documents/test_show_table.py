"""The table ``[show]`` of a document: read strictly, written back, and without a bearing on any figure."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.base.errors import ChiparcError
from core.documents.setup_examples import example
from core.documents.setup_reading import problems, read_setup
from core.documents.setup_writing import write_setup
from core.report.report import report
from core.setup.setup_limits import CHOICES, check_setup
from core.setup.show import CHARTS, CURVES, ELEMENTS, LONGEST_LINE, PAGES, Show
from tests.documents_refused.setups import GOOD

shows = st.builds(
    Show,
    line=st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=40),
    page=st.sampled_from(PAGES),
    strips=st.lists(st.sampled_from((*CURVES, *CHARTS)), unique=True).map(tuple),
    pair=st.booleans(),
    frame=st.sampled_from((None, *CHOICES["show.frame"])),
    angle_deg=st.none() | st.floats(-360.0, 360.0),
    panel=st.sampled_from(CHOICES["show.panel"]),
    hidden=st.lists(st.sampled_from(ELEMENTS), unique=True).map(tuple),
    motion=st.sampled_from(CHOICES["show.motion"]),
)


@settings(max_examples=25)
@given(shows, shows)
def test_a_view_is_written_and_read_back_and_changed_in_place(first: Show, second: Show) -> None:
    setup = replace(read_setup(GOOD, "x"), show=first)
    text = write_setup(setup, GOOD)
    assert read_setup(text, "x").show == first
    again = write_setup(replace(setup, show=second), text + "\n# my own comment\n")
    assert read_setup(again, "x").show == second and again.endswith("# my own comment\n")
    assert "[show]" in again or second == Show()


def test_a_view_changes_no_figure() -> None:
    setup = example("boss").setup()
    plain = replace(setup, show=Show())
    looked = replace(setup, show=Show(strips=("chip", "wall"), hidden=("verdict",), angle_deg=91.0, pair=True))
    assert report(plain) == report(looked)


REFUSED = (
    ('page = "plan"', "show.page", '"arc"'),
    ('strips = ["chip", "heat"]', "show.strips", "temperature"),
    ('strips = ["chip", "chip"]', "show.strips", "at most once"),
    ('strips = "chip"', "show.strips", "a list of names"),
    ('hidden = ["answer"]', "show.hidden", "verdict"),
    ('pair = "yes"', "show.pair", "true or false"),
    ("pair = 1", "show.pair", "true or false"),
    ('frame = "near"', "show.frame", '"all"'),
    ("angle_deg = 400.0", "show.angle_deg", "from -360 to 360"),
    ("angle_deg = nan", "show.angle_deg", "from -360 to 360"),
    ('panel = "open"', "show.panel", '"which way"'),
    ('motion = "fast"', "show.motion", '"slow"'),
    ("line = 3", "show.line", "one line"),
    (f'line = "{"a" * (LONGEST_LINE + 1)}"', "show.line", f"up to {LONGEST_LINE} characters"),
    ('line = "one\\ntwo"', "show.line", "one line"),
    ('strip = ["chip"]', "show.strip", "strips (did you mean that?)"),
)


@pytest.mark.parametrize("line, key, allowed", REFUSED, ids=[r[0][:24] for r in REFUSED])
def test_a_view_that_cannot_be_is_refused_with_line_and_key(line: str, key: str, allowed: str) -> None:
    text = f"{GOOD}\n[show]\n{line}\n"
    (fault,) = problems(text, "x")
    assert (fault.line, fault.where) == (text.count("\n"), key) and allowed in fault.allowed


def test_a_table_is_wanted_and_a_made_view_is_checked_like_a_written_one() -> None:
    (fault,) = problems(GOOD.replace("version = 1\n", "version = 1\nshow = 3\n"), "x")
    assert fault.where == "show" and "a table with line, page" in fault.allowed
    setup = example("boss").setup()
    for show in (Show(page="plan"), Show(strips=("heat",)), Show(angle_deg=1e3), Show(line="a\nb")):
        with pytest.raises(ChiparcError, match=r"show\."):
            check_setup(replace(setup, show=show))
