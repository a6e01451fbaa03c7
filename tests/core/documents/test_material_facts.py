"""What the catalogue knows of a material travels with the resolved setup, a person's own entry included."""

from __future__ import annotations

from dataclasses import replace

from core.advice.checks import check
from core.advice.draws import as_told
from core.documents.materials import catalogue, read_materials, resolved
from core.documents.setup_document import read_setup
from core.documents.setup_examples import example
from core.documents.setup_writing import write_setup
from core.report.report import report
from core.setup.setup import Advice, PowerLaw, Setup, Work

OWN = """format = "chiparc materials"
version = 1
[sources.s]
text = "our own trials"
status = "seen"
conditions = "sharp edge"
[[material]]
name = "our stainless"
group = "M"
kind = "bar"
work_hardens = { value = true, source = "s" }
solidus_c = { value = 1390.0, source = "s" }
[material.power_law]
kc11_n_mm2 = { value = 2150.0, range = [1900.0, 2400.0], source = "s" }
mc = { value = 0.21, source = "s" }
radial_ratio = { value = 0.45, source = "s" }
"""

KNOWN = catalogue().with_own(read_materials(OWN, "own.toml"))


def made(material: str) -> Setup:
    """The opening setup in that material."""
    return replace(example("boss").setup(), work=Work(material))


def test_a_persons_own_material_keeps_its_group_and_hardens_in_the_advice() -> None:
    own = resolved(made("our stainless"), KNOWN)
    facts = own.work.facts
    assert facts is not None and (facts.group, facts.work_hardens, facts.solidus_c) == ("M", True, 1390.0)
    assert facts.spread_of("kc11_n_mm2") == (1900.0, 2400.0) and facts.spread_of("mc") is None
    assert check("rub", own, as_told()).why == "hardens"
    entry = next(reason for reason in report(own, known=KNOWN)["advice"] if reason["id"] == "rub")
    assert entry["favours"] == "climb" and entry["threshold"] == 0.0


def test_the_origin_of_the_forces_is_the_setups_own_entry() -> None:
    """No catalogue is asked: the resolved setup tells what is printed, while its coefficients are the printed."""
    own = resolved(made("our stainless"), KNOWN)
    force = report(own)["force"]
    assert force["spread_from"] == "catalogue" and force["source"] == "our stainless: our own trials"
    assert isinstance(own.work.force, PowerLaw)
    changed = report(own.with_keys({"work.force": replace(own.work.force, mc=0.3)}))["force"]
    assert changed["spread_from"] == "assumed" and changed["source"] == "given in the setup"


def test_entries_of_one_name_are_told_apart_by_what_is_kept_of_them() -> None:
    soft = read_materials(OWN.replace("value = true", "value = false"), "soft.toml")
    one, other = resolved(made("our stainless"), KNOWN), resolved(made("our stainless"), catalogue().with_own(soft))
    assert one != other
    assert check("rub", one, as_told()).why == "hardens" != check("rub", other, as_told()).why


def test_the_printed_range_holds_for_the_printed_coefficients_only() -> None:
    entry = next(m for m in catalogue().materials if m.facts.spread)
    named = resolved(made(entry.name))
    assert named.work.facts is not None and named.work.facts.spread
    assert resolved(named).work.facts == named.work.facts
    own = replace(named, work=Work(entry.name, force=example("boss").setup().work.force))
    facts = resolved(own).work.facts
    assert facts is not None and facts.spread == () and facts.group == entry.group


def test_facts_stand_in_no_document_and_what_is_asked_does() -> None:
    setup = replace(made("C45E"), advice=Advice(order=("part", "machine"), off=("finish",)))
    text = write_setup(resolved(setup))
    assert "facts" not in text and 'order = ["part", "machine"]' in text and 'off = ["finish"]' in text
    back = read_setup(text, "there.toml")
    assert back.advice == setup.advice and back.work.facts is None
    plain = write_setup(replace(back, advice=Advice()), text)
    assert "advice" not in plain and read_setup(plain, "plain.toml").advice == Advice()
