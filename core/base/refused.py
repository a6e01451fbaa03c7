"""What a refusal is told with, in the language that is spoken."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from typing import Any

from .words import phrase, say, say_count


def refused(group: str, id: str, /, **fields: Any) -> tuple[str, str]:
    """What was found and what is allowed: the templates ``id`` and ``id_allowed`` of a group.

    >>> refused("program_refused", "closing")
    ('found a ) without its (', '( and ) around a comment')
    """
    return say(group, id, **fields), say(group, f"{id}_allowed", **fields)


def refused_count(group: str, id: str, count: int, /, **fields: Any) -> tuple[str, str]:
    """The same of a number of things: ``id_one`` or ``id_many``, and ``id_allowed``, with their field ``count``."""
    return say_count(group, id, count, **fields), say(group, f"{id}_allowed", count=count, **fields)


def either_of(choices: Iterable[str]) -> str:
    """That one of some texts may stand there.

    >>> either_of(("climb", "conventional", "straddling"))
    'climb or conventional or straddling'
    """
    return reduce(lambda one, other: say("refusal", "or", one=one, other=other), choices)


def system_reason(error: OSError | ValueError) -> str:
    """What the system says of a file that it does not read or write; in its own words where no others are known."""
    return phrase(getattr(error, "strerror", None) or str(error))
