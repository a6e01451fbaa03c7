"""Designations of materials in any spelling: `316l`, `GG25`, `1,4301`, `en aw 6082`, `X5 CrNi 18 10`.

A designation is read as family (AISI, UNS, aluminium), base and condition (`+QT`, `-T6`).  Spaces, hyphens and
case carry no meaning; digits do: 4140 and 4340, 1.4301 and 1.4310 are different steels however alike they look.  So
a name is found only where all its digits agree, and a hint is given only where it is right.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from .near_keys import one_slip

# Bodies that print designations, and words before a material number; what they tell of the family.
_PREFIX = re.compile(
    r"(?P<word>en[\s\-]*aw|en[\s\-]*ac|aisi\s*/\s*sae|aisi|sae|aa|uns(?=[\s\-]*[a-z]\d{5})|astm|din|en(?=[\s\-])|"
    r"w(?:erkstoff)?\.?[\s\-]*nr\.?)[\s\-.:]*(?=\w)"
)
_FAMILY = {
    "aisi": "aisi",
    "sae": "aisi",
    "aa": "aluminium",
    "enaw": "aluminium",
    "enac": "cast aluminium",
    "uns": "uns",
}
_NUMBER = re.compile(r"(\d)\s*[.,]\s*(\d\d)\s*(\d\d)")
_TEMPER = re.compile(r"(.*\d{4}a?)(?:[\s\-]*(t\d{1,4}|h\d{2,3})|[\s\-]+(o|f))")

# Symbols that names of composition are made of (EN 10027-1, EN 573-2); a word of these names an alloy of its own.
_SYMBOL = "cr|ni|mo|mn|si|al|cu|ti|nb|co|pb|zr|mg|zn|sn|fe|be|bi|ta|ce|se|te|c|s|n|v|w|b|p"
# Possessive: "sn" may be read in two ways, and trying both at every place would take for ever.
_COMPOSITION = re.compile(rf"(?:x|gx|g)?\d*+(?:(?:{_SYMBOL})\d*+){{2,}}+")
_STEM = re.compile(r"([a-z]+\d{2,})([a-z]{0,2})")

SHORTEST_START = 3
"""Letters and digits from which on the beginning of a name gets the names that begin so as a hint."""


class Designation(NamedTuple):
    """A name taken apart: ``family`` and ``condition`` are empty where the name has none."""

    family: str
    base: str
    condition: str


def plain(name: str) -> str:
    """A name without case and spaces: the spelling in which a document names a material."""
    return "".join(name.lower().split())


def designation(name: str) -> Designation:
    """A name taken apart, spelling aside.

    >>> designation("AISI 316L"), designation("GG-25") == designation("gg 25")
    (Designation(family='aisi', base='316l', condition=''), True)
    >>> designation("en aw 6082 t6")
    Designation(family='aluminium', base='6082', condition='t6')
    >>> designation("1.2713 + QT").base
    '1.2713'
    """
    text = " ".join(name.casefold().split())
    family = ""
    while prefix := _PREFIX.match(text):
        word = re.sub(r"[^a-z]", "", prefix["word"].split("/")[0])
        family = _FAMILY.get(word, family)
        text = text[prefix.end() :]
    text, _, condition = text.partition("+")
    text = text.strip()
    if not condition and (temper := _TEMPER.fullmatch(text)):
        text, condition = temper[1], temper[2] or temper[3]
    number = _NUMBER.fullmatch(text)
    base = f"{number[1]}.{number[2]}{number[3]}" if number else _letters(text)
    return Designation(family, base, _letters(condition))


def _letters(text: str) -> str:
    return "".join(c for c in text if c.isalnum())


def same(one: Designation, other: Designation) -> bool:
    """Whether two designations name one material, the condition aside."""
    families = {one.family, other.family} - {""}
    return bool(one.base) and one.base == other.base and len(families) <= 1


def near(typed: str, names: Iterable[str]) -> list[str]:
    """Names that the typed one may have been meant for: only where that cannot be another material's name.

    That is: the same alloy in another condition; the beginning of a name (not of a number: 1.430 begins many); the
    same letters and number with another ending (C45F, C45E); one slip in a name of composition, where what was typed
    is none itself (42CrMi4 may be 42CrMo4; 16MoCr5 is a steel of its own).  Digits must agree in every case.
    """
    wanted = designation(typed)
    if not wanted.base:
        return []
    return [name for name in names if _may_be(wanted, designation(name))]


def _may_be(wanted: Designation, known: Designation) -> bool:
    if same(wanted, known):
        return wanted.condition != known.condition
    one, other = wanted.base, known.base
    if one.isdigit() or _NUMBER.fullmatch(one) or (wanted.family and wanted.family != known.family):
        return False
    composed = _COMPOSITION.fullmatch(one) is not None
    if len(one) >= SHORTEST_START and other.startswith(one):
        # AlMg1 is an alloy of its own beside AlMg1SiCu, 42CrMo is none beside 42CrMo4.
        return not one[-1].isdigit() or not (composed or other[len(one)].isdigit())
    stem, known_stem = _STEM.fullmatch(one), _STEM.fullmatch(other)
    if stem and known_stem and stem[1] == known_stem[1]:
        return True
    if re.findall(r"\d+", one) != re.findall(r"\d+", other):
        return False
    return _COMPOSITION.fullmatch(other) is not None and not composed and one_slip(one, other)


__all__ = ["SHORTEST_START", "Designation", "designation", "near", "plain", "same"]
