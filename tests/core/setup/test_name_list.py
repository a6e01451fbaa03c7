"""One line of text, against the categories of the Unicode database."""

from __future__ import annotations

import sys
import unicodedata

from core.setup.name_list import line_problem


def test_what_ends_or_steers_a_line_is_refused() -> None:
    characters = [chr(c) for c in range(sys.maxunicode + 1)]
    for c in characters:
        assert bool(line_problem(c, 1)) == (unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp")), ascii(c)
    assert line_problem("ab", 1) and not line_problem("a", 1)
