"""Words for people: whole-sentence templates with named fields, read from ``shared/words``."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from typing import Any

from .places import shared

LANGUAGE = "en"


@lru_cache(maxsize=4)
def words(language: str = LANGUAGE) -> dict[str, dict[str, str]]:
    """Every template of a language: group -> id -> text."""
    return tomllib.loads(shared("words", f"{language}.toml").read_text("utf-8"))


def say(group: str, id: str, /, **fields: Any) -> str:
    """The template ``id`` of ``group`` with its fields filled in.

    >>> say("side", "right")
    'right'
    """
    return words()[group][id].format(**fields)
