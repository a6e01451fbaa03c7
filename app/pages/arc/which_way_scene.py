"""What the panel "Which way" shows: the decision, and for each reason its figures, its vote and its words."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from app.pages.arc.arc_state import ArcState
from core.advice.tool_life import life_ratio
from core.advice.which_way import Reason, decide, reasons
from core.base.quantities import Units, clear_figure
from core.base.words import say
from core.documents.materials import Catalogue
from core.report.which_way_words import decision_words, why
from core.setup.setup import Setup

STRIP_OF = {
    "pull": "force",
    "skin": "chip",
    "rub": "chip",
    "exit": "chip",
    "entry": "load",
    "heat": "temperature",
    "error": "movement",
    "marks": "movement",
    "thin_wall": "force",
    "lift": "force",
}
"""The strip that shows each reason."""

READ_OF = {"pull": "fy", "entry": "own"}
"""The curve of that strip that has the reason's figure, where it is not the main one."""


def shown_strips(view: ArcState) -> tuple[str, ...]:
    """The strips on the page: those chosen, or with the panel open the one of the reason that is looked at."""
    return (STRIP_OF.get(view.reason, "chip"),) if view.why else view.strips


def read_curve(view: ArcState) -> str:
    """The curve whose value the strips tell at the line: that of the reason that is looked at, else the main one."""
    return READ_OF.get(view.reason, "") if view.why else ""


@dataclass(frozen=True, slots=True)
class ReasonRow:
    """One reason as it is shown; ``better`` is the direction that it points to and ``weight`` how much, both or none.

    ``vote`` says both in words, ``mark`` as a word with an arrow that stands between the figures.
    """

    id: str
    title: str
    figure: str
    climb: str
    conventional: str
    vote: str
    mark: str
    weight: str
    better: str
    on: bool
    why: str
    limits: str
    source: str


@dataclass(frozen=True, slots=True)
class WhichWayScene:
    """The panel: the decision in words, and the rows; no rows for a cut that has no choice."""

    decision: str
    way: str
    rows: tuple[ReasonRow, ...]

    def row(self, id: str) -> ReasonRow | None:
        """The row of a reason."""
        return next((row for row in self.rows if row.id == id), None)


def _row(reason: Reason, setup: Setup, off: Collection[str], units: Units) -> ReasonRow:
    favours = reason.favours or ""
    weight = reason.weight if reason.weight and favours else ""
    told = "counts" if reason.weight else "not_counted"
    source = {"threshold": say("reason_threshold", reason.id), "source": reason.source}
    return ReasonRow(
        id=reason.id,
        title=say("reason", reason.id),
        figure=say("reason_figure", reason.id),
        climb=clear_figure(reason.climb, reason.quantity, units),
        conventional=clear_figure(reason.conventional, reason.quantity, units),
        vote=say("reason_told", "vote", favours=favours, weight=weight) if favours else "",
        mark="" if not favours else f"← {weight}" if favours == "climb" else f"{weight} →",
        weight=weight,
        better=favours,
        on=reason.id not in off,
        why=why(reason, setup, units),
        limits=say("reason_limits", reason.id),
        source=say("reason_told", told, **source),
    )


def life_words(setup: Setup, opened: Setup, known: Catalogue, units: Units) -> str:
    """How long an edge lasts against the setup as opened: a ratio and its band, or nothing if they do not compare."""
    if setup == opened:
        return ""
    found = life_ratio(setup, opened, known, units=units)
    if found.ratio is None or found.low is None or found.high is None:
        return ""
    figures = {name: f"{getattr(found, name):.2g}" for name in ("ratio", "low", "high")}
    return say("decision", "life", **figures)


def which_way_scene(setup: Setup, off: Collection[str], units: Units) -> WhichWayScene:
    """The panel of a setup, with the reasons ``off`` (ids) left out of the decision."""
    found = reasons(setup)
    if not found:
        return WhichWayScene(say("decision", "straddling"), "", ())
    decision = decide(found, off)
    rows = tuple(_row(reason, setup, off, units) for reason in found)
    return WhichWayScene(decision_words(decision, found, off), decision.way, rows)
