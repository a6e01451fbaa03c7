"""The sentence bar: what this cut does, or why something was refused; told to a screen reader after a change."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, Protocol, TypeAlias

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QFont, QFontMetrics, QMoveEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSizePolicy, QWidget

from app.kit.debounce import RestTimer, once_after
from app.kit.label_layout import wrapped
from app.kit.look import look
from app.kit.panel_ground import lay_on_panel
from app.kit.static_label import StaticLabel
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import Units
from core.base.words import say
from core.setup.setup import Setup

BOTH_FROM = 41
"""Height of the window, by the size of the sentence's type, from which a pair has both its sentences."""

MOST = 0.2
"""Part of the window's height that the words may take where they can be told in fewer: it is the pictures' first."""

LEAST_LINES = 2
"""Lines that the bar has room for at any time: so many cuts are told in two that the pictures seldom move."""

Telling: TypeAlias = Literal["both", "own", "lead"]
"""How much is told: of both directions, of this cut, or the one thing that matters most for it."""

QUIET_MS = 600
"""A screen reader is told when nothing has changed for this long: after a drag, not during it."""

MOMENT_MS = 4000
"""How long it is told that something was done, such as a report copied."""


class Speaker(Protocol):
    """What says something of a setup: the page on top."""

    def sentence(self, setup: Setup, units: Units) -> str:
        """What it says of the setup in these units."""

    def other_sentence(self, setup: Setup, units: Units) -> str:
        """What it says beside it in Pair."""

    def sentence_of_step(self, setup: Setup, units: Units) -> str:
        """The first while a hand moves a figure."""

    def other_sentence_of_step(self, setup: Setup, units: Units) -> str:
        """The second while a hand moves a figure."""


def put_together(telling: Telling, own: str, other: str) -> str:
    """So much of what a page says: a line for each direction, once where it says the same of both."""
    if telling == "lead":
        return own.split("\n")[0]
    if telling == "both" and other and other != own:
        own, other = own.replace("\n", " "), other.replace("\n", " ")
        return f"{own}\n{other}"
    return own


@lru_cache(maxsize=8)
def _as_in_sheet(theme: str) -> QFont:
    """The font that the sheet gives the sentence: it has no tabular figures, and lines of others end elsewhere."""
    font = QFont(look(theme).font("figure"))
    font.clearFeatures()
    return font


class SentenceBar(QFrame):
    """One label as high as its words: a refusal takes the sentence's place.  Where the window has no room for all
    that there is to tell beside what the page needs, it tells less: the window never grows for it.

    Where the sentence is hidden the bar is out of sight, but for a refusal and for what was done.

    ``speaker`` is the page on top.  A step is told at once, what would hold the hand up as the hand rests.
    """

    def __init__(
        self,
        workbench: Workbench,
        view: ViewState,
        speaker: Speaker,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self._workbench, self._view, self.speaker = workbench, view, speaker
        # Not a plain label: a text control costs three times as much at every change, and a label lays out the page.
        # Ctrl+Shift+C copies the report, which begins with this sentence.
        self.label = StaticLabel()
        self.label.setObjectName("sentence")
        self.label.setWordWrap(True)
        self.label.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.label.setAccessibleName(say("control", "sentence"))
        lay_on_panel(self.label)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 6, 12, 6)
        layout.addWidget(self.label)
        self._refit = once_after(self, 0, self._resized)
        self._tell = once_after(self, QUIET_MS, self._announce)
        self._rest = RestTimer(self, self._tell_whole)
        self._moment = once_after(self, MOMENT_MS, self._back)
        self._before = ("", False)
        self._alone = self._out = False
        self._telling: Telling = "own"
        self._said: dict[str, str] = {}
        self._wanted = 0
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        workbench.follow(self.show_step)
        workbench.refused.connect(self.show_problem)
        workbench.refusal_over.connect(self._no_problem)
        view.changed.connect(self._view_changed)
        self.show_setup(workbench.resolved)
        self._come_or_go()

    def sizeHint(self) -> QSize:
        """As high as the words that are told."""
        return QSize(200, self._wanted)

    def _tellings(self) -> tuple[Telling, ...]:
        """From the most to the least that may be told: both directions in Pair, on a window that is not low."""
        both = bool(self._view.pair) and self.window().height() >= BOTH_FROM * look(self._view.theme).figure
        return ("both", "own", "lead") if both else ("own", "lead")

    def _room(self) -> int:
        """Height that the words may have beside what everything else in the window needs at least."""
        holder = self.parentWidget()
        layout = None if holder is None else holder.layout()
        if holder is None or layout is None:
            return self._wanted
        left = holder.height() - layout.totalMinimumSize().height() + self.minimumHeight()
        return min(left, round(MOST * self.window().height()))

    def set_alone(self, alone: bool) -> None:
        """The pictures stand alone: the sentence is out of sight whether it is hidden or not."""
        self._alone = alone
        self._come_or_go()

    def _come_or_go(self) -> None:
        wanted = self._view.shown.sentence and not self._alone
        told = self.label.property("problem") == "true" or self._moment.isActive()
        if (wanted or told) == self._out:
            self._out = not self._out
            self.setVisible(not self._out)

    def show_setup(self, setup: Setup) -> None:
        """What the page says of this setup: as much of it as there is room for."""
        self._rest.stop()
        page, units = self.speaker, self._view.units
        self._said = {"own": page.sentence(setup, units)}
        self._tell_as_much_as_fits()

    def _tell_as_much_as_fits(self) -> None:
        """The most that has room of what the page has said; the one thing that matters most always has it."""
        # A window that is not laid out yet has no width to break lines at.
        least = self._height_of(self._words("lead") if self.isVisible() else "")
        if least != self.minimumHeight():
            self.setMinimumHeight(least)
        room, words = self._room(), ""
        for telling in self._tellings():
            self._telling, words = telling, self._words(telling)
            if self._height_of(words) <= room:
                break
        self._put(words, problem=False)

    def _words(self, telling: Telling) -> str:
        """So much of what the page says of the setup that is shown, as the hand rests."""
        if telling == "both" and "other" not in self._said:
            self._said["other"] = self.speaker.other_sentence(self._workbench.resolved, self._view.units)
        return put_together(telling, self._said["own"], self._said.get("other", ""))

    def show_step(self, setup: Setup) -> None:
        """The same of a setup that a hand may be moving: what is left out comes as it rests."""
        page, units, telling = self.speaker, self._view.units, self._telling
        own, other = page.sentence_of_step(setup, units), ""
        if telling == "both":
            other = page.other_sentence_of_step(setup, units)
        before = self._wanted
        self._put(put_together(telling, own, other), problem=False)
        if self._wanted > before and telling != "lead" and self._wanted > self._room():
            self._telling = "own" if telling == "both" else "lead"
            self._put(put_together(self._telling, own, other), problem=False)
        self._rest.start()

    def _tell_whole(self) -> None:
        """The hand rests and has let go: another line of words would move the pictures under it."""
        if self._moment.isActive():
            self._said = {"own": self.speaker.sentence(self._workbench.resolved, self._view.units)}
            self._before = (self._words(self._telling), False)
        elif self.label.property("problem") != "true":
            self.show_setup(self._workbench.resolved)

    def show_problem(self, text: str) -> None:
        """A refusal, until the next change: what happened, and that the last good state stays."""
        self._put(say("control", "problem", why=text), problem=True)

    def show_failed(self, text: str) -> None:
        """What could not be done, such as a save, until the next change; the setup is as it was."""
        self._put(text, problem=True)

    def _no_problem(self) -> None:
        self.show_setup(self._workbench.resolved)

    def show_done(self, text: str) -> None:
        """For a moment: what was done that cannot be seen otherwise; then what stood here comes back."""
        if not self._moment.isActive():
            self._before = (self.label.text(), self.label.property("problem") == "true")
        self._put(text, problem=False)
        self._tell.stop()
        self._announce()
        self._moment.start()
        self._come_or_go()

    def _back(self) -> None:
        text, problem = self._before
        self._put(text, problem=problem)
        self._come_or_go()
        # A screen reader has heard it before.
        self._tell.stop()
        self._fit()
        self.label.tell()

    def _put(self, text: str, *, problem: bool) -> None:
        self._moment.stop()
        if text == self.label.text():
            return
        state = "true" if problem else "false"
        if self.label.property("problem") != state:
            self.label.setProperty("problem", state)
            self.label.style().unpolish(self.label)
            self.label.style().polish(self.label)
            self._come_or_go()
        self.label.setText(text)
        self._fit(shrink=False)
        self._tell.start()

    def _height_of(self, words: str) -> int:
        """Height of the bar with these words: two lines, or more where the window is narrow or the type large."""
        # The look's font, not the widget's: the sheet may not have reached the widget yet.
        font = _as_in_sheet(self._view.theme)
        lines = max(LEAST_LINES, len(wrapped(font, words, max(self.label.width(), 200))))
        return lines * QFontMetrics(font).lineSpacing() + 18

    def _fit(self, *, shrink: bool = True) -> None:
        """As high as the words: it grows at once, and shrinks only as the hand rests: pictures must not jump."""
        height = self._height_of(self.label.text())
        if height > self._wanted or (shrink and height != self._wanted):
            self._wanted = height
            self.updateGeometry()

    def resizeEvent(self, event: object) -> None:
        """Another width may want another number of lines, another height may have room for more or less."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        # Not within the layout's own work: it would not hear of the new height.
        self._refit.start()

    def moveEvent(self, event: QMoveEvent) -> None:
        """A window of another height has it elsewhere."""
        super().moveEvent(event)
        self._refit.start()

    def refit(self) -> None:
        """The page may need more room now, or less."""
        self._refit.start()

    def _resized(self) -> None:
        if self.label.property("problem") != "true" and not self._moment.isActive() and not self._rest.isActive():
            self._tell_as_much_as_fits()
        self._fit()

    def _announce(self) -> None:
        self._fit()
        self.label.tell()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self.label, self.label.text()))

    def _view_changed(self, name: str) -> None:
        if name == "shown":
            self._come_or_go()
        if name in ("units", "theme", "pair"):
            self.show_setup(self._workbench.resolved)
            self._fit()
