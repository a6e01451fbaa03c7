"""Setup documents over the whole legal range: round trips in every way of writing, and mutated texts."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.documents.setup_document import load_text, problems, read_setup, write_setup
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_writing import _edited, _fresh, _leaves, _mode_values
from core.documents.toml_edit import inline_table, toml_value
from core.documents.toml_lines import places
from core.setup.setup import Cut, Cutter, Machine, Setup, Skin, Work
from core.setup.setup_limits import check_setup
from tests.strategies import setups

MATERIALS = ("C45E", "EN AW-7075-T6", "Ti-6Al-4V")
TEXTS = [load_text(str(each.file)) for each in EXAMPLES]


def all_inline(setup: Setup) -> str:
    """The setup's document with every table in braces and the blocks in one list."""
    leaves, plain = _leaves(setup)
    wanted = {p: v for p, v in leaves.items() if p not in plain or p[0] == "machine"}
    tops = dict.fromkeys(str(p[0]) for p in wanted)
    lines = [
        f"{top} = {toml_value(wanted[(top,)])}"
        if (top,) in wanted
        else f"{top} = {inline_table({p[1:]: v for p, v in wanted.items() if p[0] == top})}  # {top}"
        for top in tops
    ]
    if setup.dynamics:
        rows = [inline_table({(n,): v for n, v in _mode_values(m).items()}) for m in setup.dynamics]
        lines.append("dynamics = [" + ",\n  ".join(rows) + "]")
    return "\n".join(lines) + "\n"


def all_dotted(setup: Setup) -> str:
    """The setup's document with no table at all, every key spelt out; no line end at its end."""
    leaves, plain = _leaves(setup)
    wanted = {p: v for p, v in leaves.items() if p not in plain or p[0] == "machine"}
    lines = [f"{'.'.join(map(str, p))} = {toml_value(v)}  # {p[-1]}" for p, v in wanted.items()]
    for mode in setup.dynamics:
        lines += ["[[dynamics]]", *(f"{n} = {toml_value(v)}" for n, v in _mode_values(mode).items())]
    return "\n".join(lines)


def with_windows_line_ends(setup: Setup) -> str:
    """The usual document as an old editor saves it."""
    return "\ufeff" + _fresh(setup).replace("\n", "\r\n")


STYLES = (_fresh, all_inline, all_dotted, with_windows_line_ends)


@given(setups(materials=MATERIALS))
@settings(max_examples=30)
def test_strategy_gives_legal_setups(setup: Setup) -> None:
    check_setup(setup)


@given(setups(materials=MATERIALS), setups(boundless=True))
@settings(max_examples=50)
def test_a_written_setup_reads_back_equal(setup: Setup, wild: Setup) -> None:
    for each in (setup, wild):
        assert read_setup(write_setup(each), "x.toml") == each


@given(setups(), st.sampled_from(STYLES))
@settings(max_examples=50)
def test_an_unchanged_setup_leaves_every_style_alone(setup: Setup, style: Any) -> None:
    text = style(setup)
    assert read_setup(text, "x.toml") == setup
    assert write_setup(setup, text) == text


DOTTED = Setup(Cutter(1.0, 1), Cut("climb", 0.5, 1.0, 0.5, 1.0), machine=Machine())


@given(setups(), setups(), st.sampled_from(STYLES))
@example(DOTTED, replace(DOTTED, work=Work(skin=Skin(0.0)), machine=Machine(torque_nm=1.0)), all_dotted)
@settings(max_examples=100)
def test_any_setup_can_be_edited_into_any_other_in_place(before: Setup, after: Setup, style: Any) -> None:
    text = _edited(after, style(before))
    assert text is not None  # None would mean that the comments are lost
    assert read_setup(text, "x.toml") == after


@given(setups(), st.sampled_from(TEXTS))
@settings(max_examples=30)
def test_comment_lines_before_the_first_table_stay(after: Setup, text: str) -> None:
    edited = write_setup(after, text)
    kept = [line for line in text[: text.index("\n[")].splitlines() if line.startswith("#")]
    assert [line for line in edited.splitlines() if line in kept] == kept


PIECES = (
    *"[]{}=\"',.#\\-\n\r\t \0\x7f",
    '"""',
    "'''",
    "[[",
    "nan",
    "inf",
    "1e999",
    "true",
    "0x",
    "1979-05-27",
    "[[dynamics]]\n",
    "[work.force]\n",
    "work = 1\n",
    "\ufeff",
    "é",
    "\u2028",
    "cutter.material.",
    "teeth = 4\n",
)


@st.composite
def mutated(draw: Any) -> str:
    """An example's text with up to six pieces cut out, put in, doubled or moved."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 6))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 40)))
        piece = draw(st.sampled_from(PIECES) | st.text(max_size=4) | st.just(text[start:end] * 2))
        text = text[:start] + piece + text[draw(st.sampled_from((start, end))) :]
    return text


@given(mutated())
@settings(max_examples=200)
def test_a_mutated_document_is_read_or_refused(text: str) -> None:
    found = problems(text, "x.toml")
    if not found:
        setup = read_setup(text, "x.toml")
        check_setup(setup)
        assert read_setup(write_setup(setup, text), "x.toml") == setup
    lines = text.count("\n") + 1
    for error in found:
        assert 0 <= error.line <= lines
        assert error.where and error.found and error.allowed
        assert error.sentence("x.toml").startswith("x.toml")


@given(st.binary(max_size=200) | mutated().map(lambda text: text.encode("utf-8", "surrogatepass")), st.data())
@settings(max_examples=50)
def test_any_bytes_are_read_or_refused(data: bytes, draw: Any) -> None:
    cut = draw.draw(st.integers(0, len(data)))
    problems(data[:cut] + draw.draw(st.binary(max_size=3)) + data[cut:], "x.toml")


@given(mutated())
@settings(max_examples=100)
def test_the_line_finder_agrees_with_the_values(text: str) -> None:
    """Each span that the scanner notes holds what tomllib reads there, in any legal text."""
    try:
        data = tomllib.loads(text.removeprefix("\ufeff"))
    except ValueError:
        places(text)  # never raises
        return
    found = places(text)
    assert not found.twice and not found.broken_line
    for path, entry in found.entries.items():
        value: Any = data
        for part in path:
            value = value[part]
        raw = text[entry.value_start : entry.value_end]
        assert repr(tomllib.loads(f"v = {raw}")["v"]) == repr(value), path
        assert text.count("\n", 0, entry.value_start) + 1 >= entry.line
