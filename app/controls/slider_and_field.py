"""The two hands of a control: a slider whose drag can be put back, and a field for typing."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QKeyCombination, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QWheelEvent,
)
from PySide6.QtWidgets import QLineEdit, QSlider, QStyle, QStyleOptionSlider, QWidget

from app.kit.debounce import once_after

STEPS = 1000
"""Positions of a slider."""

READ_MS = 300
"""A screen reader is given the figure when the keys of its slider have rested for this long."""

CTRL_Y = QKeyCombination(Qt.KeyboardModifier.ControlModifier, Qt.Key.Key_Y)
"""Redo too, whatever the platform has for it."""


class KeenSlider(QSlider):
    """A slider whose wheel works only with the focus; ``Esc`` in a drag tells that it is to be put back."""

    put_back = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setRange(0, STEPS)
        self.setPageStep(50)
        self.setSingleStep(5)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._let_go = False
        self._figure = self._name = ""
        self._read = once_after(self, READ_MS, self._announce)

    def tell(self, figure: str) -> None:
        """The figure that the position stands for: a screen reader reads it, as the position alone says nothing."""
        if figure == self._figure:
            return
        first, self._figure = not self._figure, figure
        self.setAccessibleDescription(figure)
        # The value that Qt gives a reader is the position, which says nothing: the name has the figure.
        self._name = self._name or self.accessibleName()
        self.setAccessibleName(f"{self._name}: {figure}")
        # By its own keys; a change from elsewhere is announced by the sentence, a drag where it ends.
        if self.hasFocus() and not first:
            self._read.start()

    def _announce(self) -> None:
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, self._figure))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Groove, the part below the value, handle; a ring where the keyboard is.  By hand: it is in every drag."""
        option = QStyleOptionSlider()
        self.initStyleOption(option)
        handle = self.style().subControlRect(
            QStyle.ComplexControl.CC_Slider, option, QStyle.SubControl.SC_SliderHandle, self
        )
        colors, roles = self.palette(), QPalette.ColorRole
        x, y = handle.center().x() + 0.5, self.height() / 2.0
        painter = QPainter(self)
        painter.fillRect(QRectF(2.0, y - 2.0, self.width() - 4.0, 4.0), colors.color(roles.Mid))
        enabled = self.isEnabled()
        if enabled:
            painter.fillRect(QRectF(2.0, y - 2.0, x - 2.0, 4.0), colors.color(roles.WindowText))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pressed = self.isSliderDown() or self.underMouse()
        painter.setPen(QPen(colors.color(roles.Highlight if enabled else roles.Mid), 2.0))
        painter.setBrush(colors.color(roles.Highlight if pressed and enabled else roles.Button))
        painter.drawEllipse(QPointF(x, y), 7.5, 7.5)
        if self.hasFocus():
            painter.setPen(QPen(colors.color(roles.Link), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -1.0), 4.0, 4.0)

    def sizeHint(self) -> QSize:
        """High enough for the handle and the ring."""
        return QSize(120, 24)

    def minimumSizeHint(self) -> QSize:
        """The least that can be grabbed."""
        return QSize(36, 24)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """A page that scrolls must not turn a slider by the way."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """``Esc`` in a drag puts it back, and the hand holds nothing until it takes hold again."""
        if event.key() == Qt.Key.Key_Escape and self.isSliderDown():
            self._let_go = True
            self.put_back.emit()
            self.setSliderDown(False)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold."""
        self._let_go = False
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag, unless the drag was put back while the button is still down."""
        if not self._let_go:
            super().mouseMoveEvent(event)


class ValueField(QLineEdit):
    """A field whose ``Esc`` puts its value back; unless something is being typed undo is the program's."""

    put_back = Signal()

    def event(self, event: QEvent) -> bool:
        """Leave the keys of undo and redo to the program while there is no typing to be undone."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and self._not_mine(event):
            event.ignore()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """``Esc`` puts the value back."""
        if event.key() == Qt.Key.Key_Escape:
            self.put_back.emit()
        elif self._not_mine(event):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Entered by a click as by the keyboard: all of it is selected, and typing replaces it."""
        if not self.hasSelectedText():
            self.selectAll()
        super().mouseReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Left: where the text is too long, its beginning tells more than its end."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self.home(False)

    def _not_mine(self, event: QKeyEvent) -> bool:
        keys = QKeySequence.StandardKey
        back_or_on = event.matches(keys.Undo) or event.matches(keys.Redo) or event.keyCombination() == CTRL_Y
        return back_or_on and not self.isModified()
