"""Text on lines of a width on which no figure is parted from its unit, and no unit at its slash."""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise

from PySide6.QtGui import QFont, QTextLayout, QTextOption

from core.base.quantities import QUANTITIES, in_words

BLANK, NOTHING = "\N{NO-BREAK SPACE}", "\N{ZERO WIDTH NO-BREAK SPACE}"
"""Stand for a blank, and between two characters, where no line may end; only while the text is broken into lines."""


@lru_cache(maxsize=1)
def _figures() -> re.Pattern[str]:
    """A blank and a unit behind a digit, in the language that is spoken."""
    units = {in_words(unit) for each in QUANTITIES.values() for unit in (each.unit, each.inch_unit)} - {""}
    longest_first = "|".join(map(re.escape, sorted(units, key=len, reverse=True)))
    return re.compile(rf"(?<=\d) (?:{longest_first})(?!\w)")


def _held_together(found: re.Match[str]) -> str:
    return found[0].replace(" ", BLANK).replace("/", f"{NOTHING}/{NOTHING}")


def on_lines(text: str, font: QFont, width: float) -> str:
    """The text with the ends of its lines put in; each is no wider than ``width``, pixels, unless one word is.

    The characters themselves stay as they are, so that what is printed can be searched.
    """
    lines: list[str] = []
    wrapped = QTextOption()
    wrapped.setWrapMode(QTextOption.WrapMode.WordWrap)
    for paragraph in text.split("\n"):
        guarded = _figures().sub(_held_together, paragraph)
        layout = QTextLayout(guarded, font)
        layout.setTextOption(wrapped)
        layout.beginLayout()
        ends = [0]
        while (line := layout.createLine()).isValid():
            line.setLineWidth(width)
            ends.append(2 * (line.textStart() + line.textLength()))
        layout.endLayout()
        # Qt counts in units of UTF-16, of two bytes each.
        whole = guarded.encode("utf-16-le", "surrogatepass")
        lines += [whole[a:b].decode("utf-16-le", "surrogatepass") for a, b in pairwise(ends)] or [""]
    return "\n".join(line.rstrip(" ").replace(BLANK, " ").replace(NOTHING, "") for line in lines)
