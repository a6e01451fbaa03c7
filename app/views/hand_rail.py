"""The hand-rail: everything that can be set, the direction, radial width and feed per tooth first."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.view_state import ViewState
from app.views.hand_rail_control import ControlSpec, HandRailControl
from app.views.material_control import MaterialControl
from app.workbench import Workbench
from core.engagement import engagement
from core.glossary import explained
from core.kept_legal import turned, with_diameter
from core.quantities import figure, number
from core.rates import rates
from core.setup import Setup

DIRECTIONS = (("climb", "Climb"), ("conventional", "Conventional"), ("straddling", "Straddling"))


def _width_note(setup: Setup, units: str) -> str:
    share = 100.0 * setup.cut.radial_engagement_mm / setup.cutter.diameter_mm
    arc = math.degrees(engagement(setup).arc)
    return f"{number(share, 0 if share >= 10 else 1)} % of D, arc {number(arc, 1)}°"


def _feed_note(setup: Setup, units: str) -> str:
    return f"table feed {figure(rates(setup).table_feed_mm_min, 'table_feed', units)}"  # type: ignore[arg-type]


def _speed_note(setup: Setup, units: str) -> str:
    return f"cutting speed {figure(rates(setup).cutting_speed_m_min, 'cutting_speed', units)}"  # type: ignore[arg-type]


def _one_sided(setup: Setup) -> bool:
    return setup.cut.direction != "straddling"


def _diameter(setup: Setup) -> float:
    return setup.cutter.diameter_mm


WIDTH = ControlSpec(
    "cut.radial_engagement_mm",
    "radial_width",
    low=lambda s: 0.005 * s.cutter.diameter_mm,
    high=lambda s: (0.995 if _one_sided(s) else 1.0) * s.cutter.diameter_mm,
    note=_width_note,
    share_of=_diameter,
)
FEED = ControlSpec(
    "cut.feed_per_tooth_mm",
    "feed_per_tooth",
    low=lambda s: s.cutter.diameter_mm / 5000.0,
    high=lambda s: s.cutter.diameter_mm / 20.0,
    logarithmic=True,
    note=_feed_note,
)
SPEED = ControlSpec(
    "cut.spindle_speed_rpm",
    "spindle_speed",
    low=lambda s: 20.0,
    high=lambda s: 60_000.0,
    logarithmic=True,
    note=_speed_note,
)
GROUPS: tuple[tuple[str, tuple[ControlSpec, ...]], ...] = (
    (
        "Cutter",
        (
            ControlSpec(
                "cut.axial_engagement_mm",
                "depth",
                low=lambda s: 0.01 * s.cutter.diameter_mm,
                high=lambda s: 4.0 * s.cutter.diameter_mm,
                logarithmic=True,
            ),
            ControlSpec(
                "cutter.diameter_mm",
                "diameter",
                low=lambda s: 0.5,
                high=lambda s: 200.0,
                logarithmic=True,
                write=with_diameter,
            ),
            ControlSpec("cutter.teeth", "teeth", low=lambda s: 1.0, high=lambda s: 24.0, whole=True),
            ControlSpec("cutter.helix_deg", "helix", low=lambda s: 0.0, high=lambda s: 60.0, figures=2),
        ),
    ),
    (
        "Edge",
        (
            ControlSpec(
                "cutter.cutting_edge_angle_deg",
                "cutting_edge_angle",
                low=lambda s: 5.0,
                high=lambda s: 90.0,
                figures=2,
            ),
            ControlSpec(
                "cutter.edge_radius_mm",
                "edge_radius",
                low=lambda s: 0.0,
                high=lambda s: 60.0,
                factor=1000.0,
                figures=2,
            ),
            ControlSpec("cutter.radial_rake_deg", "rake", low=lambda s: -20.0, high=lambda s: 20.0, figures=2),
        ),
    ),
    (
        "Position",
        (
            ControlSpec(
                "cutter.runout_mm",
                "runout",
                low=lambda s: 0.0,
                high=lambda s: min(100.0, 400.0 * s.cutter.diameter_mm),
                factor=1000.0,
                figures=2,
            ),
            ControlSpec(
                "cutter.runout_angle_deg",
                "angle",
                low=lambda s: 0.0,
                high=lambda s: 360.0,
                name="Runout angle",
            ),
            ControlSpec(
                "cut.centre_offset_mm",
                "offset",
                low=lambda s: -(s.cutter.diameter_mm - s.cut.radial_engagement_mm) / 2.0 * 0.98,
                high=lambda s: (s.cutter.diameter_mm - s.cut.radial_engagement_mm) / 2.0 * 0.98,
            ),
        ),
    ),
)


class DirectionControl(QWidget):
    """Climb, conventional or straddling, as one row of buttons; each has its own line beside any colour."""

    def __init__(self, workbench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench = workbench
        self.label = QLabel("Direction")
        self.label.setObjectName("name")
        self.note = QLabel()
        self.note.setObjectName("note")
        self.note.setMinimumHeight(18)
        self._group = QButtonGroup(self)
        row = QHBoxLayout()
        row.setSpacing(4)
        self.buttons: dict[str, QPushButton] = {}
        for direction, word in DIRECTIONS:
            button = QPushButton(word)
            button.setCheckable(True)
            button.setToolTip(explained(direction))
            button.setAccessibleName(f"Direction: {word}")
            self._group.addButton(button)
            self.buttons[direction] = button
            row.addWidget(button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(self.label)
        layout.addLayout(row)
        layout.addWidget(self.note)
        self._group.buttonClicked.connect(self._clicked)
        workbench.setup_changed.connect(self.show_setup)
        self.show_setup(workbench.setup)

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        self.buttons[setup.cut.direction].setChecked(True)
        words = {
            "climb": "down milling; D flips it",
            "conventional": "up milling; D flips it",
            "straddling": "both sides of the axis",
        }
        self.note.setText(words[setup.cut.direction])

    def _clicked(self, button: QPushButton) -> None:
        direction = next(d for d, b in self.buttons.items() if b is button)
        self._workbench.propose(turned(self._workbench.setup, direction), "direction")  # type: ignore[arg-type]
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
        self.group_buttons: list[QPushButton] = []
        self._panels: list[QWidget] = []
        self._words: list[str] = []
        self.row = QHBoxLayout()
        self.row.setSpacing(8)
        panels = QVBoxLayout()
        panels.setContentsMargins(0, 0, 0, 0)
        for word, specs in GROUPS:
            panel = QWidget()
            grid = QGridLayout(panel)
            grid.setContentsMargins(0, 0, 0, 0)
            grid.setHorizontalSpacing(14)
            for i, spec in enumerate(specs):
                control = HandRailControl(spec, workbench, view)
                self.controls[spec.key] = control
                grid.addWidget(control, 0, i, Qt.AlignmentFlag.AlignTop)
                grid.setColumnStretch(i, 1)
            if word == "Edge":
                self.hand = HandControl(workbench)
                grid.addWidget(self.hand, 0, len(specs), Qt.AlignmentFlag.AlignTop)
            self._add_group(word, panel, panels)
        self.material = MaterialControl(workbench, view)
        self._add_group("Material", self.material, panels)
        self.row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 10, 12, 10)
        layout.setSpacing(6)
        layout.addLayout(first)
        layout.addLayout(panels)
        layout.addLayout(self.row)
        workbench.setup_changed.connect(self._show_setup)
        self._show_setup(workbench.setup)

    def _add_group(self, word: str, panel: QWidget, panels: QVBoxLayout) -> None:
        """A button that opens the panel of its group."""
        button = QPushButton(f"▸ {word}")
        button.setCheckable(True)
        button.setAccessibleName(f"{word}: open or close")
        self.group_buttons.append(button)
        self.row.addWidget(button)
        panel.hide()
        self._panels.append(panel)
        self._words.append(word)
        panels.addWidget(panel)
        button.toggled.connect(self._toggled)

    def _show_setup(self, setup: Setup) -> None:
        self.controls["cut.centre_offset_mm"].setEnabled(not _one_sided(setup))
        self.controls["cutter.runout_angle_deg"].setEnabled(setup.cutter.runout_mm > 0.0)

    def _toggled(self, on: bool) -> None:
        chosen = self.sender()
        for i, button in enumerate(self.group_buttons):
            if on and button is not chosen and button.isChecked():
                button.setChecked(False)
            is_open = button.isChecked()
            button.setText(f"{'▾' if is_open else '▸'} {self._words[i]}")
            self._panels[i].setVisible(is_open)
        self.opened.emit()


class HandControl(QWidget):
    """The cutter's hand: right or left, whose picture is the mirror image."""

    def __init__(self, workbench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench = workbench
        label = QLabel("Hand")
        label.setObjectName("name")
        row = QHBoxLayout()
        row.setSpacing(4)
        group = QButtonGroup(self)
        self.buttons: dict[str, QPushButton] = {}
        for hand in ("right", "left"):
            button = QPushButton(hand)
            button.setCheckable(True)
            button.setToolTip(explained("hand"))
            button.setAccessibleName(f"Hand: {hand}")
            group.addButton(button)
            self.buttons[hand] = button
            row.addWidget(button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(label)
        layout.addLayout(row)
        layout.addStretch(1)
        group.buttonClicked.connect(self._clicked)
        workbench.setup_changed.connect(self.show_setup)
        self.show_setup(workbench.setup)

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        self.buttons[setup.cutter.hand].setChecked(True)

    def _clicked(self, button: QPushButton) -> None:
        hand = next(h for h, b in self.buttons.items() if b is button)
        self._workbench.propose(self._workbench.setup.with_keys({"cutter.hand": hand}), "hand")
