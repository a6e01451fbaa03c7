"""The look: every colour, line width and type size of a theme, from ``shared/looks/*.toml``.

Views ask the look; no colour stands in a view.  ``light`` and ``dark`` are for a desk, ``projector`` for a
class (large type, thick lines, high contrast), ``print`` for white paper.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass, replace
from functools import lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QFont, QPainter, QPen

from core.base.places import shared


@dataclass(frozen=True)
class Look:
    """One theme.  Colours are ``#rrggbb``; widths and type sizes in logical pixels.

    ``focus_on_ink`` : the ring of focus on what is filled with ink; ``thick_is_dark`` : the scale of chip thickness
    darkens, as on paper.  ``searched`` : what is written is searched and copied, as in a file (:func:`searched`).

    Colours, pens and fonts are kept by the theme that made them, and answered without a call of Python: a frame asks
    for some eighty.  Callers change none of them.
    """

    name: str
    page: str
    panel: str
    ink: str
    soft: str
    rule: str
    accent: str
    accent_ink: str
    work: str
    work_hatch: str
    cutter: str
    cutter_line: str
    cut_band: str
    rub_hatch: str
    skin: str
    main: str
    second: str
    third: str
    reference: str
    warn: str
    field: str
    focus: str
    line: float
    thick: float
    hair: float
    text: float
    small: float
    title: float
    figure: float
    thick_is_dark: bool
    focus_on_ink: str
    searched: bool = False

    def __post_init__(self) -> None:
        for name in ("color", "pen", "font"):
            object.__setattr__(self, name, lru_cache(maxsize=512)(getattr(self, name)))

    def __hash__(self) -> int:
        """By its name: a look is the key of what is kept of a frame, and has thirty fields."""
        return hash(self.name)

    def color(self, name: str, alpha: float = 1.0) -> QColor:
        """A colour by its field name: ``look.color("accent")``."""
        return _color(getattr(self, name), alpha)

    def brush(self, name: str, alpha: float = 1.0) -> QBrush:
        """A solid brush by colour name."""
        return QBrush(self.color(name, alpha))

    def pen(
        self,
        name: str,
        width: str | float = "line",
        *,
        dashed: bool = False,
        dotted: bool = False,
        alpha: float = 1.0,
    ) -> QPen:
        """A cosmetic pen by colour and width name; dashed means conventional, or a construction line.

        dotted : dash and dot, the other one of a straddling pair.
        """
        wide = getattr(self, width) if isinstance(width, str) else width
        return _pen(getattr(self, name), wide, DOTTED if dotted else DASHED if dashed else (), alpha)

    def font(self, size: str = "text", *, bold: bool = False, italic: bool = False) -> QFont:
        """A font of the shipped typeface by size name, with tabular figures unless they are searched for."""
        return _font(round(getattr(self, size)), bold, italic, self.searched)


FAMILY = "Inter"

NO_PEN, NO_BRUSH = QPen(Qt.PenStyle.NoPen), QBrush(Qt.BrushStyle.NoBrush)
SMOOTH, CENTRE = QPainter.RenderHint.Antialiasing, Qt.AlignmentFlag.AlignCenter
"""What painters ask for most: looked up and converted each time these cost as much as a short line."""

DASHED, DOTTED = (5.0, 3.5), (8.0, 2.5, 1.5, 2.5)
"""Lengths of line and gap, in widths of the line."""


def two_dashes(width: float) -> float:
    """Least length of a sample of a line of that width: one that shows a dash, a gap and another dash."""
    return (2.0 * DASHED[0] + DASHED[1]) * width


def _color(value: str, alpha: float) -> QColor:
    color = QColor(value)
    color.setAlphaF(alpha)
    return color


def _pen(value: str, width: float, dashes: tuple[float, ...], alpha: float) -> QPen:
    pen = QPen(_color(value, alpha))
    pen.setWidthF(width)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if dashes:
        pen.setDashPattern(dashes)
    return pen


def _font(pixels: int, bold: bool, italic: bool, searched: bool) -> QFont:
    font = QFont(FAMILY)
    font.setPixelSize(pixels)
    font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    font.setItalic(italic)
    font.setFeature(QFont.Tag("tnum"), 0 if searched else 1)
    if searched:
        font.setFeature(QFont.Tag("calt"), 0)
    return font


CAPITALS = 0.727
"""Height of the typeface's capitals by its size."""

LEAST_CAPITALS = 0.02
"""Height of the smallest capitals by that of the screen, in the projector's theme: read from the back of a room
(common practice, no source)."""

SEEN_BY_ALL = {"text": 1.06, "small": 1.0, "title": 1.25, "figure": 1.12}
"""Type sizes of the projector's theme by its smallest: nearer to one another than at a desk, to save room."""

LINES = ("line", "thick", "hair")


def themed(name: str, screen_height: int) -> str:
    """The name of a theme for a screen of that height, logical pixels: the projector's type grows with it.

    >>> themed("light", 1080), themed("projector", 1080)
    ('light', 'projector:1080')
    """
    return f"{name}:{screen_height}" if name == "projector" else name


@lru_cache(maxsize=16)
def theme_of(name: str) -> str:
    """The theme's own name, whatever screen it is for.

    >>> theme_of("projector:1080")
    'projector'
    """
    return name.partition(":")[0]


@lru_cache(maxsize=8)
def look(name: str) -> Look:
    """The theme of that name, of :func:`themed` too."""
    theme, _, height = name.partition(":")
    with open(shared("looks", f"{theme}.toml"), "rb") as file:
        values = tomllib.load(file)
    if height:
        smallest = max(math.ceil(LEAST_CAPITALS * int(height) / CAPITALS), values["small"])
        # Lines with it, from the size that they were drawn for.
        grown = smallest / values["small"]
        values |= {size: round(share * smallest) for size, share in SEEN_BY_ALL.items()}
        values |= {line: values[line] * grown for line in LINES}
    return Look(name=name, **values)


@lru_cache(maxsize=8)
def searched(plain: Look) -> Look:
    """The same look for PDF and SVG, where words and figures are searched, copied and read aloud.

    A PDF holds the shapes of letters and tells of each which character it is.  The typeface's tabular figures, and
    the brackets that it sets beside figures, are no characters of their own: a viewer would find nothing it knows.
    An SVG holds the words alone: its viewer sets them in the usual figures, and what was measured must be those.
    """
    return replace(plain, searched=True)


@lru_cache(maxsize=16)
def at_hand(name: str) -> Look:
    """The same theme for what is set by hand, beside the pictures: nobody reads it from the back of a room."""
    return look(theme_of(name))
