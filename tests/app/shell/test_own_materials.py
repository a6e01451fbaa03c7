"""A person's own materials in the window: chosen, remembered, shown with their sources, refused in words."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QPushButton
from shiboken6 import isValid

from app.commands.window import materials_of
from app.state.settings import Settings, load_settings, save_settings
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.places import shared
from core.documents.materials import catalogue, read_materials
from core.documents.setup_document import read_setup
from core.setup.setup import Setup, Work
from tests.app import steps
from tests.app.windows import boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")

NAME = "Our bracket iron"
OWN = f"""\
format = "chiparc materials"
version = 1
[sources.rig]
text = "our own <b>slots</b>, rig 2"
status = "measured"
conditions = "12 mm carbide end mill, dry"
[[material]]
name = "{NAME}"
group = "K"
kind = "grey iron"
[material.linear_edge]
ktc = {{ value = 1210.0, range = [1190.0, 1230.0], source = "rig" }}
krc = {{ value = 520.0, source = "rig" }}
kac = {{ value = 180.0, source = "rig" }}
kte = {{ value = 18.0, source = "rig" }}
kre = {{ value = 24.0, source = "rig" }}
kae = {{ value = 2.0, source = "rig" }}
"""
OTHER = OWN.replace(NAME, "Our other iron")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    file = tmp_path / "own.toml"
    file.write_text(OWN, "utf-8")
    return file


def named(name: str = NAME) -> Setup:
    """The boss of that material."""
    return boss().with_keys({"work.": Work(material=name)})


def document(folder: Path, name: str = NAME) -> Path:
    """A setup document that names a material."""
    text = shared("setups", "boss.toml").read_text("utf-8")
    file = folder / "named.toml"
    file.write_text(text[: text.index("[work.force]")] + f'[work]\nmaterial = "{name}"\n', "utf-8")
    return file


def test_chosen_from_the_menu_it_is_shown_with_its_sources_and_remembered(
    own: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(own), ""))
    with laid_out_on(boss()) as window:
        assert not window.menus.by_id["drop_materials"].isEnabled()
        QTest.keyClick(window.arc.plan, Qt.Key.Key_M, Qt.KeyboardModifier.ControlModifier)
        settle()
        assert window.menus.by_id["drop_materials"].isEnabled()
        assert load_settings().materials == str(own)
        rail = window.hand_rail
        rail.group_buttons[3].click()
        settle()
        control = rail.material
        assert control.choice.itemText(1).startswith(f"{NAME}   own: cast iron, grey iron")
        assert control.choice.count() == len(catalogue().materials) + 2
        control.choice.setCurrentIndex(1)
        control.choice.activated.emit(1)
        settle()
        assert window.workbench.setup.work.material == NAME
        assert window.workbench.resolved.work.force is not None
        for key in ("ktc", "krc", "kac", "kte", "kre", "kae"):
            assert f"href='linear_edge.{key}'" in control.figures.text()
            control.figures.linkActivated.emit(f"linear_edge.{key}")
            # As it was written, not as markup.
            assert "our own <b>slots</b>, rig 2 (measured)" in control.source.text()
            assert control.source.textFormat() == Qt.TextFormat.PlainText
        control.figures.linkActivated.emit("linear_edge.ktc")
        assert "Expect 1190 N/mm² to 1230 N/mm²" in control.source.text()


def test_setups_that_name_an_own_material_open_and_save(own: Path, tmp_path: Path) -> None:
    file = document(tmp_path)
    with laid_out_on(boss()) as window:
        assert not window.files.open_path(file)
        assert NAME in window.sentence.label.text() and window.workbench.setup == boss()
        assert window.files.take_materials(own)
        assert window.files.open_path(file)
        assert window.workbench.setup.work.material == NAME
        window.workbench.propose(window.workbench.setup.with_keys({"cut.radial_engagement_mm": 2.5}), steps.WIDTH)
        assert window.files.save()
        assert "2.5" in file.read_text("utf-8") and NAME in file.read_text("utf-8")
        assert window.workbench.resolved.work.force.ktc == 1210.0  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (None, "no such file"),
        (b"", "format"),
        (OWN.replace('group = "K"', 'group = "X"').encode(), ":9: material.1.group"),
        (OWN.replace("1210.0", "-5.0").encode(), "-5"),
        (shared("setups", "boss.toml").read_bytes(), "chiparc materials"),
        (b"\xff\xfeO\0", "UTF-16"),
        (b"\x89PNG\0", "binary"),
        (b"[" * 3000, "own.toml"),
    ],
    ids=["missing", "empty", "group", "range", "a setup", "utf-16", "binary", "brackets"],
)
def test_a_bad_file_is_told_and_changes_nothing(tmp_path: Path, text: bytes | None, words: str) -> None:
    file = tmp_path / "own.toml"
    if text is not None:
        file.write_bytes(text)
    with laid_out_on(boss()) as window:
        before = window.workbench.materials
        assert not window.files.take_materials(file)
        told = window.sentence.label.text()
        assert "own.toml" in told and words in told and window.workbench.materials is before
        assert load_settings().materials == ""
        assert window.hand_rail.material.choice.count() == len(catalogue().materials) + 1


def test_own_materials_are_dropped_but_not_from_under_a_setup(own: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text(OTHER, "utf-8")
    with laid_out_on(boss()) as window:
        assert window.files.take_materials(own)
        window.workbench.propose(named(), steps.MATERIAL)
        for change in (window.files.drop_materials, lambda: window.files.take_materials(other)):
            change()
            assert NAME in window.sentence.label.text() and "catalogue" in window.sentence.label.text()
            assert window.workbench.materials.own == (NAME,) and load_settings().materials == str(own)
        window.workbench.propose(named("C45E"), steps.MATERIAL)
        window.files.drop_materials()
        assert window.workbench.materials.own == () and load_settings().materials == ""
        assert not window.menus.by_id["drop_materials"].isEnabled()
        assert window.hand_rail.material.choice.currentData() == "C45E"


def test_undo_never_comes_to_a_material_that_is_gone(own: Path) -> None:
    with laid_out_on(boss()) as window:
        bench = window.workbench
        window.files.take_materials(own)
        bench.propose(named(), steps.MATERIAL)
        bench.propose(named("C45E"), steps.MATERIAL)
        bench.propose(named("C45E").opposite, steps.DIRECTION)
        bench.propose(named("42CrMo4"), steps.MATERIAL)
        bench.undo()
        window.files.drop_materials()
        for _ in range(4):
            bench.undo()
        assert bench.setup == named("C45E") and bench.undo_name == ""
        for _ in range(4):
            bench.redo()
        assert bench.setup == named("42CrMo4")


def test_undo_never_comes_to_a_document_of_a_material_that_is_gone(own: Path, tmp_path: Path) -> None:
    with laid_out_on(boss()) as window:
        bench = window.workbench
        window.files.take_materials(own)
        assert window.files.open_path(document(tmp_path))
        bench.propose(named("C45E"), steps.MATERIAL)
        window.files.open_example("left-hand")
        bench.propose(bench.setup.opposite, steps.DIRECTION)
        # The setup that was left can be computed, but not the one that its file holds.
        window.files.drop_materials()
        for _ in range(4):
            bench.undo()
        settle()
        assert bench.setup.title == "Mirror bracket with a left-hand cutter" and bench.undo_name == ""
        assert bench.opened == bench.resolved


def test_results_follow_figures_that_change_under_the_same_name(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    with laid_out_on(named("C45E")) as window:
        before = window.workbench.resolved.work.force
        file.write_text(OWN.replace(NAME, "C45E"), "utf-8")
        assert window.files.take_materials(file)
        assert window.workbench.resolved.work.force != before
        assert window.hand_rail.material.choice.currentText().startswith("C45E   own: ")
        window.files.drop_materials()
        assert window.workbench.resolved.work.force == before


CUTTERS = """\
[[cutter_material]]
name = "our carbide {n}"
kind = "carbide"
youngs_modulus_n_mm2 = {{ value = 60{n}000.0, source = "rig" }}
thermal.conductivity_w_mk = {{ value = 80.0, source = "rig" }}
thermal.density_kg_m3 = {{ value = 14500.0, source = "rig" }}
thermal.specific_heat_j_kgk = {{ value = 220.0, source = "rig" }}
"""


def test_undo_meets_no_button_of_materials_that_are_gone() -> None:
    """Buttons of an earlier catalogue are destroyed by the event loop, whole, and nothing that follows the setup
    keeps one: a window once died in thousands of undos after dozens of such changes.  15,000 undos after 300 changes,
    with clicks, painting and the collector between them, did not bring that back.
    """
    known = [
        catalogue().with_own(read_materials(OWN + "".join(CUTTERS.format(n=n) for n in range(count)), "own.toml"))
        for count in (0, 1, 2, 5)
    ]
    with laid_out_on(boss()) as window:
        bench, control = window.workbench, window.hand_rail.cutter_material
        for change in range(6):
            before = list(control.buttons.values())
            bench.take_materials(known[change % 4])
            QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
            assert not any(isValid(button) for button in before)
            assert set(control.findChildren(QPushButton)) == set(control.buttons.values())
            for button in control.buttons.values():
                QTest.mouseClick(button, Qt.MouseButton.LeftButton)
            bench.propose(boss().with_keys({"cut.feed_per_tooth_mm": 0.05 + 0.001 * change}), steps.FEED)
            settle()
        gc.collect()
        while bench.undo_name:
            bench.undo()
            settle()
        gc.collect()
        while bench.redo_name:
            bench.redo()
        settle()
        assert bench.resolved.cut.feed_per_tooth_mm == 0.055


# What the program starts with


def test_the_remembered_file_is_read_at_the_start_unless_another_is_named(own: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text(OTHER, "utf-8")
    assert materials_of(None) == (None, "")
    save_settings(Settings(materials=str(own)))
    known, problem = materials_of(None)
    assert known is not None and known.own == (NAME,) and problem == ""
    assert read_setup(document(tmp_path).read_bytes(), "named.toml", known).work.material == NAME
    known, problem = materials_of(str(other))
    assert known is not None and known.own == ("Our other iron",)
    assert load_settings().materials == str(own)


@pytest.mark.parametrize("named_by", ["settings", "command"])
def test_a_missing_file_is_told_and_the_program_goes_on(tmp_path: Path, named_by: str) -> None:
    file = str(tmp_path / "none.toml")
    save_settings(Settings(materials=file if named_by == "settings" else ""))
    known, problem = materials_of(file if named_by == "command" else None)
    assert known is None and "none.toml: file: found no such file" in problem


def test_the_workbench_refuses_a_catalogue_without_its_material() -> None:
    bench = Workbench(named(), materials=catalogue().with_own(read_materials(OWN, "own.toml")))
    with pytest.raises(ChiparcError, match=NAME):
        bench.take_materials(catalogue())
    assert bench.materials.own == (NAME,)
