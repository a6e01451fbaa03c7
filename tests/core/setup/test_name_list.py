"""One line of text, against the categories of the Unicode database."""

from __future__ import annotations

import sys
import unicodedata

from core.setup.name_list import line_problem


def test_what_ends_or_steers_a_line_is_refused() -> None:
    found = {c for c in map(chr, range(sys.maxunicode + 1)) if line_problem(c, 1)}
    assert found == {c for c in map(chr, range(sys.maxunicode + 1)) if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp")}
    assert line_problem("ab", 1) and not line_problem("a", 1)
