"""The speeds that hold more, nearest first: a click takes one."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStyle, QWidget

from app.kit.plain import plain_hint, plain_label
from core.base.language import in_language
from core.base.quantities import Units
from core.base.words import say
from core.chatter.speed_depth import MOST_OFFERS, Offer, SpeedDepth
from core.report.chatter_sentence import depth_words, speed_words


def offer_words(offer: Offer, units: Units) -> str:
    """One offer on its button."""
    speed, depth = speed_words(offer.speed_rpm), depth_words(offer.depth_mm, units)
    return say("chatter", "offer_button", speed=speed, depth=depth, gain=in_language(f"{offer.gain:.2g}"))


class OfferList(QWidget):
    """A row of at most as many buttons as there are offers; ``taken`` carries the offer that was clicked."""

    taken = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._offers: tuple[Offer, ...] = ()
        self.title = plain_label()
        self.title.setObjectName("soft")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(10, 2, 10, 4)
        layout.addWidget(self.title)
        self.buttons: list[QPushButton] = []
        for _ in range(MOST_OFFERS):
            button = QPushButton()
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setToolTip(plain_hint(say("chatter", "offer_hint")))
            button.clicked.connect(self._take)
            # A window that is too narrow shows fewer buttons, never half a word and never a wider window.
            button.setMinimumWidth(1)
            layout.addWidget(button)
            self.buttons.append(button)
        layout.addStretch(1)
        self.show_chart(None, "metric")

    def _take(self) -> None:
        sender = self.sender()
        if isinstance(sender, QPushButton):
            self.taken.emit(self._offers[self.buttons.index(sender)])

    def show_chart(self, chart: SpeedDepth | None, units: Units) -> None:
        """The offers of a chart; None while it is worked out."""
        done = chart is not None and chart.done
        self._offers = chart.offers if chart is not None else ()
        missing = chart is not None and bool(chart.missing)
        word = "offers" if self._offers else "no_offers" if done else "offers_wait"
        self.title.setText("" if missing else say("chatter", word))
        for i, button in enumerate(self.buttons):
            button.setVisible(i < len(self._offers))
            if i < len(self._offers):
                button.setText(offer_words(self._offers[i], units))
        self._fit()

    def _fit(self) -> None:
        """As many buttons as have room for all their words; the nearest speeds first."""
        spacing = max(6, self.style().pixelMetric(QStyle.PixelMetric.PM_LayoutHorizontalSpacing))
        left = self.width() - 20 - self.title.sizeHint().width() - spacing
        for i, button in enumerate(self.buttons):
            left -= button.sizeHint().width() + spacing
            button.setVisible(i < len(self._offers) and (left >= 0 or i == 0))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """More room, more offers."""
        super().resizeEvent(event)
        self._fit()
