"""The hand-rail: everything that can be set, the direction, radial width and feed per tooth first."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QGridLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.controls.choice_control import ChoiceControl
from app.controls.cutter_material_control import CutterMaterialControl
from app.controls.hand_rail_control import HandRailControl
from app.controls.hand_rail_specs import FEED, GROUPS, SKIN, SPEED, WIDTH, one_sided
from app.controls.material_control import MaterialControl
from app.kit.bare_layouts import bare_column, bare_row
from app.kit.plain import plain_hint, plain_label
from app.kit.wrapped_row import WrappedRow
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.glossary import explained
from core.base.words import say
from core.setup.direction_change import with_direction
from core.setup.setup import Setup

DIRECTIONS = ("climb", "conventional", "straddling")


class DirectionControl(QWidget):
    """Climb, conventional or straddling, as one row of buttons; each has its own line beside any colour."""

    def __init__(self, workbench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench = workbench
        self._noted = ""
        self.label = plain_label(say("control", "direction"))
        self.label.setObjectName("name")
        self.note = plain_label()
        self.note.setObjectName("note")
        self.note.setMinimumHeight(18)
        self._group = QButtonGroup(self)
        row = WrappedRow(4)
        self.buttons: dict[str, QPushButton] = {}
        for direction in DIRECTIONS:
            word = say("control", direction)
            button = QPushButton(word)
            button.setCheckable(True)
            button.setToolTip(plain_hint(explained(direction)))
            button.setAccessibleName(say("control", "named", name=say("control", "direction"), word=word))
            self._group.addButton(button)
            self.buttons[direction] = button
            row.addWidget(button)
        layout = bare_column(self, 2)
        layout.addWidget(self.label)
        layout.addWidget(row)
        layout.addWidget(self.note)
        self._group.buttonClicked.connect(self._clicked)
        workbench.setup_changed.connect(self.show_setup)
        self.show_setup(workbench.setup)

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        self.buttons[setup.cut.direction].setChecked(True)
        if self._noted == setup.cut.direction:
            return
        self._noted = setup.cut.direction
        self.note.setText(say("control", f"{setup.cut.direction}_note"))

    def _clicked(self, button: QPushButton) -> None:
        direction = next(d for d, b in self.buttons.items() if b is button)
        after = with_direction(self._workbench.setup, direction)  # type: ignore[arg-type]
        self._workbench.propose(after, say("window", "direction_step"))
        self.show_setup(self._workbench.setup)


class HandRail(QFrame):
    """The hand-rail itself; its groups open one at a time."""

    opened = Signal()

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self._workbench = workbench
        self.direction = DirectionControl(workbench)
        self.controls: dict[str, HandRailControl] = {}
        first = QGridLayout()
        first.setHorizontalSpacing(14)
        first.addWidget(self.direction, 0, 0, Qt.AlignmentFlag.AlignTop)
        for i, spec in enumerate((WIDTH, FEED, SPEED), 1):
            control = HandRailControl(spec, workbench, view)
            self.controls[spec.key] = control
            first.addWidget(control, 0, i, Qt.AlignmentFlag.AlignTop)
            first.setColumnStretch(i, 1)
        told = partial(say, "control")
        hands = (("right", told("right")), ("left", told("left")))
        drives = ((None, told("not_given")), ("screw", told("screw")), ("ball screw", told("ball_screw")))
        self.hand = ChoiceControl(told("hand"), "cutter.hand", hands, "hand", workbench)
        self.drive = ChoiceControl(told("feed_drive"), "machine.drive", drives, "feed_drive", workbench)
        self.cutter_material = CutterMaterialControl(workbench, view)
        self.material = MaterialControl(workbench, view)
        self._choices: dict[str, tuple[QWidget, ...]] = {
            "cutter": (self.hand,),
            "holding": (self.cutter_material,),
            "machine": (self.drive,),
        }
        self.group_buttons: list[QPushButton] = []
        self._panels: list[QWidget] = []
        self._words: list[str] = []
        self.row = WrappedRow(8)
        panels = QVBoxLayout()
        panels.setContentsMargins(0, 0, 0, 0)
        for name, specs in GROUPS:
            panel = WrappedRow(14, stretched=True)
            for spec in specs:
                control = HandRailControl(spec, workbench, view)
                self.controls[spec.key] = control
                panel.addWidget(control)
            for more in self._choices.get(name, ()):
                panel.addWidget(more)
            self._add_group(name, panel, panels)
            if name == "holding":
                self._add_group("material", self._work(workbench, view), panels)
        self.row.addStretch()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 10)
        layout.setSpacing(6)
        layout.addLayout(first)
        layout.addLayout(panels)
        layout.addWidget(self.row)
        workbench.setup_changed.connect(self._show_setup)
        self._show_setup(workbench.setup)

    def _work(self, workbench: Workbench, view: ViewState) -> QWidget:
        """Material and skin of the work, side by side."""
        panel = QWidget()
        row = bare_row(panel, 14)
        skin = self.controls[SKIN.key] = HandRailControl(SKIN, workbench, view)
        row.addWidget(self.material, 4, Qt.AlignmentFlag.AlignTop)
        row.addWidget(skin, 1, Qt.AlignmentFlag.AlignTop)
        return panel

    def _add_group(self, name: str, panel: QWidget, panels: QVBoxLayout) -> None:
        """A button that opens the panel of its group."""
        word = say("control", f"group_{name}")
        button = QPushButton(f"▸ {word}")
        button.setCheckable(True)
        button.setAccessibleName(say("control", "group_name", name=word))
        self.group_buttons.append(button)
        self.row.addWidget(button)
        panel.hide()
        self._panels.append(panel)
        self._words.append(word)
        panels.addWidget(panel)
        button.toggled.connect(self._toggled)

    def _show_setup(self, setup: Setup) -> None:
        # Those of closed groups follow when they are seen.
        for control in self.controls.values():
            if control.isVisible():
                control.show_setup(setup)
        self.controls["cut.centre_offset_mm"].setEnabled(not one_sided(setup))
        self.controls["cutter.runout_angle_deg"].setEnabled(setup.cutter.runout_mm > 0.0)

    def _toggled(self, on: bool) -> None:
        chosen = self.sender()
        for i, button in enumerate(self.group_buttons):
            if on and button is not chosen and button.isChecked():
                button.setChecked(False)
            is_open = button.isChecked()
            button.setText(f"{'▾' if is_open else '▸'} {self._words[i]}")
            focused = self.window().focusWidget()
            if not is_open and focused is not None and self._panels[i].isAncestorOf(focused):
                # Else the keyboard falls on whatever comes next, such as a field that takes letters for typing.
                button.setFocus(Qt.FocusReason.OtherFocusReason)
            self._panels[i].setVisible(is_open)
        self.opened.emit()
