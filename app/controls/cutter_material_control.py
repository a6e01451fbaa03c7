"""What the cutter is made of: sets its stiffness and its heat figures; a click on a figure tells its source."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolTip,
    QVBoxLayout,
    QWidget,
)

from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.glossary import explained
from core.base.quantities import QUANTITIES, number
from core.documents.materials import Catalogue, CutterMaterial
from core.setup.setup import Setup
from core.setup.setup_limits import CHOICES


class CutterMaterialControl(QWidget):
    """The catalogue's cutter materials as buttons, and the modulus that is taken."""

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        label = QLabel("Cutter material")
        label.setObjectName("name")
        self._row = row = QHBoxLayout()
        row.setSpacing(4)
        self._group = QButtonGroup(self)
        self._group.setExclusive(False)
        self.buttons: dict[str, QPushButton] = {}
        self._fill(workbench.materials)
        self.modulus = QLabel()
        self.modulus.setObjectName("note")
        self.modulus.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByMouse | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
        )
        self.modulus.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.modulus.setMinimumHeight(18)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(label)
        layout.addLayout(row)
        layout.addWidget(self.modulus)
        self._group.buttonClicked.connect(self._clicked)
        self.modulus.linkActivated.connect(self.show_source)
        workbench.setup_changed.connect(self.show_setup)
        workbench.materials_changed.connect(self.show_materials)
        view.changed.connect(self._view_changed)
        self.show_setup(workbench.setup)

    def show_materials(self, materials: Catalogue) -> None:
        """Another catalogue: its cutter materials are offered."""
        self._fill(materials)
        self.show_setup(self._workbench.setup)

    def _fill(self, materials: Catalogue) -> None:
        for button in self.buttons.values():
            self._group.removeButton(button)
            button.deleteLater()
        self.buttons = {}
        for entry in materials.cutter_materials:
            button = QPushButton("HSS" if entry.name == "high-speed steel" else entry.name)
            button.setCheckable(True)
            button.setToolTip(f"{explained('cutter_material')} {entry.kind}.")
            button.setAccessibleName(f"Cutter material: {entry.name}")
            self._group.addButton(button)
            self.buttons[entry.name] = button
            self._row.addWidget(button)

    def _entry(self, setup: Setup) -> CutterMaterial | None:
        """The catalogue's entry whose modulus the setup has; None for another or none."""
        modulus = setup.cutter.youngs_modulus_n_mm2
        found = self._workbench.materials.cutter_materials
        return next((m for m in found if m.youngs_modulus_n_mm2.value == modulus), None)

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        entry, modulus = self._entry(setup), setup.cutter.youngs_modulus_n_mm2
        for name, button in self.buttons.items():
            button.setChecked(entry is not None and entry.name == name)
        if modulus is None:
            text = "E not given: the wall is not known"
        elif entry is None:
            text = f"E {self._stress(modulus)}, of this setup"
        else:
            text = f"<a href='source'>E {self._stress(modulus)}</a>"
        if self.modulus.text() != text:
            self.modulus.setText(text)
            self.modulus.setToolTip("Click the figure to see where it comes from." if entry else "")

    def _stress(self, value: float) -> str:
        q, units = QUANTITIES["stress"], self._view.units
        return f"{number(q.shown(value, units), 0)} {q.unit_in(units)}"

    def show_source(self, _: str) -> None:
        """Where the modulus comes from, and how far it spreads."""
        entry = self._entry(self._workbench.setup)
        if entry is None:
            return
        figure = entry.youngs_modulus_n_mm2
        spread = ""
        if figure.spread:
            spread = f"Expect {self._stress(figure.spread[0])} to {self._stress(figure.spread[1])}. "
        told = f"E of {entry.name}: {spread}{figure.source}"
        self.modulus.setAccessibleDescription(told)
        QToolTip.showText(self.modulus.mapToGlobal(self.modulus.rect().bottomLeft()), told, self.modulus)

    def _clicked(self, button: QPushButton) -> None:
        name = next(n for n, b in self.buttons.items() if b is button)
        entry = next(m for m in self._workbench.materials.cutter_materials if m.name == name)
        setup = self._workbench.setup
        if self._entry(setup) is not entry:
            values = {
                "cutter.youngs_modulus_n_mm2": entry.youngs_modulus_n_mm2.value,
                "cutter.material": entry.name if entry.name in CHOICES["cutter.material"] else entry.thermal,
            }
            self._workbench.propose(setup.with_keys(values), "cutter material")
        self.show_setup(self._workbench.setup)

    def _view_changed(self, name: str) -> None:
        if name == "units":
            self.show_setup(self._workbench.setup)
