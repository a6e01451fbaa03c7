"""The JSON of every example keeps to the schema, and the schema tells of no key that no report has."""

from __future__ import annotations

import json
import math
import re
from functools import lru_cache
from typing import Any

import jsonschema
import pytest

from core.base.errors import DocumentError
from core.base.places import shared
from core.documents.materials import resolved
from core.documents.setup_document import load_text, read_setup
from core.documents.setup_examples import EXAMPLES
from core.report.json_report import json_report, json_text, refusal, sentences
from core.report.keys_page import keys_data, keys_page
from core.report.report import report
from core.report.rounded import rounded
from core.report.schema import flat, report_keys, schema
from core.report.setup_echo import filled_in, given_keys
from core.report.text_layout import WIDTH
from core.setup.setup import Cut, Cutter, Setup, Work

EVERY = shared("every_key.toml")
FILES = [example.file for example in EXAMPLES] + [EVERY]
ONE = jsonschema.Draft202012Validator({**schema(), "anyOf": [{"$ref": "#/$defs/report"}]})
ANY = jsonschema.Draft202012Validator(schema())


@lru_cache(maxsize=len(FILES))
def printed(file: Any) -> dict[str, Any]:
    """The JSON of a document, read back from its text; every_key also against the opening example."""
    text = load_text(str(file))
    setup = resolved(read_setup(text, str(file)))
    against = EXAMPLES[0].setup() if file == EVERY else None
    found: dict[str, Any] = json.loads(json_text(json_report(setup, file.name, given_keys(text, file.name), against)))
    return found


def refused(text: str) -> dict[str, Any]:
    """The entry of a refused document."""
    with pytest.raises(DocumentError) as caught:
        read_setup(text, "bad.toml")
    return refusal("bad.toml", caught.value)


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_the_json_of_every_example_keeps_to_the_schema(file: Any) -> None:
    ONE.validate(printed(file))


def test_a_key_that_the_schema_does_not_have_fails() -> None:
    for group in (None, "wall", "force"):
        found = json.loads(json_text(printed(EVERY)))
        (found if group is None else found[group])["more"] = 1.0
        assert not ONE.is_valid(found)
    found = json.loads(json_text(printed(EVERY)))
    del found["wall"]["error_mm"]
    assert not ONE.is_valid(found)


def test_every_key_of_the_schema_occurs() -> None:
    # Figures beside those of another setup go by their own names.
    named = re.compile(r"(against\.figures\.).*(\.(?:this|other|difference))$")
    there = {named.sub(r"\1*\2", key) for file in FILES for key, _ in flat(printed(file))}
    there |= {key for key, _ in flat(refused("format = 1\n"))}
    # An empty list and a null stand for whatever may be in them.
    whole = {key for key in report_keys() if key not in there}
    assert whole == set()


def test_every_key_is_told_with_its_meaning_and_numbers_with_a_unit_where_the_name_has_one() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    ends = {"_mm": "mm", "_deg": "deg", "_n": "N", "_kw": "kW", "_k": "K", "_ms": "ms", "_um": "um", "_nm": "N m"}
    for key in report_keys().values():
        assert len(key.meaning) > 3, key
        for end, unit in ends.items():
            if key.key.endswith(end) and not key.key.endswith(("_n_mm", "_um_mm", "_n_ms", "_n_deg")):
                assert key.unit == unit, key
        if key.is_number and key.model:
            assert key.strip in ("", "chip", "load", "force", "torque", "movement", "temperature", "wall", "marks")


def test_every_figure_that_is_worked_out_tells_its_model_and_its_source() -> None:
    """What a document says itself, faults of a refused one and figures beside another setup's have no origin here."""
    given_or_named = ("setup.", "setup_filled[].", "error[].", "against.", "format", "version")
    figures = [
        key
        for key in report_keys().values()
        if (key.is_number or (key.kind == "array" and key.unit)) and not key.key.startswith(given_or_named)
    ]
    assert len(figures) > 150
    assert [key.key for key in figures if not (key.model and key.source)] == []


def test_an_array_may_hold_refusals_and_one_file_is_an_object() -> None:
    entry = refused("format = 1\n[cutter]\nteeth = 4.5\n")
    assert len(entry["error"]) > 3 and entry["error"][0]["key"] == "format"
    lines = [e["line"] for e in entry["error"] if e["line"] is not None]
    assert lines == sorted(lines)
    ANY.validate([printed(EVERY), entry])
    ANY.validate(printed(EVERY))
    ANY.validate(entry)
    assert not ANY.is_valid([{"file": "x"}])


def test_the_setup_is_echoed_and_what_was_filled_in_is_told() -> None:
    text = load_text(str(EVERY))
    found, setup = printed(EVERY), resolved(read_setup(text, "x"))
    shows = {key for key in given_keys(text, "x") if key.startswith("show.")}  # how it is looked at is no figure
    for key in given_keys(text, "x") - {"format", "version", "title", "dynamics"} - shows:
        value: Any = found["setup"]
        for name in key.split("."):
            value = value[name]
        assert (tuple(value) if isinstance(value, list) else value) == setup.value(key), key
    filled = {each["key"]: each for each in found["setup_filled"]}
    assert not set(filled) & given_keys(text, "x")
    named = resolved(Setup(Cutter(10.0, 4), Cut("climb", 4.0, 5.0, 0.1, 3000.0), Work(material="42CrMo4")))
    origins = {each["key"]: (each["from"], each["name"]) for each in filled_in(named, ("work.material",))}
    assert origins["work.force.model"] == origins["work.thermal.density_kg_m3"] == ("material", "42CrMo4")
    boss = {each["key"]: each for each in printed(EXAMPLES[0].file)["setup_filled"]}
    assert boss["cutter.material.density_kg_m3"] == {
        "key": "cutter.material.density_kg_m3",
        "value": 14500.0,
        "from": "assumed",
        "name": "carbide",
    }
    assert boss["cutter.runout_mm"]["from"] == "default" and "cutter.helix_deg" not in boss


def test_thresholds_are_figures_or_null_and_their_words_stand_apart() -> None:
    reasons = printed(EXAMPLES[0].file)["advice"]
    assert any(isinstance(r["threshold"], float) for r in reasons)
    for reason in reasons:
        assert reason["threshold"] is None or reason["threshold_words"] is None


def test_crossed_limits_assumptions_and_cautions_are_lists() -> None:
    crossed = [(file.stem, entry) for file in FILES for entry in printed(file)["crossed"]]
    assert {entry["id"] for _, entry in crossed} >= {"table"}
    for _, entry in crossed:
        assert entry["value"] > entry["limit"] and entry["unit"] in ("kW", "N m", "mm", "N") and entry["text"]
    for file in FILES:
        found = printed(file)
        assert len(found["cautions"]) >= 4 and found["cautions"][-1].endswith("certifies.")
        assert found["assumptions"][0].startswith("Chip thickness is the kinematic one")
    assert (
        "No edge radius given: rubbing is left out."
        in json_report(EXAMPLES[0].setup().with_values(cutter__edge_radius_mm=None), "x", ())["assumptions"]
    )


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_figures_are_rounded_without_moving(file: Any) -> None:
    setup = resolved(read_setup(load_text(str(file)), str(file)))
    before, after = dict(flat(report(setup))), dict(flat(printed(file)))
    for key, value in after.items():
        if isinstance(value, float):
            assert value == 0.0 or abs(value) > 1e-13, key
            assert math.copysign(1.0, value) > 0.0 or value != 0.0, key
            if isinstance(before.get(key), float) and "[]" not in key:
                assert value == pytest.approx(before[key], rel=1e-6, abs=1e-9), key
                assert value == float(f"{value:.8e}"), key
    assert after["chip.arc.h_exit_mm"] == 0.0 or setup.cut.direction != "climb"


def test_rounding_by_hand() -> None:
    found = rounded({"chip": {"h_exit_mm": 7.3e-18, "h_max_mm": 0.056568542494923796, "teeth": [{"x_mm": -0.0}]}})
    assert found == {"chip": {"h_exit_mm": 0.0, "h_max_mm": 0.0565685425, "teeth": [{"x_mm": 0.0}]}}
    assert str(found["chip"]["teeth"][0]["x_mm"]) == "0.0"
    assert rounded({"heat": {"peak_rise_k": 499.4285501746722}, "setup": {"a": 1 / 3}}) == {
        "heat": {"peak_rise_k": 499.4286},
        "setup": {"a": 1 / 3},
    }


def test_the_page_of_keys_tells_every_key_of_the_schema() -> None:
    page = keys_page()
    assert max(map(len, page.splitlines())) <= max(WIDTH, max(len(k) + 16 for k in report_keys()))
    for key in report_keys().values():
        assert f"  {key.key}" in page and key.meaning in " ".join(page.split())
    data = {each["key"]: each for each in keys_data()}
    assert data["wall.error_mm"]["unit"] == "mm" and data["wall.error_mm"]["strip"] == "wall"
    assert data["title"]["unit"] is None and set(data) == set(report_keys())


def test_sentences_are_parted_at_their_ends() -> None:
    assert sentences("One. Two 0.5 mm! Three?") == ["One.", "Two 0.5 mm!", "Three?"]
