"""Type that gives way: what has no room in the projector's large type is set smaller, down to the type of a desk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any

from app.kit.look import SEEN_BY_ALL, Look

LEAST = 12
"""The small type at a desk, pixels: nothing is set smaller to have room."""


@lru_cache(maxsize=64)
def in_type(look: Look, small: int) -> Look:
    """The same look with its small type of so many pixels, and the other sizes with it."""
    if small == round(look.small):
        return look
    share = small / look.small
    sizes: dict[str, Any] = {size: float(round(share * getattr(look, size))) for size in SEEN_BY_ALL}
    return replace(look, **sizes)


def type_that_fits(look: Look, fits: Callable[[Look], bool]) -> Look:
    """The look in the largest type that ``fits``, up to its own; in the least where none does."""
    for small in range(round(look.small), LEAST, -1):
        tried = in_type(look, small)
        if fits(tried):
            return tried
    return in_type(look, min(LEAST, round(look.small)))
