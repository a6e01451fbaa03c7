"""What the cutter is made of: sets its stiffness and its heat figures; a click on a figure tells its source."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QToolTip,
    QWidget,
)

from app.kit.bare_layouts import bare_column
from app.kit.plain import button_text, link_label, plain_hint, plain_label
from app.kit.still_list import StillList
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.glossary import explained
from core.base.quantities import QUANTITIES, number
from core.base.visible import visible
from core.base.words import phrase, say
from core.documents.materials import Catalogue, CutterMaterial
from core.setup.setup import Setup
from core.setup.setup_limits import CHOICES

MOST_BUTTONS = 5
"""Cutter materials that are offered as buttons: more would not be legible side by side."""

LONGEST_BUTTON = 18
"""Characters of a material's name on its button; its hint has the whole name."""


class CutterMaterialControl(QWidget):
    """The catalogue's cutter materials as buttons or, where there are many, as a list; and the modulus taken."""

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        label = plain_label(say("control", "cutter_material"))
        label.setObjectName("name")
        self._row = row = QHBoxLayout()
        row.setSpacing(4)
        self._group = QButtonGroup(self)
        self._group.setExclusive(False)
        self.buttons: dict[str, QPushButton] = {}
        self.choice = StillList()
        self.choice.setAccessibleName(say("control", "cutter_material"))
        self.choice.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.choice.setMinimumWidth(180)
        row.addWidget(self.choice)
        self._offered: tuple[CutterMaterial, ...] = ()
        self._fill(workbench.materials)
        self.modulus = link_label()
        self.modulus.setObjectName("note")
        self.modulus.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.modulus.setMinimumHeight(18)
        layout = bare_column(self, 2)
        layout.addWidget(label)
        layout.addLayout(row)
        layout.addWidget(self.modulus)
        self._group.buttonClicked.connect(self._clicked)
        self.choice.activated.connect(self._chosen)
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
        """A button for each, or a list to choose from where there are too many for buttons."""
        for button in self.buttons.values():
            self._group.removeButton(button)
            self._row.removeWidget(button)
            # Out of sight at once; destroyed by the event loop, since this may run within a button's own click.
            button.hide()
            button.deleteLater()
        self.buttons = {}
        self._offered = materials.cutter_materials
        as_list = len(self._offered) > MOST_BUTTONS
        self.choice.clear()
        self.choice.setVisible(as_list)
        self.choice.addItem(say("control", "other"))
        for entry in self._offered:
            text = "HSS" if entry.name == "high-speed steel" else phrase(entry.name)
            hint = plain_hint(f"{phrase(entry.name)}: {explained('cutter_material')} {phrase(entry.kind)}.")
            if as_list:
                self.choice.addItem(visible(text))
                self.choice.setItemData(self.choice.count() - 1, hint, Qt.ItemDataRole.ToolTipRole)
                continue
            button = QPushButton(button_text(text, LONGEST_BUTTON))
            button.setCheckable(True)
            button.setToolTip(hint)
            button.setAccessibleName(visible(say("control", "cutter_material_of", name=phrase(entry.name))))
            self._group.addButton(button)
            self.buttons[entry.name] = button
            self._row.addWidget(button)

    def _entry(self, setup: Setup) -> CutterMaterial | None:
        """The entry whose modulus the setup has, rather one with its heat figures too; None for another or none."""
        cutter = setup.cutter
        alike = [m for m in self._offered if m.youngs_modulus_n_mm2.value == cutter.youngs_modulus_n_mm2]
        return next((m for m in alike if m.thermal == cutter.material), alike[0] if alike else None)

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        entry, modulus = self._entry(setup), setup.cutter.youngs_modulus_n_mm2
        for name, button in self.buttons.items():
            button.setChecked(entry is not None and entry.name == name)
        self.choice.setCurrentIndex(0 if entry is None else 1 + self._offered.index(entry))
        if modulus is None:
            text = say("control", "no_modulus")
        elif entry is None:
            text = say("control", "own_modulus", value=self._stress(modulus))
        else:
            text = f"<a href='source'>{say('control', 'modulus', value=self._stress(modulus))}</a>"
        if self.modulus.text() != text:
            self.modulus.setText(text)
            self.modulus.setToolTip(plain_hint(say("control", "click_figure") if entry else ""))

    def _stress(self, value: float) -> str:
        q, units = QUANTITIES["stress"], self._view.units
        return f"{number(q.shown(value, units), 0)} {q.unit_in(units)}"

    def show_source(self, _: str) -> None:
        """Where the modulus comes from, and how far it spreads."""
        entry = self._entry(self._workbench.setup)
        if entry is None:
            return
        figure = entry.youngs_modulus_n_mm2
        told = {"name": phrase(entry.name), "source": figure.source}
        if figure.spread:
            low, high = (self._stress(end) for end in figure.spread)
            origin = say("control", "origin_spread", low=low, high=high, **told)
        else:
            origin = say("control", "origin", **told)
        self.modulus.setAccessibleDescription(origin)
        at = self.modulus.mapToGlobal(self.modulus.rect().bottomLeft())
        QToolTip.showText(at, plain_hint(origin), self.modulus)

    def _clicked(self, button: QPushButton) -> None:
        name = next((n for n, b in self.buttons.items() if b is button), None)
        self._take(next((m for m in self._offered if m.name == name), None))

    def _chosen(self, index: int) -> None:
        self._take(self._offered[index - 1] if index > 0 else None)

    def _take(self, entry: CutterMaterial | None) -> None:
        setup = self._workbench.setup
        if entry is not None and self._entry(setup) is not entry:
            values = {
                "cutter.youngs_modulus_n_mm2": entry.youngs_modulus_n_mm2.value,
                "cutter.material": entry.name if entry.name in CHOICES["cutter.material"] else entry.thermal,
            }
            self._workbench.propose(setup.with_keys(values), StepName("control", "cutter_material_step"))
        self.show_setup(self._workbench.setup)

    def _view_changed(self, name: str) -> None:
        if name == "units":
            self.show_setup(self._workbench.setup)
