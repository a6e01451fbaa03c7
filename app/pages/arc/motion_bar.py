"""The motion bar: play, step, loop, slow, and how much slower than the spindle it is."""

from __future__ import annotations

from PySide6.QtWidgets import QPushButton, QWidget

from app.kit.bare_layouts import bare_row
from app.kit.plain import plain_hint, plain_label
from app.pages.arc.arc_state import ArcState
from app.pages.arc.motion import Motion
from app.state.workbench import Workbench
from core.base.words import say


class MotionBar(QWidget):
    """Buttons of :class:`Motion`; each has a key as well."""

    def __init__(self, motion: Motion, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._motion, self._view, self._playing = motion, view, False
        layout = bare_row(self, 4)
        self.factor = plain_label()
        self.factor.setObjectName("soft")
        self.factor.setToolTip(plain_hint(say("motion", "factor_hint")))
        layout.addWidget(self.factor)
        self.play = self._button(say("motion", "play"), say("motion", "play_hint"), checkable=True)
        self.back = self._button("−1°", say("motion", "back_hint"))
        self.forth = self._button("+1°", say("motion", "on_hint"))
        self.tooth = self._button(say("motion", "tooth"), say("motion", "tooth_hint"))
        self.loop = self._button(say("motion", "loop"), say("motion", "loop_hint"), checkable=True)
        self.slow = self._button(say("motion", "slow"), say("motion", "slow_hint"), checkable=True)
        self.play.clicked.connect(motion.toggle)
        self.back.clicked.connect(self._back)
        self.forth.clicked.connect(self._forth)
        self.tooth.clicked.connect(self._tooth)
        self.loop.toggled.connect(self._set_loop)
        self.slow.toggled.connect(self._set_slow)
        view.changed.connect(self._show)
        workbench.setup_changed.connect(self._show)
        self._show()

    def _button(self, text: str, hint: str, *, checkable: bool = False) -> QPushButton:
        button = QPushButton(text)
        button.setCheckable(checkable)
        button.setToolTip(plain_hint(hint))
        button.setAccessibleName(hint)
        layout = self.layout()
        assert layout is not None
        layout.addWidget(button)
        return button

    def _back(self) -> None:
        self._motion.step_degrees(-1.0)

    def _forth(self) -> None:
        self._motion.step_degrees(1.0)

    def _tooth(self) -> None:
        self._motion.step_teeth(1)

    def _set_loop(self, on: bool) -> None:
        self._view.set("loop", on)

    def _set_slow(self, on: bool) -> None:
        self._view.set("slow", on)

    def _show(self, _: object = None) -> None:
        if self.play.isChecked() != self._playing or self._playing != self._view.playing:
            self._playing = self._view.playing
            self.play.setChecked(self._playing)
            self.play.setText(say("motion", "pause" if self._playing else "play"))
        self.loop.setChecked(self._view.loop)
        self.slow.setChecked(self._view.slow)
        factor = self._motion.slowed()
        told = say("motion", "speed", factor=f"{factor:.0f}") if factor >= 1.5 else say("motion", "real")
        if self.factor.text() != told:
            self.factor.setText(told)
