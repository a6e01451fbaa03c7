"""Values of a document that are a list of names or one line of text: what may stand there, and what is wrong."""

from __future__ import annotations

import re
from dataclasses import dataclass

_NOT_IN_A_LINE = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]")
"""Control characters, halves of a pair, and the ends of lines and paragraphs of Unicode."""


@dataclass(frozen=True, slots=True)
class NameList:
    """A list of names, each at most once; ``kind`` is what the names are called, in the plural."""

    kind: str
    names: tuple[str, ...]

    @property
    def words(self) -> str:
        """What may stand in the list."""
        return f"a list of {self.kind}, each at most once: {', '.join(self.names)}"

    def problem(self, value: object) -> str:
        """What is wrong with a value, in words that begin with "found"; empty if nothing is."""
        if not isinstance(value, list | tuple):
            return "found no list"
        for i, name in enumerate(value):
            if name not in self.names:
                return f'found "{name}"' if isinstance(name, str) else f"found {name!r}"
            if name in value[:i]:
                return f'found "{name}" twice'
        return ""


def line_words(longest: int) -> str:
    """What one line of text may be."""
    return f"one line of up to {longest} characters"


def line_problem(text: str, longest: int) -> str:
    """What is wrong with one line of text, in words that begin with "found"; empty if nothing is."""
    if len(text) > longest:
        return f"found {len(text)} characters"
    if _NOT_IN_A_LINE.search(text):
        return "found a line break or a control character"
    return ""
