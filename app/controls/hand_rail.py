"""The hand-rail: everything that can be set, the direction, radial width and feed per tooth first."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from types import MappingProxyType
from typing import TypeVar

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
from app.controls.control_spec import ControlSpec
from app.controls.cutter_material_control import CutterMaterialControl
from app.controls.hand_rail_control import HandRailControl
from app.controls.hand_rail_specs import FEED, GROUPS, SKIN, SPEED, WIDTH, one_sided
from app.controls.material_control import MaterialControl
from app.kit.bare_layouts import bare_column, bare_row
from app.kit.plain import plain_hint, plain_label
from app.kit.quiet_buttons import quiet_buttons
from app.kit.tab_order import tab_through
from app.kit.wrapped_row import WrappedRow
from app.state.step_name import DIRECTION, StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.glossary import explained
from core.base.words import say
from core.setup.direction_change import with_direction
from core.setup.setup import Setup

Kind = TypeVar("Kind", bound=QWidget)

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
        self._workbench.propose(after, DIRECTION)
        self.show_setup(self._workbench.setup)


GROUP_OF = {spec.key: name for name, specs in GROUPS for spec in specs} | {SKIN.key: "material"}
"""The group that a key's control stands in; those of the first row are in none."""


class HandRail(QFrame):
    """The hand-rail itself; its groups open one at a time, and are filled when they first do."""

    opened = Signal()

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self._workbench, self._view = workbench, view
        self.direction = DirectionControl(workbench)
        self._controls: dict[str, HandRailControl] = {}
        first = QGridLayout()
        first.setHorizontalSpacing(14)
        first.addWidget(self.direction, 0, 0, Qt.AlignmentFlag.AlignTop)
        for i, spec in enumerate((WIDTH, FEED, SPEED), 1):
            first.addWidget(self._made(spec), 0, i, Qt.AlignmentFlag.AlignTop)
            first.setColumnStretch(i, 1)
        self._choices: dict[str, QWidget] = {}
        self.group_buttons: list[QPushButton] = []
        self._panels: dict[str, QWidget] = {}
        self._empty: set[str] = set()
        self._words: list[str] = []
        self.row = WrappedRow(8)
        panels = QVBoxLayout()
        panels.setContentsMargins(0, 0, 0, 0)
        for name, _ in GROUPS:
            self._add_group(name, WrappedRow(14, stretched=True), panels)
            if name == "holding":
                self._add_group("material", QWidget(), panels)
        self.row.addStretch()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 10)
        layout.setSpacing(6)
        layout.addLayout(first)
        layout.addLayout(panels)
        layout.addWidget(self.row)
        workbench.setup_changed.connect(self._show_setup)
        self._show_setup(workbench.setup)

    # Controls, made with their group

    def control(self, key: str) -> HandRailControl:
        """The control of a key; its group is filled."""
        if key in GROUP_OF:
            self._fill(GROUP_OF[key])
        return self._controls[key]

    @property
    def controls(self) -> Mapping[str, HandRailControl]:
        """Every control by its key; all groups are filled."""
        for name in self._panels:
            self._fill(name)
        return MappingProxyType(self._controls)

    @property
    def hand(self) -> ChoiceControl:
        """Right-hand or left-hand cutter; its group is filled."""
        return self._choice("cutter", ChoiceControl)

    @property
    def drive(self) -> ChoiceControl:
        """The machine's feed drive; its group is filled."""
        return self._choice("machine", ChoiceControl)

    @property
    def cutter_material(self) -> CutterMaterialControl:
        """Material of the cutter; its group is filled."""
        return self._choice("holding", CutterMaterialControl)

    @property
    def material(self) -> MaterialControl:
        """Material of the work; its group is filled."""
        return self._choice("material", MaterialControl)

    def _choice(self, name: str, kind: type[Kind]) -> Kind:
        self._fill(name)
        found = self._choices[name]
        assert isinstance(found, kind)
        return found

    def _made(self, spec: ControlSpec) -> HandRailControl:
        control = self._controls[spec.key] = HandRailControl(spec, self._workbench, self._view)
        return control

    def _made_choice(self, name: str) -> tuple[QWidget, ...]:
        """What is chosen in a group beside its figures."""
        bench, told = self._workbench, partial(say, "control")
        if name == "cutter":
            hands = (("right", told("right")), ("left", told("left")))
            return (ChoiceControl(StepName("control", "hand"), "cutter.hand", hands, "hand", bench),)
        if name == "machine":
            drives = ((None, told("not_given")), ("screw", told("screw")), ("ball screw", told("ball_screw")))
            return (ChoiceControl(StepName("control", "feed_drive"), "machine.drive", drives, "feed_drive", bench),)
        if name == "holding":
            return (CutterMaterialControl(bench, self._view),)
        return (MaterialControl(bench, self._view),) if name == "material" else ()

    def _fill(self, name: str) -> None:
        """Make what stands in a group: most windows are opened and closed with most groups unseen."""
        if name not in self._empty:
            return
        self._empty.discard(name)
        panel, choices = self._panels[name], self._made_choice(name)
        for choice in choices:
            self._choices[name] = choice
        if isinstance(panel, WrappedRow):
            for widget in (*map(self._made, dict(GROUPS)[name]), *choices):
                panel.addWidget(widget)
        else:
            # Material and skin of the work, side by side.
            row = bare_row(panel, 14)
            for widget, share in zip((*choices, self._made(SKIN)), (4, 1), strict=True):
                row.addWidget(widget, share, Qt.AlignmentFlag.AlignTop)
        tab_through(panel)
        self._enable(self._workbench.setup)
        quiet_buttons(panel)

    def _add_group(self, name: str, panel: QWidget, panels: QVBoxLayout) -> None:
        """A button that opens the panel of its group."""
        word = say("control", f"group_{name}")
        button = QPushButton(f"▸ {word}")
        button.setCheckable(True)
        button.setAccessibleName(say("control", "group_name", name=word))
        self.group_buttons.append(button)
        self.row.addWidget(button)
        panel.hide()
        self._panels[name] = panel
        self._empty.add(name)
        self._words.append(word)
        panels.addWidget(panel)
        button.toggled.connect(self._toggled)

    def _show_setup(self, setup: Setup) -> None:
        # Those of closed groups follow when they are seen.
        for control in self._controls.values():
            if control.isVisible():
                control.show_setup(setup)
        self._enable(setup)

    def _enable(self, setup: Setup) -> None:
        """Figures that mean nothing in a cut cannot be set."""
        for key, on in (
            ("cut.centre_offset_mm", not one_sided(setup)),
            ("cutter.runout_angle_deg", setup.cutter.runout_mm > 0.0),
        ):
            if key in self._controls:
                self._controls[key].setEnabled(on)

    def _toggled(self, on: bool) -> None:
        chosen = self.sender()
        for button in self.group_buttons:
            if on and button is not chosen and button.isChecked():
                button.setChecked(False)
        # What closes goes first: two open groups would ask for more height than the screen may have.
        groups = list(zip(self.group_buttons, self._words, self._panels.items(), strict=True))
        for button, word, (name, panel) in sorted(groups, key=lambda group: group[0].isChecked()):
            is_open = button.isChecked()
            button.setText(f"{'▾' if is_open else '▸'} {word}")
            focused = self.window().focusWidget()
            if not is_open and focused is not None and panel.isAncestorOf(focused):
                # Else the keyboard falls on whatever comes next, such as a field that takes letters for typing.
                button.setFocus(Qt.FocusReason.OtherFocusReason)
            if is_open:
                self._fill(name)
            panel.setVisible(is_open)
        self.opened.emit()
