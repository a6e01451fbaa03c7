"""Reading and writing setup documents: what is refused and how, what is accepted, what an edit leaves alone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from core.base.errors import ChiparcError, DocumentError
from core.base.places import shared
from core.documents.setup_document import load_setup, load_text, problems, read_setup, save_setup, write_setup
from core.documents.setup_examples import EXAMPLES, example
from core.documents.toml_lines import key_line
from core.setup.setup import (
    ChipFormation,
    Cut,
    Cutter,
    LinearEdge,
    Machine,
    Mode,
    PowerLaw,
    Setup,
    Skin,
    Thermal,
    Work,
)
from tests.documents_refused.setups import ALL, GOOD, Refused

MINIMAL = """\
format = "chiparc setup"
version = 1
[cutter]
diameter_mm = 12
teeth = 4
[cut]
direction = "climb"
radial_engagement_mm = 4
axial_engagement_mm = 10
feed_per_tooth_mm = 0.06
spindle_speed_rpm = 4000
"""

SETUP_A = Setup(
    Cutter(12.0, 4, helix_deg=30.0, edge_radius_mm=0.006, stickout_mm=42.0, youngs_modulus_n_mm2=580000.0),
    Cut("climb", 4.0, 10.0, 0.06, 4000.0),
    Work(force=LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)),
    title="Boss on a pump bracket",
)


def test_the_good_document_is_good() -> None:
    assert problems(GOOD, "good.toml") == []


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_refused_with_line_and_key(case: Refused) -> None:
    with pytest.raises(DocumentError) as caught:
        read_setup(case.text, "job.toml")
    error = caught.value
    assert (error.file, error.line, error.where) == ("job.toml", case.line, case.key), str(error)
    for word in case.words:
        assert word in str(error)
    assert all(f.found and f.allowed and "\n" not in f.sentence("job.toml") for f in error.faults)
    assert len(str(error).splitlines()) == len(error.faults)


def test_names_of_refused_documents_are_unique() -> None:
    names = [case.name for case in ALL]
    assert len(names) == len(set(names)) >= 45


def test_every_problem_is_listed_by_line() -> None:
    text = GOOD.replace("teeth = 4", "teeth = 0").replace("= 0.06", '= "a"').replace("= 9000.0", "= 0")
    found = problems(text, "job.toml")
    assert [(e.line, e.where) for e in found] == [
        (8, "cutter.teeth"),
        (16, "cut.feed_per_tooth_mm"),
        (38, "dynamics.stiffness_n_mm"),
    ]
    with pytest.raises(DocumentError) as caught:
        read_setup(text, "job.toml")
    assert caught.value.more == 2 and caught.value.faults == tuple(found)
    assert [line.split(": found")[0] for line in str(caught.value).splitlines()] == [
        "job.toml:8: cutter.teeth",
        "job.toml:16: cut.feed_per_tooth_mm",
        "job.toml:38: dynamics.stiffness_n_mm",
    ]


def test_sentence_says_file_line_key_found_allowed() -> None:
    with pytest.raises(DocumentError) as caught:
        read_setup(GOOD.replace("teeth = 4", "teeth = 400"), "jobs/boss.toml")
    expected = "jobs/boss.toml:8: cutter.teeth: found 400; allowed: a whole number from 1 to 100"
    assert str(caught.value) == expected


def test_minimal_document_has_the_plain_defaults() -> None:
    setup = read_setup(MINIMAL, "minimal.toml")
    assert setup == Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0))
    assert isinstance(setup.cutter.diameter_mm, float) and isinstance(setup.cutter.teeth, int)
    assert (setup.title, setup.cutter.hand, setup.cutter.helix_deg) == ("", "right", 0.0)
    assert (setup.cutter.cutting_edge_angle_deg, setup.cutter.runout_mm) == (90.0, 0.0)
    assert setup.work.force is None and setup.machine is None and setup.dynamics == ()


def test_boss_is_setup_a() -> None:
    setup = load_setup(shared("setups", "boss.toml"))
    assert replace(setup, show=SETUP_A.show) == SETUP_A and setup.show.line.startswith("The opening setup")


def test_every_optional_key_is_read() -> None:
    extra = """
[cutter.material]
conductivity_w_mk = 80.0
density_kg_m3 = 14500.0
specific_heat_j_kgk = 220.0
[work]
material = "C45E"
[work.force]
model = "power-law"
kc11_n_mm2 = 2220.0
mc = 0.14
radial_ratio = 0.4
[work.skin]
thickness_mm = 0.5
[work.thermal]
conductivity_w_mk = 45.0
density_kg_m3 = 7850.0
specific_heat_j_kgk = 480.0
[work.chip]
min_chip_ratio = 0.25
elastic_recovery = 0.5
contact_ratio = 3.0
edge_contact_mm = 0.01
friction_share = 0.4
chip_ratio = 3.0
tool_heat_share = 0.2
[machine]
table_friction_n = 250.0
feed_preload_n = 10.0
backlash_mm = 0.1
[[dynamics]]
axis = "x"
frequency_hz = 810.0
damping_ratio = 0.02
stiffness_n_mm = 9800.0
"""
    setup = read_setup(MINIMAL + extra, "full.toml")
    assert setup.cutter.material == Thermal(80.0, 14500.0, 220.0)
    work = Work(
        "C45E",
        PowerLaw(2220.0, 0.14, 0.4),
        Skin(0.5),
        Thermal(45.0, 7850.0, 480.0),
        ChipFormation(0.25, 0.5, 3.0, 0.01, 0.4, 3.0, 0.2),
    )
    assert setup.work == work
    assert setup.machine == Machine(250.0, 10.0, 0.1)
    assert setup.dynamics == (Mode("x", 810.0, 0.02, 9800.0),)
    assert read_setup(write_setup(setup), "again") == setup


INLINE = """\
cutter = { hand = "right", diameter_mm = 12.0, teeth = 4, helix_deg = 30.0, runout_mm = 0.0 }
version = 1
cut = { direction = "climb", radial_engagement_mm = 4.0, axial_engagement_mm = 10.0, "feed_per_tooth_mm" = 0.06, \
spindle_speed_rpm = 4000.0 } # the cut
format = 'chiparc setup'
work.force = { model = "linear-edge", ktc = 1800, krc = 700, kac = 300, kte = 22, kre = 35, kae = 3 }
title = \"\"\"
Boss on a pump bracket\"\"\"
dynamics = [
    # two of them
    { axis = "x", frequency_hz = 810, damping_ratio = 0.02, stiffness_n_mm = 9800 },
    { axis = "y", frequency_hz = 900.0, damping_ratio = 3e-2, stiffness_n_mm = 9_000.0 }, # last
]
"""

DOTTED = """\
format = "chiparc setup"
version = 0x1
title = 'Boss on a pump bracket'
cutter.hand = "right"
cutter . diameter_mm = 12.0   # round
cutter."teeth" = 4
cutter.helix_deg = +30.0
cut.direction = "climb"
cut.radial_engagement_mm = 4.0
cut.axial_engagement_mm = 10.0
cut.feed_per_tooth_mm = 6e-2
cut.spindle_speed_rpm = 4_000
[work]
force.model = "linear-edge"
force.ktc = 1800
force.krc = 700
force.kac = 300
force.kte = 22
force.kre = 35
force.kae = 3
[[dynamics]]
axis = "x"
frequency_hz = 810.0
damping_ratio = 0.02
stiffness_n_mm = 9800.0
[[dynamics]]
axis = "y"
frequency_hz = 900.0
damping_ratio = 0.03
stiffness_n_mm = 9000.0"""

STYLES = {
    "tables": GOOD,
    "crlf": GOOD.replace("\n", "\r\n"),
    "byte-order-mark": "\ufeff" + GOOD,
    "inline": INLINE,
    "dotted": DOTTED,
}


@pytest.mark.parametrize("style", STYLES)
def test_every_way_to_write_toml_is_accepted(style: str) -> None:
    expected = read_setup(GOOD, "good.toml")
    assert read_setup(STYLES[style], "x.toml") == expected
    assert read_setup(STYLES[style].encode(), "x.toml") == expected


@pytest.mark.parametrize("style", STYLES)
def test_an_unchanged_setup_leaves_the_text_alone(style: str) -> None:
    assert write_setup(read_setup(GOOD, "good.toml"), STYLES[style]) == STYLES[style]


@pytest.mark.parametrize(
    ("text", "path", "line"),
    [
        ("a = '''\nb = 1\n'''\nb = 2\n", ("b",), 4),
        ('a = """\n"" b = 1 \\""" \n"""\nb = 2\n', ("b",), 4),
        ("a = [ # ] b = 1\n  [1],\n]\nb = 2\n", ("b",), 4),
        ("[x]\na.b.c = 1\n", ("x", "a", "b"), 2),
        ("[x]\n'a.b' = 1\na.b = 2\n", ("x", "a", "b"), 3),
        ("x = [{ a = 1 },\n { a = 2,\tb = 3 }]\n", ("x", 1, "b"), 2),
        ("[[x]]\n[[x]]\n[x.y]\na = 1\n", ("x", 1, "y", "a"), 4),
        ("[[x]]\n[[x.y]]\n[[x]]\n[[x.y]]\na = 1\n", ("x", 1, "y", 0, "a"), 5),
        ("[ x . \"y z\" ]\n\n'k' = 1", ("x", "y z", "k"), 3),
        ("a = 1\r\n[b]\r\nc = 1", ("b", "c"), 3),
        ("a = 1\n", ("b", "c"), 1),
        ("a = 2\n[x.y]\nb = 1\n", ("x", "z"), 2),
    ],
)
def test_line_of_a_key(text: str, path: tuple[str | int, ...], line: int) -> None:
    assert key_line(text, path) == line


def test_lines_in_inline_tables_and_lists() -> None:
    text = INLINE.replace("9_000.0", "-9_000.0")
    assert [(e.line, e.where) for e in problems(text, "x")] == [(11, "dynamics.stiffness_n_mm")]
    assert [(e.line, e.where) for e in problems(INLINE.replace("ktc = 1800, ", ""), "x")] == [(5, "work.force.ktc")]


# Editing in place ----------------------------------------------------------------------------------------

NOTED = """\
# Job 17, bracket left side
format = "chiparc setup"
version = 1

[cut]                          # as on the card
spindle_speed_rpm = 4000.0     # slow start
direction = "climb"
radial_engagement_mm = 4       # ae
axial_engagement_mm = 10.0
# from the chart
feed_per_tooth_mm = 0.06

[cutter]
    teeth = 4
    diameter_mm = 12.0
    edge_radius_mm = 0.006
# end of the job
"""


def test_an_edit_changes_one_value_and_nothing_else() -> None:
    setup = read_setup(NOTED, "job.toml").with_keys({"cut.radial_engagement_mm": 3.25})
    expected = NOTED.replace("radial_engagement_mm = 4       # ae", "radial_engagement_mm = 3.25    # ae")
    assert write_setup(setup, NOTED) == expected


def test_an_edit_keeps_line_ends_and_byte_order_mark() -> None:
    original = "\ufeff" + NOTED.replace("\n", "\r\n")
    setup = read_setup(original, "job.toml").with_keys({"cut.feed_per_tooth_mm": 0.05, "cutter.helix_deg": 30.0})
    text = write_setup(replace(setup, title="Job 17"), original)
    assert text.startswith("\ufeff# Job 17")
    assert text.count("\n") == text.count("\r\n") == original.count("\n") + 2
    assert "feed_per_tooth_mm = 0.05\r\n" in text and 'version = 1\r\ntitle = "Job 17"\r\n' in text


def test_a_missing_key_joins_its_table() -> None:
    setup = read_setup(NOTED, "job.toml").with_keys({"cutter.runout_mm": 0.01})
    expected = NOTED.replace("    edge_radius_mm = 0.006\n", "    edge_radius_mm = 0.006\nrunout_mm = 0.01\n")
    assert write_setup(setup, NOTED) == expected


def test_a_figure_become_unknown_goes_with_its_line_only() -> None:
    setup = read_setup(NOTED, "job.toml").with_keys({"cutter.edge_radius_mm": None})
    assert write_setup(setup, NOTED) == NOTED.replace("    edge_radius_mm = 0.006\n", "")


def test_new_tables_and_blocks_come_and_go_without_a_trace() -> None:
    setup = read_setup(GOOD, "good.toml")
    more = replace(
        setup,
        work=replace(setup.work, skin=Skin(0.5), thermal=Thermal(45.0, 7850.0, 480.0)),
        machine=Machine(backlash_mm=0.1),
        dynamics=(*setup.dynamics, Mode("x", 1200.0, 0.05, 2e4)),
    )
    text = write_setup(more, GOOD)
    assert read_setup(text, "more") == more
    assert [line for line in text.splitlines() if line in GOOD.splitlines()] != []
    assert write_setup(setup, text) == GOOD


def test_another_force_model_replaces_its_coefficients() -> None:
    setup = read_setup(GOOD, "good.toml")
    other = replace(setup, work=Work(force=PowerLaw(1780.0, 0.17, 0.4)))
    text = write_setup(other, GOOD)
    assert 'model = "power-law"\nkc11_n_mm2 = 1780.0\nmc = 0.17\nradial_ratio = 0.4\n' in text
    assert "ktc" not in text and text.startswith(GOOD[: GOOD.index("[work.force]")])


def test_the_block_that_goes_is_the_right_one() -> None:
    noted = GOOD.replace('axis = "x"', 'axis = "x" # first').replace('axis = "y"', 'axis = "y" # second')
    setup = read_setup(noted, "x")
    text = write_setup(replace(setup, dynamics=setup.dynamics[1:]), noted)
    assert "# second" in text and "# first" not in text
    assert read_setup(text, "x").dynamics == setup.dynamics[1:]


def test_an_illegal_setup_is_never_written() -> None:
    for setup in (
        SETUP_A.with_keys({"cut.radial_engagement_mm": 13.0}),
        replace(SETUP_A, title="two\nlines"),
        replace(SETUP_A, dynamics=(Mode("z", 800.0, 0.02, 1e4),)),  # type: ignore[arg-type]
        SETUP_A.with_keys({"work.material": "unobtainium"}),
    ):
        with pytest.raises(ChiparcError):
            write_setup(setup, NOTED)


def test_titles_survive_quotes_and_backslashes() -> None:
    for title in ('6" plate, C:\\jobs', "# no comment", "=", "Träger № 7 \N{GEAR}", "'''"):
        setup = replace(SETUP_A, title=title)
        assert read_setup(write_setup(setup), "x") == setup
        assert read_setup(write_setup(setup, GOOD), "x") == setup


# Files ---------------------------------------------------------------------------------------------------


def test_saved_setup_loads_again(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    text = save_setup(SETUP_A, path)
    assert load_text(str(path)) == text and load_setup(path) == SETUP_A
    other = SETUP_A.with_keys({"cut.radial_engagement_mm": 2.0})
    assert load_text(str(path)) != save_setup(other, path, text)
    assert load_setup(path) == other


@pytest.mark.parametrize(
    ("name", "word"),
    [(".", "folder"), ("none.toml", "no such file"), ("a\0b", "no file can have"), ("", "no such file")],
)
def test_files_that_cannot_be_read(tmp_path: Path, name: str, word: str) -> None:
    path = str(tmp_path / name) if name else ""
    with pytest.raises(DocumentError, match=word) as caught:
        load_setup(path) if name else load_text(path)
    assert caught.value.line == 0 and caught.value.where == "file"


# The gallery ---------------------------------------------------------------------------------------------


def test_the_gallery_lists_every_setup_of_the_folder_once() -> None:
    assert sorted(each.file.name for each in EXAMPLES) == sorted(p.name for p in shared("setups").glob("*.toml"))
    assert EXAMPLES[0].id == "boss" and len(EXAMPLES) >= 11


@pytest.mark.parametrize("each", EXAMPLES, ids=lambda each: each.id)
def test_example_reads_and_says_what_it_is(each: object) -> None:
    shown = example(each.id)  # type: ignore[attr-defined]
    text = load_text(str(shown.file))
    setup = shown.setup()
    assert problems(text, "x") == [] and setup.title == shown.title
    assert shown.sentence.endswith(".") and setup.work.force is not None
    assert write_setup(setup, text) == text
    assert shown.id == "boss" or "invented for the demo" in text


def test_the_gallery_shows_the_range() -> None:
    setups = [each.setup() for each in EXAMPLES]
    assert {s.cut.direction for s in setups} == {"climb", "conventional", "straddling"}
    assert {s.cutter.hand for s in setups} == {"left", "right"}
    assert any(s.cutter.runout_mm for s in setups) and any(s.work.skin for s in setups)
    assert any(s.machine for s in setups) and any(s.dynamics for s in setups)
    assert any(s.cut.radial_engagement_mm == s.cutter.diameter_mm for s in setups)


WORD = """format = "chiparc setup"
version = 1
[cutter]
diameter_mm = 12.0
teeth = 4
material = "hss" # the old one
[cut]
direction = "climb"
radial_engagement_mm = 4.0
axial_engagement_mm = 10.0
feed_per_tooth_mm = 0.06
spindle_speed_rpm = 4000.0
"""


def test_a_cutter_material_by_word_is_read_kept_and_exchanged_for_figures() -> None:
    setup = read_setup(WORD, "a.toml")
    assert setup.cutter.material == "hss" and setup.value("cutter.material.density_kg_m3") is None
    assert write_setup(setup, WORD) == WORD and read_setup(write_setup(setup), "b.toml") == setup
    carbide = setup.with_values(cutter__material="carbide")
    assert write_setup(carbide, WORD) == WORD.replace('"hss"', '"carbide"')
    figures = setup.with_values(cutter__material=Thermal(24.0, 8100.0, 460.0))
    for original in (None, WORD, write_setup(figures)):
        text = write_setup(figures, original) if original else write_setup(figures)
        assert read_setup(text, "c.toml") == figures
        # And back to a word: the table goes.
        back = write_setup(setup, text)
        assert read_setup(back, "d.toml") == setup and "[cutter.material]" not in back


def test_a_cutter_material_that_is_neither_is_refused() -> None:
    for odd, wanted in (
        ('"steel"', '"carbide" or "high-speed steel" or "hss"'),
        ("5", "or a table with conductivity"),
    ):
        with pytest.raises(DocumentError) as refused:
            read_setup(WORD.replace('"hss"', odd), "a.toml")
        assert refused.value.where == "cutter.material" and wanted in refused.value.allowed
    with pytest.raises(DocumentError, match="solidus_c"):
        read_setup(WORD.replace('material = "hss"', "material = { solidus_c = 1400.0 }"), "a.toml")
