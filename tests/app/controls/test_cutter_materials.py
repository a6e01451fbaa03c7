"""Cutter materials of a person's own: one button for one name, whatever was taken before; many are a list."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from app.controls.cutter_material_control import LONGEST_BUTTON, CutterMaterialControl
from core.base.errors import DocumentError
from core.documents.materials import catalogue, read_materials
from tests.app.shell.test_own_materials import OWN
from tests.app.windows import boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")
MODULUS = "cutter.youngs_modulus_n_mm2"


def cutters(*names: str) -> str:
    """A materials file with these cutter materials, each of another modulus."""
    blocks = [
        f'[[cutter_material]]\nname = "{name}"\nkind = "own grade"\n'
        f'youngs_modulus_n_mm2 = {{ value = {500_000.0 + i}, source = "rig" }}\n'
        "[cutter_material.thermal]\n"
        'conductivity_w_mk = { value = 50.0, source = "rig" }\n'
        'density_kg_m3 = { value = 8000.0, source = "rig" }\n'
        'specific_heat_j_kgk = { value = 400.0, source = "rig" }\n'
        for i, name in enumerate(names)
    ]
    return OWN + "".join(blocks)


def take(window: object, folder: Path, *names: str) -> CutterMaterialControl:
    file = folder / "own.toml"
    file.write_text(cutters(*names), "utf-8")
    assert window.files.take_materials(file)  # type: ignore[attr-defined]
    settle()
    return window.hand_rail.cutter_material  # type: ignore[attr-defined]


def test_an_own_material_of_a_catalogues_name_wins_and_leaves_no_dead_button(tmp_path: Path) -> None:
    name = catalogue().cutter_materials[0].name
    usual = len(catalogue().cutter_materials)
    with laid_out_on(boss()) as window:
        for _ in range(4):
            control = take(window, tmp_path, name.upper())
            there = [b for b in control.findChildren(QPushButton) if not b.isHidden()]
            assert len(there) == usual == len(control.buttons) and set(there) == set(control.buttons.values())
        for button in there:
            button.click()
            settle()
        control.buttons[name.upper()].click()
        settle()
        assert window.workbench.setup.cutter.youngs_modulus_n_mm2 == 500_000.0
        assert control.buttons[name.upper()].isChecked()
        window.files.drop_materials()
        settle()
        assert list(control.buttons) == [m.name for m in catalogue().cutter_materials]


def test_twenty_are_a_list_of_whole_names(tmp_path: Path) -> None:
    names = [f"grade {i} of a long name & more" for i in range(20)]
    with laid_out_on(boss()) as window:
        control = take(window, tmp_path, *names)
        assert not control.buttons and not control.choice.isHidden()
        assert [control.choice.itemText(i) for i in range(1, 21)] == names
        control.choice.setCurrentIndex(18)
        control.choice.activated.emit(18)
        settle()
        assert window.workbench.setup.cutter.youngs_modulus_n_mm2 == 500_017.0
        assert control.choice.currentText() == names[17]
        control.choice.activated.emit(0)
        assert control.choice.currentText() == names[17]
        window.workbench.undo()
        settle()
        assert control.choice.currentText() != names[17]
        control.choice.setFocus()
        QTest.keyClick(control.choice, Qt.Key.Key_Home)


def test_a_long_name_does_not_widen_the_row(tmp_path: Path) -> None:
    with laid_out_on(boss()) as window:
        control = take(window, tmp_path, "n" * 2000)
        button = control.buttons["n" * 2000]
        assert len(button.text()) == LONGEST_BUTTON and "n" * 2000 in button.toolTip()


def test_two_cutter_materials_of_one_name_are_refused() -> None:
    with pytest.raises(DocumentError, match="twice, first in line"):
        read_materials(cutters("grade A", "Grade A"), "own.toml")
