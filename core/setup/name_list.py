"""Values of a document that are a list of names or one line of text: what may stand there, and what is wrong."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..base.words import say

_NOT_IN_A_LINE = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]")
"""Control characters, halves of a pair, and the ends of lines and paragraphs of Unicode."""


@dataclass(frozen=True, slots=True)
class NameList:
    """A list of names, each at most once; ``kind`` is what the names are called: ``"names"`` or ``"rungs"``."""

    kind: str
    names: tuple[str, ...]

    @property
    def words(self) -> str:
        """What may stand in the list."""
        return say("listed", self.kind, names=", ".join(self.names))

    def problem(self, value: object) -> str:
        """What is wrong with a value, as what was found; empty if nothing is."""
        if not isinstance(value, list | tuple):
            return say("listed", "no_list")
        for i, name in enumerate(value):
            if name not in self.names:
                if isinstance(name, str):
                    return say("refusal", "found_text", text=name)
                return say("refusal", "found", value=repr(name))
            if name in value[:i]:
                return say("listed", "twice", name=name)
        return ""


def line_words(longest: int) -> str:
    """What one line of text may be."""
    return say("listed", "one_line", longest=longest)


def line_problem(text: str, longest: int) -> str:
    """What is wrong with one line of text, as what was found; empty if nothing is."""
    if len(text) > longest:
        return say("listed", "too_long", count=len(text))
    if _NOT_IN_A_LINE.search(text):
        return say("listed", "broken_line")
    return ""
