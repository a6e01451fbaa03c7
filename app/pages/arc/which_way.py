"""The panel "Which way": the verdict, the ladder of questions, and under each its reasons for either direction.

It opens with the questions and their figures; verdict, answers and votes come when they are asked for.

A question can be asked why, switched off, or asked earlier; the last two are kept in the document.  What would turn
the verdict is worked out beside the window.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

from PySide6.QtCore import QEvent, QObject, QPoint, QSize, Qt
from PySide6.QtGui import QHideEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from app.kit.debounce import once_after
from app.pages.arc.arc_state import ArcState
from app.pages.arc.offset_chart import OffsetChart
from app.pages.arc.which_way_changes import ChangesRow
from app.pages.arc.which_way_lines import COLUMNS, RIGHT, ReasonButton, ReasonLine, RungLine, named_label
from app.pages.arc.which_way_scene import WhichWayScene, life_words, turns_text, which_way_scene
from app.pages.arc.which_way_turns import TurnsOfVerdict
from app.state.step_name import StepName
from app.state.workbench import Workbench
from core.advice.best_view_angle import best_view_angle
from core.advice.checks import CHECKS_OF
from core.advice.which_way import REASONS, rung_of
from core.base.words import say
from core.effects.arc_results import ArcResults
from core.report.which_way_words import not_computed_words
from core.setup.rungs import RUNGS
from core.setup.setup import Advice

LEAST_ROWS = 32
"""Height, pixels, down to which the rows that scroll give way to the words above them."""

QUIET_MS = 60
"""The ladder follows a drag this far apart: the pictures go first."""

RANGES_TO_COME = 2 * " (00.000 to 00.000)"
"""As long as the ranges of the figures in a reason's words; it is never read."""


class WhichWay(QWidget):
    """The verdict, the rungs with their reasons, and why the chosen one points where it does."""

    def __init__(self, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.scene: WhichWayScene | None = None
        self.setAccessibleName(say("decision", "name"))
        # A class reads it: its type is that of the pictures.
        self.setObjectName("seen")
        self.decision = named_label("name", wrap=True)
        self.caution = named_label("note", wrap=True)
        self.ask = named_label("name", wrap=True)
        self.ask.setText(say("element", "ask"))
        self.ask_button = ReasonButton(say("element", "ask_button", key="V"))
        self.ask_button.clicked.connect(self._show_answer)
        self._answered = self._figures = False
        self.life = named_label("note", wrap=True)
        self.life.hide()
        self.all_again = ReasonButton(say("decision", "all_again"))
        self.all_again.hide()
        self.all_again.clicked.connect(self._ask_all)
        inside = QWidget()
        inside.setObjectName("inside")
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 6, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(0)
        for column, id in ((1, "question"), (2, "climb"), (4, "conventional")):
            head = named_label("note")
            head.setText(say("decision", f"head_{id}"))
            if id == "climb":
                head.setAlignment(RIGHT)
            grid.addWidget(head, 0, column)
        grid.setColumnStretch(1, 1)
        self.rungs = {id: RungLine(id) for id in RUNGS}
        self.lines = {id: ReasonLine(id) for id in REASONS}
        self.told_only = named_label("note")
        self.told_only.setText(say("decision", "told"))
        self.heads, self._grid = inside, grid
        self._rows: dict[str, int] = {}
        for id, line in self.lines.items():
            line.title.setProperty("about", id)
            line.title.clicked.connect(self._choose_sender)
        for id, rung in self.rungs.items():
            for box, asked in (
                (rung.title, self._look_at_sender),
                (rung.on, self._switch_sender),
                (rung.earlier, self._earlier_sender),
            ):
                box.setProperty("about", id)
                box.clicked.connect(asked)
        self.why, self.limits, self.source = (named_label(n, wrap=True) for n in ("why", "note", "note"))
        # Never seen: it keeps the room that the words take with their ranges, so that nothing moves when those come.
        self._why_room = named_label("why", wrap=True)
        kept = self._why_room.sizePolicy()
        kept.setRetainSizeWhenHidden(True)
        self._why_room.setSizePolicy(kept)
        self._why_room.hide()
        self.slack = named_label("why", wrap=True)
        self.slack.setText(say("change", "slack"))
        self.turning = named_label("note", wrap=True)
        self.unknown = named_label("note", wrap=True)
        self.offsets = OffsetChart(workbench, view)
        # A child from the first: its buttons are looked for once.
        self.answer = QWidget(inside)
        self.answer.setObjectName("inside")
        self.changes = ChangesRow(workbench, view)
        self.changes.let_go.connect(self._hold_focus)
        answer = QVBoxLayout(self.answer)
        answer.setContentsMargins(4, 0, 0, 6)
        answer.setSpacing(3)
        words = QGridLayout()
        words.addWidget(self._why_room, 0, 0)
        words.addWidget(self.why, 0, 0)
        answer.addLayout(words)
        parts: tuple[QWidget, ...] = (self.changes, self.slack, self.limits, self.source)
        for part in parts:
            answer.addWidget(part)
        self.answer.hide()
        self._place(RUNGS)
        page = QWidget()
        page.setObjectName("inside")
        column_layout = QVBoxLayout(page)
        column_layout.setContentsMargins(12, 2, 6, 8)
        column_layout.setSpacing(6)
        for widget in (self.life, inside, self.offsets, self.turning, self.unknown):
            column_layout.addWidget(widget)
        column_layout.addStretch(1)
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QScrollArea.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidget(page)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setMinimumHeight(LEAST_ROWS)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.setSpacing(4)
        # Verdict, condition and caution stand together above what scrolls: seen whatever reason is looked at.
        above = QVBoxLayout()
        above.setContentsMargins(12, 0, 6, 0)
        self._above = above
        above.addWidget(self.ask)
        above.addWidget(self.ask_button, 0, Qt.AlignmentFlag.AlignLeft)
        above.addWidget(self.decision)
        above.addWidget(self.caution)
        above.addWidget(self.all_again, 0, Qt.AlignmentFlag.AlignLeft)
        layout.addLayout(above)
        layout.addWidget(self.area, 1)
        self._page, self._widest = page, 0
        page.installEventFilter(self)
        self.turns = TurnsOfVerdict(self)
        self.turns.near_known.connect(self._show_with_ranges)
        self.turns.changed.connect(self._tell_turns)
        self._later = once_after(self, QUIET_MS, self.refresh)
        self._held: tuple[QWidget, int] | None = None
        self._bring = once_after(self, 0, self._bring_answer)
        view.changed.connect(self.show_view)
        self.show_view("why")

    # What is shown

    def show_results(self, results: ArcResults) -> None:
        """New results: soon, and not at all while nobody looks."""
        if self._view.why and not self._later.isActive():
            self._later.start()

    def show_view(self, name: str) -> None:
        """The panel was opened, another reason is looked at, or the units have changed."""
        if name in ("units", "theme"):
            self._widest = 0
            self.offsets.updateGeometry()
            self.updateGeometry()
        if name in ("why", "reason", "units", "shown") and self._view.why:
            self.refresh()

    def refresh(self) -> None:
        """Work out the ladder and show it."""
        view, before = self._view, self.window().focusWidget()
        held = before is not None and self.isAncestorOf(before)
        setup = view.results.setup
        self._show_scene(which_way_scene(setup, view.units, looked=self.turns.near_is_known(setup)))
        self.offsets.show_setup(setup)
        bench = self._workbench
        life = life_words(setup, bench.opened, bench.materials, view.units)
        self.life.setText(life)
        self.life.setVisible(bool(life))
        scene = self.scene
        assert scene is not None
        self.all_again.setVisible(not scene.as_usual and bool(scene.rows))
        if self._answered:
            self.turns.look_for(setup, bool(scene.rows))
        self._tell_turns()
        self._show_chosen()
        if held and before is not None and not before.isVisible():
            self._hold_focus()
        self._stay_put()

    def _show_scene(self, scene: WhichWayScene) -> None:
        """The verdict, the rungs and their reasons; the answers where they are asked for."""
        asked = self._view.shown.verdict or not scene.rows
        # Where figures are hidden the question stands alone; the answer comes with its figures.
        figures = asked or self._view.shown.figures
        if (scene, asked, figures) == (self.scene, self._answered, self._figures):
            return
        self.scene, self._answered, self._figures = scene, asked, figures
        self.decision.setText(scene.decision if asked else "")
        self.decision.setVisible(asked)
        self.ask.setVisible(not asked)
        self.ask_button.setVisible(not asked)
        self.caution.setText(scene.caution)
        self._keep_words_whole()
        self.heads.setVisible(bool(scene.rows))
        if scene.rungs:
            self._place(tuple(rung.id for rung in scene.rungs))
        for i, rung in enumerate(scene.rungs):
            told = rung if asked else replace(rung, answer="", decides=False)
            self.rungs[rung.id].show_row(told, first=i == 0)
        for row in scene.rows:
            if not asked:
                row = replace(row, vote="", mark="", better="")
            self.lines[row.id].show_row(row if figures else replace(row, climb="", conventional=""))

    def _place(self, order: tuple[str, ...]) -> None:
        """Rungs in their order, the reasons of each below it; under every row there is one for "why?"."""
        under = {rung: [id for id in CHECKS_OF[rung] if id in self.lines] for rung in RUNGS}
        only_told = [id for id in self.lines if rung_of(id) is None]
        places: list[str] = []
        for rung in order:
            places += [f"rung_{rung}", *under[rung]]
        places += ["told", *only_told]
        rows = {name: 2 * i + 1 for i, name in enumerate(places)}
        if rows == self._rows:
            return
        self._rows = rows
        for rung in order:
            self.rungs[rung].place(self._grid, rows[f"rung_{rung}"])
        for id, line in self.lines.items():
            line.place(self._grid, rows[id])
        self._grid.addWidget(self.told_only, rows["told"], 1)
        # The keyboard goes down the rows as they stand.
        way: list[QWidget] = []
        for rung in order:
            asked = self.rungs[rung]
            way += [asked.on, asked.title, asked.earlier, *(self.lines[id].title for id in under[rung])]
        way += [self.lines[id].title for id in only_told]
        for one, other in itertools.pairwise(way):
            QWidget.setTabOrder(one, other)

    def _show_chosen(self) -> None:
        assert self.scene is not None
        row = self.scene.row(self._view.reason)
        for id, line in self.lines.items():
            line.title.setChecked(row is not None and id == row.id)
        self.answer.setVisible(row is not None)
        if row is not None:
            self._grid.addWidget(self.answer, self._rows[row.id] + 1, 0, 1, COLUMNS)
            # The keyboard comes to the changes from their reason, and goes on to the next one.
            before: QWidget = self.lines[row.id].title
            for change in self.changes.lines.values():
                QWidget.setTabOrder(before, change.button)
                before = change.button
            self._tell_why()
            come = self.turns.near_is_known(self._view.results.setup)
            self._why_room.setText(self.why.text() if come else self.why.text() + RANGES_TO_COME)
            self.limits.setText(row.limits)
            self.source.setText(row.source)
        self.changes.look_for(self._view.results.setup, "" if row is None else row.id)
        self.slack.setVisible(row is not None and row.id == "pull" and self.changes.against)
        self.unknown.setText(not_computed_words(self._view.results.setup))
        self.unknown.setVisible(self._answered)

    def _tell_why(self) -> None:
        """Why the chosen reason points where it does; the ranges of its figures come as the hand rests."""
        row = None if self.scene is None else self.scene.row(self._view.reason)
        if row is not None:
            self.why.setText(say("reason_told", "figures", figure=row.figure, why=row.why))

    # What would turn it

    def _show_with_ranges(self) -> None:
        """The draws about the setup are done: verdict and figures are told with them, unless another is shown now."""
        setup = self._view.results.setup
        if setup == self.turns.of:
            self._show_scene(which_way_scene(setup, self._view.units))
            self._tell_why()
            layout = self.layout()
            if layout is not None:
                layout.activate()

    def _tell_turns(self) -> None:
        told = self._answered and self.scene is not None and bool(self.scene.rows)
        self.turning.setText(turns_text(self.turns.turns, self._view.units, self.turns.looking) if told else "")
        self.turning.setVisible(told)

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody looks: nothing is worked out, and no work outlives the window."""
        self.turns.stop()
        super().hideEvent(event)

    # Room

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width wraps the words otherwise."""
        super().resizeEvent(event)
        self._keep_words_whole()

    def _keep_words_whole(self) -> None:
        """Verdict and caution have the height that their words need: where room is short, what scrolls gives way."""
        margins = self._above.contentsMargins()
        width = self.width() - margins.left() - margins.right()
        for label in (self.decision, self.caution):
            # A label never tells less than its least height: words that need fewer lines now would keep the old ones.
            label.setMinimumHeight(0)
            label.setMinimumHeight(label.heightForWidth(width) if width > 0 and label.text() else 0)

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

    def _show_answer(self) -> None:
        self._view.set("shown", self._view.shown.toggled("verdict"))

    def _about(self) -> str:
        """The rung or the reason whose button was clicked."""
        return str(self.sender().property("about"))

    def _choose_sender(self) -> None:
        self.choose(self._about())

    def _look_at_sender(self) -> None:
        self._look_at(self._about())

    def _switch_sender(self, on: bool) -> None:
        self._switch(self._about(), on)

    def _earlier_sender(self) -> None:
        self._earlier(self._about())

    def _ask_all(self) -> None:
        self._ask(Advice())

    def _look_at(self, rung: str) -> None:
        """Ask a rung why: what answered it is shown in strips and plan."""
        row = None if self.scene is None else self.scene.rung(rung)
        if row is not None and row.reason:
            self.choose(row.reason)

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

    def _ask(self, advice: Advice) -> None:
        """Keep in the document which rungs are asked, and in which order; one step of undo."""
        self._workbench.propose(self._workbench.setup.with_keys({"advice.": advice}), StepName("decision", "step"))

    def _hold(self, widget: QWidget) -> None:
        """What was clicked stays under the pointer as the verdict above it becomes longer or shorter."""
        self._held = (widget, widget.mapTo(self, QPoint()).y())

    def _stay_put(self) -> None:
        if self._held is None:
            return
        widget, before = self._held
        self._held = None
        layout, bar = self.layout(), self.area.verticalScrollBar()
        if layout is not None:
            layout.activate()
        moved = widget.mapTo(self, QPoint()).y() - before
        # Not farther than to the top, where the verdict now stands in its place.
        bar.setValue(min(bar.value() + moved, widget.mapTo(self._page, QPoint()).y()))

    def _switch(self, id: str, on: bool) -> None:
        self._hold(self.rungs[id].on)
        self._ask(self._workbench.setup.advice.switched(id, on))

    def _earlier(self, id: str) -> None:
        self._ask(self._workbench.setup.advice.asked_earlier(id))
