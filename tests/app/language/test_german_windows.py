"""German in a real window: no English word is left, nothing is clipped, a small projector has room for all of it."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from core.base.language import ENGLISH, speak
from core.documents.setup_examples import example
from tests.app.language.test_pseudo_language import clipped, looked_at, texts
from tests.app.windows import laid_out_on

ENGLISH_WORDS = re.compile(
    r"\b(the|of|and|with|not|to|from|at|by|is|are|cut|chip|chips|teeth|wall|feed|force|climb|conventional|straddling"
    r"|tooth|save|open|show|no|or|speed|given|edge|width|depth|where|what|which|this|tip|top)\b"
)
"""Words of any English sentence about a cut; none of them is a German word that the window has."""


@pytest.fixture(autouse=True)
def _german(window_app: object) -> Iterator[None]:
    speak("de")
    yield
    speak(ENGLISH.id)


def said(text: str) -> str:
    """A text without markup, keys of the report and of a document, and names of files."""
    return re.sub(r"<[^>]*>|\b[a-z_]+(\.[\w@]+)+|\b[a-z]+_\w+|/\S+|\[[\w. ]+\]|\*\.\w+", " ", text)


def test_german_has_room_on_a_small_projector_and_no_english_word() -> None:
    cut: list[tuple[object, ...]] = []
    left: set[tuple[str, str]] = set()
    # A cut whose chatter is not known: its page has nothing to work out.
    with laid_out_on(example("facing-cast-iron").setup(), (1024, 768), theme="projector") as window:
        for stop in looked_at(window):
            assert window.width() == 1024, stop
            cut += [(stop, *each) for each in clipped(window)]
            assert not [text for _, text in texts(window) if "Ctrl" in text], (
                "keys are called as they are on a German keyboard"
            )
            left |= {(where, text[:120]) for where, text in texts(window) if ENGLISH_WORDS.search(said(text))}
    assert cut == []
    assert left == set()
