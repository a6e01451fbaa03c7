"""Whatever is legal has a report: strict JSON that keeps to the schema, a text within its columns, either hand alike.

Each example is asked for everything at once: what its cut would turn takes longer to work out than all of the rest.
"""

from __future__ import annotations

import json
from typing import Any

import jsonschema
from hypothesis import given, settings
from hypothesis import strategies as st

from core.documents.materials import resolved
from core.report.json_report import json_report, json_text
from core.report.report import report, report_json
from core.report.schema import schema
from core.report.text_layout import WIDTH
from core.report.text_report import text_report
from core.setup.setup import Setup
from tests.strategies import setups, shop_setups

ONE = jsonschema.Draft202012Validator({**schema(), "anyOf": [{"$ref": "#/$defs/report"}]})


def no_constant(name: str) -> None:
    raise AssertionError(f"{name} is no JSON")


@given(setups(boundless=True), st.sampled_from(["metric", "inch"]))
@settings(max_examples=25)
def test_every_legal_setup_has_a_strict_report_and_a_text_within_its_columns(setup: Setup, units: Any) -> None:
    found = report(setup)
    assert json.loads(report_json(found), parse_constant=no_constant) == found
    ONE.validate(json.loads(json_text(json_report(resolved(setup), "-", ()))))
    text = text_report(setup, units)
    assert text.endswith("\n") and not any(line != line.rstrip() for line in text.split("\n"))
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "nan" not in text and "None" not in text


@given(shop_setups())
@settings(max_examples=6)
def test_a_left_hand_cutter_has_the_numbers_of_the_right_hand(setup: Setup) -> None:
    left, right = (report(setup.with_values(cutter__hand=hand)) for hand in ("left", "right"))
    for found in (left, right):
        del found["sentence"], found["engagement"]["entry_clock"], found["engagement"]["exit_clock"]
    assert left == right
