"""A number as people type it: fractions of an inch, either decimal sign, thousands set apart."""

from __future__ import annotations

import re

from .language import in_language, spoken
from .words import say

_MINUS = "\N{MINUS SIGN}"
_APART = " '\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}\N{THIN SPACE}\N{RIGHT SINGLE QUOTATION MARK}"
"""What sets thousands apart and can mean nothing else."""

_SIGN = rf"([+\-{_MINUS}]?)\s*"
_FRACTION = re.compile(
    rf"{_SIGN}(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\s*[/\N{{FRACTION SLASH}}]\s*(\d+)(?![\d.,])(.*)", re.S
)
_DECIMAL = re.compile(
    rf"{_SIGN}((?:\d{{1,3}}(?:[{_APART}]\d{{3}}(?!\d))+|\d+)(?:[.,]\d+)*[.,]?|[.,]\d+)([eE][+-]?\d+)?(.*)", re.S
)
_THOUSANDS = {sign: re.compile(rf"[1-9]\d{{0,2}}(?:{re.escape(sign)}\d{{3}})+") for sign in ",."}

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}


class NotOneNumber(ValueError):
    """What was typed is no number or may be more than one; the text says what to type instead, empty if no number."""


def leading_number(text: str, *, counted: bool = False) -> tuple[float, str]:
    """The number at the beginning of a text, and what follows it, without spaces about it.

    ``3 1/8``, ``3-1/8``, ``3⅛`` and ``.015`` are taken; point and comma both part the decimals; thousands may be
    set apart by spaces, or by whichever of the two does not part the decimals.  A single sign before three digits
    may mean either: the decimal sign of the language that is spoken parts decimals, and is asked about in what is
    ``counted`` (a speed); the other sign parts thousands in what is counted, and is asked about otherwise.  Raises
    NotOneNumber.

    >>> leading_number('3 1/8"'), leading_number("10,000", counted=True), leading_number("1,25 mm")
    ((3.125, '"'), (10000.0, ''), (1.25, 'mm'))
    """
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, f" {fraction}")
    text = text.strip()
    if match := _FRACTION.fullmatch(text):
        minus, whole, over, under, rest = match.groups()
        if float(under) == 0.0 or (whole is not None and float(over) >= float(under)):
            raise NotOneNumber(say("typed", "fraction"))
        value = float(whole or 0) + float(over) / float(under)
    elif match := _DECIMAL.fullmatch(text):
        minus, digits, power, rest = match.groups()
        value = float(_as_python("".join(d for d in digits if d not in _APART), counted) + (power or ""))
    else:
        raise NotOneNumber("")
    return (value if minus in ("", "+") else -value), rest.strip()


def _as_python(digits: str, counted: bool) -> str:
    """Digits with points and commas as Python writes a number.  Raises NotOneNumber."""
    signs = [d for d in digits if d in ",."]
    if not signs:
        return digits
    last, first = signs[-1], signs[0]
    if first != last:
        # Two signs: the last parts the decimals, the other thousands.
        whole, _, decimals = digits.rpartition(last)
        if signs.count(last) > 1 or not _THOUSANDS[first].fullmatch(whole):
            raise NotOneNumber("")
        return f"{whole.replace(first, '')}.{decimals}"
    if len(signs) > 1:
        if not _THOUSANDS[last].fullmatch(digits):
            raise NotOneNumber("")
        return digits.replace(last, "")
    decimal = last == spoken.language.decimal
    if _THOUSANDS[last].fullmatch(digits) and (not decimal or counted):
        if not decimal and counted:
            return digits.replace(last, "")
        many, few = digits.replace(last, ""), digits.replace(last, ".")
        few = in_language(f"{float(few):g}" if counted else few)
        sign = say("typed", "comma" if last == "," else "point")
        raise NotOneNumber(say("typed", "either", many=many, few=few, sign=sign))
    return digits.replace(",", ".")
