"""The material catalogue: every figure has its source, wrong files are refused in words, own entries win."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.base.errors import ChiparcError, DocumentError
from core.base.places import shared
from core.documents.materials import GROUPS, catalogue, load_materials, material, read_materials, resolved
from core.setup.setup import Cut, Cutter, LinearEdge, PowerLaw, Setup, Work

OWN = """\
format = "chiparc materials"
version = 1

[sources.rig]
text = "own slots on the shop's dynamometer"
status = "measured"
conditions = "12 mm carbide end mill"

[[material]]
name = "C45E"
group = "P"
kind = "bar from the rack"
[material.power_law]
kc11_n_mm2 = { value = 2000.0, range = [1900.0, 2100.0], source = "rig" }
mc = { value = 0.2, source = "rig" }
radial_ratio = { value = 0.5, source = "rig" }
"""


def test_at_least_25_work_materials_in_all_groups() -> None:
    found = catalogue().materials
    assert len(found) >= 25
    assert {m.group for m in found} == set(GROUPS)


def test_every_figure_says_where_it_comes_from() -> None:
    for entry in catalogue().materials:
        assert entry.force is not None and entry.thermal is not None
        for key, figure in entry.figures:
            assert figure.source.text and figure.source.status and figure.source.conditions, (entry.name, key)
            if figure.spread:
                assert figure.spread[0] <= figure.value <= figure.spread[1], (entry.name, key)


# kc = kc1.1 h^-mc as tabled from the two constants; Dietrich and Tschaetsch and others, from memory.
@pytest.mark.parametrize(
    ("name", "kc_01", "kc_02", "kc_04"),
    [
        ("E295", 3621, 3024, 2525),
        ("C45E", 3064, 2781, 2524),
        ("16MnCr5", 3821, 3191, 2665),
        ("42CrMo4", 4549, 3799, 3173),
        ("EN-GJL-250", 2111, 1763, 1472),
        ("CuZn37", 1667, 1502, 1354),
    ],
)
def test_printed_tables_of_specific_cutting_force(name: str, kc_01: int, kc_02: int, kc_04: int) -> None:
    law = material(name).power_law
    assert law is not None
    for h, printed in ((0.1, kc_01), (0.2, kc_02), (0.4, kc_04)):
        assert law.kc11_n_mm2 * h**-law.mc == pytest.approx(printed, abs=0.51)


def test_published_six_coefficients() -> None:
    """Al 7075-T6: Chinese Journal of Mechanical Engineering 2021, doi 10.1186/s10033-021-00536-9, table 5 (seen)."""
    assert material("AA 7075-T6").linear_edge == LinearEdge(767.01, 168.8, 222.0, 27.7, 26.6, 0.7)


def test_cross_designations_find_the_same_entry() -> None:
    assert material("aisi 1045") is material("1.1191") is material("C45E")


def test_unknown_name_is_refused_with_what_is_near() -> None:
    with pytest.raises(ChiparcError, match="C45E"):
        material("C45F")


def test_setup_takes_what_is_known_of_its_material_but_its_own_figures_win() -> None:
    setup = Setup(Cutter(10.0, 4), Cut("climb", 1.0, 1.0, 0.1, 1000.0), Work(material="C45E"))
    assert isinstance(resolved(setup).work.force, PowerLaw)
    assert resolved(setup).work.thermal == material("C45E").thermal
    own = LinearEdge(1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
    assert resolved(setup.with_keys({"work.force": own})).work.force == own


def test_own_materials_win(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    file.write_text(OWN)
    both = catalogue().with_own(load_materials(file))
    assert both.find("C45E").kind == "bar from the rack"
    assert len(both.materials) == len(catalogue().materials)
    assert both.find("42CrMo4") is catalogue().find("42CrMo4")


def test_an_own_entry_takes_over_the_other_designations() -> None:
    """A setup that names C45E by its number still opens, and gets the person's own figures."""
    both = catalogue().with_own(read_materials(OWN, "own.toml"))
    assert both.own == ("C45E",)
    for name in catalogue().find("C45E").also:
        assert both.find(name).kind == "bar from the rack"
    # Unless the person has an entry of that designation too.
    entry = OWN[OWN.index("[[material]]") :].replace("C45E", "1.1191").replace("bar from the rack", "plate")
    both = catalogue().with_own(read_materials(OWN + entry, "own.toml"))
    assert both.find("1.1191").kind == "plate" and both.find("C45E").kind == "bar from the rack"


@pytest.mark.parametrize(
    ("old", "new", "line", "word"),
    [
        ("chiparc materials", "something", 1, "format"),
        ("version = 1", "version = 2", 2, "version"),
        ('group = "P"', 'group = "X"', 11, "P (steel)"),
        ('group = "P"', 'grup = "P"', 11, "unknown key"),
        ("value = 2000.0", "value = -5.0", 14, "-5"),
        ("value = 2000.0", 'value = "2000"', 14, '"2000"'),
        ("value = 2000.0", "value = true", 14, "true"),
        ("[1900.0, 2100.0]", "[2100.0, 1900.0]", 14, "low before high"),
        ("[1900.0, 2100.0]", "[1900.0]", 14, "two numbers"),
        ("value = 0.2,", "value = 1.2,", 15, "1.2"),
        ('0.5, source = "rig"', '0.5, source = "rog"', 16, "rog"),
        ('mc = { value = 0.2, source = "rig" }\n', "", 13, "missing"),
        ('status = "measured"\n', "", 4, "missing"),
        ('name = "C45E"', "name = 45", 10, "a line of text"),
        ('name = "C45E"', 'name = "C45E', 10, "quotes"),
    ],
)
def test_wrong_files_are_refused_in_words(old: str, new: str, line: int, word: str) -> None:
    assert old in OWN
    with pytest.raises(DocumentError) as caught:
        read_materials(OWN.replace(old, new), "own.toml")
    assert word in str(caught.value)
    assert caught.value.line == line


def test_same_name_twice_is_refused() -> None:
    entry = OWN[OWN.index("[[material]]") :]
    with pytest.raises(DocumentError, match="twice"):
        read_materials(OWN + entry, "own.toml")


def test_file_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match="file"):
        load_materials(tmp_path / "none.toml")
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(DocumentError, match="UTF-8"):
        load_materials(tmp_path / "bytes.toml")


def test_the_catalogue_file_itself_names_no_unused_source() -> None:
    text = shared("materials.toml").read_text("utf-8")
    used = {f.source.text for m in catalogue().materials for _, f in m.figures}
    used |= {c.youngs_modulus_n_mm2.source.text for c in catalogue().cutter_materials}
    assert text.count("[sources.") == len(used)
