"""Which key a misspelt key was meant for: only where that is clear, since a wrong hint is worse than none."""

from __future__ import annotations

from collections.abc import Iterable

from ..base.words import words

SHORTEST_SLIP = 4
"""Letters from which on one wrong letter still tells which key was meant: krc, kre and ktc are one letter apart."""

_LENGTHS = ("mm", "um", "in", "m")
_REST = (
    "deg",
    "rad",
    "n",
    "kn",
    "nm",
    "kw",
    "w",
    "hp",
    "rpm",
    "hz",
    "kg",
    "m3",
    "mk",
    "j",
    "kgk",
    "mm2",
    "mpa",
    "gpa",
)
_UNITS = frozenset((*_LENGTHS, *_REST))


def one_slip(one: str, other: str) -> bool:
    """Whether one letter wrong, missing or too many, or two neighbours exchanged, tell the two texts apart.

    >>> one_slip("diametre", "diameter"), one_slip("corner", "edge")
    (True, False)
    """
    start = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    a, b = one[start:], other[start:]
    return a[1:] == b[1:] or a[1:] == b or a == b[1:] or (a[:2] == b[1::-1] and a[2:] == b[2:])


def _without_unit(key: str) -> str:
    """A key without its unit and case: ``holder_stiffness_n_mm`` gives ``holder_stiffness``."""
    parts = key.lower().replace("-", "_").split("_")
    while len(parts) > 1 and parts[-1] in _UNITS:
        parts.pop()
    return "_".join(parts)


def meant_key(typed: str, keys: Iterable[str]) -> str | None:
    """The one key that the typed one is but for its unit, case, underscores or one slip; None if none or several.

    >>> meant_key("helx_deg", ("helix_deg", "edge_radius_mm")), meant_key("corner_radius_mm", ("edge_radius_mm",))
    ('helix_deg', None)
    """
    wanted = _without_unit(typed).replace("_", "")
    bare = {key: _without_unit(key).replace("_", "") for key in keys}
    same = [key for key, text in bare.items() if text == wanted]
    if not same and len(wanted) >= SHORTEST_SLIP:
        same = [key for key, text in bare.items() if len(text) >= SHORTEST_SLIP and one_slip(wanted, text)]
    return same[0] if len(same) == 1 else None


def not_taken(typed: str) -> str:
    """Why a setup cannot tell what a key such as ``corner_radius_mm`` is for; "" for any other."""
    return words()["not_taken"].get(_without_unit(typed), "")


__all__ = ["SHORTEST_SLIP", "meant_key", "not_taken", "one_slip"]
