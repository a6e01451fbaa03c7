"""Runout on a cutter of very many teeth: every figure is still told."""

from __future__ import annotations

import json

import pytest

from core.documents.setup_examples import EXAMPLES
from core.report.report import report, report_json
from core.report.text_report import text_report


@pytest.mark.parametrize("teeth", [25, 60])
def test_a_report_of_many_teeth_with_runout_is_whole(teeth: int) -> None:
    setup = EXAMPLES[0].setup().with_keys({"cutter.teeth": teeth, "cutter.runout_mm": 0.004})
    found = report(setup)
    assert json.loads(report_json(found)) == found and found["force"]["power_kw"] > 0.0
    assert len(found["chip"]["teeth"]) == teeth
    assert "nan" not in text_report(setup)
