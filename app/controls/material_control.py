"""The material: chosen from the catalogue; each of its figures tells its source when it is clicked."""

from __future__ import annotations

import operator
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from app.controls.material_list import ARROW, MaterialList, entry_words
from app.kit.plain import link_label, plain_label, visible_lines
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.language import in_language
from core.base.quantities import QUANTITIES, number
from core.base.words import say
from core.documents.materials import Catalogue, Material
from core.setup.setup import LinearEdge, Setup

SHOWN = {
    "power_law.kc11_n_mm2": ("kc1.1", "stress"),
    "power_law.mc": ("mc", ""),
    "power_law.radial_ratio": ("Fr/Ft", ""),
    "linear_edge.ktc": ("ktc", "stress"),
    "linear_edge.krc": ("krc", "stress"),
    "linear_edge.kac": ("kac", "stress"),
    "linear_edge.kte": ("kte", "edge_force"),
    "linear_edge.kre": ("kre", "edge_force"),
    "linear_edge.kae": ("kae", "edge_force"),
}
"""Figures that the window shows of a material: symbol, and quantity for the unit."""


class MaterialControl(QWidget):
    """Work material by its standard designation, its force figures, and where each comes from."""

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._shown: tuple[object, ...] | None = None
        self._told = ("", "")
        label = plain_label(say("control", "work_material"))
        label.setObjectName("name")
        self.choice = MaterialList()
        self.choice.setAccessibleName(say("control", "work_material"))
        self._fill(workbench.materials)
        label.setBuddy(self.choice)
        self.choice.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.choice.setMinimumWidth(180)
        self.figures = link_label()
        self.figures.setObjectName("soft")
        self.figures.setWordWrap(True)
        self.figures.setAccessibleName(say("control", "force_figures"))
        self.source = plain_label(say("control", "material_hint"))
        self.source.setObjectName("note")
        self.source.setWordWrap(True)
        self.source.setMinimumHeight(34)
        for told in (self.figures, self.source):
            told.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setHorizontalSpacing(14)
        layout.setVerticalSpacing(2)
        layout.addWidget(label, 0, 0)
        # At the top: a long source must not push the choice away from its name.
        layout.addWidget(self.choice, 1, 0, Qt.AlignmentFlag.AlignTop)
        layout.addWidget(self.figures, 0, 1)
        layout.addWidget(self.source, 1, 1, Qt.AlignmentFlag.AlignTop)
        layout.setColumnStretch(0, 2)
        layout.setColumnStretch(1, 5)
        self.choice.activated.connect(self._chosen)
        self.choice.searched.connect(self._search)
        self.figures.linkActivated.connect(self.show_source)
        workbench.setup_changed.connect(self.show_setup)
        workbench.materials_changed.connect(self.show_materials)
        view.changed.connect(self._view_changed)
        self.show_setup(workbench.setup)

    def _fill(self, materials: Catalogue) -> None:
        """Offer every material; a person's own come first and say so."""
        self.choice.clear()
        self.choice.addItem(say("control", "no_material"), None)
        for entry in materials.materials:
            self.choice.addItem(entry_words(entry, entry.name in materials.own), entry.name)
        self.choice.offer(materials)

    def show_materials(self, materials: Catalogue) -> None:
        """Follow the catalogue."""
        self._fill(materials)
        self._told = ("", "")
        self.show_setup(self._workbench.setup)

    def _entry(self, setup: Setup) -> Material | None:
        return self._workbench.materials.find(setup.work.material) if setup.work.material else None

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        # A drag of the cut leaves the work as it is: the same object.
        shown = (setup.work, self._workbench.materials, self._view.units)
        if self._shown is not None and all(map(operator.is_, shown, self._shown)):
            return
        self._shown = shown
        entry = self._entry(setup)
        index = self.choice.findData(entry.name if entry else None)
        if index != self.choice.currentIndex():
            self.choice.setCurrentIndex(index)
            self.choice.put_back()
        own = setup.work.force is not None
        self.figures.setText(self._own(setup, entry) if own else self._listed(entry))
        # The source belongs to the material shown, in the units shown.
        if entry is not None and not own and self._told[0] == entry.name:
            self._tell(entry, self._told[1])
        else:
            self._told = ("", "")
            self.source.setText(
                say("control", "own_figures" if own else "choose_material" if entry is None else "material_hint")
            )

    def _own(self, setup: Setup, entry: Material | None) -> str:
        law = setup.work.force
        names = ("ktc", "krc", "kac", "kte", "kre", "kae") if isinstance(law, LinearEdge) else ("kc11_n_mm2", "mc")
        shown = ", ".join(f"{name.split('_')[0]} {in_language(f'{getattr(law, name):g}')}" for name in names)
        # Without a material there is nothing to take, and forces would be lost.
        take = f"  <a href='catalogue'>{say('control', 'take_catalogue')}</a>" if entry is not None else ""
        return say("control", "coefficients", shown=shown) + take

    def _listed(self, entry: Material | None) -> str:
        if entry is None:
            return say("control", "forces_unknown")
        used = "linear_edge." if entry.linear_edge else "power_law."
        rows = []
        for key, figure in entry.figures:
            if key in SHOWN and key.startswith(used):
                symbol, quantity = SHOWN[key]
                rows.append(f"<a href='{key}'>{symbol}&nbsp;{self._figure(figure.value, quantity)}</a>")
        return " &nbsp; ".join(rows)

    def _figure(self, value: float, quantity: str) -> str:
        if not quantity:
            return in_language(f"{value:g}")
        q, units = QUANTITIES[quantity], self._view.units
        shown = number(q.shown(value, units), q.decimals_in(units))
        return f"{shown}&nbsp;{q.unit_in(units)}"

    def show_source(self, key: str) -> None:
        """Where the clicked figure comes from, under which conditions, and how far it spreads."""
        setup = self._workbench.setup
        entry = self._entry(setup)
        if entry is None:
            return
        if key == "catalogue":
            work = replace(setup.work, force=None, thermal=None)
            self._workbench.propose(replace(setup, work=work), StepName("control", "material_step"))
            return
        self._tell(entry, key)

    def _tell(self, entry: Material, key: str) -> None:
        figure = entry.figure(key)
        if figure is None:
            return
        self._told = (entry.name, key)
        name, quantity = SHOWN[key]
        if figure.spread:
            low, high = (self._figure(v, quantity).replace("&nbsp;", " ") for v in figure.spread)
            told = say("control", "figure_source_spread", name=name, low=low, high=high, source=figure.source)
        else:
            told = say("control", "figure_source", name=name, source=figure.source)
        self.source.setText(visible_lines(told))

    def _search(self, text: str) -> None:
        """Take the material that was typed, by whatever name; say so where it names several or none."""
        name = text.rpartition(ARROW)[2].strip()
        if name in ("", say("control", "no_material")):
            self._take(None)
        else:
            try:
                found = self._workbench.materials.find(name).name
            except ChiparcError as error:
                self.source.setText(visible_lines(str(error)))
            else:
                self._take(found)
        self.choice.put_back()

    def _chosen(self, index: int) -> None:
        self._take(self.choice.itemData(index))
        self.choice.put_back()

    def _take(self, name: str | None) -> None:
        setup = self._workbench.setup
        work = replace(setup.work, material=name, force=None, thermal=None)
        self._workbench.propose(replace(setup, work=work), StepName("control", "material_step"))

    def _view_changed(self, name: str) -> None:
        if name == "units":
            self.show_setup(self._workbench.setup)
