"""The motion bar: play, step, loop, slow, and how much slower than the spindle it is."""

from __future__ import annotations

from PySide6.QtWidgets import QPushButton, QWidget

from app.kit.bare_layouts import bare_row
from app.kit.plain import plain_hint, plain_label
from app.pages.arc.arc_state import ArcState
from app.pages.arc.motion import Motion
from app.state.workbench import Workbench


class MotionBar(QWidget):
    """Buttons of :class:`Motion`; each has a key as well."""

    def __init__(self, motion: Motion, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._motion, self._view = motion, view
        layout = bare_row(self, 4)
        self.factor = plain_label()
        self.factor.setObjectName("soft")
        self.factor.setToolTip("How much slower than the spindle the tooth is shown")
        layout.addWidget(self.factor)
        self.play = self._button("▶ Play", "Play or pause (Space)", checkable=True)
        self.back = self._button("−1°", "One degree back (,)")
        self.forth = self._button("+1°", "One degree on (.)")
        self.tooth = self._button("+1 tooth", "To the next tooth (])")
        self.loop = self._button("Loop", "Only through the cut, again and again (L)", checkable=True)
        self.slow = self._button("Slow", "Five times slower (S)", checkable=True)
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
        self.play.setChecked(self._view.playing)
        self.play.setText("❚❚ Pause" if self._view.playing else "▶ Play")
        self.loop.setChecked(self._view.loop)
        self.slow.setChecked(self._view.slow)
        factor = self._motion.slowed()
        told = f"speed 1/{factor:.0f}" if factor >= 1.5 else "real speed"
        if self.factor.text() != told:
            self.factor.setText(told)
