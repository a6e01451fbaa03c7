"""One control of the hand-rail: name, symbol, slider, field with its unit, and a note; one builder for all."""

from __future__ import annotations

import math
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QWidget

from app.controls.control_spec import ControlSpec
from app.controls.field_limits import limit_words
from app.controls.slider_and_field import STEPS, KeenSlider, ValueField
from app.kit.look import at_hand
from app.kit.panel_ground import lay_on_panel
from app.kit.plain import plain_hint, plain_label
from app.kit.static_label import StaticLabel
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.glossary import glossary
from core.base.quantities import QUANTITIES, few_decimals, number
from core.base.typed_value import typed_value
from core.base.words import say
from core.report.doubt_words import doubt_words
from core.setup.doubts import doubt_of
from core.setup.limits_for import limits_for
from core.setup.setup import Setup


def _is_empty(text: str) -> bool:
    """Whether that is what a person types to take a figure out of the setup, where it may be left out."""
    return text.strip().lower() in ("", say("control", "none").lower(), say("control", "not_given").lower())


class HandRailControl(QWidget):
    """A control bound to one key of the setup."""

    def __init__(
        self, spec: ControlSpec, workbench: Workbench, view: ViewState, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.spec, self._workbench, self._view = spec, workbench, view
        self._gesture: object | None = None
        self._step = spec.step
        self._showing = False
        self._shown: object = None
        self._sized: object = None
        self._refused = False
        # What was typed and asked about: Enter on the same once more takes it.
        self._asked = ""
        self._whole = ""
        self._holds = 0
        lay_on_panel(self)
        self.label = plain_label(spec.word)
        self.label.setObjectName("name")
        self.symbol = plain_label(glossary()[spec.term or spec.quantity].symbol)
        self.symbol.setObjectName("symbol")
        self.slider = KeenSlider()
        self.field = ValueField()
        self.field.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.field.setProperty("problem", "false")
        self.note = StaticLabel()
        self.note.elided = True
        self.note.setObjectName("note")
        # Its text comes and goes at every change.
        self.note.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.note.setMinimumWidth(1)
        self.note.setMinimumHeight(18)
        self.label.setBuddy(self.field)
        hint = spec.hint
        for widget in (self.label, self.symbol, self.slider, self.field):
            widget.setToolTip(plain_hint(hint))
        self.slider.setAccessibleName(say("control", "slider", name=spec.word))
        self.field.setAccessibleName(spec.word)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setHorizontalSpacing(6)
        layout.setVerticalSpacing(0)
        names = QHBoxLayout()
        names.addWidget(self.label, 1)
        names.addWidget(self.symbol)
        layout.addLayout(names, 0, 0, 1, 2)
        # The field first for the keyboard too: Enter goes on to its slider, Tab from there to the next field.
        layout.addWidget(self.field, 1, 1)
        layout.addWidget(self.slider, 1, 0)
        self.beside = spec.beside(workbench, view) if spec.beside else None
        layout.addWidget(self.note, 2, 0, 1, 2)
        if self.beside is not None:
            layout.addWidget(self.beside, 2, 0, 1, 2)
            self.beside.clicked.connect(self._clicked_beside)
        layout.setColumnStretch(0, 1)
        self.slider.sliderPressed.connect(self._begin)
        self.slider.sliderReleased.connect(self._end)
        self.slider.valueChanged.connect(self._slid)
        self.slider.put_back.connect(self._take_back)
        self.field.returnPressed.connect(self._typed)
        self.field.editingFinished.connect(self._left)
        self.field.put_back.connect(self._put_back)
        view.changed.connect(self._view_changed)
        self.show_setup(workbench.setup)

    # What is shown

    def value(self, setup: Setup) -> float | None:
        """The document's value in the quantity's house unit; None if the setup does not give it."""
        found = setup.value(self.spec.key)
        return None if found is None else float(found) * self.spec.factor

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup; what a person is typing is not touched.  In a closed group it waits to be seen."""
        if not self.isVisible() and self._shown is not None:
            return
        if self.beside is not None:
            self.beside.show_setup(setup)
        value, units = self.value(setup), self._view.units
        typing = self.field.isModified() and self.field.hasFocus()
        # What was refused stays to be mended, but not longer than it is shown.
        problem = self._refused and typing
        note = self._note(setup) if not problem else ""
        shown = (value, self.spec.low(setup), self.spec.high(setup), units, self._view.theme, note)
        if shown == self._shown and not self._refused and not self.field.isModified():
            return
        self._shown = shown
        self._showing = True
        if not self.slider.isSliderDown():
            self.slider.setValue(self._position(setup, value))
            self.slider.tell(self._field_text(value))
        if not typing:
            self._show_field(value)
        if not problem:
            self._say(note, problem=False)
        self._showing = False

    def _note(self, setup: Setup) -> str:
        """What stands under the field: a doubt about its figure before anything else."""
        doubt = doubt_of(setup, self.spec.key)
        if doubt is not None:
            return doubt_words(doubt, self._view.units, short=True)
        note = self.spec.note(setup, self._view.units) if self.spec.note else ""
        if note and self.beside is not None and self.spec.brief is not None and not self._room_beside(note):
            brief = self.spec.brief(setup, self._view.units)
            # What can be taken with a click comes before what can be read elsewhere too.
            return brief if not self.beside.isEnabled() or self._room_beside(brief, least=True) else ""
        if self.beside is None and self.spec.brief is not None and self._is_too_wide(note):
            return self.spec.brief(setup, self._view.units)
        return note

    def _room_beside(self, note: str, *, least: bool = False) -> bool:
        """Whether a note leaves room for what stands beside it, or at least for the fewest of its words."""
        width = self.note.fontMetrics().horizontalAdvance(note)
        return self.beside is None or self.beside.fits(width, least=least)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width may want another wording."""
        super().resizeEvent(event)
        if self.spec.brief is not None:
            self.show_setup(self._workbench.setup)
        else:
            self._shorten()

    def showEvent(self, event: QShowEvent) -> None:
        """Seen now: what has changed meanwhile is shown, and the note may be wider than its place."""
        super().showEvent(event)
        self.show_setup(self._workbench.setup)
        self._shorten()

    def _shorten(self) -> None:
        """The whole note comes on hover where it has no room; what was refused says so already."""
        if not self._refused:
            self._say(self.note.text(), problem=False)

    def _field_text(self, value: float | None) -> str:
        """A value in the quantity's house unit as its field shows it."""
        if value is None:
            return say("control", "not_given")
        q, units = QUANTITIES[self.spec.quantity], self._view.units
        unit, shown = q.unit_in(units), q.shown(value, units)
        text = number(shown, 0 if self.spec.whole else few_decimals(shown, q.decimals_in(units)))
        return text + (unit if unit == "°" else f" {unit}" if unit else "")

    def _show_field(self, value: float | None) -> None:
        q, units = QUANTITIES[self.spec.quantity], self._view.units
        unit, text = q.unit_in(units), self._field_text(value)
        if self.field.text() != text:
            self.field.setText(text)
        self.field.setModified(False)
        if len(text) > self._holds and not self.field.hasFocus():
            # Too long for the field: its beginning tells more than its end.
            self.field.home(False)
        if self._sized == (units, self._view.theme):
            return
        self._sized = (units, self._view.theme)
        self.field.setAccessibleDescription(f"{unit}; {self.spec.hint}")
        # The sheet makes it bold; one width for all that a field may hold, so that nothing jumps.
        metrics = QFontMetrics(at_hand(self._view.theme).font("text", bold=True))
        widest = f"{'0' * max(2 + q.decimals_in(units), 5)}. {unit}"
        self._holds = len(widest)
        self.field.setFixedWidth(metrics.horizontalAdvance(widest) + 18)

    def _say(self, text: str, *, problem: bool, whole: str = "") -> None:
        """A note under the field; where it is shortened with dots, the whole sentence comes on hover."""
        if not whole and self._is_too_wide(text):
            whole = text
        if self._whole != whole:
            self._whole = whole
            self.note.setToolTip(plain_hint(whole))
        if self.note.text() != text:
            self.note.setText(text)
            if self.beside is not None:
                self.beside.keep_off(self.note.fontMetrics().horizontalAdvance(text))
            self.note.tell()
        name = "problem" if problem else "note"
        if self.note.objectName() != name:
            self.note.setObjectName(name)
            self._restyle(self.note)
        if self.beside is not None and not problem:
            self.beside.show()
        if self._refused != problem:
            self._refused = problem
            self.field.setProperty("problem", "true" if problem else "false")
            self._restyle(self.field)

    def _is_too_wide(self, text: str) -> bool:
        """Whether the note has no room for all of a text, once it has a place."""
        return self.isVisible() and self.note.fontMetrics().horizontalAdvance(text) > self.note.width()

    def _clicked_beside(self) -> None:
        """What was taken by the keyboard is not offered any more: the keyboard goes back to the slider."""
        if self.beside is not None and not self.beside.isEnabled() and not self.field.hasFocus():
            self.slider.setFocus(Qt.FocusReason.OtherFocusReason)

    @staticmethod
    def _restyle(widget: QWidget) -> None:
        widget.style().unpolish(widget)
        widget.style().polish(widget)

    def _view_changed(self, name: str) -> None:
        if name in ("units", "theme"):
            self.show_setup(self._workbench.setup)

    # Slider

    def _position(self, setup: Setup, value: float | None) -> int:
        low, high = self.spec.low(setup), self.spec.high(setup)
        if value is None or not high > low:
            return 0
        if self.spec.logarithmic:
            share = math.log(max(value, low) / low) / math.log(high / low)
        else:
            share = (value - low) / (high - low)
        return round(min(max(share, 0.0), 1.0) * STEPS)

    def _from_position(self, setup: Setup, position: int) -> float:
        low, high = self.spec.low(setup), self.spec.high(setup)
        share = position / STEPS
        value = low * (high / low) ** share if self.spec.logarithmic else low + (high - low) * share
        if self.spec.whole:
            return float(round(value))
        q, units = QUANTITIES[self.spec.quantity], self._view.units
        shown = float(f"{q.shown(value, units):.{self.spec.figures}g}")
        return min(max(q.house(shown, units), low), high)

    def _begin(self) -> None:
        self._gesture = object()

    def _end(self) -> None:
        self._gesture = None
        self._shown = None
        self.show_setup(self._workbench.setup)

    def _take_back(self) -> None:
        """``Esc`` in a drag: as it was before, and no step of undo."""
        gesture, self._gesture = self._gesture, None
        self._workbench.take_back(gesture)

    def _slid(self, position: int) -> None:
        if self._showing:
            return
        self.propose(self._from_position(self._workbench.setup, position), self._gesture)

    def propose(self, value: float, gesture: object | None = None) -> bool:
        """Propose a value in the quantity's house unit."""
        spec = self.spec
        written: Any = value / spec.factor
        if spec.whole:
            written = int(written) if written == int(written) else written
        after = spec.put(self._base(), written)
        return self._workbench.propose(after, self._step, gesture)

    def _base(self) -> Setup:
        """The setup that a figure is put into: what an earlier step of this control carried off comes back."""
        bench = self._workbench
        return bench.before_run(self._step) if self.spec.carries else bench.setup

    # Field

    def _typed(self) -> None:
        """Enter: the keyboard goes on to the slider, where letters are commands again, unless there is a problem."""
        self._take(entered=True)
        if not self.field.isModified():
            self.slider.setFocus(Qt.FocusReason.TabFocusReason)

    def _left(self) -> None:
        self._take()

    def _take(self, *, entered: bool = False) -> None:
        """Take what was typed; if it cannot be taken, say so here and keep both the text and the last good state.

        entered : by Enter, which takes a doubtful figure that was asked about before.
        """
        setup, spec = self._workbench.setup, self.spec
        if not self.field.isModified():
            if self._refused:
                # The typing itself was undone.
                self._put_back()
            return
        written: Any = None
        try:
            if spec.optional and _is_empty(self.field.text()):
                after = spec.put(setup, spec.left_out)
                self._workbench.check(after)
                self._took(after)
                return
            share_of = spec.share_of(setup) if spec.share_of else None
            value = typed_value(self.field.text(), spec.quantity, self._view.units, whole=share_of)
            written = value / spec.factor
            if spec.whole:
                if not math.isfinite(value) or value != int(value):
                    found = say("refusal", "found_text", text=self.field.text())
                    raise ChiparcError(spec.key, found, say("control", "whole_number"))
                written = int(value)
            after = spec.put(self._base(), written)
            self._workbench.check(after)
        except (ChiparcError, ValueError, OverflowError) as error:
            self._refuse(error, written)
            return
        if self._asks(after, entered):
            return
        self._took(after)

    def _asks(self, after: Setup, entered: bool) -> bool:
        """Whether a doubtful figure is still to be asked about; asks.  One that the setup has already is not."""
        doubt, text = doubt_of(after, self.spec.key), self.field.text()
        if doubt is None or after.value(self.spec.key) == self._workbench.setup.value(self.spec.key):
            return False
        if entered and self._asked == text:
            return False
        self._asked = text
        units = self._view.units
        whole = say("doubt", "ask_whole", why=doubt_words(doubt, units))
        short = doubt_words(doubt, units, short=True)
        question = say("doubt", "ask", why=short)
        narrow = self.note.fontMetrics().horizontalAdvance(question) > self.note.width()
        self._say(say("doubt", "ask_narrow", why=short) if narrow else question, problem=True, whole=whole)
        self._workbench.refused.emit(whole)
        return True

    def _refuse(self, error: Exception, written: float | None) -> None:
        """Say what is allowed: in short under the field, with all reasons in the sentence bar.

        written : the value in the document's unit; None if what was typed is no number.
        """
        spec, text = self.spec, self.field.text().strip()
        found = say("refusal", "found_text", text=text) if text else say("refusal", "nothing")
        limits = limits_for(self._workbench.setup, spec.key)
        if written is not None and limits is not None and not limits.range.holds(written):
            short, allowed = limit_words(limits, spec.quantity, self._view.units, spec.factor)
            if spec.optional:
                allowed = say("control", "or_empty", allowed=allowed)
        elif isinstance(error, ChiparcError):
            found, short, allowed = error.found, error.allowed, error.allowed
        else:
            short = allowed = str(error)
        whole = say("control", "refused", name=spec.word, found=found, allowed=allowed)
        words = say("control", "not_taken", why=short)
        if self.beside is not None and self.beside.isVisible():
            # A refusal has the whole line.
            self.beside.hide()
        narrow = self.note.fontMetrics().horizontalAdvance(words) > self.note.width()
        self._say(short if narrow else words, problem=True, whole=whole)
        self._workbench.refused.emit(whole)

    def _took(self, after: Setup) -> None:
        self.field.setModified(False)
        self._forgive()
        self._workbench.propose(after, self._step)
        self.show_setup(self._workbench.setup)

    def _put_back(self) -> None:
        self.field.setModified(False)
        self._shown = None
        self._forgive()
        self.show_setup(self._workbench.setup)

    def _forgive(self) -> None:
        """What was refused or asked about is given up, mended or taken."""
        self._asked = ""
        refused = self._refused
        self._say("", problem=False)
        if refused:
            self._workbench.refusal_over.emit()
