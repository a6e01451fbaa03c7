"""The language that is spoken: one explicit thing, chosen at the start or in the window.

Texts of a language stand beside the English ones in ``shared``; what is missing there is said in English.
"""

from __future__ import annotations

import string
import sys
import tomllib
from dataclasses import dataclass
from typing import Any

from .places import shared
from .read_once import read_once

NARROW_SPACE = "\N{NARROW NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Language:
    """A language: its id, its name in itself, and how it writes figures.

    decimal : what parts the decimals.  thousands : what people who write so part thousands with, when they type.
    apart : what parts thousands in a figure of ours from five digits up, empty for nothing; never a sign that could
    be taken for the decimal one.
    """

    id: str
    name: str
    decimal: str = "."
    thousands: str = ","
    apart: str = ""


LANGUAGES: dict[str, Language] = {
    each.id: each
    for each in (Language("en", "English"), Language("de", "Deutsch", ",", ".", NARROW_SPACE))  # names of their own
}
"""The languages that are complete, by id; the first is what is spoken unless another is asked for."""

ENGLISH = LANGUAGES["en"]


class Spoken:
    """Holds the language that is spoken now."""

    __slots__ = ("language",)

    def __init__(self) -> None:
        self.language = ENGLISH


spoken = Spoken()
"""Read ``spoken.language``; change it with :func:`speak` alone."""


def language() -> str:
    """The id of the language that is spoken."""
    return spoken.language.id


def speak(id: str) -> None:
    """From now on everything is said in that language.  Raises KeyError for one that we do not have."""
    wanted = LANGUAGES[id]
    if wanted != spoken.language:
        spoken.language = wanted
        forget_words()


def forget_words() -> None:
    """Empty every cache of the program: results hold sentences and figures in the language before."""
    root = __name__.removesuffix("core.base.language")
    ours = (f"{root}core.", f"{root}app.")
    for name, module in list(sys.modules.items()):
        if name.startswith(ours):
            for value in list(vars(module).values()):
                if isinstance(value, type) and value.__module__ == name:
                    for own in list(vars(value).values()):
                        _clear(own)
                else:
                    _clear(value)


def _clear(value: object) -> None:
    clear = getattr(value, "cache_clear", None) if callable(value) and not isinstance(value, type) else None
    if clear is not None:
        clear()


FIGURES_APART = 5
"""Figures before the decimal sign from which thousands are set apart, in a language that does so."""


def in_language(text: str) -> str:
    """A plain figure of Python, such as ``12345.6`` or ``-1e-05``, as the language that is spoken writes it."""
    if spoken.language is ENGLISH:
        return text
    whole, point, rest = text.replace(",", "").partition(".")
    apart = spoken.language.apart
    digits = whole.lstrip("-+\N{MINUS SIGN}")
    if apart and len(digits) >= FIGURES_APART and digits.isdigit():
        whole = whole.removesuffix(digits) + f"{int(digits):,}".replace(",", apart)
    return whole + (spoken.language.decimal if point else "") + rest


class Templates(string.Formatter):
    """Fills templates in a language that writes figures in another way than Python does."""

    def format_field(self, value: Any, spec: str) -> str:
        """A figure as the language writes it; anything else as it is."""
        text = str(super().format_field(value, spec))
        return in_language(text) if isinstance(value, float | int) and not isinstance(value, bool) else text


TEMPLATES = Templates()


@read_once
def texts(name: str, id: str) -> dict[str, Any]:
    """The texts of ``shared/NAME.toml`` in a language: English without an ending, another with its id before it.

    Empty where the language has no such file.
    """
    file = shared(f"{name}.toml" if id == ENGLISH.id else f"{name}.{id}.toml")
    return tomllib.loads(file.read_text("utf-8")) if file.is_file() else {}
