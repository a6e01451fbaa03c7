"""Refused documents tell all their faults, each with its line, in lines of bounded length."""

from __future__ import annotations

import pytest

from core.base.errors import MOST_TOLD, ChiparcError, DocumentError
from core.base.visible import bounded, visible
from core.documents.materials import catalogue, read_materials
from core.documents.setup_document import problems, read_setup
from core.documents.strict_reader import MOST_FAULTS
from core.documents.tool_life_tables import read_life_tables
from tests.documents_refused.setups import GOOD

MATERIALS = """\
format = "chiparc materials"
version = 1
[sources.rig]
text = "rig"
status = "measured"
[[material]]
name = "Ours"
group = "Q"
kind = 7
[material.power_law]
kc11_n_mm2 = { value = "x", source = "rig", range = [2.0, 1.0] }
mc = { value = 2.0, source = "rog" }
radial_ratoi = { value = 0.4, source = "rig" }
[[cutter_material]]
name = "glass"
kind = "glass"
youngs_modulus_n_mm2 = { value = 70000.0, source = "rig" }
[[cutter_material]]
name = "GLASS"
kind = "glass"
"""


def faults_of(text: str) -> list[tuple[int, str]]:
    with pytest.raises(DocumentError) as caught:
        read_materials(text, "own.toml")
    return [(fault.line, fault.where) for fault in caught.value.faults]


def test_every_fault_of_a_materials_file_is_told_with_its_line() -> None:
    assert faults_of(MATERIALS) == [
        (3, "sources.rig.conditions"),
        (8, "material.1.group"),
        (9, "material.1.kind"),
        (11, "material.1.power_law.kc11_n_mm2.range"),
        (11, "material.1.power_law.kc11_n_mm2.value"),
        (12, "material.1.power_law.mc.value"),
        (12, "material.1.power_law.mc.source"),
        (13, "material.1.power_law.radial_ratoi"),
        (14, "cutter_material.1.thermal"),
        (18, "cutter_material.2.youngs_modulus_n_mm2"),
        (18, "cutter_material.2.thermal"),
        (19, "cutter_material.2.name"),
    ]


@pytest.mark.parametrize("value", ["1", "[]", "[1]", "[[]]", '"x"', "{ a = 1 }", "[{}]", "1979-05-27"])
@pytest.mark.parametrize("key", ["sources", "material", "cutter_material", "most", "edge", "exponents"])
def test_any_type_in_any_place_is_refused_in_words(key: str, value: str) -> None:
    for kind, read in (("materials", read_materials), ("tool life", read_life_tables)):
        text = f'format = "chiparc {kind}"\nversion = 1\n{key} = {value}\n'
        try:
            read(text, "own.toml")
        except DocumentError as error:
            assert all(fault.found and fault.allowed for fault in error.faults)


@pytest.mark.parametrize("inner", ["1", "[]", '"x"', "{ a = 1 }"])
@pytest.mark.parametrize("key", ["also", "group", "name", "power_law", "linear_edge", "thermal", "work_hardens"])
def test_any_type_in_a_material_is_refused_in_words(key: str, inner: str) -> None:
    rest = "".join(f'{k} = "K"\n' for k in ("name", "group", "kind") if k != key)
    text = f'format = "chiparc materials"\nversion = 1\n[[material]]\n{rest}{key} = {inner}\n'
    assert all(line >= 3 for line, _ in faults_of(text))


def test_a_refusal_of_a_whole_dump_is_short() -> None:
    text = "".join(f"k{i} = 1\n" for i in range(40_000))
    with pytest.raises(DocumentError) as caught:
        read_setup('format = "chiparc setup"\nversion = 1\n[cutter]\n' + text, "dump.toml")
    lines = str(caught.value).splitlines()
    assert len(lines) == MOST_TOLD + 1 and lines[-1].startswith(f"dump.toml: and at least {MOST_FAULTS - MOST_TOLD}")
    assert len(str(caught.value)) < 12_000
    assert caught.value.told(3).endswith("more") and len(caught.value.told(3).splitlines()) == 4


@pytest.mark.parametrize(
    "text",
    [
        GOOD.replace("diameter_mm = 12.0", f"diameter_mm = {'9' * 4200}"),
        GOOD.replace("diameter_mm = 12.0", f"diameter_mm = {'9' * 9000}"),
        GOOD.replace("diameter_mm = 12.0", f"diameter_mm = 0x{'f' * 9000}"),
        GOOD.replace("diameter_mm = 12.0", f"diameter_mm = [0x{'f' * 9000}]"),
        GOOD.replace("diameter_mm", "d" * 9000),
        GOOD.replace("[cutter]", f"[{'c' * 9000}]"),
        GOOD.replace('"climb"', f'"{"c" * 9000}"'),
        GOOD.replace("[work.force]", f'[work]\nmaterial = "{"m" * 19_000}"\n[work.force]'),
        GOOD.replace("[work.force]", f"[machine]\nspeed_curve = [[0x{'f' * 9000}, 1], [2, 3]]\n[work.force]"),
        GOOD.replace('"Boss', f'"{"B" * 9000}'),
    ],
)
def test_long_values_are_shortened_with_their_length(text: str) -> None:
    found = problems(text, "job.toml")
    assert found and all(len(fault.sentence("job.toml")) < 1200 for fault in found)


def test_numbers_too_long_to_write_are_refused_in_a_materials_file() -> None:
    huge = MATERIALS.replace('value = "x"', f"value = 0x{'f' * 9000}").replace("[2.0, 1.0]", f"[0x{'f' * 9000}, 1]")
    assert (11, "material.1.power_law.kc11_n_mm2.value") in faults_of(huge)


def test_what_cannot_be_seen_is_shown_as_such() -> None:
    assert visible("a\0b\x1b[2J\u202e\ufffe\u2028\x85\x7f") == "a␀b␛[2J<U+202E><U+FFFE><U+2028><U+0085>␡"
    assert visible("Fräser ø 12 – 刃 \u0645\u200c\u06cc") == "Fräser ø 12 – 刃 \u0645\u200c\u06cc"
    assert bounded("x" * 400_000, 60).endswith("(400,000 characters)") and len(bounded("\0\u202e" * 9999, 60)) < 200
    for error in (
        ChiparcError("k\n", "found \u202e", "a\x1b"),
        DocumentError("na\nme\u202e.toml", 3, "k\n", "found \u202e", "a\x1b"),
    ):
        assert len(str(error).splitlines()) == 1 and str(error).isprintable()
    with pytest.raises(ChiparcError) as caught:
        catalogue().find("\u202e" + "4" * 400_000)
    assert len(str(caught.value)) < 1500 and "<U+202E>" in str(caught.value)


@pytest.mark.parametrize("escape", ["\\u001b[2J", "\\n", "\\u2028", "\\u0000"])
def test_names_with_control_characters_are_refused(escape: str) -> None:
    assert (7, "material.1.name") in faults_of(MATERIALS.replace('"Ours"', f'"Ours{escape}"'))
