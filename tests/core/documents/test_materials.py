"""The material catalogue: every figure has its source, wrong files are refused in words, own entries win."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.base.errors import ChiparcError, DocumentError
from core.base.places import shared
from core.documents.material_names import designation, plain
from core.documents.materials import (
    GROUPS,
    Material,
    catalogue,
    find,
    load_materials,
    material,
    read_materials,
    resolved,
)
from core.documents.thermal_laws import LAWS
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


def test_at_least_60_work_materials_in_all_groups() -> None:
    found = catalogue().materials
    assert len(found) >= 60
    assert {m.group for m in found} == set(GROUPS)


def test_every_figure_says_where_it_comes_from_and_how_far_it_spreads() -> None:
    for entry in catalogue().materials:
        assert entry.force is not None and entry.thermal is not None and entry.condition
        assert entry.work_hardens is not None and entry.work_hardens.source.text
        for key, figure in entry.figures:
            assert figure.source.text and figure.source.status and figure.source.conditions, (entry.name, key)
            assert figure.spread is not None, (entry.name, key)
            assert figure.spread[0] <= figure.value <= figure.spread[1], (entry.name, key)
            assert figure.spread[0] < figure.spread[1], (entry.name, key)


def test_every_entry_tells_hardness_stiffness_and_where_it_melts() -> None:
    for entry in catalogue().materials:
        keys = dict(entry.figures)
        assert ("hardness_hrc" if entry.group == "H" else "hardness_hb") in keys, entry.name
        assert {"solidus_c", "youngs_modulus_n_mm2", "power_law.edge_radius_mm"} <= set(keys), entry.name
        assert "power_law" in dict(entry.h_tested_mm), entry.name


def kinds(*words: str) -> list[Material]:
    return [m for m in catalogue().materials if any(w in m.kind for w in words)]


def test_figures_of_a_kind_lie_where_that_kind_lies() -> None:
    """Melting, stiffness, density and conductivity of the kinds of metal; any handbook, common knowledge."""
    bounds = {
        # solidus C, modulus GPa, density kg/m3, conductivity W/(m K)
        "steel": ((1200, 1500), (190, 225), (7600, 8200), (12, 60)),
        "cast iron": ((1100, 1180), (85, 180), (7000, 7400), (30, 55)),
        "aluminium alloy": ((470, 650), (68, 75), (2640, 2860), (110, 230)),
        "titanium": ((1590, 1680), (100, 120), (4400, 4550), (6, 23)),
        "brass": ((860, 960), (90, 115), (8300, 8600), (100, 130)),
        "nickel": ((1240, 1420), (175, 216), (7900, 8950), (9, 24)),
    }
    for word, (solidus, modulus, density, conductivity) in bounds.items():
        entries = [m for m in kinds(word) if word == "steel" or "steel" not in m.kind]
        assert entries
        for m in entries:
            figures, thermal = {k: f.value for k, f in m.figures}, m.thermal
            assert thermal is not None
            assert solidus[0] <= figures["solidus_c"] <= solidus[1], m.name
            assert modulus[0] <= figures["youngs_modulus_n_mm2"] / 1000 <= modulus[1], m.name
            assert density[0] <= thermal.density_kg_m3 <= density[1], m.name
            assert conductivity[0] <= thermal.conductivity_w_mk <= conductivity[1], m.name


def test_groups_follow_the_structure_of_stainless_steel() -> None:
    """ISO 513: ferritic and martensitic stainless steel is P; M is what holds austenite."""
    for entry in kinds("martensitic stainless", "ferritic stainless", "ferritic-martensitic"):
        assert entry.group == ("H" if "HRC" in entry.kind else "P"), entry.name
    for entry in kinds("austenitic stainless", "duplex stainless"):
        assert entry.group == "M", entry.name
    assert material("1.4021").group == material("17-4PH").group == "P"


def test_austenite_and_nickel_harden_and_a_titanium_alloy_of_the_same_group_does_not() -> None:
    hardens = {m.name for m in catalogue().materials if m.work_hardens is not None and m.work_hardens.value}
    assert hardens == {
        m.name for m in kinds("austenitic stainless", "duplex stainless", "nickel alloy", "nickel-")
    } | {m.name for m in kinds("iron-nickel")}
    assert material("Ti-6Al-4V").group == material("alloy 718").group and "Ti-6Al-4V" not in hardens


def test_the_temperature_law_fits_the_kind_and_its_own_constants() -> None:
    """A law is used as a multiple of its value at 20 C; it must not be of another order than the constants."""
    for entry in catalogue().materials:
        if entry.thermal_law is None:
            continue
        law, thermal = LAWS[entry.thermal_law], entry.thermal
        assert thermal is not None
        k, cp = float(law.conductivity_w_mk(20.0)), float(law.specific_heat_j_kgk(20.0))
        assert 0.65 < thermal.conductivity_w_mk / k < 1.5, entry.name
        assert 0.85 < thermal.specific_heat_j_kgk / cp < 1.15, entry.name
    assert material("C45E").thermal_law == "carbon steel"
    assert material("316L").thermal_law == "austenitic"
    assert material("6082").thermal_law == "aluminium 3/6xxx"
    assert material("7075").thermal_law == "aluminium 2/5/7xxx"
    assert material("Ti64").thermal_law == "titanium"
    assert material("EN-GJL-250").thermal_law is None


def test_cross_designations_find_the_same_entry() -> None:
    assert material("aisi 1045") is material("1.1191") is material("C45E")


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("316L", "X2CrNiMo17-12-2"),
        ("aisi316l", "X2CrNiMo17-12-2"),
        ("316", "X5CrNiMo17-12-2"),
        ("GG25", "EN-GJL-250"),
        ("gjl 250", "EN-GJL-250"),
        ("Ti64", "Ti-6Al-4V"),
        ("ti6al4v", "Ti-6Al-4V"),
        ("4140", "42CrMo4"),
        ("SAE 4140", "42CrMo4"),
        ("42crmo4", "42CrMo4"),
        ("42 CrMo 4", "42CrMo4"),
        ("4340", "40NiCrMo6"),
        ("1.4301", "X5CrNi18-10"),
        ("1,4301", "X5CrNi18-10"),
        ("W.-Nr. 1.4301", "X5CrNi18-10"),
        ("Werkstoff-Nr. 1.4301", "X5CrNi18-10"),
        ("X5 CrNi 18 10", "X5CrNi18-10"),
        ("S30400", "X5CrNi18-10"),
        ("1.4310", "X10CrNi18-8"),
        ("St 37", "S235JR"),
        ("st37-2", "S235JR"),
        ("17-4 ph", "X5CrNiCuNb16-4"),
        ("Ms58", "CuZn39Pb3"),
        ("en aw 6082", "EN AW-6082-T6"),
        ("6082T6", "EN AW-6082-T6"),
        ("A97075", "EN AW-7075-T6"),
        ("AlSi10Mg", "EN AC-43400"),
        ("1.2713 + QT", "55NiCrMoV6+QT"),
        ("AISI H13", "X40CrMoV5-1+50HRC"),
    ],
)
def test_found_by_number_and_by_old_and_foreign_names_in_any_spelling(typed: str, name: str) -> None:
    assert [m.name for m in find(typed)] == [name]
    assert material(typed).name == name


@pytest.mark.parametrize("typed", ["H13", "1.2344", "x40crmov5-1"])
def test_a_name_that_may_be_soft_or_hard_gives_both(typed: str) -> None:
    assert [m.name for m in find(typed)] == ["X40CrMoV5-1+A", "X40CrMoV5-1+50HRC"]
    with pytest.raises(ChiparcError, match=r"names 2 entries.*X40CrMoV5-1\+A, X40CrMoV5-1\+50HRC"):
        material(typed)


@pytest.mark.parametrize(
    "typed",
    # Numbers beside known ones, steels of their own that look alike, a family that has no such number, rubbish.
    [
        "1.4303",
        "1.430",
        "14301",
        "4150",
        "AISI 4341",
        "AISI 5083",
        "SnPb" * 40 + "q",
        "16MoCr5",
        "AlMg1",
        "GG-40",
        "316N",
        "E355",
        "-",
        "steel",
        "7076",
    ],
)
def test_what_is_not_known_is_refused_without_a_guess(typed: str) -> None:
    assert find(typed) == ()
    with pytest.raises(ChiparcError) as caught:
        material(typed)
    assert "near" not in str(caught.value) and typed in str(caught.value)


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("C45F", "C45E"),
        ("42CrMi4", "42CrMo4"),
        ("42CrOm4", "42CrMo4"),
        ("42CrMo4+A", "42CrMo4"),
        ("42CrMo", "42CrMo4"),
        ("EN AW-6082-T4", "EN AW-6082-T6"),
        ("X2CrNiMo17-12", None),
        ("X5CrNiM18-10", "X5CrNi18-10"),
    ],
)
def test_a_slip_gets_the_name_that_it_was_meant_for(typed: str, hint: str | None) -> None:
    assert find(typed) == ()
    with pytest.raises(ChiparcError) as caught:
        material(typed)
    _, _, near = str(caught.value).partition("near it: ")
    assert (hint in near.split(", ")) if hint else not near


@given(st.sampled_from([n for m in catalogue().materials for n in (m.name, *m.also)]), st.data())
def test_no_number_is_mended(name: str, data: st.DataObject) -> None:
    """One digit of a name changed: found only if that is a name of its own, never hinted at."""
    places = [i for i, c in enumerate(name) if c.isdigit()]
    assume(places)
    place = data.draw(st.sampled_from(places))
    digit = data.draw(st.sampled_from([d for d in "0123456789" if d != name[place]]))
    typed = name[:place] + digit + name[place + 1 :]
    known = {designation(n)[1:] for m in catalogue().materials for n in (m.name, *m.also)}
    wanted = designation(typed)
    assume(all(wanted.base != base for base, _ in known))
    assert find(typed) == ()
    with pytest.raises(ChiparcError) as caught:
        material(typed)
    _, _, near = str(caught.value).partition("near it: ")
    assert catalogue().find(name).name not in near.split(", ")


@given(st.sampled_from([n for m in catalogue().materials for n in (m.name, *m.also)]), st.data())
def test_case_spaces_and_hyphens_carry_no_meaning(name: str, data: st.DataObject) -> None:
    typed = data.draw(
        st.sampled_from([name.lower(), name.upper(), f"  {name} ", name.replace(" ", ""), name.replace("-", " ")])
    )
    assert catalogue().find(name) in find(typed)


def test_every_name_is_one_entry_and_every_spelling_leads_to_one_alloy() -> None:
    names = [(plain(n), m.name) for m in catalogue().materials for n in (m.name, *m.also)]
    assert len({n for n, _ in names}) == len(names)
    spelled: dict[tuple[str, str], set[str]] = {}
    for entry in catalogue().materials:
        for name in (entry.name, *entry.also):
            spelled.setdefault(designation(name)[1:], set()).add(entry.name)
    assert all(len(entries) == 1 for entries in spelled.values())


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


@pytest.mark.parametrize(
    ("name", "also", "told", "line"),
    [
        ("C45E", "[]", '"C45E"', 19),
        ("c 45 e", "[]", '"c 45 e"', 19),
        ("other", '["Stahl", "C45E"]', '"C45E"', 20),
    ],
)
def test_two_entries_of_one_name_are_refused_with_both_lines(name: str, also: str, told: str, line: int) -> None:
    entry = OWN[OWN.index("[[material]]") :].replace('name = "C45E"', f'name = "{name}"\nalso = {also}')
    with pytest.raises(DocumentError, match="twice") as caught:
        read_materials(OWN + "\n" + entry, "own.toml")
    assert told in caught.value.found and "line 10" in caught.value.found
    assert caught.value.line == line
    assert OWN.splitlines()[9] == 'name = "C45E"'
    # The same name twice in one entry does no harm.
    read_materials(OWN.replace('name = "C45E"', 'name = "C45E"\nalso = ["C45E"]'), "own.toml")


EXTRAS = """\
condition = "normalised"
thermal_law = "carbon steel"
work_hardens = { value = false, source = "rig" }
hardness_hb = { value = 190.0, source = "rig" }
solidus_c = { value = 1425.0, range = [1410.0, 1440.0], source = "rig" }
youngs_modulus_n_mm2 = { value = 210000.0, source = "rig" }
[material.power_law]
edge_radius_mm = { value = 0.02, source = "rig" }
h_tested_mm = { range = [0.05, 0.4], source = "rig" }
"""
FULL = OWN.replace("[material.power_law]\n", EXTRAS)


def test_what_else_an_entry_may_tell() -> None:
    entry = read_materials(FULL, "own.toml").materials[0]
    assert entry.condition == "normalised" and entry.thermal_law == "carbon steel"
    assert entry.work_hardens is not None and entry.work_hardens.value is False
    assert entry.work_hardens.source.status == "measured"
    assert entry.solidus_c is not None and entry.solidus_c.spread == (1410.0, 1440.0)
    assert entry.edge_radius_mm is not None and entry.edge_radius_mm.value == 0.02
    assert entry.tested_h_mm is not None and (entry.tested_h_mm.low, entry.tested_h_mm.high) == (0.05, 0.4)
    assert entry.power_law == PowerLaw(2000.0, 0.2, 0.5, edge_radius_mm=0.02) and entry.force_block == "power_law"
    bare = read_materials(OWN, "own.toml").materials[0]
    assert bare.work_hardens is None and bare.thermal_law is None and bare.condition == ""
    assert bare.solidus_c is bare.edge_radius_mm is bare.tested_h_mm is None


def test_edge_and_tested_thickness_are_those_of_the_coefficients_in_use() -> None:
    entry = material("6061")
    assert entry.force_block == "linear_edge" and entry.edge_radius_mm is entry.figure("linear_edge.edge_radius_mm")
    assert entry.edge_radius_mm is not entry.figure("power_law.edge_radius_mm")
    assert entry.tested_h_mm is not None and entry.tested_h_mm.high == 0.5
    assert material("7075").tested_h_mm is None


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ('"carbon steel"', '"karbon"', '"austenitic"'),
        ("{ value = false, source", "{ value = 0, source", "true or false"),
        ("work_hardens = { value = false,", "work_hardens = { value = true, range = [0, 1],", "unknown key"),
        ("value = 1425.0", "value = 9000.0", "9000"),
        ("value = 0.02,", "value = 0.0,", "over 0"),
        ("[0.05, 0.4]", "[0.4, 0.05]", "low before high"),
        ("value = 190.0", "value = 2.0", "2"),
        ("h_tested_mm = {", "h_testd_mm = {", "unknown key"),
    ],
)
def test_wrong_extras_are_refused_in_words(old: str, new: str, word: str) -> None:
    assert FULL.count(old) == 1
    with pytest.raises(DocumentError) as caught:
        read_materials(FULL.replace(old, new), "own.toml")
    line = next(i for i, text in enumerate(FULL.splitlines(), 1) if old in text)
    assert word in str(caught.value) and caught.value.line == line


def test_file_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match="file"):
        load_materials(tmp_path / "none.toml")
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(DocumentError, match="UTF-8"):
        load_materials(tmp_path / "bytes.toml")


def test_the_catalogue_file_itself_names_no_unused_source() -> None:
    text = shared("materials.toml").read_text("utf-8")
    entries, cutters = catalogue().materials, catalogue().cutter_materials
    used = {f.source.text for m in entries for _, f in m.figures}
    used |= {m.work_hardens.source.text for m in entries if m.work_hardens}
    used |= {span.source.text for m in entries for _, span in m.h_tested_mm}
    used |= {f.source.text for c in cutters for _, f in (("", c.youngs_modulus_n_mm2), *c.thermal_figures)}
    assert text.count("[sources.") == len(used)
