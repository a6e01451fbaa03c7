"""The gallery: examples with pictures, painted by the plan's own painter."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.kit.look import look
from app.kit.plain import plain_hint, plain_label
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_layers import paint_work
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_tooth import paint_chip, paint_cutter
from core.base.words import say
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.arc_results import arc_results

THUMB = QSize(220, 150)


@lru_cache(maxsize=64)
def thumbnail(id: str, theme: str, ratio: float) -> QPixmap:
    """A small plan of an example: work, cutter and chip, no words."""
    setup = resolved(next(e for e in EXAMPLES if e.id == id).setup())
    results = arc_results(setup)
    middle = (results.engagement.entry + results.engagement.exit) / 2.0
    picture = QPixmap(round(THUMB.width() * ratio), round(THUMB.height() * ratio))
    picture.setDevicePixelRatio(ratio)
    theme_look = look(theme)
    picture.fill(theme_look.color("panel"))
    scene = PlanScene.of(results, middle * 57.29577951308232)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    rect = QRectF(0.0, 0.0, THUMB.width(), THUMB.height())
    frame = PlanFrame(rect, rect, rect.center(), THUMB.height() * 0.40, QRectF())
    for layer in (paint_work, paint_cutter, paint_chip):
        layer(painter, scene, frame, theme_look)
    painter.end()
    return picture


class GalleryDialog(QDialog):
    """Cards to choose from, with the mouse or the keyboard; ``chosen`` is the example's id."""

    def __init__(self, theme: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("window", "gallery_title"))
        self.chosen: str | None = None
        about = plain_label(say("window", "gallery_about"))
        about.setObjectName("soft")
        self.cards = QListWidget()
        self.cards.setViewMode(QListWidget.ViewMode.IconMode)
        self.cards.setIconSize(THUMB)
        self.cards.setGridSize(QSize(THUMB.width() + 28, THUMB.height() + 66))
        self.cards.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.cards.setMovement(QListWidget.Movement.Static)
        self.cards.setWordWrap(True)
        self.cards.setAccessibleName(say("window", "examples"))
        for example in EXAMPLES:
            picture = thumbnail(example.id, theme, self.devicePixelRatioF())
            icon = QIcon(picture)
            # The same picture when chosen: a style would tint it.
            icon.addPixmap(picture, QIcon.Mode.Selected)
            item = QListWidgetItem(icon, example.title)
            item.setToolTip(plain_hint(example.sentence))
            item.setData(Qt.ItemDataRole.UserRole, example.id)
            item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, example.sentence)
            item.setTextAlignment(Qt.AlignmentFlag.AlignHCenter)
            self.cards.addItem(item)
        self.cards.setCurrentRow(0)
        self.told = plain_label(EXAMPLES[0].sentence)
        self.told.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Open | QDialogButtonBox.StandardButton.Cancel)
        for kind, word in (("Open", say("window", "open")), ("Cancel", say("files", "cancel"))):
            button = buttons.button(QDialogButtonBox.StandardButton[kind])
            button.setIcon(QIcon())
            # Qt has words of its own for them, in its own language.
            button.setText(word)
        layout = QVBoxLayout(self)
        for widget in (about, self.cards, self.told, buttons):
            layout.addWidget(widget)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.cards.itemActivated.connect(self._activated)
        self.cards.currentRowChanged.connect(self._moved)
        # On a small screen its cards scroll; its buttons stay on it.
        room = self.screen().availableGeometry()
        self.resize(min(1060, round(0.94 * room.width())), min(640, round(0.94 * room.height())))
        self.cards.setFocus()

    def _moved(self, row: int) -> None:
        if 0 <= row < len(EXAMPLES):
            self.told.setText(EXAMPLES[row].sentence)

    def _activated(self, item: QListWidgetItem) -> None:
        self.accept()

    def accept(self) -> None:
        """Take the current card."""
        item = self.cards.currentItem()
        self.chosen = item.data(Qt.ItemDataRole.UserRole) if item is not None else None
        super().accept()
