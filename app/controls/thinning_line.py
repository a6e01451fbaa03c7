"""Chip thinning under the feed per tooth: by how much the chip is thinner, and the feed that makes up for it."""

from __future__ import annotations

import math

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from app.kit.label_layout import fitting, text_size
from app.kit.look import at_hand
from app.kit.plain import plain_hint
from app.state.step_name import TERM, StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.glossary import explained, glossary
from core.base.quantities import QUANTITIES, clear_figure, number
from core.base.words import say
from core.cut.chip import feed_for_thickness, thinning
from core.cut.engagement import engagement
from core.setup.setup import Setup
from core.setup.setup_limits import FEED_SHARE

FIGURES = 4
"""Figures of a feed that is offered: what a person would write down, and a digit more."""

AS_THICK = 1.005
"""Ratio under which the chip is as thick as the feed: it reads as 1.00."""

SAME = 2e-3
"""Share by which a feed may differ from the one that is offered and need not be offered any more."""

GAP = 14.0
"""Pixels between the note and the words."""

ROOM = 6.0
"""Pixels to the left of the words that their ring of focus and their letters may reach over."""


class ThinningLine(QAbstractButton):
    """``fz / h max`` and the feed at which the chip is as thick as wanted; a click takes that feed.

    Wanted is the feed per tooth as it was set: who set 0.06 thought of a chip of 0.06.  A feed taken here is not set
    anew: the thickness wanted before stays wanted, so that it can be restored again at another width.
    """

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._wanted, self._taken = 0.0, -1.0
        self._offered = 0.0
        self._texts: tuple[str, ...] = ("",)
        self._note_width = 0.0
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.setToolTip(plain_hint(f"{explained('thinning')}\n{say('thinning', 'hint')}"))
        self.clicked.connect(self._take)
        view.changed.connect(self._view_changed)
        self.show_setup(workbench.setup)

    def _view_changed(self, name: str) -> None:
        if name == "shown":
            self.update()

    def sizeHint(self) -> QSize:
        """It lies over the note's row, at its right."""
        return QSize(120, 18)

    def keep_off(self, width: float) -> None:
        """Leave so many pixels at the left to the note."""
        if width != self._note_width:
            self._note_width = width
            self.update()

    def fits(self, note_width: float, *, least: bool = False) -> bool:
        """Whether there is room beside a note of that width for words that tell why that feed, or for the fewest."""
        font = at_hand(self._view.theme).font("small")
        return text_size(font, self._texts[-1 if least else 1]).width() <= self.width() - note_width - GAP

    def text(self) -> str:
        """What is shown: as many words as there is room for; nothing where the shortest would run into the note.

        Nothing either where figures that follow from the cut are hidden: this one answers what is asked.
        """
        if not self._view.shown.figures:
            return ""
        font = at_hand(self._view.theme).font("small")
        room = self.width() - (self._note_width + GAP if self._note_width else 2.0)
        text = fitting(font, room, *self._texts)
        return text if text_size(font, text).width() <= room else ""

    def hitButton(self, pos: QPoint) -> bool:
        """Only the words themselves can be clicked."""
        return bool(self.text()) and self.rect().contains(pos) and pos.x() >= self._left() - 4.0

    def _left(self) -> float:
        return self.width() - text_size(at_hand(self._view.theme).font("small"), self.text()).width() - 2.0

    @property
    def wanted(self) -> float:
        """Chip thickness (mm) that the offered feed gives."""
        return self._wanted

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        units, feed = self._view.units, setup.cut.feed_per_tooth_mm
        if feed != self._taken:
            self._wanted, self._taken = feed, -1.0
        arc = engagement(setup)
        ratio = thinning(setup, arc)
        restoring = float(f"{float(feed_for_thickness(self._wanted, setup, arc)):.{FIGURES}g}")
        offered = abs(restoring - feed) > SAME * feed and restoring <= FEED_SHARE * setup.cutter.diameter_mm
        self._offered = restoring if offered else 0.0
        fields = {"symbol": glossary()["thinning"].symbol, "ratio": number(ratio, 2)}
        if offered:
            unit = QUANTITIES["feed_per_tooth"].unit_in(units)
            whole = clear_figure(restoring, "feed_per_tooth", units)
            fields["feed"] = whole.removesuffix(unit).strip()
            texts = tuple([say("thinning", name, **fields) for name in ("take", "take_short", "take_least")])
        else:
            restored = feed == self._taken and feed != self._wanted
            name = "restored" if restored else "thick" if ratio < AS_THICK else "thin"
            fields["wanted"] = clear_figure(self._wanted, "chip_thickness", units, counting=1)
            texts = (say("thinning", name, **fields), say("thinning", f"{name}_short", **fields))
        if texts != self._texts:
            # The note to the left of both stays as it is.
            before, self._texts = self._left(), texts
            self.setAccessibleName(texts[0])
            left = math.floor(min(before, self._left()) - ROOM)
            self.update(left, 0, self.width() - left, self.height())
        if self.isEnabled() != offered:
            self.setEnabled(offered)
            self.setCursor(Qt.CursorShape.PointingHandCursor if offered else Qt.CursorShape.ArrowCursor)

    def _take(self) -> None:
        setup, feed = self._workbench.setup, self._offered
        if not feed:
            return
        self._taken = feed
        after = setup.with_keys({"cut.feed_per_tooth_mm": feed})
        self._workbench.propose(after, StepName(TERM, "feed_per_tooth"))

    def paintEvent(self, event: QPaintEvent) -> None:
        """A line of words; as a link where there is a feed to be taken."""
        theme = at_hand(self._view.theme)
        painter = QPainter(self)
        font, text = theme.font("small"), self.text()
        offered = self.isEnabled()
        painter.setFont(font)
        painter.setPen(theme.color("accent" if offered else "soft"))
        metrics, left = QFontMetricsF(font), self._left()
        foot = 0.5 * (self.height() - metrics.lineSpacing()) + metrics.ascent()
        painter.drawText(QPointF(left, foot), text)
        if offered and (self.underMouse() or self.isDown()):
            painter.drawLine(QPointF(left, foot + 2.0), QPointF(self.width() - 2.0, foot + 2.0))
        if self.hasFocus():
            painter.setPen(theme.pen("focus", "line"))
            painter.drawRoundedRect(QRectF(left - 4.0, 0.5, self.width() - left + 3.5, self.height() - 1.0), 3.0, 3.0)
        painter.end()
