"""Text from documents and file names, made safe to show: nothing invisible acts on the words around it."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from .language import in_language
from .words import say

LONGEST_WHERE, LONGEST_FOUND, LONGEST_ALLOWED = 160, 240, 700
"""Characters of the three parts of a refusal; a list of allowed keys is the longest honest text among them."""

_JOINERS = "\u200c\u200d"
"""Format characters that letters of some scripts need; they change no direction."""


@lru_cache(maxsize=1024)
def _shown(character: str) -> str:
    code = ord(character)
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "\N{SYMBOL FOR DELETE}"
    kind = unicodedata.category(character)
    nothing = code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF
    if nothing or (kind in ("Cc", "Cf", "Cs", "Zl", "Zp") and character not in _JOINERS):
        return f"<U+{code:04X}>"
    return character


def visible(text: str) -> str:
    """The text with every control character, direction mark and non-character shown as such.

    Controls of ASCII become their symbols, everything else its number, so that a text can neither break a line,
    turn the reading direction nor hide a part of itself.

    >>> visible("a\\tb"), visible("\\u202egpj.toml"), visible("plain")
    ('a␉b', '<U+202E>gpj.toml', 'plain')
    """
    # What is printable has no control, mark nor non-character; what is not may only have a narrow space.
    return text if text.isprintable() else "".join(map(_shown, text))


def bounded(text: str, longest: int) -> str:
    """The text :func:`visible`, its middle left out with the whole length stated where it is longer than ``longest``.

    >>> bounded("abc", 10), bounded(400_000 * "9", 40)
    ('abc', '999999999999…999 (400,000 characters)')
    """
    if len(text) <= longest:
        shown = visible(text)
        if len(shown) <= 2 * longest:
            return shown
    length = f" {say('refusal', 'characters', count=in_language(f'{len(text):,}'))}"
    room = max(longest - len(length) - 1, 8)
    last = room // 5
    return visible(text[: room - last])[:longest] + "…" + visible(text[len(text) - last :])[-longest:] + length


__all__ = ["LONGEST_ALLOWED", "LONGEST_FOUND", "LONGEST_WHERE", "bounded", "visible"]
