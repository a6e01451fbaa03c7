"""What the panel "Which way" shows: the verdict, the rungs, and under each the reasons with their figures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.pages.arc.arc_state import ArcState
from core.advice.checks import CHECKS_OF
from core.advice.ladder import Rung, Verdict, verdict, verdict_of_draws
from core.advice.tool_life import life_ratio
from core.advice.turning import Turn
from core.advice.which_way import Reason, reasons
from core.base.language import in_language
from core.base.quantities import Units
from core.base.words import say
from core.documents.materials import Catalogue
from core.report.which_way_words import offset_words, reason_figure, rung_words, turn_words, verdict_words, why
from core.setup.setup import Setup

STRIP_OF = {
    "pull": "force",
    "error": "movement",
    "stability": "chip",
    "skin": "chip",
    "rub": "chip",
    "exit": "chip",
    "heat": "temperature",
    "marks": "movement",
    "entry": "load",
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
    """One reason as it is shown; ``better`` is the direction that it points to, empty where it does not.

    ``vote`` says it in words, ``mark`` as an arrow that stands between the figures.
    """

    id: str
    title: str
    figure: str
    climb: str
    conventional: str
    vote: str
    mark: str
    better: str
    why: str
    limits: str
    source: str


@dataclass(frozen=True, slots=True)
class RungRow:
    """One rung as it is shown: its question, its answer in words, whether it decided, whether it is asked.

    ``reason`` is the reason to look at when the rung is asked why; empty where there is none.
    """

    id: str
    title: str
    answer: str
    decides: bool
    asked: bool
    reason: str


@dataclass(frozen=True, slots=True)
class WhichWayScene:
    """The panel: verdict and caution in words, the rungs in the order in which they are asked, the reasons.

    No rungs and no rows for a cut that has no choice of direction.
    """

    decision: str
    caution: str
    direction: str
    rungs: tuple[RungRow, ...]
    rows: tuple[ReasonRow, ...]
    as_usual: bool = True

    def row(self, id: str) -> ReasonRow | None:
        """The row of a reason."""
        return next((row for row in self.rows if row.id == id), None)

    def rung(self, id: str) -> RungRow | None:
        """The row of a rung."""
        return next((row for row in self.rungs if row.id == id), None)


def _row(reason: Reason, setup: Setup, units: Units, ranged: bool) -> ReasonRow:
    favours = reason.favours or ""
    told = "counts" if reason.rung else "not_counted"
    source = {"threshold": say("reason_threshold", reason.id), "source": reason.source}
    return ReasonRow(
        id=reason.id,
        title=say("reason", reason.id),
        figure=say("reason_figure", reason.id),
        climb=reason_figure(reason, "climb", units),
        conventional=reason_figure(reason, "conventional", units),
        vote=say("reason_told", "vote", favours=say("way", favours)) if favours else "",
        mark={"climb": "←", "conventional": "→"}.get(favours, ""),
        better=favours,
        why=why(reason, setup, units, ranged=ranged),
        limits=say("reason_limits", reason.id),
        source=say("reason_told", told, **source),
    )


def _rung_row(rung: Rung, found: Verdict) -> RungRow:
    shown = [id for id in CHECKS_OF[rung.id] if id in STRIP_OF]
    return RungRow(
        id=rung.id,
        title=f"{rung.number}  {say('rung', rung.id)}",
        answer=rung_words(rung),
        decides=found.rung == rung.id,
        asked=rung.asked,
        reason=rung.by if rung.by in shown else shown[0] if shown else "",
    )


def life_words(setup: Setup, opened: Setup, known: Catalogue, units: Units) -> str:
    """How long an edge lasts against the setup as opened: a ratio and its band, or nothing if they do not compare."""
    if setup == opened:
        return ""
    found = life_ratio(setup, opened, known, units=units)
    if found.ratio is None or found.low is None or found.high is None:
        return ""
    figures = {name: in_language(f"{getattr(found, name):.2g}") for name in ("ratio", "low", "high")}
    return say("decision", "life", **figures)


def turns_text(found: Iterable[Turn], units: Units, looking: bool) -> str:
    """What would turn the verdict, a line each."""
    lines = [turn_words(turn, units) for turn in found]
    if not lines:
        return say("turn", "looking" if looking else "none")
    return "\n".join([say("turn", "head") + ":", *lines])


def which_way_scene(setup: Setup, units: Units, looked: bool = True) -> WhichWayScene:
    """The panel of a setup.

    looked : also at what is near, and with the ranges of the figures, which takes longer than a hand waits.
    """
    found, caution = verdict(setup) if looked else verdict_of_draws(setup), say("decision", "cautions")
    if found is None:
        return WhichWayScene(offset_words(setup, units), caution, "", (), ())
    return WhichWayScene(
        verdict_words(found, setup, units, ranged=looked),
        caution,
        found.direction,
        tuple(_rung_row(rung, found) for rung in found.rungs),
        tuple(_row(reason, setup, units, looked) for reason in reasons(setup)),
        setup.advice == type(setup.advice)(),
    )
