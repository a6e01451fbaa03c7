"""The commented setup that shows every key: it is legal, and no key is missing from it."""

from __future__ import annotations

import re
from dataclasses import fields

import pytest

from core.base.places import shared
from core.documents.setup_document import load_setup
from core.documents.setup_reading import NOT_WRITTEN
from core.report.report import report
from core.setup.setup import (
    Advice,
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
from core.setup.setup_limits import CHOICES
from core.setup.show import Show

FILE = shared("every_key.toml")


def test_it_is_a_legal_setup_that_gives_a_report() -> None:
    setup = load_setup(FILE)
    found = report(setup)
    assert found["force"]["power_kw"] > 0.0 and found["wall"]["error_mm"] is not None
    assert found["skin"]["met"] != "none" and found["feed"]["pull_margin_n"] is not None


@pytest.mark.parametrize(
    "record",
    [Cutter, Cut, LinearEdge, PowerLaw, Skin, Thermal, ChipFormation, Machine, Mode, Work, Advice, Show, Setup],
)
def test_every_field_of_a_setup_is_shown(record: type) -> None:
    text = FILE.read_text("utf-8")
    for field in fields(record):
        if field.name.startswith("_") or field.name in NOT_WRITTEN:
            continue
        shown = re.search(rf"^(# )?{field.name} = |^\[+[a-z.]*{field.name}\]", text, re.MULTILINE)
        assert shown, f"{record.__name__}.{field.name}"


@pytest.mark.parametrize("key", CHOICES)
def test_every_choice_is_named(key: str) -> None:
    text = FILE.read_text("utf-8")
    assert all(f'"{choice}"' in text for choice in CHOICES[key]), key
