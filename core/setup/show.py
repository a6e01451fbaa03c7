"""How a document wants to be looked at: page, strips, angle, panel, what is hidden; nothing of it changes a figure.

The names stand here, below the pages and the strips that they name, so that documents, lessons, pictures and the
window share them; a test holds them against what there is.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from .name_list import NameList

PAGES = ("arc", "chatter", "path", "lesson", "figures")
"""Pages by their ids."""

CURVES = ("chip", "load", "force", "torque", "movement", "temperature")
"""Strips over the tooth angle by their ids."""

CHARTS = ("loop", "wall", "marks", "edge")
"""Charts beside the plan by their ids."""

ELEMENTS = ("callouts", "chip", "strips", "sentence", "figures", "verdict")
"""What can be hidden, so that it can be asked for first: the cards at the ends of the arc; the chip, on the plan and
in the loupe; curves and charts; the sentence; figures that are read off the pictures; the answers of "which way"."""

LONGEST_LINE = 200


@dataclass(frozen=True, slots=True)
class Shown:
    """Which elements are in sight: one value for window, pictures, documents and lessons.

    The answers of "which way" are not, until they are asked for.
    """

    callouts: bool = True
    chip: bool = True
    strips: bool = True
    sentence: bool = True
    figures: bool = True
    verdict: bool = False

    def toggled(self, element: str) -> Shown:
        """The same with one element hidden that is shown, or shown that is hidden."""
        return replace(self, **{element: not getattr(self, element)})

    def without(self, hidden: Collection[str]) -> Shown:
        """The same with these hidden and the others as they are."""
        return replace(self, **{name: False for name in hidden})

    @property
    def hidden(self) -> tuple[str, ...]:
        """Names of what is not in sight, in the order of ELEMENTS."""
        return tuple(name for name in ELEMENTS if not getattr(self, name))


EVERYTHING = Shown(verdict=True)
"""All of it, as a picture has it that was asked for with nothing hidden."""


@dataclass(frozen=True, slots=True)
class Show:
    """The view that a document opens with; a default one says nothing, and the view stays as it is.

    ``line`` says in one sentence what is to be seen.  ``strips`` are curves and charts.  ``frame``: the arc alone or
    the whole plan; None: whichever suits the cut.  ``angle_deg`` of the active tooth's tip; None: in the cut.
    ``panel``: "which way" is open, or none.  ``motion``: the tooth stands still, turns, or turns slowly.
    """

    line: str = ""
    page: str = "arc"
    strips: tuple[str, ...] = ()
    pair: bool = False
    frame: str | None = None
    angle_deg: float | None = None
    panel: str = "none"
    hidden: tuple[str, ...] = ()
    motion: str = "still"

    @property
    def curves(self) -> tuple[str, ...]:
        """The strips among ``strips``, in their own order; chip thickness is always there."""
        return tuple(id for id in CURVES if id in self.strips or id == CURVES[0])

    @property
    def charts(self) -> tuple[str, ...]:
        """The charts among ``strips``, in their own order."""
        return tuple(id for id in CHARTS if id in self.strips)

    @property
    def given(self) -> bool:
        """Whether it says how to look, beyond its line."""
        return replace(self, line="") != Show()


VIEW_LISTS = {"show.strips": NameList("names", (*CURVES, *CHARTS)), "show.hidden": NameList("names", ELEMENTS)}
"""Keys whose value is a list of names, and the names that there are."""

TEXTS = ("show.line",)
"""Keys whose value is one line of text."""

FLAGS = ("show.pair",)
"""Keys whose value is true or false."""
