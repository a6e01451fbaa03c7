"""The panel "Which way": reasons side by side for climb and conventional; each can be asked why, and switched off."""

from __future__ import annotations

import math

from PySide6.QtCore import QEvent, QObject, QPoint, QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.kit.debounce import once_after
from app.kit.plain import plain_hint, plain_label
from app.pages.arc.arc_state import ArcState
from app.pages.arc.which_way_changes import ChangesRow
from app.pages.arc.which_way_scene import ReasonRow, WhichWayScene, life_words, which_way_scene
from app.state.workbench import Workbench
from core.advice.best_view_angle import best_view_angle
from core.advice.which_way import REASONS
from core.base.words import say
from core.effects.arc_results import ArcResults

RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter

QUIET_MS = 60
"""Reasons follow a drag this far apart: the pictures go first."""


def _label(name: str, *, wrap: bool = False) -> QLabel:
    label = plain_label()
    label.setObjectName(name)
    label.setWordWrap(wrap)
    label.setTextFormat(Qt.TextFormat.PlainText)
    if wrap:
        label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
    return label


def _mark(label: QLabel, name: str, value: str) -> None:
    """A property that the style sheet reads."""
    if label.property(name) != value:
        label.setProperty(name, value)
        label.style().unpolish(label)
        label.style().polish(label)


class ReasonButton(QPushButton):
    """A reason's name, to be asked why: by click, Space or Enter."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter asks as Space does; outside a dialog a button does not hear it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)


class ReasonLine:
    """The widgets of one reason in the grid."""

    def __init__(self, id: str, grid: QGridLayout, row: int) -> None:
        self.id = id
        self.on = QCheckBox()
        self.title = ReasonButton()
        self.title.setObjectName("row")
        self.title.setCheckable(True)
        self.climb, self.vote, self.conventional = _label("figure"), _label("weight"), _label("figure")
        for column, widget in enumerate((self.on, self.title, self.climb, self.vote, self.conventional)):
            grid.addWidget(widget, row, column)
        # What a reason weighs stands between the figures and points to the better one.
        self.climb.setAlignment(RIGHT)
        self.vote.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._shown: ReasonRow | None = None

    def show_row(self, row: ReasonRow) -> None:
        """Follow the scene."""
        if row == self._shown:
            return
        self._shown = row
        self.on.setChecked(row.on)
        # A reason that does not decide has nothing to be switched off.
        self.on.setVisible(bool(row.better))
        self.on.setToolTip(plain_hint(f"Count “{row.title}” in the decision"))
        self.on.setAccessibleName(f"Count {row.title}")
        self.title.setText(row.title)
        self.title.setToolTip(plain_hint(row.figure))
        self.title.setAccessibleName(f"{row.title}: climb {row.climb}, conventional {row.conventional}, {row.vote}")
        self.vote.setText(row.mark)
        self.vote.setToolTip(plain_hint(row.vote))
        _mark(self.vote, "weight", row.weight if row.on else "")
        for label, text, way in (
            (self.climb, row.climb, "climb"),
            (self.conventional, row.conventional, "conventional"),
        ):
            label.setText(text)
            _mark(label, "better", "true" if row.better == way and row.on else "false")


class WhichWay(QWidget):
    """The decision, the reasons, and why the chosen one points where it does."""

    def __init__(self, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.scene: WhichWayScene | None = None
        self.setAccessibleName("Which way: reasons for climb and for conventional")
        self.decision = _label("name", wrap=True)
        self.life = _label("note", wrap=True)
        self.life.hide()
        self.all_again = QPushButton(say("decision", "all_again"))
        self.all_again.hide()
        self.all_again.clicked.connect(self._count_all)
        inside = QWidget()
        inside.setObjectName("inside")
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 6, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(0)
        for column, words in enumerate(("", "reason (click: why?)", "climb", "points to", "conventional")):
            head = _label("note")
            head.setText(words)
            if words == "climb":
                head.setAlignment(RIGHT)
            grid.addWidget(head, 0, column)
        grid.setColumnStretch(1, 1)
        # Under each reason there is a row for the answer to "why?", which stands under the chosen one.
        self.lines = {id: ReasonLine(id, grid, 2 * i + 1) for i, id in enumerate(REASONS)}
        self.heads, self._grid = inside, grid
        for id, line in self.lines.items():
            for box, asked in ((line.title, self._choose_sender), (line.on, self._count_sender)):
                box.setProperty("reason", id)
                box.clicked.connect(asked)
        self.why, self.limits, self.source = (_label(n, wrap=True) for n in ("why", "note", "note"))
        self.unknown = _label("note", wrap=True)
        # A child from the first: the window looks for its buttons once.
        self.answer = QWidget(inside)
        self.answer.setObjectName("inside")
        self.changes = ChangesRow(workbench, view)
        self.changes.let_go.connect(self._hold_focus)
        answer = QVBoxLayout(self.answer)
        answer.setContentsMargins(4, 0, 0, 6)
        answer.setSpacing(3)
        answer.addWidget(self.why)
        answer.addWidget(self.changes)
        answer.addWidget(self.limits)
        answer.addWidget(self.source)
        self.answer.hide()
        page = QWidget()
        page.setObjectName("inside")
        column_layout = QVBoxLayout(page)
        column_layout.setContentsMargins(12, 2, 6, 8)
        column_layout.setSpacing(6)
        for widget in (self.life, inside, self.unknown):
            column_layout.addWidget(widget)
        column_layout.addStretch(1)
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QScrollArea.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidget(page)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.setSpacing(4)
        # The verdict stands above what scrolls: it is seen whatever reason is looked at.
        verdict = QVBoxLayout()
        verdict.setContentsMargins(12, 0, 6, 0)
        verdict.addWidget(self.decision)
        verdict.addWidget(self.all_again, 0, Qt.AlignmentFlag.AlignLeft)
        layout.addLayout(verdict)
        layout.addWidget(self.area, 1)
        self._page, self._widest = page, 0
        page.installEventFilter(self)
        self._later = once_after(self, QUIET_MS, self.refresh)
        self._bring = once_after(self, 0, self._bring_answer)
        view.changed.connect(self.show_view)
        self.show_view("why")

    # What is shown

    def show_results(self, results: ArcResults) -> None:
        """New results: soon, and not at all while nobody looks."""
        if self._view.why and not self._later.isActive():
            self._later.start()

    def show_view(self, name: str) -> None:
        """The panel was opened, another reason is looked at, or units or what counts have changed."""
        if name in ("units", "theme"):
            self._widest = 0
            self.updateGeometry()
        if name in ("why", "reason", "reasons_off", "units") and self._view.why:
            self.refresh()

    def refresh(self) -> None:
        """Work out the reasons and show them."""
        view, before = self._view, self.window().focusWidget()
        held = before is not None and self.isAncestorOf(before)
        scene = which_way_scene(self._view.results.setup, view.reasons_off, view.units)
        if scene != self.scene:
            self.scene = scene
            self.decision.setText(scene.decision)
            self.heads.setVisible(bool(scene.rows))
            for row in scene.rows:
                self.lines[row.id].show_row(row)
        bench = self._workbench
        life = life_words(view.results.setup, bench.opened, bench.materials, view.units)
        self.life.setText(life)
        self.life.setVisible(bool(life))
        self.all_again.setVisible(bool(view.reasons_off) and bool(scene.rows))
        self._show_chosen()
        if held and before is not None and not before.isVisible():
            self._hold_focus()

    def _show_chosen(self) -> None:
        assert self.scene is not None
        row = self.scene.row(self._view.reason)
        for id, line in self.lines.items():
            line.title.setChecked(row is not None and id == row.id)
        self.answer.setVisible(row is not None)
        if row is not None:
            self._grid.addWidget(self.answer, 2 * list(self.lines).index(row.id) + 2, 0, 1, 5)
            # The keyboard comes to the changes from their reason, and goes on to the next one.
            before: QWidget = self.lines[row.id].title
            for change in self.changes.lines.values():
                QWidget.setTabOrder(before, change.button)
                before = change.button
            self.why.setText(say("reason_told", "figures", figure=row.figure, why=row.why))
            self.limits.setText(row.limits)
            self.source.setText(row.source)
        self.changes.look_for(self._view.results.setup, "" if row is None else row.id)
        told = (say("decision", "cautions"), say("decision", "chatter"))
        self.unknown.setText(" ".join(told) if self.scene.rows else "")

    # Room

    def hasHeightForWidth(self) -> bool:
        """What does not fit is scrolled; for words that wrap a layout would else take height from the strips."""
        return False

    def minimumSizeHint(self) -> QSize:
        """As wide as the widest words have been in these units and this theme, so that nothing is cut off.

        A figure that becomes shorter does not narrow the panel: the pictures beside it stand still.
        """
        self._widest = max(self._widest, self._page.minimumSizeHint().width())
        bar = self.area.verticalScrollBar().sizeHint().width()
        return QSize(self._widest + bar, super().minimumSizeHint().height())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Other words may need another width."""
        if event.type() == QEvent.Type.LayoutRequest and self._page.minimumSizeHint().width() > self._widest:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    # Hands

    def _hold_focus(self) -> None:
        """What had the keyboard's focus is gone: the row of the reason that is looked at takes it, or the first."""
        line = self.lines.get(self._view.reason) or next(iter(self.lines.values()))
        if line.title.isVisible():
            line.title.setFocus(Qt.FocusReason.OtherFocusReason)

    def _count_all(self) -> None:
        self._view.set("reasons_off", frozenset())

    def _choose_sender(self) -> None:
        self.choose(str(self.sender().property("reason")))

    def _count_sender(self, on: bool) -> None:
        self._count(str(self.sender().property("reason")), on)

    def choose(self, id: str) -> None:
        """Ask why: the words, the strip that shows it, and the tooth where it is seen best."""
        if id == self._view.reason:
            self._view.set("reason", "")
            self._show_chosen()
            return
        self._view.set("reason", id)
        setup = self._view.results.setup
        self._view.set("angle_deg", math.degrees(best_view_angle(id, setup)))
        self._show_chosen()
        # Once its words are laid out.
        self._bring.start()

    def _bring_answer(self) -> None:
        """Scroll so that the answer is seen, as much of it as leaves its reason in sight."""
        line, bar = self.lines.get(self._view.reason), self.area.verticalScrollBar()
        if line is None or not self.answer.isVisible():
            return
        top = line.title.mapTo(self._page, QPoint()).y()
        bottom = self.answer.mapTo(self._page, QPoint(0, self.answer.height())).y()
        hidden = bottom - bar.value() - self.area.viewport().height()
        if hidden > 0:
            bar.setValue(min(bar.value() + hidden, top))

    def _count(self, id: str, on: bool) -> None:
        off = set(self._view.reasons_off)
        off.discard(id) if on else off.add(id)
        box, bar = self.lines[id].on, self.area.verticalScrollBar()
        before = box.mapTo(self, QPoint()).y()
        self._view.set("reasons_off", frozenset(off))
        # A longer verdict pushes the rows down: they are scrolled up again, so that the box stays under the pointer.
        layout = self.layout()
        if layout is not None:
            layout.activate()
        moved = box.mapTo(self, QPoint()).y() - before
        # Not farther than to the top, where the verdict now stands in its place.
        bar.setValue(min(bar.value() + moved, box.mapTo(self._page, QPoint()).y()))
