"""What the Arc page shows: its results, the tooth angle, the strips and charts, the question that is asked."""

from __future__ import annotations

import math
from typing import Any, Literal, TypeAlias

from PySide6.QtCore import QObject, Signal

from app.pages.arc.plan_close import FRAMINGS, CloseView, Framing, chosen_view
from app.pages.arc.plan_scene import readable_top
from app.pages.arc.plan_ways import MOVES, Moves
from app.state.view_state import ViewState
from core.cut.engagement import engagement
from core.effects.arc_results import ArcResults, arc_results
from core.setup.setup import Setup

SHARED = ("pair", "units", "theme", "reduced_motion", "shown")
"""What belongs to every page and is passed on to the shared view."""

REMEMBERED = ("strips", "charts", "why", "loop", "slow", "frame", "span", "moves")
"""What is the same at the next start."""


Span: TypeAlias = Literal["turn", "arc"]
"""What the strips' axis shows: 9 o'clock to 3 o'clock, or the arc alone."""

SPANS: tuple[Span, ...] = ("turn", "arc")

CHOICES: dict[str, tuple[str, ...]] = {"frame": FRAMINGS, "span": SPANS, "moves": MOVES}
"""What may be remembered of a choice by words."""

STILL = 0.12
"""Radii of the whole plan by which a framed arc may be off its place before the frame follows it."""

PLAN_ONLY = ("frame", "close", "moves")
"""What only the plan shows."""


def angle_in_cut(setup: Setup) -> float:
    """Tooth angle (degrees) at which a newly opened cut is shown: its own, else in the work, nearer to its entry."""
    if setup.show.angle_deg is not None:
        return setup.show.angle_deg
    e = engagement(setup)
    return math.degrees(e.entry + 0.4 * e.arc)


class ArcState(QObject):
    """Results and view of the Arc page.  ``changed`` carries the name of what changed, the shared view's included;
    ``angle_changed`` is apart, because it comes sixty times a second and touches only what moves.

    Attributes (read; change through :meth:`set`): ``angle_deg`` of the active tooth's tip in the setup's
    own direction, -180..540 wrapped to [-90, 270); ``strips`` shown, in order; ``charts`` shown; ``why``: the panel
    "Which way" is open, ``reason`` the one looked at; ``playing``; ``slow``; ``loop`` (through the cut only, not the
    air).  ``results`` are those of the setup shown last; ``thickness_top`` (mm) is the end of the scale of chip
    thickness, which holds still while a hand moves.  ``frame`` is how the part of the plan that is looked at is
    chosen, ``close`` that part (None: all of it), which holds still with the scales.  ``span`` is what the strips'
    axis shows, ``moves`` what moves where the tooth goes round by itself.  ``pin`` is the cut whose scales are held
    and which is left as a ghost beside the one that is shown; None where there is none.
    """

    changed = Signal(str)
    angle_changed = Signal(float)

    def __init__(self, shared: ViewState, setup: Setup, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.shared = shared
        self.results: ArcResults = arc_results(setup)
        self.angle_deg = angle_in_cut(setup)
        self.strips: tuple[str, ...] = ("chip", "force")
        self.charts: tuple[str, ...] = ("loop", "wall")
        self.why = False
        self.reason = ""
        self.playing = False
        self.slow = False
        self.loop = False
        # Copies of the shared view: they are read dozens of times a frame.
        self.pair, self.units, self.theme = shared.pair, shared.units, shared.theme
        self.reduced_motion, self.shown = shared.reduced_motion, shared.shown
        self.thickness_top = readable_top(self.results, self.units)
        self.frame: Framing = "auto"
        self.close: CloseView | None = chosen_view(self.frame, self.results, self.thickness_top, None)
        self.span: Span = "turn"
        self.moves: Moves = "work"
        self.pin: ArcResults | None = None
        self.in_sight = True
        self._missed: list[str] = []
        shared.changed.connect(self._shared_changed)

    def set_in_sight(self, on: bool) -> None:
        """Whether the page is on top; what has changed meanwhile is told when it comes there."""
        self.in_sight = on
        if on:
            missed, self._missed = self._missed, []
            for name in missed:
                self.changed.emit(name)

    def _shared_changed(self, name: str) -> None:
        setattr(self, name, getattr(self.shared, name))
        if self.in_sight:
            self.changed.emit(name)
        elif name not in self._missed:
            self._missed.append(name)

    def look_at(self, view: CloseView | None) -> None:
        """A part of the plan chosen by hand; None is all of it."""
        self.set("frame", "all" if view is None else "free")
        self.set("close", view)

    def reframe(self) -> None:
        """The part of the plan that belongs to the choice and to these results; what is nearly so stays still."""
        fresh, kept = chosen_view(self.frame, self.results, self.thickness_top, self.close), self.close
        if fresh is None or kept is None or not fresh.nearly(kept, STILL):
            self.set("close", fresh)

    @property
    def scales_follow(self) -> bool:
        """Whether scales may take in what is shown now: nothing is pinned."""
        return self.pin is None

    def forget_reasons(self) -> None:
        """Another document: what was asked about the one before is of that one."""
        self.set("reason", "")
        self.hide_answer()

    def hide_answer(self) -> None:
        """The answers of "which way" go out of sight until they are asked for."""
        self.set("shown", self.shown.without(("verdict",)))

    def set(self, name: str, value: Any) -> None:
        """Change one attribute and tell, if it differs."""
        if name in SHARED:
            self.shared.set(name, value)
            return
        if name == "angle_deg":
            value = (float(value) + 90.0) % 360.0 - 90.0
        if getattr(self, name) == value:
            return
        setattr(self, name, value)
        if name == "angle_deg":
            self.angle_changed.emit(value)
        else:
            self.changed.emit(name)
