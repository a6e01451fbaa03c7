"""What would lift a reason: changes of one figure of the cut, found one after another, each taken with one click.

Every kind of change has a line of its own that is there from the first: what is found later fills its line, and
nothing that can be clicked moves.
"""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QWidget

from app.kit.debounce import SETTLE_MS, once_after
from app.kit.plain import plain_hint, plain_label
from app.pages.arc.arc_state import ArcState
from app.pages.arc.which_way_lines import ReasonButton
from app.state.step_name import DIRECTION as DIRECTION_STEP
from app.state.step_name import TERM, StepName
from app.state.workbench import Workbench
from core.advice.reason_remedies import Effect, cleared, effects, lifting_value, measures
from core.advice.remedies import QUANTITY_OF
from core.advice.wall_remedies import WIDTH, keeping_compensation, keeping_spring_pass
from core.advice.which_way import stands_against
from core.base.glossary import glossary
from core.base.language import in_language
from core.base.quantities import QUANTITIES, Units, clear_figure
from core.base.words import inside, say
from core.effects.compensation import Compensation
from core.report.rough_words import before_and_after, known_figure
from core.setup.setup import Setup

DIRECTION = "cut.direction"
COMPENSATION, SPRING_PASS = "compensation", "spring pass"
FIGURES = (DIRECTION, *QUANTITY_OF)
KINDS = (*FIGURES, COMPENSATION, SPRING_PASS)
"""What is changed, in the order of the lines; the last two only bring a wall into its tolerance."""

MOST = 3
"""Most figures that are told of a change."""

LONGEST, AROUND = "0.00000", 16
"""A figure as long as any that a button tells, and what a button has about its words (pixels)."""


def word_of(key: str) -> str:
    """What a person calls the figure that is changed."""
    if key in (COMPENSATION, SPRING_PASS):
        return say("change", key.replace(" ", "_"))
    return say("change", "word_direction") if key == DIRECTION else glossary()[QUANTITY_OF[key]].word


def step_of(key: str) -> StepName:
    """What undo calls a change of that figure."""
    return DIRECTION_STEP if key == DIRECTION else StepName(TERM, QUANTITY_OF[key])


def change_words(key: str, after: Setup, units: Units) -> str:
    """A change as its button tells it."""
    if key == DIRECTION:
        return say("change", "direction", direction=say("way", after.cut.direction))
    if key == SPRING_PASS:
        return say("change", "second_pass", width=clear_figure(after.cut.radial_engagement_mm, "deflection", units))
    q = QUANTITIES[QUANTITY_OF[key]]
    return f"{q.symbol} {in_language(f'{q.shown(after.value(key), units):.4g}')} {q.unit_in(units)}"


def after_words(effect: Effect, units: Units) -> str:
    """A figure after the change, with an arrow that says whether it rises or falls."""
    _, told = before_and_after(effect.before, effect.after, effect.quantity, units)
    if effect.before is None or effect.after is None or not (effect.better or effect.worse):
        return told
    return say("change", "rises" if effect.after > effect.before else "falls", figure=told)


def effect_words(effect: Effect, units: Units) -> str:
    """A figure before and after the change, in words."""
    before, after = before_and_after(effect.before, effect.after, effect.quantity, units)
    return say("change", "effect", name=effect.name, before=before, after=after)


def _label(name: str) -> QLabel:
    label = plain_label()
    label.setObjectName(name)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label


class ChangeLine:
    """The line of one kind of change: a button and what it does, or a note in their place."""

    def __init__(self, key: str, grid: QGridLayout, row: int) -> None:
        self.key = key
        self.button = ReasonButton()
        self.button.setObjectName("change")
        # The line is as high as with its button, whatever stands in it.
        policy = self.button.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self.button.setSizePolicy(policy)
        self.after = [_label("after") for _ in range(MOST)]
        self.note = _label("note")
        grid.addWidget(self.button, row, 0)
        for column, label in enumerate(self.after, 1):
            grid.addWidget(label, row, column)
        grid.addWidget(self.note, row, 0, 1, MOST + 1)
        self.say_only("")

    def say_only(self, words: str) -> None:
        """Nothing to click here, and why."""
        self.button.setText("")
        for widget in (self.button, *self.after):
            widget.hide()
        self.note.setText(words)
        self.note.show()

    def offer(self, after: Setup, told: tuple[Effect, ...], units: Units) -> None:
        """A change to click, with what it does."""
        text, word = change_words(self.key, after, units), word_of(self.key)
        does = "; ".join(effect_words(effect, units) for effect in told)
        self.button.setText(text)
        self.button.setToolTip(plain_hint(say("change", "take", word=word, does=does)))
        self.button.setAccessibleName(say("change", "take_name", word=word, text=text, does=does))
        self.note.hide()
        self.button.show()
        for label, effect in zip(self.after, told, strict=False):
            label.setText(after_words(effect, units))
            tone = "better" if effect.better else "worse" if effect.worse else ""
            if label.property("tone") != tone:
                label.setProperty("tone", tone)
                label.style().unpolish(label)
                label.style().polish(label)
            label.show()


class _Offset:
    """The line of the compensation: a figure for the control, which a click copies."""

    def __init__(self, line: ChangeLine) -> None:
        self.line = line
        self.text = ""

    def offer(self, found: Compensation, units: Units) -> None:
        """The offset to copy, and what remains of the error."""
        q = QUANTITIES["deflection"]
        self.text = f"{q.shown(found.offset, units):.4f}"
        offset, remains = (clear_figure(v, "deflection", units) for v in (found.offset, found.remains))
        self.line.say_only("")
        self.line.button.setText(say("change", "copy_offset", offset=offset))
        told = say("change", "offset_told", offset=offset, remains=remains)
        self.line.button.setToolTip(plain_hint(told))
        self.line.button.setAccessibleName(told)
        self.line.note.hide()
        self.line.button.show()
        self.line.after[0].setText(say("change", "offset_remains", remains=remains))
        self.line.after[0].show()

    def copy(self) -> None:
        """Put the figure on the clipboard."""
        QGuiApplication.clipboard().setText(self.text)
        self.line.after[0].setText(say("change", "copied", text=self.text))


class ChangesRow(QWidget):
    """One line for each kind of change: the direction's first, then those of the figures of the cut.

    ``let_go`` comes when the button with the keyboard's focus goes away: the focus has to go somewhere near.
    """

    let_go = Signal()

    def __init__(self, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._setup: Setup | None = None
        self._id = self._units = ""
        self._against = False
        self._due: list[str] = []
        self._found: dict[str, Setup] = {}
        self._offset: Compensation | None = None
        self.label = _label("note")
        self.names = [_label("head") for _ in range(MOST)]
        self.now = [_label("after") for _ in range(MOST)]
        self._grid = grid = QGridLayout(self)
        grid.setContentsMargins(0, 2, 0, 2)
        grid.setHorizontalSpacing(10)
        # None: a grid leaves it out between some rows and not between others. The buttons have a margin.
        grid.setVerticalSpacing(0)
        grid.addWidget(self.label, 0, 0, 1, MOST + 1)
        as_it_is = _label("head")
        as_it_is.setText(say("change", "as_it_is"))
        grid.addWidget(as_it_is, 2, 0)
        for column, (name, now) in enumerate(zip(self.names, self.now, strict=True), 1):
            name.setWordWrap(True)
            name.setAlignment(Qt.AlignmentFlag.AlignBottom)
            grid.addWidget(name, 1, column)
            grid.addWidget(now, 2, column)
            grid.setColumnStretch(column, 1)
        self.lines = {key: ChangeLine(key, grid, i) for i, key in enumerate(KINDS, 3)}
        self._copying = _Offset(self.lines[COMPENSATION])
        for key, line in self.lines.items():
            line.button.setProperty("change", key)
            line.button.clicked.connect(self._take_sender)
        self._timer = once_after(self, SETTLE_MS, self._next)
        self.hide()

    @property
    def against(self) -> bool:
        """Whether the reason that is looked at speaks against the direction."""
        return self._against

    @property
    def looking(self) -> bool:
        """Whether there is still something to look for."""
        return bool(self._due)

    @property
    def buttons(self) -> dict[str, QPushButton]:
        """The buttons of the changes that are offered, by document key."""
        there = [key for key in KINDS if key in self._found or (key == COMPENSATION and self._offset is not None)]
        return {key: self.lines[key].button for key in there}

    def look_for(self, setup: Setup, id: str) -> None:
        """Look for what lifts the reason ``id`` of a setup; nothing where it does not speak against its direction."""
        if (setup, id) != (self._setup, self._id):
            self._start(setup, id)
        elif self._against and self._units != self._view.units:
            self._tell()

    def _start(self, setup: Setup, id: str) -> None:
        held = self.window().focusWidget() in [line.button for line in self.lines.values()]
        self._setup, self._id = setup, id
        self._timer.stop()
        against = self._against = bool(id) and stands_against(id)(setup)
        self._due, self._found = list(KINDS if id == "error" else FIGURES) if against else [], {}
        self._offset = None
        if against:
            self._tell()
            self._timer.start(SETTLE_MS)
        self.setVisible(against)
        if held:
            self.let_go.emit()

    def _next(self) -> None:
        """One kind of change; the others in later turns of the event loop: the hand is not held up."""
        assert self._setup is not None
        key = self._due.pop(0)
        after: Setup | None = None
        if key == DIRECTION:
            turned = self._setup.opposite
            after = turned if cleared(self._id, turned) else None
        elif key == COMPENSATION:
            self._offset = keeping_compensation(self._setup)
        elif key == SPRING_PASS:
            again = keeping_spring_pass(self._setup)
            after = None if again is None else self._setup.with_keys({WIDTH: again.width})
        else:
            value = lifting_value(self._id, self._setup, key)
            after = None if value is None else self._setup.with_keys({key: value})
        if after is not None:
            self._found[key] = after
        self._tell_line(key)
        self._tell_head()
        if self._due:
            self._timer.start(0)

    # Words

    def _tell(self) -> None:
        """All lines, in the units that are shown."""
        assert self._setup is not None
        self._units = self._view.units
        units: Units = self._view.units
        told = measures(self._id, self._setup)
        self._keep_room(units)
        for i, (name, now) in enumerate(zip(self.names, self.now, strict=True)):
            name.setText(told[i].name if i < len(told) else "")
            now.setText(known_figure(told[i].of(self._setup), told[i].quantity, units) if i < len(told) else "")
        for key in KINDS:
            self._tell_line(key)
        self._tell_head()

    def _keep_room(self, units: Units) -> None:
        """The buttons' column is as wide as with any change in it: else the words beside it would break anew."""
        samples = [say("change", "direction", direction=say("way", "conventional"))]
        samples += [f"{QUANTITIES[q].symbol} {LONGEST} {QUANTITIES[q].unit_in(units)}" for q in QUANTITY_OF.values()]
        button = self.lines[DIRECTION].button
        button.ensurePolished()
        metrics = button.fontMetrics()
        self._grid.setColumnMinimumWidth(0, max(map(metrics.horizontalAdvance, samples)) + AROUND)

    def _tell_head(self) -> None:
        self.label.setText(say("change", "looking" if self._due else "found" if self.buttons else "nothing"))

    def _tell_line(self, key: str) -> None:
        assert self._setup is not None
        line, after = self.lines[key], self._found.get(key)
        if key == COMPENSATION and self._offset is not None:
            self._copying.offer(self._offset, self._view.units)
        elif after is not None:
            line.offer(after, effects(self._id, self._setup, after), self._view.units)
        elif key in self._due:
            line.say_only("…")
        elif key == DIRECTION:
            line.say_only(say("change", "no_direction"))
        elif key in (COMPENSATION, SPRING_PASS):
            line.say_only(say("change", f"no_{key.replace(' ', '_')}") if self._id == "error" else "")
        else:
            line.say_only(say("change", "no_figure", word=inside(word_of(key))))

    # Hands

    def _take_sender(self) -> None:
        self._take(str(self.sender().property("change")))

    def _take(self, key: str) -> None:
        """Take the change into the setup on the bench, whose material stays a name."""
        if key == COMPENSATION:
            self._copying.copy()
            return
        if key == SPRING_PASS:
            key, value = WIDTH, self._found[key].cut.radial_engagement_mm
        else:
            value = self._found[key].value(key)
        self._workbench.propose(self._workbench.setup.with_keys({key: value}), step_of(key))
