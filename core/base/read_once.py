"""What is read of the project's own files and says nothing in a language: once for the whole process."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


def read_once(read: Callable[P, T]) -> Callable[P, T]:
    """Keep what a function has read, also when another language is chosen.

    :func:`core.base.language.forget_words` empties whatever has a ``cache_clear``; this has none.  Only for results
    that nobody changes and that are the same whatever language is spoken.
    """
    kept = lru_cache(maxsize=None)(read)

    @wraps(read)
    def once(*args: P.args, **kwargs: P.kwargs) -> T:
        return kept(*args, **kwargs)  # type: ignore[arg-type]

    return once
